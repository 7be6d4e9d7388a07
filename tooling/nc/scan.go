package nc

import (
	"errors"
	"io"
	"iter"
)

// chunkBytes is how much is read at a time once the form is settled.
const chunkBytes = 64 << 10

// Scanner reads a program as a stream. It keeps a window of the text and, at
// most, an open pattern. A Scanner reads once and is not safe for concurrent use.
type Scanner struct {
	r    io.Reader
	o    ReadOptions
	it   *interp
	used bool
}

// NewScanner prepares to read r. Nothing is read before the first operation
// is asked for.
func NewScanner(r io.Reader, o ReadOptions) *Scanner { return &Scanner{r: r, o: o} }

// Scan is NewScanner(r, o).Ops() for callers that need the operations only.
func Scan(r io.Reader, o ReadOptions) iter.Seq2[Op, error] { return NewScanner(r, o).Ops() }

// Ops yields the operations in order, repeats and patterns expanded, and the
// error that ended the reading as the last pair. Errors are those of [Parse]
// and those of the reader. Operations yielded before an error were read well.
// It agrees with [Parse] on every file; nothing is allocated per hit. The
// sequence can be walked once.
func (s *Scanner) Ops() iter.Seq2[Op, error] {
	return func(yield func(Op, error) bool) {
		if s.used {
			yield(Op{}, errors.New("nc: a scanner reads once"))
			return
		}
		s.used = true
		if err := s.scan(func(op Op) bool { return yield(op, nil) }); err != nil {
			yield(Op{}, err)
		}
	}
}

// Facts returns what is known so far: the form once an operation was yielded,
// tools, attributes and notes as they come, all of them after the last
// operation. The program has no text.
func (s *Scanner) Facts() Program {
	if s.it == nil {
		return Program{}
	}
	p := s.it.facts
	p.Notes = append([]Note(nil), s.it.book.notes...)
	p.Tools = append([]ToolDef(nil), p.Tools...)
	p.Attributes = append([]Attribute(nil), p.Attributes...)
	return p
}

// scan reads the window, settles the form and feeds line after line.
func (s *Scanner) scan(yield func(Op) bool) error {
	buf := make([]byte, 0, chunkBytes)
	buf, last, err := fill(s.r, buf, windowBytes+1)
	if err != nil {
		return err
	}
	most := limit(s.o.MaxBytes, DefaultMaxBytes)
	if len(buf) > most {
		return &LimitError{File: s.o.File, Line: 1, Column: 1, Limit: "bytes", Max: most, Found: len(buf)}
	}
	window := buf[:min(len(buf), windowBytes)]
	sv := look(window, last && len(window) == len(buf))
	f, err := decide(&sv, &s.o)
	if err != nil {
		return err
	}
	it := newInterp(s.o, f)
	it.yield = yield
	s.it = it
	total, blocks, mostBlocks := len(buf), 0, limit(s.o.MaxBlocks, DefaultMaxBlocks)
	off := 0
	for {
		n, skip, ok := cutLine(buf[off:], last)
		if ok {
			if n > maxLine {
				it.line++
				return it.over(0, "bytes in a line", maxLine, n)
			}
			if blocks++; blocks > mostBlocks {
				it.line++
				return it.over(0, "blocks", mostBlocks, blocks)
			}
			it.complete = skip > n
			if err := it.feedLine(buf[off : off+n]); err != nil {
				return err
			}
			if it.cut {
				return nil
			}
			off += skip
			continue
		}
		if last {
			return it.finish()
		}
		rest := len(buf) - off
		if rest > maxLine {
			it.line++
			return it.over(0, "bytes in a line", maxLine, rest)
		}
		buf = buf[:copy(buf, buf[off:])]
		off = 0
		buf, last, err = fill(s.r, buf, rest+chunkBytes)
		if err != nil {
			return err
		}
		total += len(buf) - rest
		if total > most {
			return &LimitError{File: s.o.File, Line: it.line + 1, Column: 1, Limit: "bytes", Max: most, Found: total}
		}
	}
}

// fill reads until buf holds want bytes or the input ends.
func fill(r io.Reader, buf []byte, want int) (_ []byte, last bool, err error) {
	for idle := 0; len(buf) < want; {
		if len(buf) == cap(buf) {
			grown := make([]byte, len(buf), max(2*cap(buf), chunkBytes))
			copy(grown, buf)
			buf = grown
		}
		n, err := r.Read(buf[len(buf):min(cap(buf), want)])
		buf = buf[:len(buf)+n]
		if err == io.EOF {
			return buf, true, nil
		}
		if err != nil {
			return buf, false, err
		}
		if n > 0 {
			idle = 0
		} else if idle++; idle > 100 {
			return buf, false, io.ErrNoProgress
		}
	}
	return buf, false, nil
}

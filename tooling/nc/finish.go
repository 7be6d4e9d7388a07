package nc

import (
	"bytes"
	"fmt"
	"io"
	"slices"
)

// mark tells whether a line is empty or holds a tape mark, end-of-file marks or
// the zeros of a tape only.
func mark(b []byte) bool {
	b = bytes.TrimRight(b, " \t\x00\x1A")
	return len(b) == 0 || len(b) == 1 && b[0] == '%'
}

// fileMark is the byte that older systems end a text with.
const fileMark = 0x1A

// finish checks what must hold at the end of the file and completes the facts.
func (it *interp) finish() error {
	if err := it.endHere(); err != nil {
		return err
	}
	nothing := !it.headered && !it.moved && it.sc.units == UnitsUnknown && len(it.facts.Tools) == 0
	if nothing && it.puzzled() {
		return &SyntaxError{File: it.o.File, Line: 1, Column: 1, Err: ErrSyntax, Found: "a text without header, tool or place", Expected: "a drill or rout program"}
	}
	if !it.ended {
		at := it.line
		it.line = max(it.line, 1)
		tidy := it.putAway && it.complete && !it.header
		if (!it.o.AllowMissingEnd || it.header || nothing) && !tidy {
			e := it.fail(0, ErrTruncated, "the end of the file", "M30").(*SyntaxError)
			e.Line = at + 1
			return e
		}
		it.note("no-end", 0, 0, "the file ends without M30")
	}
	if it.patterns.open() {
		return it.fail(0, ErrRepeat, "the end of the program", fmt.Sprintf("M01 for the pattern of line %d", it.patterns.openedAt()))
	}
	it.finishTools()
	sortNotes(it.book.notes)
	it.facts.Notes = it.book.notes
	return nil
}

// puzzled tells whether the file holds words that are not understood.
func (it *interp) puzzled() bool {
	return slices.ContainsFunc(it.book.notes, func(n Note) bool { return n.Rule == "unknown-word" })
}

// run reads a whole file from memory.
func (it *interp) run(src []byte) error {
	for off := 0; off < len(src) && !it.cut; {
		n, skip, ok := cutLine(src[off:], true)
		if !ok {
			return io.ErrUnexpectedEOF // cannot happen: the last line always ends
		}
		it.complete = skip > n
		if n > maxLine {
			it.line++
			return it.over(0, "bytes in a line", maxLine, n)
		}
		if err := it.feedLine(src[off : off+n]); err != nil {
			return err
		}
		off += skip
	}
	if it.cut {
		return nil
	}
	return it.finish()
}

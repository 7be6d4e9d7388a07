package nc

import (
	"iter"
	"math"
)

// Parse reads a whole program, keeps its text and checks every block. It
// returns a [*SyntaxError], an [*AmbiguousError] or a [*LimitError], the first
// met. src is copied. Cost: O(bytes + expanded operations).
func Parse(src []byte, o ReadOptions) (*Program, error) {
	if most := limit(o.MaxBytes, DefaultMaxBytes); len(src) > most || uint64(len(src)) > math.MaxUint32 {
		return nil, &LimitError{File: o.File, Line: 1, Column: 1, Limit: "bytes", Max: most, Found: len(src)}
	}
	window := src[:min(len(src), windowBytes)]
	s := look(window, len(window) == len(src))
	f, err := decide(&s, &o)
	if err != nil {
		return nil, err
	}
	it := newInterp(o, f)
	it.yield = func(Op) bool { return true }
	src = append([]byte(nil), src...)
	blocks, err := it.index(src)
	if err != nil {
		return nil, err
	}
	if err := it.run(src); err != nil {
		return nil, err
	}
	p := it.facts
	p.source, p.blocks = src, blocks
	return &p, nil
}

// index finds the lines.
func (it *interp) index(src []byte) ([]block, error) {
	most := limit(it.o.MaxBlocks, DefaultMaxBlocks)
	var blocks []block
	for off := 0; off < len(src); {
		n, skip, _ := cutLine(src[off:], true)
		if len(blocks) >= most {
			it.line = len(blocks) + 1
			return nil, it.over(0, "blocks", most, len(blocks)+1)
		}
		blocks = append(blocks, block{uint32(off), uint32(n)})
		off += skip
	}
	return blocks, nil
}

// Ops yields the operations in order, repeats and patterns expanded. A parsed
// program was checked when it was read, so the error is nil throughout; it is
// there for programs whose text cannot be read back, which Build never makes.
// The sequence can be walked more than once and by several goroutines.
func (p *Program) Ops() iter.Seq2[Op, error] {
	return func(yield func(Op, error) bool) {
		it := newInterp(p.read, p.form)
		it.quiet = true
		it.yield = func(op Op) bool { return yield(op, nil) }
		for _, b := range p.blocks {
			if err := it.feedLine(p.source[b.offset : b.offset+b.length]); err != nil {
				yield(Op{}, err)
				return
			}
			if it.cut {
				return
			}
		}
		if n := len(p.blocks); n > 0 {
			it.complete = int(p.blocks[n-1].offset+p.blocks[n-1].length) < len(p.source)
		}
		if err := it.endHere(); err != nil {
			yield(Op{}, err)
		}
	}
}

package nc

import (
	"cmp"
	"fmt"
	"iter"
	"math"
	"slices"
)

// BuildError is an operation or option that cannot be written.
type BuildError struct {
	Index  int // which operation, from 0; -1 for the options or the tool table
	Op     Op
	Detail string
	Err    error // one of the sentinels
}

// Error renders the cause with the operation it is about.
func (e *BuildError) Error() string {
	if e.Index < 0 {
		return fmt.Sprintf("%v: %s", e.Err, e.Detail)
	}
	return fmt.Sprintf("%v: operation %d, %v: %s", e.Err, e.Index, e.Op, e.Detail)
}

// Unwrap returns the sentinel.
func (e *BuildError) Unwrap() error { return e.Err }

// inOrder returns the tool table in an order.
func inOrder(tools []ToolDef, o TableOrder) []ToolDef {
	out := slices.Clone(tools)
	switch o {
	case TableByNumber:
		slices.SortFunc(out, func(a, b ToolDef) int { return cmp.Compare(a.Number, b.Number) })
	case TableByDiameter:
		slices.SortFunc(out, func(a, b ToolDef) int {
			return cmp.Or(cmp.Compare(math.Round(a.Diameter*1e6), math.Round(b.Diameter*1e6)), cmp.Compare(a.Number, b.Number))
		})
	}
	return out
}

// Build writes operations as a program in the one dialect of the options:
// format 2, absolute unless asked otherwise, both coordinates in every block, G05 before hits, every
// rout path entered by G00 and M15 and left by M16. Points are rounded to the
// last digit written, so none moves by more than half of it; arcs are written
// with A in blocks of at most a quarter turn, and one that rounds to nothing
// vanishes. Lines that round to nothing vanish as well. Where places had to be
// rounded a Note of rule "rounded" tells how many and how far; where repeats were
// asked for and none were found there is one of rule "no-pattern".
//
// It refuses, as a [*BuildError]: what has no tool or a tool outside the
// table, a move that does not start where the last one ended, a rapid move,
// change or end with the tool down, unknown words, text with line ends, tools
// of which some have feed and speed and some have not, numbers that are not
// finite or beyond 10 m. Op.Line and Op.Tool of other kinds than OpTool are not
// looked at. Cost: O(operations).
func Build(ops iter.Seq[Op], tools []ToolDef, o WriteOptions) (*Program, error) {
	w, err := newWriter(tools, o)
	if err != nil {
		return nil, err
	}
	tools = inOrder(tools, o.Table)
	w.head(tools)
	index := 0
	for op := range ops {
		if detail, err := w.op(&op); err != nil {
			return nil, &BuildError{Index: index, Op: op, Detail: detail, Err: err}
		}
		index++
		if len(w.buf) > math.MaxUint32/2 {
			return nil, &BuildError{Index: index, Op: op, Detail: "the text grows beyond 2 GiB", Err: ErrLimit}
		}
	}
	if w.down {
		return nil, &BuildError{Index: -1, Detail: "the program would end with the tool down", Err: ErrWrite}
	}
	w.flushHits()
	w.line(w.o.End)
	p := &Program{
		Tools: append([]ToolDef(nil), tools...),
		Units: w.o.Units, UnitsHow: Stated,
		Zeros: w.o.Zeros, ZerosHow: Stated,
		Digits: w.o.Digits, DigitsHow: Stated,
		source: w.buf, blocks: w.blocks,
	}
	if w.o.Zeros == DecimalPoint {
		p.Digits, p.DigitsHow = Digits{}, HowUnknown
	}
	if w.rounded > 0 {
		p.Notes = []Note{{Rule: "rounded", Count: w.rounded, Detail: fmt.Sprintf("places rounded to the last digit, a coordinate by up to %.6f mm", millimetres(w.worst))}}
	}
	if (w.o.Rows || w.o.Patterns) && w.repeated == 0 {
		p.Notes = append(p.Notes, Note{Rule: "no-pattern", Count: 1, Detail: "no rows and no patterns were found in the order of the hits: each is written by itself"})
	}
	for i := range p.Tools {
		p.Tools[i].Line = w.toolLines[i]
		if !w.feeds { // the text has none
			p.Tools[i].Feed, p.Tools[i].Speed, p.Tools[i].Retract = 0, 0, 0
		}
	}
	p.FeedUnit = w.o.FeedUnit
	p.form = form{feedUnit: w.o.FeedUnit, units: p.Units, unitsHow: Stated, zeros: p.Zeros, zerosHow: Stated, digits: p.Digits, digitsHow: p.DigitsHow}
	return p, nil
}

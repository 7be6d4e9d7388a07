package nc

import (
	"fmt"
	"iter"
	"slices"
)

// Split writes operations as programs of at most maxBytes each, cut at tool
// changes: a control that holds little text, or a long job that is to be
// carried on after a change. Each program is complete, with the whole tool
// table, and selects its tool; what stands before the first change goes into
// the first. Errors are those of [Build], their Index counted over all
// operations, and a [*BuildError] wrapping [ErrLimit] when the work of one tool
// alone is longer. Without operations there is one empty program.
func Split(ops iter.Seq[Op], tools []ToolDef, o WriteOptions, maxBytes int) ([]*Program, error) {
	empty, err := Build(slices.Values([]Op(nil)), tools, o)
	if err != nil {
		return nil, err
	}
	frame := len(empty.source)
	var programs []*Program
	var part, run []Op // operations of the program in the making, and since the last change
	size, first, index := frame, 0, 0
	build := func(ops []Op, first int) (*Program, error) {
		p, err := Build(slices.Values(ops), tools, o)
		if be, ok := err.(*BuildError); ok && be.Index >= 0 {
			be.Index += first
		}
		return p, err
	}
	endRun := func() error {
		if len(run) == 0 {
			return nil
		}
		// Alone a run is no shorter than behind others: modes are said again.
		p, err := build(run, index-len(run))
		if err != nil {
			return err
		}
		length := len(p.source) - frame
		if frame+length > maxBytes {
			return &BuildError{Index: index - len(run), Op: run[0], Err: ErrLimit,
				Detail: fmt.Sprintf("the work up to the next change takes %d bytes, at most %d are allowed", frame+length, maxBytes)}
		}
		if size+length > maxBytes {
			p, err := build(part, first)
			if err != nil {
				return err
			}
			programs = append(programs, p)
			first, size, part = index-len(run), frame, part[:0]
		}
		part = append(part, run...)
		size += length
		run = run[:0]
		return nil
	}
	changed := false
	for op := range ops {
		if op.Kind == OpTool && changed {
			if err := endRun(); err != nil {
				return nil, err
			}
		}
		changed = changed || op.Kind == OpTool
		run = append(run, op)
		index++
	}
	if err := endRun(); err != nil {
		return nil, err
	}
	if len(part) == 0 {
		return []*Program{empty}, nil
	}
	p, err := build(part, first)
	if err != nil {
		return nil, err
	}
	return append(programs, p), nil
}

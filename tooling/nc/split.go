package nc

import (
	"fmt"
	"iter"
	"slices"
)

// Split writes operations as programs of at most maxBytes each, cut at tool
// changes: a control that holds little text, or a long job that is to be
// carried on after a change. Each program is complete: the whole tool table, a
// header line with its number, from the second on the message o.Continued, and
// the selection of its tool with the comments before it. What stands before the
// first change goes into the first. Errors are those of [Build], their Index
// counted over all operations, and a [*BuildError] wrapping [ErrLimit] when the
// work of one tool alone is longer. What is no longer than maxBytes as a whole
// is one program, as Build writes it.
func Split(ops iter.Seq[Op], tools []ToolDef, o WriteOptions, maxBytes int) ([]*Program, error) {
	s := splitter{tools: tools, o: o, most: maxBytes}
	all := slices.Collect(ops)
	whole, err := Build(slices.Values(all), tools, o)
	if err != nil {
		return nil, err
	}
	if len(whole.source) <= maxBytes {
		return []*Program{whole}, nil
	}
	empty, err := s.build(nil, 0, 1)
	if err != nil {
		return nil, err
	}
	s.frame = len(empty.source)
	if o.Continued != "" {
		s.frame += len("M47,\r\n") + len(o.Continued)
	}
	s.size = s.frame
	changed := false
	for _, op := range all {
		if op.Kind == OpTool && changed {
			lead := len(s.run) // the comments right before a change go with it
			for lead > 0 && s.run[lead-1].Kind == OpComment {
				lead--
			}
			comments := slices.Clone(s.run[lead:])
			s.run = s.run[:lead]
			s.index -= len(comments)
			if err := s.endRun(); err != nil {
				return nil, err
			}
			s.run = append(s.run, comments...)
			s.index += len(comments)
		}
		changed = changed || op.Kind == OpTool
		s.run = append(s.run, op)
		s.index++
	}
	if err := s.endRun(); err != nil {
		return nil, err
	}
	if err := s.endPart(); err != nil {
		return nil, err
	}
	return s.programs, nil
}

// splitter collects operations into programs.
type splitter struct {
	tools     []ToolDef
	o         WriteOptions
	most      int // bytes of a program
	frame     int // bytes of one without work
	programs  []*Program
	part, run []Op // operations of the program in the making, and since the last change
	size      int  // bytes of part
	first     int  // index of its first operation
	index     int  // operations taken
}

// build writes one program; first is the index of its first operation.
func (s *splitter) build(ops []Op, first, number int) (*Program, error) {
	o := s.o
	o.Header = append(slices.Clone(o.Header), fmt.Sprintf("part %03d", number))
	if number > 1 && o.Continued != "" {
		ops = append([]Op{{Kind: OpMessage, Text: o.Continued}}, ops...)
		first--
	}
	p, err := Build(slices.Values(ops), s.tools, o)
	if be, ok := err.(*BuildError); ok && be.Index >= 0 {
		be.Index += first
	}
	return p, err
}

// endRun puts the work since the last change into the program in the making,
// or into a new one. Alone a run is no shorter than behind others: modes are
// said again.
func (s *splitter) endRun() error {
	if len(s.run) == 0 {
		return nil
	}
	p, err := s.build(s.run, s.index-len(s.run), 1)
	if err != nil {
		return err
	}
	whole := len(p.source)
	if s.o.Continued != "" {
		whole += len("M47,\r\n") + len(s.o.Continued)
	}
	if whole > s.most {
		return &BuildError{Index: s.index - len(s.run), Op: s.run[0], Err: ErrLimit,
			Detail: fmt.Sprintf("the work up to the next change takes %d bytes, at most %d are allowed", whole, s.most)}
	}
	if length := whole - s.frame; s.size+length > s.most && len(s.part) > 0 {
		if err := s.endPart(); err != nil {
			return err
		}
		s.size = s.frame + length
	} else {
		s.size += length
	}
	s.part = append(s.part, s.run...)
	s.run = s.run[:0]
	return nil
}

// endPart writes the program in the making.
func (s *splitter) endPart() error {
	p, err := s.build(s.part, s.first, len(s.programs)+1)
	if err != nil {
		return err
	}
	s.programs = append(s.programs, p)
	s.first += len(s.part)
	s.part = s.part[:0]
	return nil
}

package drill

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Read turns a drill program into holes, in the order of the file, with what
// is worth telling about it. Canned slots and single straight rout moves with
// the tool down become slots; nothing is dropped: a duplicate hit is two
// holes until [Distinct] has looked at them.
//
// Findings: tools without a hit, two tools alike, zero-length slots (taken as
// hits), words kept without being understood. Errors are [*ReadError] with file, line and
// tool: a missing or contradictory marking, sizes not stated, blind spans,
// routed paths of more than one straight move (they belong to package route),
// unknown words that could make holes or motion unless waived by name; or the
// program's own syntax errors. Cost O(operations).
func Read(p *nc.Program, file string, m Marking) ([]Hole, tooling.Report, error) {
	if err := span(file, p.Attributes); err != nil {
		return nil, nil, err
	}
	if err := refused(p, file); err != nil {
		return nil, nil, err
	}
	r := reader{file: file, marking: m, tools: p.Tools, nature: map[int]nature{}, hits: map[int]int{}, slots: map[int]bool{}}
	for op, err := range p.Ops() {
		if err == nil {
			err = r.take(op)
		}
		if err != nil {
			return nil, nil, err
		}
	}
	if err := r.endCut(); err != nil {
		return nil, nil, err
	}
	r.notes(p)
	return r.holes, r.report, nil
}

// refusals are the notes of the reader that a drill file may not have: what
// they tell of would lose a hole or guess at one.
var refusals = []struct {
	rule     string
	err      error
	expected string
}{
	{"marking-contradiction", ErrMarking, "one marking of a tool"},
	{"blind-span", ErrSpan, "through holes"},
	{"plunge-only", ErrRoutPath, "a hole written as a hit"},
	{"compensated", ErrRoutPath, "slots on their centre line, without compensation"},
	{"rapid-down", ErrRoutPath, "rapid moves with the tool up"},
	{"feed-move-up", ErrRoutPath, "cuts with the tool down"},
	{"down-in-drill", ErrRoutPath, "hits with the tool up before"},
	{"change-down", ErrRoutPath, "tool changes with the tool up"},
	{"stop-down", ErrRoutPath, "stops with the tool up"},
	{"end-down", ErrRoutPath, "an end with the tool up"},
}

// refused looks through the reader's notes for one of the refusals.
func refused(p *nc.Program, file string) error {
	for _, n := range p.Notes {
		for _, r := range refusals {
			if n.Rule == r.rule {
				return &ReadError{
					Source: tooling.Source{File: file, Line: n.Line, Column: n.Column, Tool: tool(n.Tool)}, Err: r.err,
					Found: n.Detail, Expected: r.expected,
				}
			}
		}
	}
	return nil
}

type reader struct {
	file    string
	marking Marking
	tools   []nc.ToolDef
	nature  map[int]nature // by tool number, once resolved
	hits    map[int]int    // by tool number
	slots   map[int]bool   // by tool number: some of them are slots
	holes   []Hole
	report  tooling.Report
	cut     []nc.Op // rout moves since the tool went down
}

func (r *reader) take(op nc.Op) error {
	switch op.Kind {
	case nc.OpHit:
		return r.add(op, op.To, op.To)
	case nc.OpSlot:
		if op.From == op.To {
			r.report.Add(tooling.Finding{
				Rule: "slot-of-no-length", OK: true, Tool: tool(op.Tool), Source: r.source(op), Detail: "a slot without length is taken as a hit", Places: []orb.Point{op.To},
			})
		}
		return r.add(op, op.From, op.To)
	case nc.OpCircle:
		return r.circle(op)
	case nc.OpLine, nc.OpArc:
		r.cut = append(r.cut, op)
	case nc.OpRetract, nc.OpTool, nc.OpEnd:
		return r.endCut()
	case nc.OpUnknown:
		if op.Motion && !slices.Contains(r.marking.Waived, op.Text) {
			return &ReadError{Source: r.source(op), Err: ErrWord, Found: fmt.Sprintf("%q", op.Text), Expected: "a word that is understood, or a waiver by name"}
		}
	}
	return nil
}

// circle is a canned circle: a round hole of its diameter.
func (r *reader) circle(op nc.Op) error {
	if err := r.add(op, op.To, op.To); err != nil {
		return err
	}
	r.holes[len(r.holes)-1].Size.Diameter = tooling.Snap(op.Diameter)
	return nil
}

// endCut takes the rout moves since the tool went down: one straight move is
// a slot, anything else is a path that this package must not guess about.
func (r *reader) endCut() error {
	cut := r.cut
	r.cut = nil
	switch {
	case len(cut) == 0:
		return nil
	case len(cut) == 1 && cut[0].Kind == nc.OpLine:
		return r.add(cut[0], cut[0].From, cut[0].To)
	}
	return &ReadError{
		Source: r.source(cut[0]), Err: ErrRoutPath, Found: fmt.Sprintf("a path of %d moves", len(cut)),
		Expected: "hits, slots and single straight cuts; outlines and cut-outs in a file of their own",
	}
}

func (r *reader) add(op nc.Op, from, to orb.Point) error {
	n, ok := r.nature[op.Tool]
	if !ok {
		var err error
		if n, err = r.marking.resolve(r.file, r.define(op)); err != nil {
			return err
		}
		r.nature[op.Tool] = n
	}
	for _, p := range [2]orb.Point{from, to} {
		if !tooling.InRange(p[0]) || !tooling.InRange(p[1]) {
			return &ReadError{Source: r.source(op), Err: ErrCoord, Found: fmt.Sprintf("X%g Y%g mm", p[0], p[1]), Expected: "coordinates within 10 m"}
		}
	}
	r.hits[op.Tool]++
	r.slots[op.Tool] = r.slots[op.Tool] || from != to
	r.holes = append(r.holes, Hole{
		At: tooling.SnapPoint(from), To: tooling.SnapPoint(to), Size: n.size, Tented: n.tented, Half: n.half, Position: n.position, Source: r.source(op),
	})
	return nil
}

func (r *reader) define(op nc.Op) nc.ToolDef {
	for _, t := range r.tools {
		if t.Number == op.Tool {
			return t
		}
	}
	return nc.ToolDef{Number: op.Tool, Line: op.Line}
}

func (r *reader) source(op nc.Op) tooling.Source {
	return tooling.Source{File: r.file, Line: op.Line, Tool: tool(op.Tool)}
}

func (r *reader) notes(p *nc.Program) {
	type work struct {
		nature
		slots bool
	}
	alike := map[work]int{} // first tool of a kind of work
	for _, t := range r.tools {
		if n, ok := r.nature[t.Number]; ok {
			w := work{n, r.slots[t.Number]}
			if first, ok := alike[w]; ok {
				r.report.Add(tooling.Finding{
					Rule: "tools-alike", OK: true, Tool: tool(t.Number), Detail: fmt.Sprintf("the same holes of %.3f mm as %s: one run makes both", t.Diameter, tool(first)),
					Source: tooling.Source{File: r.file, Line: t.Line, Tool: tool(t.Number)},
				})
			} else {
				alike[w] = t.Number
			}
		}
		if r.hits[t.Number] == 0 {
			r.report.Add(tooling.Finding{
				Rule: "tool-without-hits", OK: true, Tool: tool(t.Number), Detail: fmt.Sprintf("tool of %.3f mm makes no hole", t.Diameter),
				Source: tooling.Source{File: r.file, Line: t.Line, Tool: tool(t.Number)},
			})
		}
	}
	for _, n := range p.Notes {
		f := tooling.Finding{
			Rule: "file-" + n.Rule, OK: true, Detail: n.Detail, Count: n.Count,
			Source: tooling.Source{File: r.file, Line: n.Line, Column: n.Column},
		}
		if n.Tool != 0 {
			f.Tool = tool(n.Tool)
		}
		r.report.Add(f)
	}
}

func tool(number int) string { return fmt.Sprintf("T%d", number) }

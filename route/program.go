package route

import (
	"fmt"
	"iter"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/nc"
)

// Program returns the IPC-NC-349 program of a mounted pass. The
// header says the pass and its set-up, then the lines of o.Header; every
// run carries its depth into the backup and its height above the table as a
// comment, and each tool its Z: the tip below the backup's upper face, negative
// downwards. Compensation is the plan's: the program is written with G40
// throughout.
//
// The error is [ErrUnmounted], or the writer's.
func (p Pass) Program(o nc.WriteOptions) (*nc.Program, error) {
	if !p.Mounted() {
		return nil, ErrUnmounted
	}
	o.Header = append([]string{
		fmt.Sprintf("pass %s, %s, set-up %d, stack of %d", p.Name, p.Stage, p.SetUp.Number, p.SetUp.Height),
		"Z is the tip against the upper face of the backup, negative into it",
	}, o.Header...)
	o.Header = append(o.Header, p.restLines()...)
	for _, change := range []string{p.Fit.String(), p.Frame.String()} {
		if change != "" {
			o.Header = append(o.Header, change)
		}
	}
	var tools []nc.ToolDef
	for _, r := range p.Runs {
		for _, c := range r.Cutters {
			tools = append(tools, nc.ToolDef{
				Number: c.Place, Diameter: r.Tool.Diameter, Feed: r.Feed.Infeed, Speed: r.Feed.Speed, Retract: r.Feed.Retract,
				Z: -r.Depth.IntoBackup, HasZ: true,
			})
		}
	}
	return nc.Build(p.written(p.ops()), tools, o)
}

func (p Pass) ops() iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		if !yield(nc.Op{Kind: nc.OpMessage, Text: p.opening()}) {
			return
		}
		at := orb.Point{}
		for _, r := range p.Runs {
			for k, c := range r.Cutters {
				note := fmt.Sprintf("run %d cutter %d of %d: %.3f mm, %.3f mm into the backup, %.3f mm above the table, %d paths, %.3f mm",
					r.Number, k+1, len(r.Cutters), r.Tool.Diameter, r.Depth.IntoBackup, r.Depth.AboveTable, c.Paths, c.Cut)
				if !yield(nc.Op{Kind: nc.OpComment, Text: note}) || !yield(nc.Op{Kind: nc.OpTool, Tool: c.Place}) {
					return
				}
				if !yield(nc.Op{Kind: nc.OpCompensation, Tool: c.Place, From: at, To: at, Text: "G40"}) {
					return
				}
				for n, path := range r.Paths[c.First : c.First+c.Paths] {
					if r.Again > 0 && c.First+n == 0 && !yield(nc.Op{Kind: nc.OpMessage, Tool: c.Place, From: at, To: at, Text: p.parkText()}) {
						return
					}
					for op := range path.ops(at, c.Place) {
						if !yield(op) {
							return
						}
						at = op.To
					}
					if c.First+n == r.Again-1 && !yield(nc.Op{Kind: nc.OpMessage, Tool: c.Place, From: at, To: at, Text: allText}) {
						return
					}
				}
				for _, v := range c.Home {
					if !yield(nc.Op{Kind: nc.OpRapid, Tool: c.Place, From: at, To: v}) {
						return
					}
					at = v
				}
			}
		}
		yield(nc.Op{Kind: nc.OpEnd})
	}
}

// opening is the message with which the control stops before the first tool:
// what must lie on the table and stand in the magazine.
func (p Pass) opening() string {
	first, last := 0, 0
	for _, r := range p.Runs {
		for _, c := range r.Cutters {
			if first == 0 {
				first = c.Place
			}
			last = c.Place
		}
	}
	names := fmt.Sprintf("cutters T%d to T%d", first, last)
	if first == last {
		names = fmt.Sprintf("cutter T%d", first)
	}
	return fmt.Sprintf("set-up %d %s, stack of %d, entry and backup on, %s", p.SetUp.Number, p.Name, p.SetUp.Height, names)
}

// ops yields the rapids, plunge, cuts and retract of one path.
func (p Path) ops(at orb.Point, tool int) iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		put := func(op nc.Op, to orb.Point) bool {
			op.Tool, op.From, op.To = tool, at, to
			at = to
			return yield(op)
		}
		for _, v := range p.Via {
			if !put(nc.Op{Kind: nc.OpRapid}, v) {
				return
			}
		}
		if !put(nc.Op{Kind: nc.OpRapid}, p.Line.Start) || !put(nc.Op{Kind: nc.OpPlunge}, p.Line.Start) {
			return
		}
		for _, m := range p.Line.Moves {
			op := nc.Op{Kind: nc.OpLine}
			if m.Turn != 0 {
				op = nc.Op{Kind: nc.OpArc, Center: m.Center, Clockwise: m.Turn < 0}
			}
			if !put(op, m.To) {
				return
			}
		}
		put(nc.Op{Kind: nc.OpRetract}, at)
	}
}

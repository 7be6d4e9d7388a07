package route

import (
	"fmt"
	"iter"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Program returns the IPC-NC-349 program of a mounted pass. The header says the
// pass and its set-up, then the lines of o.Header and the cautions
// ([tooling.WithCautions]); every run carries its depth into the backup and its
// height above the table as a comment, and each tool its Z: the tip below the
// backup's upper face, negative downwards. Compensation is the plan's: the program is written with G40
// throughout, unless o.Compensated asks for the boards' edges under G41 or G42;
// then every tool is selected with the index of its number (T0101), and header
// and opening message say what the control's table has to hold. With o.NoFeeds
// the opening message says that feeds and speeds are to be set at the control.
// o.MaxBytes is not looked at, see [Pass.Programs]. What was asked for has to be
// said to [CheckAs] too.
//
// The error is [ErrUnmounted], a [*CompensationError] naming the path that has
// no edge to write, or the writer's.
func (p Pass) Program(o nc.WriteOptions) (*nc.Program, error) {
	o.MaxBytes = 0
	all, err := p.Programs(o)
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// Programs is [Pass.Program] cut at tool changes into programs of at most
// o.MaxBytes each, see [nc.Split]; every one but the first opens with a message
// that the stack stays as it is. With MaxBytes 0 there is one.
func (p Pass) Programs(o nc.WriteOptions) ([]*nc.Program, error) {
	if !p.Mounted() {
		return nil, ErrUnmounted
	}
	o.Header = tooling.WithCautions(o.Header)
	var edges map[*Path]contour.Contour
	if o.Compensated {
		var err error
		if edges, err = p.compensated(); err != nil {
			return nil, err
		}
		o.Index = true
		for _, index := range p.indices() {
			o.Header = append(o.Header[:len(o.Header):len(o.Header)], "compensation "+index)
		}
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
	if o.MaxBytes > 0 {
		o.Continued = p.continuing()
		return nc.Split(p.written(p.ops(o, edges)), tools, o, o.MaxBytes)
	}
	one, err := nc.Build(p.written(p.ops(o, edges)), tools, o)
	if err != nil {
		return nil, err
	}
	return []*nc.Program{one}, nil
}

// ops yields the pass as it is written; edges are those of the paths that the
// control compensates.
func (p Pass) ops(o nc.WriteOptions, edges map[*Path]contour.Contour) iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		if !yield(nc.Op{Kind: nc.OpMessage, Text: p.opening(o)}) {
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
				for n := range c.Paths {
					path := &r.Paths[c.First+n]
					moves := path.ops(at, c.Place)
					if edge, ok := edges[path]; ok {
						moves = path.compensatedOps(edge, p.compensation(), at, c.Place)
					}
					if r.Again > 0 && c.First+n == 0 && !yield(nc.Op{Kind: nc.OpMessage, Tool: c.Place, From: at, To: at, Text: tooling.ParkAllBut(p.alone())}) {
						return
					}
					for op := range moves {
						if !yield(op) {
							return
						}
						at = op.To
					}
					if path.Frees > 0 && !yield(nc.Op{Kind: nc.OpMessage, Tool: c.Place, From: at, To: at, Text: tooling.TakeOutWaste}) {
						return
					}
					if c.First+n == r.Again-1 && !yield(nc.Op{Kind: nc.OpMessage, Tool: c.Place, From: at, To: at, Text: tooling.AllSpindles}) {
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
func (p Pass) opening(o nc.WriteOptions) string {
	var places []int
	for _, r := range p.Runs {
		for _, c := range r.Cutters {
			places = append(places, c.Place)
		}
	}
	s := ""
	if p.Rest != nil {
		s = "rest after a stop, "
	}
	s += fmt.Sprintf("set-up %d %s, stack of %d, entry and backup on, %s", p.SetUp.Number, p.Name, p.SetUp.Height, tooling.Numbers("cutter", "T", places))
	if o.Compensated {
		s += ", compensation " + strings.Join(p.indices(), ", ")
	}
	if o.NoFeeds {
		s += ", " + tooling.NoFeedsText
	}
	return s
}

// continuing is the message of a program that carries a split pass on.
func (p Pass) continuing() string {
	return fmt.Sprintf("set-up %d %s carried on, the same stack stays pinned", p.SetUp.Number, p.Name)
}

// approach puts the rapids to where the tool goes down.
func (p Path) approach(put func(nc.Op, orb.Point) bool, to orb.Point) bool {
	for _, v := range p.Via {
		if !put(nc.Op{Kind: nc.OpRapid}, v) {
			return false
		}
	}
	return put(nc.Op{Kind: nc.OpRapid}, to)
}

// ops yields the rapids, plunge, cuts and retract of one path.
func (p Path) ops(at orb.Point, tool int) iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		put := func(op nc.Op, to orb.Point) bool {
			op.Tool, op.From, op.To = tool, at, to
			at = to
			return yield(op)
		}
		if !p.approach(put, p.Line.Start) || !put(nc.Op{Kind: nc.OpPlunge}, p.Line.Start) {
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

package drill

import (
	"fmt"
	"iter"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/nc"
)

// Program returns the IPC-NC-349 program of a mounted pass. The header says the
// pass and its set-up, then the lines of o.Header; every run carries its depth
// into the backup and its height above the table as a comment, and each tool
// its Z: the tip below the backup's upper face, negative downwards. Slots are
// written as their hits. A fit or frame of the pass moves the coordinates, and
// the header says how.
//
// The error is [ErrUnmounted], or the writer's.
func (p Pass) Program(o nc.WriteOptions) (*nc.Program, error) {
	if !p.Mounted() {
		return nil, ErrUnmounted
	}
	o.Header = append([]string{
		fmt.Sprintf("pass %s, %s, set-up %d%s, stack of %d", p.Name, p.Stage, p.SetUp.Number, p.tierText(), p.SetUp.Height),
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
		for _, b := range r.selected() {
			tools = append(tools, nc.ToolDef{
				Number: b.Place, Diameter: r.Tool.Diameter, Feed: r.Feed.Infeed, Speed: r.Feed.Speed, Retract: r.Feed.Retract,
				Z: -r.Depth.IntoBackup, HasZ: true, HitLimit: r.Limit,
			})
		}
	}
	return nc.Build(p.ops(), tools, o)
}

func (p Pass) ops() iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		if !yield(nc.Op{Kind: nc.OpMessage, Text: p.opening()}) {
			return
		}
		for _, r := range p.Runs {
			bits := r.selected()
			for k, b := range bits {
				note := fmt.Sprintf("run %d bit %d of %d: %s %.3f mm, %.3f mm into the backup, %.3f mm above the table, %s",
					r.Number, k+1, len(bits), r.Tool.Kind, r.Tool.Diameter, r.Depth.IntoBackup, r.Depth.AboveTable, count(b.Hits, "hit"))
				if r.Limit > 0 {
					note += p.sparesText(r)
				}
				if !yield(nc.Op{Kind: nc.OpComment, Text: note}) || !yield(nc.Op{Kind: nc.OpTool, Tool: b.Place}) {
					return
				}
				at := orb.Point{}
				for k, h := range r.Hits[b.First : b.First+b.Hits] {
					if r.Again > 0 && b.First+k == 0 && !yield(nc.Op{Kind: nc.OpMessage, Text: p.parkText()}) {
						return
					}
					to := p.written(h.At)
					if !yield(nc.Op{Kind: nc.OpHit, Tool: b.Place, From: at, To: to}) {
						return
					}
					at = to
					if b.First+k == r.Again-1 && !yield(nc.Op{Kind: nc.OpMessage, Text: allText}) {
						return
					}
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
		for _, b := range r.Bits {
			if first == 0 {
				first = b.Place
			}
			last = b.Place
		}
		if places := p.places(r); r.Limit > 0 && len(r.Bits) > 0 {
			last = places[len(places)-1]
		}
	}
	names := fmt.Sprintf("tools T%d to T%d", first, last)
	if first == last {
		names = fmt.Sprintf("tool T%d", first)
	}
	return fmt.Sprintf("set-up %d %s%s, stack of %d, entry and backup on, %s", p.SetUp.Number, p.Name, p.tierText(), p.SetUp.Height, names)
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

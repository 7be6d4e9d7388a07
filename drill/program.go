package drill

import (
	"fmt"
	"iter"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Program returns the IPC-NC-349 program of a mounted pass. The header says the
// pass and its set-up, then the lines of o.Header and the cautions
// ([tooling.WithCautions]); every run carries its depth into the backup and its
// height above the table as a comment, and each tool its Z: the tip below the
// backup's upper face, negative downwards. A fit or frame of the pass moves the
// coordinates, and the header says how.
//
// Slots are written as their hits; with o.Slots as canned slots, whose hits and
// time are then the control's own, or as rout moves, for bits that cut sideways.
// With o.NoFeeds the opening message says that feeds and speeds are to be set at
// the control. o.MaxBytes is not looked at, see [Pass.Programs]. What was asked
// for has to be said to [CheckAs] too.
//
// The error is [ErrUnmounted], or the writer's.
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
	if o.MaxBytes > 0 {
		o.Continued = p.continuing()
		return nc.Split(p.ops(o), tools, o, o.MaxBytes)
	}
	one, err := nc.Build(p.ops(o), tools, o)
	if err != nil {
		return nil, err
	}
	return []*nc.Program{one}, nil
}

func (p Pass) ops(o nc.WriteOptions) iter.Seq[nc.Op] {
	return func(yield func(nc.Op) bool) {
		if !yield(nc.Op{Kind: nc.OpMessage, Text: p.opening(o)}) {
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
				hits := r.Hits[b.First : b.First+b.Hits]
				for k := 0; k < len(hits); k++ {
					if r.Again > 0 && b.First+k == 0 && !yield(nc.Op{Kind: nc.OpMessage, Text: tooling.ParkAllBut(p.alone())}) {
						return
					}
					op := nc.Op{Kind: nc.OpHit, Tool: b.Place, From: at, To: p.written(hits[k].At)}
					if n, far := slotFrom(hits[k:]); n > 1 && o.Slots != nc.SlotAsPlanned {
						op = nc.Op{Kind: nc.OpSlot, Tool: b.Place, From: p.written(hits[k].At), To: p.written(far)}
						k += n - 1
					}
					if !yield(op) {
						return
					}
					at = op.To
					if b.First+k == r.Again-1 && !yield(nc.Op{Kind: nc.OpMessage, Text: tooling.AllSpindles}) {
						return
					}
				}
			}
		}
		yield(nc.Op{Kind: nc.OpEnd})
	}
}

// slotFrom tells how many of the hits from the first on nibble one slot, and
// where its far end is; 1 for a hit that is none.
func slotFrom(hits []Hit) (n int, far orb.Point) {
	first := hits[0]
	if first.Kind != Nibbled {
		return 1, first.At
	}
	longest := -1.0
	for n < len(hits) && hits[n].Hole == first.Hole && (n == 0 || hits[n-1].Kind == Nibbled) {
		if l := toSegment(hits[n].At, first.At, first.At); l > longest {
			longest, far = l, hits[n].At
		}
		n++
	}
	return n, far
}

// opening is the message with which the control stops before the first tool:
// what must lie on the table and stand in the magazine.
func (p Pass) opening(o nc.WriteOptions) string {
	var places []int
	for _, r := range p.Runs {
		places = append(places, p.places(r)...)
	}
	s := ""
	if p.Rest != nil {
		s = "rest after a stop, "
	}
	s += fmt.Sprintf("set-up %d %s%s, stack of %d, entry and backup on, %s", p.SetUp.Number, p.Name, p.tierText(), p.SetUp.Height, tooling.Numbers("tool", "T", places))
	if o.NoFeeds {
		s += ", " + tooling.NoFeedsText
	}
	return s
}

// continuing is the message of a program that carries a split pass on.
func (p Pass) continuing() string {
	return fmt.Sprintf("set-up %d %s%s carried on, the same stack stays pinned", p.SetUp.Number, p.Name, p.tierText())
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

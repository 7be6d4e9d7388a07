package drill

import (
	"context"
	"slices"

	"github.com/paulmach/orb"
)

// pieces are hits to be ordered: those of slots cut by the stop keep their
// order and place, first or last; everything else may be visited freely.
type pieces struct {
	head, tail []Hit
	items      []item
}

// start is where the tail begins; nil without one: the way may end anywhere.
func (s pieces) start() *orb.Point {
	if len(s.tail) == 0 {
		return nil
	}
	return &s.tail[0].At
}

// pieces divides the hits [from, to) of a run, those of holes left out apart.
// A slot of which all hits are there is one item. One that was cut keeps the
// order of its hits: begun before, it is finished first; to be finished later,
// it comes last.
func (j *resumer) pieces(r Run, from, to int) pieces {
	var out pieces
	for a := 0; a < len(r.Hits); {
		b := a + 1
		for b < len(r.Hits) && r.Hits[b-1].Kind == Nibbled && r.Hits[b].Hole == r.Hits[a].Hole {
			b++
		}
		lo, hi := max(a, from), min(b, to)
		hole := r.Hits[a].Hole
		switch {
		case lo >= hi || j.gone[hole] != "":
		case lo == a && hi == b && j.whole(r, r.Hits[a:b]):
			out.items = append(out.items, j.item(r, r.Hits[a:b]))
		case hi < b:
			out.tail = append(out.tail, r.Hits[lo:hi]...)
		default:
			out.head = append(out.head, r.Hits[lo:hi]...)
		}
		a = b
	}
	slices.SortFunc(out.items, compareItems)
	return out
}

// whole tells whether hits are a single hit or all those of a slot.
func (j *resumer) whole(r Run, hits []Hit) bool {
	if len(hits) == 1 {
		return hits[0].Kind != Nibbled
	}
	h := j.in.Holes[hits[0].Hole]
	return len(hits) == len(Nibble(snapMicro(h.At), snapMicro(h.To), r.Tool.Diameter, j.in.Rules.Bump))
}

func (j *resumer) item(r Run, hits []Hit) item {
	h := j.in.Holes[hits[0].Hole]
	it := item{tool: r.Tool, hole: hits[0].Hole, kind: hits[len(hits)-1].Kind, slow: r.Slow, from: hits[0].At, to: hits[0].At, size: h.Size}
	if len(hits) > 1 {
		it.slot, it.from, it.to = true, snapMicro(h.At), snapMicro(h.To)
	}
	return it
}

// order returns the hits in the order they are made on the way from start to
// end; nil: to wherever is best.
func (j *resumer) order(ctx context.Context, s pieces, start orb.Point, end *orb.Point) ([]Hit, error) {
	out := slices.Clone(s.head)
	if len(out) > 0 {
		start = out[len(out)-1].At
	}
	if len(s.items) > 0 {
		got, err := j.in.visitBetween(ctx, s.items, start, end, j.o)
		if err != nil {
			return nil, err
		}
		for _, v := range got.order {
			out = j.in.appendHits(out, s.items[v.item], v.flipped)
		}
	}
	return append(out, s.tail...), nil
}

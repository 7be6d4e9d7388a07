package drill

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// pilots is what a check knows of pilot hits: those of large round holes lie
// on the hole, the two of a short slot beyond the ends of its centre line.
type pilots struct {
	c     *checker
	short []int              // short slots of the pass
	found map[int][2][]visit // by hole; a round hole uses the first
}

func (c *checker) newPilots() *pilots {
	p := &pilots{c: c, found: map[int][2][]visit{}}
	for i, h := range c.in.Holes {
		if d := c.bits[i].Diameter; d > 0 && h.IsSlot() && h.Length() < d && h.Stage() == c.pass.Stage {
			p.short = append(p.short, i)
		}
	}
	return p
}

// wanted is how many pilots a hole has to have.
func (p *pilots) wanted(i int) int {
	h, d, from := p.c.in.Holes[i], p.c.bits[i].Diameter, p.c.in.Rules.PilotFrom
	switch {
	case h.IsSlot() && h.Length() < d:
		return 2
	case !h.IsSlot() && from > 0 && d >= from:
		return 1
	}
	return 0
}

// ours tells whether the pilots of a hole are made in this set-up: their bit
// is, see [checker.ours].
func (p *pilots) ours(i int) bool {
	want := p.c.in.Rules.Pilot
	switch p.wanted(i) {
	case 0:
		return true
	case 2:
		want = shortSlotPilot(p.c.in.Holes[i], p.c.bits[i].Diameter)
	}
	bit, ok := p.c.in.pilotBit(want)
	return ok && p.c.ours(bit)
}

// round takes a hit on a round hole as its pilot if the rules want one and the
// bit is smaller than the finishing one.
func (p *pilots) round(i int, v visit) bool {
	if p.wanted(i) != 1 || v.diameter >= p.c.bits[i].Diameter {
		return false
	}
	p.add(i, 0, v)
	return true
}

// take takes a hit as the pilot of a short slot if it lies where its round end
// touches the slot's from within.
func (p *pilots) take(v visit) bool {
	const snap = 0.002 // mm: ends, pilot and hit were each put on a grid
	for _, i := range p.short {
		h, d := p.c.in.Holes[i], p.c.bits[i].Diameter
		if v.diameter >= d {
			continue
		}
		out := (d - v.diameter) / 2 / h.Length() // in lengths of the slot, from an end outwards
		dx, dy := float64((h.To[0]-h.At[0])*out), float64((h.To[1]-h.At[1])*out)
		for end, at := range [2]orb.Point{{h.At[0] - dx, h.At[1] - dy}, {h.To[0] + dx, h.To[1] + dy}} {
			if max(math.Abs(at[0]-v.at[0]), math.Abs(at[1]-v.at[1])) <= p.c.tolerance+snap {
				p.add(i, end, v)
				return true
			}
		}
	}
	return false
}

func (p *pilots) add(i, end int, v visit) {
	got := p.found[i]
	got[end] = append(got[end], v)
	p.found[i] = got
}

// check wants each pilot once, before the hits that finish the hole.
func (p *pilots) check(i int, finish []visit) {
	h := p.c.in.Holes[i]
	name := fmt.Sprintf("%.3f mm", p.c.bits[i].Diameter)
	if !p.ours(i) {
		for end := range 2 {
			if len(p.found[i][end]) > 0 {
				p.c.report.Refuse("wrong-tier", name, "a pilot of another tier", 0, 0, h.At)
			}
		}
		return
	}
	for end := range p.wanted(i) {
		got := p.found[i][end]
		switch {
		case len(got) == 0:
			p.c.report.Refuse("pilot-missing", name, "a large hole or short slot has no pilot", 0, 1, h.At)
			continue
		case len(got) > 1:
			p.c.report.Refuse("hole-doubled", name, "a pilot is made more than once", float64(len(got)), 1, h.At)
		}
		if len(finish) > 0 && finish[0].order < got[len(got)-1].order {
			p.c.report.Refuse("pilot-late", name, "a pilot comes after the finishing hit", 0, 0, h.At)
		}
	}
}

package drill

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// cell is the edge in mm of the grid that finds the holes near a hit.
const cell = 1.0

// visit is a hit that was matched to a hole.
type visit struct {
	order    int // of the hit in the program; below 0: made before a stop
	diameter float64
	at       orb.Point
}

// checkHits matches hits to holes and looks at each hole's visits.
func (c *checker) checkHits() {
	index := c.index()
	visits := make([][]visit, len(c.in.Holes))
	pilots := c.newPilots()
	c.seedDone(index, visits, pilots)
	var stray []int
	for n, h := range c.hits {
		v := visit{n, h.diameter, h.at}
		if i := c.match(index, visits, h); i >= 0 {
			visits[i] = append(visits[i], v)
		} else if !pilots.take(v) {
			stray = append(stray, n)
		}
	}
	before := len(c.report)
	missing := c.checkVisits(visits, pilots)
	c.checkStray(stray, missing)
	if len(c.report) == before {
		c.checkOrder()
	}
}

// checkOrder holds the hits against the planned ones in turn, once every hole
// is known to have its own: what is left is a slot made in another order or
// with its hits elsewhere on its line, and holes in another order.
func (c *checker) checkOrder() {
	n := 0
	for _, r := range c.pass.Runs {
		for _, b := range r.selected() {
			for _, h := range r.Hits[b.First : b.First+b.Hits] {
				if n == len(c.hits) {
					return // hit-count says so
				}
				w := c.hits[n]
				if gap := toSegment(w.at, h.At, h.At); w.tool != b.Place || gap > c.tolerance {
					c.report.Refuse("order-differs", tool(w.tool), "a hit is not the one whose turn it is", gap, c.tolerance, w.at)
					return // all that follow differ too
				}
				n++
			}
		}
	}
}

// index puts every hole into the grid cells its centre line touches.
func (c *checker) index() map[[2]int32][]int32 {
	out := map[[2]int32][]int32{}
	for i, h := range c.in.Holes {
		b := orb.MultiPoint{h.At, h.To}.Bound().Pad(c.tolerance)
		lo, hi := cellOf(b.Min), cellOf(b.Max)
		for x := lo[0]; x <= hi[0]; x++ {
			for y := lo[1]; y <= hi[1]; y++ {
				out[[2]int32{x, y}] = append(out[[2]int32{x, y}], int32(i))
			}
		}
	}
	return out
}

func cellOf(p orb.Point) [2]int32 {
	return [2]int32{int32(math.Floor(p[0] / cell)), int32(math.Floor(p[1] / cell))}
}

// match finds the hole a hit is meant for: on a round hole's centre or a
// slot's centre line, or a pilot within a short slot. Where several are at
// hand, the one with the hit's bit that is not finished yet.
func (c *checker) match(index map[[2]int32][]int32, visits [][]visit, h writtenHit) int {
	best, score := -1, 0
	for _, i32 := range index[cellOf(h.at)] {
		i := int(i32)
		hole := c.in.Holes[i]
		if d := toSegment(h.at, hole.At, hole.To); d > c.tolerance {
			continue
		}
		s := 1
		if tooling.Nanometres(c.bits[i].Diameter) == tooling.Nanometres(h.diameter) {
			s = 2
			if hole.IsSlot() || len(visits[i]) == 0 || visits[i][len(visits[i])-1].diameter != h.diameter {
				s = 3
			}
		}
		if s > score {
			best, score = i, s
		}
	}
	return best
}

// checkVisits judges each hole by its visits and returns those without a
// finishing stroke.
func (c *checker) checkVisits(visits [][]visit, pilots *pilots) (missing []int) {
	for i, h := range c.in.Holes {
		bit := c.bits[i]
		name := fmt.Sprintf("%.3f mm", bit.Diameter)
		switch {
		case bit.Diameter == 0: // routed
			if len(visits[i]) > 0 {
				c.report.Refuse("hit-unknown", "", "a hole that is routed is hit", 0, 0, h.At)
			}
			continue
		case c.leftOut(i):
			c.checkLeftOut(i, visits[i], pilots)
			continue
		case h.Stage() != c.pass.Stage:
			if len(visits[i]) > 0 {
				c.report.Refuse("wrong-stage", name, fmt.Sprintf("a hole drilled %s is hit %s", words(h.Stage()), words(c.pass.Stage)), 0, 0, h.At)
			}
			continue
		case !c.ours(bit):
			c.checkOtherTier(i, visits[i], pilots)
			continue
		}
		var finish []visit
		for _, v := range visits[i] {
			if tooling.Nanometres(v.diameter) == tooling.Nanometres(bit.Diameter) {
				finish = append(finish, v)
				continue
			}
			if !pilots.round(i, v) {
				c.report.Refuse("wrong-bit", fmt.Sprintf("%.3f/%.3f mm", v.diameter, bit.Diameter),
					"a hole is hit by a bit that is not its own", v.diameter, bit.Diameter, v.at)
			}
		}
		pilots.check(i, finish)
		switch {
		case len(finish) == 0:
			missing = append(missing, i)
		case h.IsSlot():
			c.checkSlot(h, bit, finish)
		case len(finish) > 1:
			c.report.Refuse("hole-doubled", name, "a hole is finished more than once", float64(len(finish)), 1, h.At)
		}
	}
	return missing
}

func words(s tooling.Stage) string {
	if s == tooling.BeforePlating {
		return "before plating"
	}
	return "after plating"
}

// checkSlot wants hits from end to end with no gap wider than the bump limit
// allows, and none twice.
func (c *checker) checkSlot(h Hole, bit tooling.Tool, hits []visit) {
	name := fmt.Sprintf("%.3f mm", bit.Diameter)
	l := h.Length()
	along := make([]float64, len(hits))
	for k, v := range hits {
		along[k] = (float64((v.at[0]-h.At[0])*(h.To[0]-h.At[0])) + float64((v.at[1]-h.At[1])*(h.To[1]-h.At[1]))) / l
	}
	slices.SortFunc(along, func(a, b float64) int { return cmp.Compare(a, b) })
	widest := max(along[0], l-along[len(along)-1])
	if widest > c.tolerance {
		c.report.Refuse("slot-gap", name, "an end of a slot is not reached", widest, c.tolerance, h.At)
	}
	limit := Pitch(bit.Diameter, c.in.Rules.Bump) + 2*c.tolerance
	for k := 1; k < len(along); k++ {
		switch gap := along[k] - along[k-1]; {
		case gap > limit:
			c.report.Refuse("slot-gap", name, "hits of a slot lie too far apart", gap, limit, h.At)
		case gap < c.tolerance:
			c.report.Refuse("hole-doubled", name, "a hit of a slot is made twice", 0, 0, h.At)
		}
	}
}

// checkStray pairs hits that belong to no hole with holes that were not
// finished: a pair within a millimetre is a moved hit, the rest stands alone.
func (c *checker) checkStray(stray, missing []int) {
	const reach = 1.0 // mm
	taken := make([]bool, len(missing))
	for _, n := range stray {
		h := c.hits[n]
		name := tool(h.tool)
		best, gap := -1, reach
		for k, i := range missing {
			d := toSegment(h.at, c.in.Holes[i].At, c.in.Holes[i].To)
			if !taken[k] && d < gap && tooling.Nanometres(c.bits[i].Diameter) == tooling.Nanometres(h.diameter) {
				best, gap = k, d
			}
		}
		switch {
		case best >= 0:
			taken[best] = true
			c.report.Refuse("hole-moved", name, "a hit lies beside its hole", gap, c.tolerance, h.at)
		case c.nearSlot(h):
			c.report.Refuse("hole-moved", name, "a hit lies beside its slot", 0, c.tolerance, h.at)
		default:
			c.report.Refuse("hit-unknown", name, "a hit where the plan has no hole", 0, 0, h.at)
		}
	}
	for k, i := range missing {
		if !taken[k] {
			c.report.Refuse("hole-missing", fmt.Sprintf("%.3f mm", c.bits[i].Diameter), "a hole is not drilled", 0, 0, c.in.Holes[i].At)
		}
	}
}

// nearSlot tells whether a hit with a slot's bit lies within its width.
func (c *checker) nearSlot(h writtenHit) bool {
	for i, hole := range c.in.Holes {
		if hole.IsSlot() && tooling.Nanometres(c.bits[i].Diameter) == tooling.Nanometres(h.diameter) &&
			toSegment(h.at, hole.At, hole.To) < hole.Size.Diameter/2 {
			return true
		}
	}
	return false
}

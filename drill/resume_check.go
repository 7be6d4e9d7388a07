package drill

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// message is an operator's message of a program, before the hit of that
// number.
type message struct {
	hit  int
	text string
}

// restLines is what the header of the rest after a stop says.
func (p Pass) restLines() []string {
	if p.Rest == nil {
		return nil
	}
	var stops []string
	for _, s := range append(slices.Clone(p.Rest.Earlier), p.Rest.Stop) {
		stops = append(stops, fmt.Sprintf("after hit %d of run %d", s.Hit, s.Run))
	}
	lines := tooling.RestLines(stops, count(len(p.Rest.Again), "hit")+" made again", count(len(p.Rest.LeftOut), "hole"))
	for _, l := range p.Rest.LeftOut {
		lines = append(lines, fmt.Sprintf("left out at X%.3f Y%.3f: %s", l.At[0], l.At[1], l.Why))
	}
	return lines
}

// readRest takes in what lies behind the pass. It refuses holes left out that
// the input does not have.
func (c *checker) readRest() bool {
	if c.pass.Rest == nil {
		return true
	}
	c.left = make([]bool, len(c.in.Holes))
	for _, l := range c.pass.Rest.LeftOut {
		if l.Hole < 0 || int(l.Hole) >= len(c.left) {
			c.report.Refuse("left-out", "", fmt.Sprintf("hole %d of %d is said to be left out", l.Hole, len(c.left)), 0, 0, l.At)
			return false
		}
		c.left[l.Hole] = true
	}
	return true
}

// leftOut tells whether a hole is not to be made any more.
func (c *checker) leftOut(i int) bool { return c.left != nil && c.left[i] }

// checkLeftOut wants no hit of the program in a hole left out, and none of its
// pilots.
func (c *checker) checkLeftOut(i int, visits []visit, pilots *pilots) {
	found := pilots.found[i]
	for _, v := range slices.Concat(visits, found[0], found[1]) {
		if v.order >= 0 {
			c.report.Refuse("left-out", fmt.Sprintf("%.3f mm", v.diameter), "a hole that is left out is hit", 0, 0, v.at)
			return
		}
	}
}

// seedDone counts the hits made before the stop as visits, before all others:
// so that a hole is finished once, a slot has no gap and a pilot comes first in
// all that was ever made, not only in the rest.
func (c *checker) seedDone(index map[[2]int32][]int32, visits [][]visit, pilots *pilots) {
	if c.pass.Rest == nil {
		return
	}
	order := 0
	for _, d := range c.pass.Rest.Done {
		order -= len(d.Hits)
	}
	for _, d := range c.pass.Rest.Done {
		for _, h := range d.Hits {
			v := visit{order, d.Diameter, h.At}
			order++
			if i := c.match(index, visits, writtenHit{at: h.At, diameter: d.Diameter}); i >= 0 {
				visits[i] = append(visits[i], v)
			} else if !pilots.take(v) {
				c.report.Refuse("hit-unknown", fmt.Sprintf("%.3f mm", d.Diameter), "a hit made before the stop belongs to no hole", 0, 0, h.At)
			}
		}
	}
}

// checkAgain looks at the hits made with spindles parked: what the parked ones
// made before the stop must be exactly what is made without them now, or a
// hole would be lost or doubled on them; and the program must stop for the
// operator before and after.
func (c *checker) checkAgain() {
	at := 0
	for _, r := range c.pass.Runs {
		if r.Again > 0 {
			c.checkPark(at, tooling.ParkAllBut(c.pass.alone()))
			c.checkPark(at+r.Again, tooling.AllSpindles)
			if rest := c.pass.Rest; rest == nil || !slices.Equal(holesOf(r.Hits[:min(r.Again, len(r.Hits))]), holesOf(rest.Again)) {
				c.report.Refuse("again-differs", fmt.Sprintf("run %d", r.Number), "hits made with spindles parked are not those in doubt", 0, 0)
			}
		}
		at += len(r.Hits)
	}
}

func (c *checker) checkPark(hit int, text string) {
	if slices.Contains(c.messages, message{hit, text}) {
		return
	}
	var at orb.Point
	if hit < len(c.hits) {
		at = c.hits[hit].at
	}
	c.report.Refuse("park-missing", "", "no stop with the message: "+text, 0, 0, at)
}

// holesOf are the holes of hits, sorted, each as often as it is hit: the hits of
// a slot entered at its other end lie elsewhere.
func holesOf(hits []Hit) []int32 {
	out := make([]int32, len(hits))
	for k, h := range hits {
		out[k] = h.Hole
	}
	slices.Sort(out)
	return out
}

// restRules are the rules that only the rest after a stop has.
func (c *checker) restRules() []rule {
	rest := c.pass.Rest
	if rest == nil {
		return nil
	}
	out := []rule{{"left-out", fmt.Sprintf("none of the %d holes left out is hit; they are for the operator to deal with", len(rest.LeftOut))}}
	if rest.Parked {
		out = append(out,
			rule{"again-differs", "the hits made with spindles parked are those in doubt"},
			rule{"park-missing", "the program stops to park spindles and to take them back"})
	}
	return out
}

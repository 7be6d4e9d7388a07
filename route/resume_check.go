package route

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// message is an operator's message of a program, before the path of that
// number.
type message struct {
	path int
	text string
}

// restLines is what the header of the rest after a stop says.
func (p Pass) restLines() []string {
	if p.Rest == nil {
		return nil
	}
	var stops []string
	for _, s := range append(slices.Clone(p.Rest.Earlier), p.Rest.Stop) {
		stops = append(stops, fmt.Sprintf("after path %d of run %d", s.Path, s.Run))
	}
	lines := tooling.RestLines(stops, count(len(p.Rest.Again), "path")+" cut again", count(len(p.Rest.LeftOut), "path"))
	for _, l := range p.Rest.LeftOut {
		at := l.Path.Line.Start
		lines = append(lines, fmt.Sprintf("left out from X%.3f Y%.3f, %.3f mm: %s", at[0], at[1], l.Path.Length(), l.Why))
	}
	return lines
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

// readRest takes in what lies behind the pass: what is cut, and what is not to
// be cut any more.
func (c *checker) readRest() {
	if c.pass.Rest == nil {
		return
	}
	for _, d := range c.pass.Rest.Done {
		for i := range d.Paths {
			c.done = append(c.done, chain{radius: d.Diameter / 2, ps: pieces(d.Paths[i].Line), planned: &d.Paths[i]})
		}
	}
	for i := range c.pass.Rest.LeftOut {
		l := &c.pass.Rest.LeftOut[i]
		c.left = append(c.left, chain{radius: l.Diameter / 2, ps: pieces(l.Path.Line), planned: &l.Path})
	}
}

// checkLeftOut wants no cut of the program that is given up, and none that
// touches a channel with a fragment in it.
func (c *checker) checkLeftOut() {
	for i := range c.chains {
		ch := &c.chains[i]
		for k, l := range c.left {
			same := ch.planned != nil && ch.planned.Line.Start == l.planned.Line.Start && slices.Equal(ch.planned.Line.Moves, l.planned.Line.Moves)
			if same || c.pass.Rest.LeftOut[k].Why == Fragment && ch.touches(l, tight) {
				c.report.Refuse("left-out", toolName(ch.tool), "a path that is left out is cut, or its channel touched", 0, 0, ch.start())
			}
		}
	}
}

// checkAgain looks at the paths cut with spindles parked: what the parked ones
// cut before the stop must be exactly what is cut without them now; and the
// program must stop for the operator before and after.
func (c *checker) checkAgain() {
	at := 0
	for _, r := range c.pass.Runs {
		if r.Again > 0 {
			c.checkPark(at, tooling.ParkAllBut(c.pass.alone()))
			c.checkPark(at+r.Again, tooling.AllSpindles)
			same := func(a, b Path) bool { return a.Line.Start == b.Line.Start && slices.Equal(a.Line.Moves, b.Line.Moves) }
			if c.pass.Rest == nil || !slices.EqualFunc(r.Paths[:min(r.Again, len(r.Paths))], c.pass.Rest.Again, same) {
				c.report.Refuse("again-differs", fmt.Sprintf("run %d", r.Number), "paths cut with spindles parked are not those in doubt", 0, 0)
			}
		}
		at += len(r.Paths)
	}
}

// says tells whether the program has a message before the path of a number.
func (c *checker) says(path int, text string) bool {
	return slices.Contains(c.messages, message{path, text})
}

func (c *checker) checkPark(path int, text string) {
	if c.says(path, text) {
		return
	}
	var at orb.Point
	if path < len(c.chains) {
		at = c.chains[path].start()
	}
	c.report.Refuse("park-missing", "", "no stop with the message: "+text, 0, 0, at)
}

// restRules are the rules that only the rest after a stop has.
func (c *checker) restRules() []rule {
	rest := c.pass.Rest
	if rest == nil {
		return nil
	}
	out := []rule{{"left-out", fmt.Sprintf("none of the %d paths left out is cut; they are for the operator to deal with", len(rest.LeftOut))}}
	if rest.Parked {
		out = append(out,
			rule{"again-differs", "the paths cut with spindles parked are those in doubt"},
			rule{"park-missing", "the program stops to park spindles and to take them back"})
	}
	return out
}

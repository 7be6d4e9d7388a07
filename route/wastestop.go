package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// stops finds the paths that free waste which the rules want taken out before
// the cutter goes on, and marks them.
func (p *planner) stops(pass *Pass) {
	from := p.l.Input.Rules.Rout.SlugStop
	if from <= 0 {
		return
	}
	c := &checker{l: p.l, pass: *pass}
	var paths []*Path
	for i := range pass.Runs {
		r := &pass.Runs[i]
		for k := range r.Paths {
			c.chains = append(c.chains, chain{radius: r.Tool.Diameter / 2, ps: pieces(r.Paths[k].Line), planned: &r.Paths[k]})
			paths = append(paths, &r.Paths[k])
		}
	}
	c.prepare()
	c.checkHeld()
	for _, l := range c.loosened {
		if size := l.size(); l.path >= 0 && size >= from {
			paths[l.path].Frees = max(paths[l.path].Frees, tooling.Snap(size))
		}
	}
	for i := range pass.Runs {
		pass.Runs[i].stopped(p.l.Input.Machine)
	}
}

// stopped sums the stops of a run.
func (r *Run) stopped(m machine.Machine) {
	r.Stopped = 0
	for _, p := range r.Paths {
		if p.Frees > 0 {
			r.Stopped += m.Stop.Seconds()
		}
	}
}

// checkWasteStops wants a stop after every written path that frees waste to be
// taken out: as the paths cut it loose, and after each that the plan says. What
// lies within two cells of the limit is the plan's to say, and so is the rest
// after a stop, which may leave paths out.
func (c *checker) checkWasteStops() {
	from := c.l.Input.Rules.Rout.SlugStop
	if from <= 0 {
		return
	}
	want := map[int]orb.Point{}
	for i := range c.chains {
		if ch := &c.chains[i]; ch.planned != nil && ch.planned.Frees > 0 {
			want[i] = ch.end()
		}
	}
	near := 2 * newStock(c.l.Input.Panel).cell
	for _, l := range c.loosened {
		if c.pass.Rest == nil && l.path >= 0 && l.size() >= from+near {
			want[l.path] = l.mean
		}
	}
	for i := range c.chains {
		if at, ok := want[i]; ok && !c.says(i+1, tooling.TakeOutWaste) {
			c.report.Refuse("waste-stop", toolName(c.chains[i].tool), "no stop with the message: "+tooling.TakeOutWaste, 0, 0, at)
		}
	}
}

package stack

import (
	"errors"
	"fmt"
	"math"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// item is one tool at one place with all its work of a load, and what a
// height means for it.
type item struct {
	work   Work // added up over the runs of the same pass and place
	feed   tooling.Feed
	demand int64   // of one load: hits or um
	pieces []int64 // um, see Work.Paths
	each   int64   // price of one life, billionths
	levels []level // by height - 1
}

// level is an item at one height.
type level struct {
	depth tooling.Depth
	life  int64 // hits or um, for one tool
	times Times // of one load
	rule  string
	why   string // not empty: refused
}

func (i item) cutter() bool { return i.work.Tool.Kind == tooling.Cutter }

// merge adds up the works of a set-up that share pass and place, in order of
// first appearance.
func merge(works []Work) []Work {
	var out []Work
next:
	for _, w := range works {
		for k := range out {
			o := &out[k]
			if o.Pass != w.Pass || o.Place != w.Place {
				continue
			}
			if o.Paths != nil || w.Paths != nil {
				o.Paths = append(pathsOf(*o), pathsOf(w)...)
			}
			o.Hits += w.Hits
			o.Cut += w.Cut
			o.Plunges += w.Plunges
			o.Travel += w.Travel
			o.Fixed += w.Fixed
			o.Changes += w.Changes
			o.Trip = max(o.Trip, w.Trip)
			if o.Tolerance == 0 || (w.Tolerance > 0 && w.Tolerance < o.Tolerance) {
				o.Tolerance = w.Tolerance
			}
			continue next
		}
		out = append(out, w)
	}
	return out
}

// pathsOf is a copy of the paths of a work; one without takes its whole cut as
// one path, so that merging never claims more freedom than either had.
func pathsOf(w Work) []float64 {
	if w.Paths == nil {
		return []float64{w.Cut}
	}
	return append([]float64(nil), w.Paths...)
}

// prepare works out feeds, depths, lives and times for one work at all
// heights. An error means that no height could ever do: a table without the
// tool.
func (p Problem) prepare(w Work, o Options) (item, error) {
	it := item{work: w, demand: int64(w.Hits), each: price(w.Tool, o)}
	feed, err := p.Rules.Feed(w.Tool, p.Panel.Material, p.Machine.Speeds())
	if err != nil {
		return item{}, err
	}
	it.feed = feed
	if it.cutter() {
		it.demand = um(w.Cut)
		for _, c := range w.Paths {
			it.pieces = append(it.pieces, um(c))
		}
	}
	down := feed.Infeed
	if it.cutter() {
		down = min(feed.Infeed, feed.Plunge)
	}
	if down <= 0 || feed.Retract <= 0 {
		return item{}, &tooling.InputError{
			Source: tooling.Source{Path: "rules.feeds", Tool: w.Tool.ID}, Err: tooling.ErrValue,
			Found: fmt.Sprintf("%g mm/min down, %g up", down, feed.Retract), Expected: "feeds of at least 1 mm/min on this machine",
		}
	}
	for h := 1; h <= p.Rules.Stack.MaxHeight; h++ {
		it.levels = append(it.levels, p.level(it, h, o))
	}
	return it, nil
}

// um rounds a path in mm up to whole micrometres, so that no tool is planned
// past its life.
func um(mm float64) int64 { return int64(math.Ceil(float64(mm*1000) - 1e-6)) }

// price is what one life of a tool costs: its price and all its repoints over
// the lives they give, each repoint leaving 1 - loss of the last.
func price(t tooling.Tool, o Options) int64 {
	lives, next := 0.0, 1.0
	for range t.Repoints + 1 {
		lives += next
		next = float64(next * (1 - o.repointLoss()))
	}
	return nano((t.Price + float64(float64(t.Repoints)*t.RepointPrice)) / lives)
}

func (p Problem) level(it item, height int, o Options) level {
	l := level{}
	t, err := it.work.Tool, error(nil)
	if it.cutter() {
		l.depth, err = p.Rules.Stack.Rout(t, p.Rules.Rout, height, p.Panel.Thickness)
	} else {
		l.depth, err = p.Rules.Stack.Drill(t, height, p.Panel.Thickness)
	}
	if err != nil {
		l.rule, l.why = RuleDepth, words(err)
		return l
	}
	life, err := p.Rules.Life.At(p.Panel.Material, t.Kind, t.Diameter, l.depth.Stack)
	if err != nil {
		l.rule, l.why = RuleLife, words(err)
		return l
	}
	if l.depth.Pecks > 1 {
		life = math.Floor(float64(life*o.peckLife()) + 1e-9)
	}
	l.life = int64(life)
	if it.cutter() {
		l.life *= 1000
	}
	if l.life < 1 {
		l.rule, l.why = RuleLife, fmt.Sprintf("no life left at %.2f mm of depth", l.depth.Stack)
		return l
	}
	if w := wander(t, l.depth, o); it.work.Tolerance > 0 && w > tooling.Nanometres(it.work.Tolerance) {
		l.rule = RuleWander
		l.why = fmt.Sprintf("about %.3f mm of wander under the stack, expected at most the tolerance of %.3f mm", float64(w)/1e6, it.work.Tolerance)
		return l
	}
	p.time(it, &l)
	return l
}

// words is the found and expected part of an error of package tooling.
func words(err error) string {
	var e *tooling.InputError
	if !errors.As(err, &e) {
		return err.Error()
	}
	return e.Found + ", expected " + e.Expected
}

// entryWander is how far off a hole starts, in mm (from memory: 15 to 25 um).
const entryWander = 0.020

// wander is how far off a bit leaves the stack in nm: where it started, and a
// growth with the cube of depth over diameter as a cantilever bends. With the
// default growth a 0.3 mm bit ends 44 um off under two panels of 1.6 mm (from
// memory: 35 to 60 um).
func wander(t tooling.Tool, d tooling.Depth, o Options) int64 {
	growth := o.wander()
	if growth < 0 || t.Kind == tooling.Cutter {
		return 0
	}
	r := d.Stack / (10 * t.Diameter)
	return tooling.Nanometres(entryWander + float64(growth*float64(float64(r*r)*r)))
}

// time fills in the times of one load, every motion through the one clock.
func (p Problem) time(it item, l *level) {
	w, m := it.work, p.Machine
	lift := p.Rules.Stack.Clearance + l.depth.Down
	tick := func(s machine.Step) time.Duration { return m.Clock().Tick(s) }
	l.times.Travel = w.Travel
	l.times.Change = time.Duration(w.Changes) * tick(machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: w.Place})
	each, count := time.Duration(0), w.Hits
	if it.cutter() {
		each = tick(machine.Step{Kind: machine.Plunge, Depth: lift, Feed: it.feed.Plunge}) +
			tick(machine.Step{Kind: machine.Retract, Depth: lift, Retract: it.feed.Retract})
		count = w.Plunges
		l.times.Rout = w.Fixed
		if w.Fixed == 0 && w.Cut > 0 {
			to := m.ChangeAt
			to[0] += w.Cut
			l.times.Rout = tick(machine.Step{Kind: machine.Line, To: to, Feed: it.feed.Infeed})
		}
	} else {
		each = tick(machine.Step{Kind: machine.Stroke, Depth: lift, Pecks: l.depth.Pecks, Feed: it.feed.Infeed, Retract: it.feed.Retract})
	}
	if float64(each)*float64(count) > float64(maxPart) || l.times.Rout > maxPart || l.times.Change > maxPart {
		l.rule, l.why = RuleBounds, fmt.Sprintf("one load takes more than %v", maxPart)
		return
	}
	if it.cutter() {
		l.times.Rout += time.Duration(count) * each
	} else {
		l.times.Stroke = time.Duration(count) * each
	}
}

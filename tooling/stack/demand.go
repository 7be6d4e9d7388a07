package stack

import (
	"errors"
	"fmt"
	"math"
	"time"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// item is one tool at one place with all its work of a load, and what speeds
// and heights mean for it.
type item struct {
	work   Work      // added up over the runs of the same pass and place
	demand int64     // of one load: hits or um
	pieces []piece   // in the same unit, see Work.Pieces; nil: cut anywhere
	levels [][]level // by speed, then height - 1
}

// level is an item at one speed and height.
type level struct {
	feed    tooling.Feed
	depth   tooling.Depth
	lives   []float64 // hits or mm: new, and after each repoint
	life    int64     // hits or um of a new tool
	parts   int64     // tools one load takes
	tooLong int       // piece that no tool lives through; -1: none
	each    int64     // price of that life, billionths
	times   Times     // of one load
	rule    string
	why     string // not empty: refused
}

func (i item) cutter() bool { return i.work.Tool.Kind == tooling.Cutter }

// prepare works out feeds, depths, lives and times for one job at all speeds
// and heights. An error means that no height could ever do: a table without
// the tool.
func (p Problem) prepare(j job, o Options) (item, error) {
	it := item{work: j.Work}
	it.demand, it.pieces = j.demand()
	speeds := o.Speeds
	if len(speeds) == 0 || it.cutter() {
		speeds = []float64{1}
	}
	for _, ratio := range speeds {
		feed, ran, err := p.feed(j.Work, ratio)
		if err != nil {
			return item{}, err
		}
		scale := 1.0
		if ratio != 1 {
			scale = o.Taylor.Scale(ran)
		}
		levels := make([]level, p.Rules.Stack.MaxHeight)
		for h := range levels {
			levels[h] = p.level(it, feed, scale, h+1)
		}
		it.levels = append(it.levels, levels)
	}
	return it, nil
}

// feed is how a tool runs at a share of its usual speed, chip load unchanged,
// and the share that the lower limits of spindle and tool leave of it.
func (p Problem) feed(w Work, ratio float64) (tooling.Feed, float64, error) {
	limits := p.Machine.Speeds()
	feed, err := p.Rules.Feed(w.Tool, p.Panel.Material, limits)
	if err != nil {
		return tooling.Feed{}, 0, err
	}
	ran := 1.0
	if ratio != 1 {
		slow := max(math.Round(float64(feed.Speed*ratio)), math.Ceil(limits.Min), math.Ceil(w.Tool.MinSpeed))
		feed.Infeed = math.Floor(float64(feed.Infeed*slow)/feed.Speed + 1e-6)
		ran = slow / feed.Speed
		feed.Speed = slow
	}
	down := w.infeed(feed)
	if w.Tool.Kind == tooling.Cutter {
		down = min(feed.Infeed, feed.Plunge)
	}
	if feed.Infeed <= 0 || down <= 0 || feed.Retract <= 0 {
		return tooling.Feed{}, 0, &tooling.InputError{
			Source: tooling.Source{Path: "rules.feeds", Tool: w.Tool.ID}, Err: tooling.ErrValue,
			Found: fmt.Sprintf("%g mm/min down, %g up", down, feed.Retract), Expected: "feeds of at least 1 mm/min on this machine",
		}
	}
	return feed, ran, nil
}

// price is what the life of a new tool costs, in billionths: price and
// repoints, shared out over all the lives they give.
func price(t tooling.Tool, lives []float64) int64 {
	sum := 0.0
	for _, l := range lives {
		sum += l
	}
	spent := t.Price + float64(float64(len(lives)-1)*t.RepointPrice)
	return nano(float64(spent*lives[0]) / sum)
}

func (p Problem) level(it item, feed tooling.Feed, scale float64, height int) level {
	l := level{feed: feed}
	t, err := it.work.Tool, error(nil)
	if it.cutter() {
		l.depth, err = p.Rules.Stack.Rout(t, p.Rules.Rout, height, p.Panel.Thickness)
	} else {
		l.depth, err = p.Rules.Stack.Drill(t, height, p.Panel.Thickness)
	}
	if err != nil {
		return refused(depthRule(err), words(err))
	}
	lives, err := p.Rules.Life.Lives(p.Panel.Laminate(), t, l.depth.Stack)
	if err != nil {
		return refused(RuleLife, words(err))
	}
	if l.depth.Pecks > 1 {
		scale *= p.peckLife()
	}
	for _, life := range lives {
		l.lives = append(l.lives, math.Floor(math.Round(float64(life*scale)*1e6)/1e6))
	}
	l.life = int64(l.lives[0])
	if it.cutter() {
		l.life *= 1000
	}
	if l.life < 1 {
		return refused(RuleLife, fmt.Sprintf("no life left at %.2f mm of depth", l.depth.Stack))
	}
	l.each = price(t, l.lives)
	l.parts, l.tooLong = parts(it.demand, l.life, it.pieces)
	if w, most := p.wander(t, l.depth), p.tolerance(it.work); most > 0 && w > tooling.Nanometres(most) {
		return refused(RuleWander, fmt.Sprintf("about %.3f mm of wander under the stack, expected at most the tolerance of %.3f mm", float64(w)/1e6, most))
	}
	if high := p.high(l.depth); p.Machine.Opening > 0 && tooling.Nanometres(high) > tooling.Nanometres(p.Machine.Opening) {
		return refused(RuleOpening, fmt.Sprintf("%.2f mm from the table to the tip over the entry at %d high, expected at most the machine's opening of %.2f mm",
			high, height, p.Machine.Opening))
	}
	p.time(it, &l)
	return l
}

func refused(rule, why string) level { return level{rule: rule, why: why} }

// depthRule is the rule that an error about depth names.
func depthRule(err error) string {
	var e *tooling.InputError
	if errors.As(err, &e) && e.Rule != "" {
		return e.Rule
	}
	return RuleDepth
}

// words is the found and expected part of an error of package tooling.
func words(err error) string {
	var e *tooling.InputError
	if !errors.As(err, &e) {
		return err.Error()
	}
	return e.Found + ", expected " + e.Expected
}

// time fills in the times of one load, every motion through the one clock.
func (p Problem) time(it item, l *level) {
	w, m := it.work, p.Machine
	lift := l.depth.Travel()
	tick := func(s machine.Step) time.Duration { return m.Clock().Tick(s) }
	l.times.Travel = w.Travel
	l.times.Change = time.Duration(w.Changes) * tick(machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: w.Place})
	each, count := time.Duration(0), w.Hits
	if it.cutter() {
		each = tick(machine.Step{Kind: machine.Plunge, Depth: lift, Feed: l.feed.Plunge}) +
			tick(machine.Step{Kind: machine.Retract, Depth: lift, Retract: l.feed.Retract})
		count = w.Plunges
		l.times.Rout = w.Fixed
		if w.Fixed == 0 && w.Cut > 0 {
			to := m.ChangeAt
			to[0] += w.Cut
			l.times.Rout = tick(machine.Step{Kind: machine.Line, To: to, Feed: l.feed.Infeed})
		}
	} else {
		each = tick(machine.Step{Kind: machine.Stroke, Depth: lift, Pecks: l.depth.Pecks, Feed: w.infeed(l.feed), Retract: l.feed.Retract})
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

package drill

import (
	"context"
	"fmt"
	"slices"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Resume returns the rest of a mounted pass after a stop, as a mounted pass of
// its own: after a broken bit, on the same machine or on another.
//
//   - Hits known good are not made again. Hits in doubt are: by the spindles
//     concerned, the others parked, as the first hits of their run
//     ([Run.Again]); or with the rest of the run by all, as the stop asks.
//   - Holes that hold a fragment or lie in a scrapped area are left out for
//     good and on every spindle, pilots and slots whole, and listed in
//     [Pass.Rest].
//   - What is left of the run is ordered anew from the change position; a slot
//     begun is finished first, all others stay whole. Later runs stay later,
//     and as planned unless they lose hits or the machine is another.
//   - The broken bit is replaced by a new one in its place; where other
//     spindles keep theirs, what it has made counts ([Bit.Worn]). Runs are cut
//     anew where a bit's life ends; what that needs beyond the planned bits
//     gets the next free places of the magazine. Where the machine has fewer
//     places than that, the bits of the rest are numbered anew from T1: other
//     passes of the set-up then need the magazine loaded for themselves.
//
// In is what the pass was planned from, with the machine that makes the rest.
// Feeds are lowered to what that machine can do. If it has fewer spindles than
// the load has stacks the rest takes more loads. Depth, height and life stay;
// the set-up keeps the tools as planned for the lot, but counts loads, stacks
// and spindles of the rest and no cost. A rest can be resumed again.
//
// P is not changed and shares nothing with the result but what neither
// changes. The error is a [*StopError] wrapping [ErrUnmounted], [ErrStop] (no
// such stop, nothing left to make), [ErrCoord] or [ErrSetUp] (the machine
// cannot make the rest), or the error of [Input.Validate] or of the context.
// Cost is that of the tours.
func Resume(ctx context.Context, in Input, p Pass, at Stop, o Options) (Pass, error) {
	if err := ctx.Err(); err != nil {
		return Pass{}, err
	}
	if err := in.Validate(); err != nil {
		return Pass{}, err
	}
	at.Spindles, at.Fragments, at.Scrapped = slices.Clone(at.Spindles), slices.Clone(at.Fragments), slices.Clone(at.Scrapped)
	slices.Sort(at.Spindles)
	k, err := at.validate(in, p)
	if err != nil {
		return Pass{}, err
	}
	watch := o.watch("resume")
	j := resumer{in: in, from: p, at: at, o: watch.options(o), out: p}
	j.out.Runs = nil
	j.leaveOut(k)
	if err := j.rest(ctx, k); err != nil {
		return Pass{}, err
	}
	if len(j.out.Runs) == 0 {
		return Pass{}, j.fault(ErrStop, "nothing left to make", "a stop before the end")
	}
	if err := j.fitMachine(); err != nil {
		return Pass{}, err
	}
	watch.sum.Items = j.out.Hits()
	watch.done(ctx)
	return j.out, nil
}

// resumer carries one resumption.
type resumer struct {
	in   Input
	from Pass
	at   Stop
	o    Options
	out  Pass
	gone map[int32]string // holes left out and why
	next int              // the next free place of the magazine
}

func (j *resumer) fault(err error, found, expected string) error {
	return &StopError{Pass: j.from.Name, Stop: j.at, Found: found, Expected: expected, Err: err}
}

// parked tells whether the hits in doubt are made by some spindles alone.
func (j *resumer) parked() bool { return j.at.some(j.from) && !j.at.Together }

// leaveOut finds the holes that are made no more: those left out before, those
// with a fragment, and those with hits to come in a scrapped area.
func (j *resumer) leaveOut(k int) {
	rest := &Rest{Stop: j.at, Stacks: max(1, j.from.SetUp.Spindles)}
	j.gone = map[int32]string{}
	put := func(hole int32, why string) {
		if _, known := j.gone[hole]; known {
			return
		}
		j.gone[hole] = why
		rest.LeftOut = append(rest.LeftOut, LeftOut{hole, j.in.Holes[hole].At, why})
	}
	if before := j.from.Rest; before != nil {
		rest.Done = slices.Clone(before.Done)
		rest.Earlier = append(slices.Clone(before.Earlier), before.Stop)
		for _, l := range before.LeftOut {
			put(l.Hole, l.Why)
		}
	}
	for _, f := range j.at.Fragments {
		put(j.from.Runs[k].Hits[f-1].Hole, Fragment)
	}
	for i, r := range j.from.Runs[k:] {
		for _, h := range r.Hits[first(i == 0, j.at.Hit):] {
			for _, box := range j.at.Scrapped {
				if toBox(box, j.in.Holes[h.Hole].At, j.in.Holes[h.Hole].To) == 0 {
					put(h.Hole, Scrapped)
				}
			}
		}
	}
	slices.SortFunc(rest.LeftOut, func(a, b LeftOut) int { return int(a.Hole - b.Hole) })
	for _, r := range j.from.Runs[:k] {
		rest.Done = append(rest.Done, Done{r.Tool.Diameter, r.Hits})
	}
	if j.at.Hit > 0 {
		r := j.from.Runs[k]
		rest.Done = append(rest.Done, Done{r.Tool.Diameter, r.Hits[:j.at.Hit]})
	}
	j.out.Rest = rest
}

// first is n where it holds, else 0.
func first(holds bool, n int) int {
	if holds {
		return n
	}
	return 0
}

// rest makes the interrupted run and all later ones.
func (j *resumer) rest(ctx context.Context, k int) error {
	j.next = lastPlace(j.from) + 1
	later := j.from.Runs[k:]
	var hits int64
	for i, r := range later {
		var err error
		if i == 0 {
			err = j.interrupted(ctx, &r)
		} else {
			err = j.later(ctx, &r)
		}
		if err != nil {
			return err
		}
		if len(r.Hits) > 0 {
			if r.Feed, err = j.feed(r); err != nil {
				return err
			}
			j.out.Runs = append(j.out.Runs, r)
		}
		hits += int64(len(r.Hits))
		if j.o.Progress != nil {
			j.o.Progress(j.from.Name, i+1, len(later), hits)
		}
	}
	return nil
}

// interrupted makes what is left of the run that came to a halt.
func (j *resumer) interrupted(ctx context.Context, r *Run) error {
	was := *r
	last := max(j.at.Last, first(j.at.Hit < was.Again, was.Again)) // what others never made stays with those spindles
	from := j.at.Hit
	change := j.in.Machine.ChangeAt
	r.Hits, r.Again, r.Bound = nil, 0, 0
	start := change
	for _, h := range was.Hits[from:last] {
		if j.gone[h.Hole] == "" {
			j.out.Rest.Again = append(j.out.Rest.Again, h)
		}
	}
	if j.parked() && last > from {
		again := j.pieces(was, from, last)
		hits, err := j.order(ctx, again, start, again.start())
		if err != nil {
			return err
		}
		r.Hits, r.Again, from = hits, len(hits), last
		if len(hits) > 0 {
			start = hits[len(hits)-1].At
		}
		j.out.Rest.Parked = len(hits) > 0
	}
	hits, err := j.order(ctx, j.pieces(was, from, len(was.Hits)), start, &change)
	if err != nil {
		return err
	}
	r.Hits = append(r.Hits, hits...)
	j.recount(r)
	return j.deal(r, was, last)
}

// later makes a run that had not begun: as planned, or without what is left
// out, or in another order on another machine.
func (j *resumer) later(ctx context.Context, r *Run) error {
	was := *r
	again := was
	again.measure(j.in)
	same := again.Travel == was.Travel && again.Path == was.Path && again.Settle == was.Settle
	if same && !slices.ContainsFunc(was.Hits, func(h Hit) bool { return j.gone[h.Hole] != "" }) {
		return nil
	}
	change := j.in.Machine.ChangeAt
	hits, err := j.order(ctx, j.pieces(was, 0, len(was.Hits)), change, &change)
	if err != nil {
		return err
	}
	r.Hits, r.Bound = hits, 0
	j.recount(r)
	return j.deal(r, was, 0)
}

// recount fills in the figures that hang on the hits.
func (j *resumer) recount(r *Run) {
	g := group{tool: r.Tool}
	for _, h := range r.Hits {
		g.items = append(g.items, item{hole: h.Hole, kind: h.Kind, size: j.in.Holes[h.Hole].Size})
	}
	r.Sizes = j.in.sizes(g)
	r.measure(j.in)
}

// fitMachine counts spindles and loads, and puts the tools into its magazine.
func (j *resumer) fitMachine() error {
	m := j.in.Machine
	stacks := j.out.Rest.Stacks
	j.out.SetUp = j.from.SetUp.Rest(stacks, m.Spindles)
	if j.out.SetUp.Loads > 1 && j.out.Rest.Parked {
		return j.fault(ErrSetUp, fmt.Sprintf("%d stacks for %d spindles", stacks, m.Spindles), "a spindle for each stack where some are parked, or the hits in doubt made together")
	}
	for _, r := range j.out.Runs {
		d := r.Depth
		if high := tooling.Snap(d.AboveTable + d.Down + d.Clearance); m.Opening > 0 && tooling.Nanometres(high) > tooling.Nanometres(m.Opening) {
			return j.fault(ErrSetUp, fmt.Sprintf("%.2f mm from the table to the tip over the entry", high), fmt.Sprintf("at most the machine's opening of %.2f mm", m.Opening))
		}
	}
	return j.fitMagazine(m)
}

func (j *resumer) fitMagazine(m machine.Machine) error {
	if lastPlace(Pass{Runs: j.out.Runs}) <= m.Places {
		return nil
	}
	next := 1
	for i := range j.out.Runs {
		j.out.Runs[i].Bits = slices.Clone(j.out.Runs[i].Bits)
		for b := range j.out.Runs[i].Bits {
			j.out.Runs[i].Bits[b].Place = next
			next++
		}
	}
	if next-1 > m.Places {
		return j.fault(ErrSetUp, count(next-1, "bit"), fmt.Sprintf("at most the %d places of the magazine", m.Places))
	}
	return nil
}

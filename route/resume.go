package route

import (
	"context"
	"fmt"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Resume returns the rest of a mounted pass after a stop, as a mounted pass of
// its own: after a broken cutter, on the same machine or on another. It goes by
// whole paths.
//
//   - Paths known good are not cut again. The path that was being cut is cut
//     again from its start, over what is cut already. Paths in doubt are: by the
//     spindles concerned, the others parked, as the first paths of their run
//     ([Run.Again]); or with the rest of the run by all, as the stop asks.
//   - A path whose channel holds a fragment is left out for good and on every
//     spindle, with all paths to come that would touch that channel; so are
//     paths that lie wholly in a scrapped area. They are listed in [Pass.Rest].
//   - The order stays, since what holds the boards depends on it; rapids are
//     led anew from the change position.
//   - The broken cutter is replaced by a new one in its place; where other
//     spindles keep theirs, what it has cut counts ([Cutter.Worn]). Runs are
//     divided anew among the cutters that are left; what that needs beyond them
//     gets the next free places of the magazine. Where the machine has fewer
//     places than that, the cutters of the rest are numbered anew from T1.
//
// L is the layout the pass was planned from; its Input.Machine is the machine
// that makes the rest. Feeds are lowered to what that machine can do. If it
// has fewer spindles than the load has stacks the rest takes more loads.
// Depth, height and life stay; the set-up keeps the tools as planned for the
// lot, but counts loads, stacks and spindles of the rest and no cost. A rest
// can be resumed again.
//
// P is not changed and shares nothing with the result but what neither
// changes. The error is a [*StopError] wrapping [ErrUnmounted], [ErrStop] (no
// such stop, nothing left to cut), [ErrCoord], [ErrSetUp] (the machine cannot
// make the rest) or [ErrObstacle] (no rapid reaches a path), that of
// [Options.Validate] or [Input.Validate], or the context's. Cost O(paths^2).
func Resume(ctx context.Context, l Layout, p Pass, at Stop, o Options) (Pass, error) {
	if err := ctx.Err(); err != nil {
		return Pass{}, err
	}
	if err := o.Validate(); err != nil {
		return Pass{}, err
	}
	if err := l.Input.Validate(); err != nil {
		return Pass{}, err
	}
	at.Spindles, at.Fragments, at.Scrapped = slices.Clone(at.Spindles), slices.Clone(at.Fragments), slices.Clone(at.Scrapped)
	slices.Sort(at.Spindles)
	k, err := at.validate(p)
	if err != nil {
		return Pass{}, err
	}
	began := time.Now()
	j := resumer{in: l.Input, from: p, at: at, out: p}
	j.out.Runs, j.out.Around, j.out.Panel = nil, tall(l.Input.Panel, l.Input.Rules.Stack.Clearance), l.Input.Panel.Bound()
	j.leaveOut(k)
	if err := j.rest(ctx, k); err != nil {
		return Pass{}, err
	}
	if len(j.out.Runs) == 0 {
		return Pass{}, j.fault(ErrStop, "nothing left to cut", "a stop before the end")
	}
	if err := j.fitMachine(); err != nil {
		return Pass{}, err
	}
	done := tooling.Spent{Stage: "resume", Time: time.Since(began)}
	for _, r := range j.out.Runs {
		done.Items += len(r.Paths)
	}
	done.Tell(ctx, o.Log, o.Stats)
	return j.out, nil
}

// resumer carries one resumption.
type resumer struct {
	in   Input
	from Pass
	at   Stop
	out  Pass
	gone [][]bool // by later run and path: left out
	next int      // the next free place of the magazine
}

func (j *resumer) fault(err error, found, expected string) error {
	return &StopError{Pass: j.from.Name, Stop: j.at, Found: found, Expected: expected, Err: err}
}

// parked tells whether the paths in doubt are cut by some spindles alone.
func (j *resumer) parked() bool { return j.at.some(j.from) && !j.at.Together }

// leaveOut notes what was cut and finds the paths that are cut no more.
func (j *resumer) leaveOut(k int) {
	rest := &Rest{Stop: j.at, Stacks: max(1, j.from.SetUp.Spindles)}
	if before := j.from.Rest; before != nil {
		rest.Done, rest.LeftOut = slices.Clone(before.Done), slices.Clone(before.LeftOut)
		rest.Earlier = append(slices.Clone(before.Earlier), before.Stop)
	}
	later := j.from.Runs[k:]
	for _, r := range j.from.Runs[:k] {
		rest.Done = append(rest.Done, Done{r.Tool.Diameter, r.Paths})
	}
	if j.at.Path > 0 {
		rest.Done = append(rest.Done, Done{later[0].Tool.Diameter, later[0].Paths[:j.at.Path]})
	}
	var channels []chain // that hold a fragment
	for _, f := range j.at.Fragments {
		channels = append(channels, chain{radius: later[0].Tool.Diameter / 2, ps: pieces(later[0].Paths[f-1].Line)})
	}
	j.gone = make([][]bool, len(later))
	for i, r := range later {
		j.gone[i] = make([]bool, len(r.Paths))
		for n := range r.Paths {
			if i == 0 && n < j.at.Path {
				continue
			}
			own := chain{radius: r.Tool.Diameter / 2, ps: pieces(r.Paths[n].Line)}
			why := ""
			switch {
			case i == 0 && slices.Contains(j.at.Fragments, n+1):
				why = Fragment
			case slices.ContainsFunc(channels, func(d chain) bool { return own.touches(d, 0) }):
				why = Beside
			case slices.ContainsFunc(j.at.Scrapped, own.within):
				why = Scrapped
			}
			if why != "" {
				j.gone[i][n] = true
				rest.LeftOut = append(rest.LeftOut, LeftOut{r.Tool.Diameter, r.Paths[n], why})
			}
		}
	}
	j.out.Rest = rest
}

// touches tells whether the areas that two cutters sweep meet by more than
// slack mm.
func (c chain) touches(d chain, slack float64) bool {
	for i := range c.ps {
		for k := range d.ps {
			if gap, _ := c.ps[i].between(&d.ps[k]); gap < c.radius+d.radius-slack {
				return true
			}
		}
	}
	return false
}

// within tells whether the area that a cutter sweeps lies wholly in a box.
func (c chain) within(box orb.Bound) bool {
	for i := range c.ps {
		if b := c.ps[i].box().Pad(c.radius); !box.Contains(b.Min) || !box.Contains(b.Max) {
			return false
		}
	}
	return len(c.ps) > 0
}

// rest makes the interrupted run and all later ones.
func (j *resumer) rest(ctx context.Context, k int) error {
	j.next = lastPlace(j.from) + 1
	for i, was := range j.from.Runs[k:] {
		if err := ctx.Err(); err != nil {
			return err
		}
		r := was
		r.Paths, r.Again = nil, 0
		from, last := 0, 0
		if i == 0 {
			from, last = j.at.Path, max(j.at.Last, was.Again*one(j.at.Path < was.Again)) // what others never cut stays with those spindles
		}
		for n := from; n < len(was.Paths); n++ {
			if j.gone[i][n] {
				continue
			}
			r.Paths = append(r.Paths, was.Paths[n])
			if n < last {
				j.out.Rest.Again = append(j.out.Rest.Again, was.Paths[n])
			}
		}
		if i == 0 && j.parked() {
			r.Again = len(j.out.Rest.Again)
			j.out.Rest.Parked = r.Again > 0
		}
		if len(r.Paths) == 0 {
			continue
		}
		var ok bool
		if r.Feed, ok = was.Feed.Lowered(j.in.Machine.Speeds()); !ok {
			return j.fault(ErrSetUp, fmt.Sprintf("run %d at %.0f rev/min", r.Number, r.Feed.Speed), fmt.Sprintf("at least the machine's %.0f rev/min", j.in.Machine.MinSpeed))
		}
		if err := r.goRound(j.in); err != nil {
			return &StopError{Pass: j.from.Name, Stop: j.at, Found: err.Error(), Expected: "room for the foot", Err: ErrObstacle}
		}
		if err := r.measure(j.in); err != nil {
			return err
		}
		if err := j.deal(&r, was, last); err != nil {
			return err
		}
		j.out.Runs = append(j.out.Runs, r)
	}
	return nil
}

// one is 1 where it holds, else 0.
func one(holds bool) int {
	if holds {
		return 1
	}
	return 0
}

// fitMachine counts spindles and loads, and puts the cutters into its magazine.
func (j *resumer) fitMachine() error {
	m := j.in.Machine
	stacks := j.out.Rest.Stacks
	j.out.SetUp = j.from.SetUp.Rest(stacks, m.Spindles)
	if j.out.SetUp.Loads > 1 && j.out.Rest.Parked {
		return j.fault(ErrSetUp, fmt.Sprintf("%d stacks for %d spindles", stacks, m.Spindles), "a spindle for each stack where some are parked, or the paths in doubt cut together")
	}
	for _, r := range j.out.Runs {
		d := r.Depth
		if high := tooling.Snap(d.AboveTable + d.Down + d.Clearance); m.Opening > 0 && tooling.Nanometres(high) > tooling.Nanometres(m.Opening) {
			return j.fault(ErrSetUp, fmt.Sprintf("%.2f mm from the table to the tip over the entry", high), fmt.Sprintf("at most the machine's opening of %.2f mm", m.Opening))
		}
	}
	if lastPlace(Pass{Runs: j.out.Runs}) <= m.Places {
		return nil
	}
	next := 0
	for i := range j.out.Runs {
		for c := range j.out.Runs[i].Cutters {
			next++
			j.out.Runs[i].Cutters[c].Place = next
		}
	}
	if next > m.Places {
		return j.fault(ErrSetUp, fmt.Sprintf("%d cutters", next), fmt.Sprintf("at most the %d places of the magazine", m.Places))
	}
	return nil
}

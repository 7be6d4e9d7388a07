package drill_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// shortLived mounts a pass on three spindles with bits that last so many hits.
func shortLived(t testing.TB, in drill.Input, p drill.Pass, life int) drill.Pass {
	t.Helper()
	got, err := stack.Solve(context.Background(), stack.Problem{Lot: 3, Panel: in.Panel, Rules: in.Rules, Machine: in.Machine, SetUps: [][]stack.Work{p.Work()}}, stack.Options{Height: 1})
	require.NoError(t, err)
	s := got.SetUps[0]
	s.Spindles = 3
	for k := range s.Tools {
		s.Tools[k].Life = float64(max(life, 25)) // the longest slot has 25 hits
		one := p
		one.Runs = p.Runs[k : k+1]
		err = drill.ErrSetUp
		for s.Tools[k].PerLoad = 1; err != nil && s.Tools[k].PerLoad < 40; s.Tools[k].PerLoad++ {
			_, err = one.Mount(s, in.Machine)
		}
		s.Tools[k].PerLoad--
	}
	out, err := p.Mount(s, in.Machine)
	require.NoError(t, err)
	return out
}

// longRun is the first run that has some hits to stop at.
func longRun(p drill.Pass) drill.Run {
	return p.Runs[slices.IndexFunc(p.Runs, func(r drill.Run) bool { return len(r.Hits) > 12 })]
}

// resumable is an input with room in the magazine and spindles to park.
func resumable() drill.Input {
	in := small()
	in.Machine.Spindles, in.Machine.Places = 3, 400
	return in
}

// made counts the strokes of each hole and kind of bit on one spindle.
type made map[string]int

func (m made) add(in drill.Input, r drill.Run, hits []drill.Hit) {
	for _, h := range hits {
		key := fmt.Sprintf("%d %s", h.Hole, r.Tool.ID)
		if !in.Holes[h.Hole].IsSlot() {
			key += fmt.Sprint(h.At, h.Kind)
		}
		m[key]++
	}
}

func (m made) less(holes []drill.LeftOut) made {
	out := made{}
	for key, n := range m {
		var hole int32
		fmt.Sscan(key, &hole)
		if !slices.ContainsFunc(holes, func(l drill.LeftOut) bool { return l.Hole == hole }) {
			out[key] = n
		}
	}
	return out
}

// split is what the spindle in question made of a pass up to a hit of a run, on
// spindles that were parked for the first hits of the run or were not.
func split(in drill.Input, p drill.Pass, run, hit int, parked bool, into made) {
	for _, r := range p.Runs {
		from, to := 0, len(r.Hits)
		if r.Number == run {
			to = hit
		}
		if parked {
			from = min(r.Again, to)
		}
		into.add(in, r, r.Hits[from:to])
		if r.Number == run {
			return
		}
	}
}

// randomStop is a stop somewhere in a pass, with all that may come with it.
func randomStop(rng *rand.Rand, in drill.Input, p drill.Pass) drill.Stop {
	r := p.Runs[rng.IntN(len(p.Runs))]
	at := drill.Stop{Run: r.Number, Hit: rng.IntN(len(r.Hits) + 1)}
	at.Last = at.Hit + rng.IntN(min(9, len(r.Hits)-at.Hit+1))
	switch rng.IntN(4) {
	case 0:
	case 1:
		at.Spindles = []int{1 + rng.IntN(3)}
	case 2:
		at.Spindles = []int{3, 1}
	case 3:
		at.Spindles = []int{1, 2, 3}
	}
	at.Together = rng.IntN(3) == 0
	at.Fresh = rng.IntN(4) == 0
	if at.Last > at.Hit && rng.IntN(2) == 0 {
		at.Fragments = []int{at.Hit + 1 + rng.IntN(at.Last-at.Hit)}
	}
	if rng.IntN(3) == 0 {
		x, y := float64(rng.Float64()*in.Panel.Width), float64(rng.Float64()*in.Panel.Height)
		at.Scrapped = []orb.Bound{{Min: orb.Point{x, y}, Max: orb.Point{x + 25, y + 15}}}
	}
	return at
}

// Every spindle is followed through an interruption and a second one: what it
// made before and what the rest has it make is the whole pass, once, and what
// was asked for again, again.
func TestResumeLosesNothingAndDoublesNothing(t *testing.T) {
	in := resumable()
	passes := plan(t, in)
	seen := map[string]int{}
	rounds := uint64(250)
	if testing.Short() {
		rounds = 60
	}
	for seed := range rounds {
		rng := rand.New(rand.NewPCG(41, seed))
		p := shortLived(t, in, passes[rng.IntN(len(passes))], 25+rng.IntN(25))
		whole := made{}
		split(in, p, -1, 0, false, whole)
		concerned, other := made{}, made{} // by a spindle with the broken bit, and by one without
		twice, twiceOther := made{}, made{}
		var at drill.Stop
		for round := range 2 {
			before := at
			at = randomStop(rng, in, p)
			if round > 0 { // follow the same spindles, so that two are enough
				at.Spindles = before.Spindles
			}
			rest, err := drill.Resume(context.Background(), in, p, at, quick)
			if errors.Is(err, drill.ErrStop) {
				seen["nothing left or not one's own"]++
				break
			}
			require.NoError(t, err, "seed %d %+v", seed, at)
			k := slices.IndexFunc(p.Runs, func(r drill.Run) bool { return r.Number == at.Run })
			r := p.Runs[k]
			some := len(at.Spindles) > 0 && len(at.Spindles) < 3
			split(in, p, at.Run, at.Last, false, concerned)
			split(in, p, at.Run, at.Last, some, other)
			twice.add(in, r, r.Hits[at.Hit:at.Last])
			if at.Together || !some {
				twiceOther.add(in, r, r.Hits[at.Hit:at.Last])
			}
			check(t, in, rest, fmt.Sprintf("seed %d round %d %+v", seed, round, at))

			sum := func(before, twice made, parked bool) (got, want made) {
				got, want = made{}, made{}
				split(in, rest, -1, 0, parked, got)
				for key, n := range before {
					got[key] += n
				}
				for key, n := range whole {
					want[key] = n + twice[key]
				}
				return got.less(rest.Rest.LeftOut), want.less(rest.Rest.LeftOut)
			}
			got, want := sum(concerned, twice, false)
			require.Empty(t, cmp.Diff(want, got), "seed %d round %d concerned %+v (-want +got)", seed, round, at)
			if some {
				got, want = sum(other, twiceOther, true)
				require.Empty(t, cmp.Diff(want, got), "seed %d round %d other %+v (-want +got)", seed, round, at)
			}
			for _, l := range rest.Rest.LeftOut {
				seen[l.Why]++
			}
			if rest.Rest.Parked {
				seen["parked"]++
			}
			if rest.Runs[0].Bits[0].Worn > 0 {
				seen["worn"]++
			}
			if in.Holes[rest.Runs[0].Hits[0].Hole].IsSlot() {
				seen["slots"]++
			}
			p = rest
		}
	}
	for _, what := range []string{drill.Fragment, drill.Scrapped, "parked", "worn", "slots", "nothing left or not one's own"} {
		assert.Positive(t, seen[what], what)
	}
}

// check writes, reads back and checks a rest, and looks at its order: bits that
// last, runs and pilots as they were, slots whole.
func check(t *testing.T, in drill.Input, p drill.Pass, what string) {
	t.Helper()
	require.NoError(t, drill.Check(in, p, parse(t, textOf(t, p, nc.WriteOptions{}))).Err(), what)
	e, err := p.Estimate(in.Machine)
	require.NoError(t, err)
	require.Equal(t, p.Hits(), e.Hits, what)
	places := map[int]bool{}
	for k, r := range p.Runs {
		require.True(t, k == 0 || p.Runs[k-1].Number < r.Number, what)
		next := 0
		for i, b := range r.Bits {
			require.False(t, places[b.Place], "%s: T%d twice", what, b.Place)
			places[b.Place] = true
			require.Equal(t, next, b.First, what)
			next += b.Hits
			again := min(b.Hits, max(0, r.Again-b.First))
			require.LessOrEqual(t, float64(max(b.Hits, b.Worn+b.Hits-again)), r.Life, "%s: run %d bit %d", what, r.Number, i)
			if next < len(r.Hits) && r.Hits[next-1].Kind == drill.Nibbled {
				require.NotEqual(t, r.Hits[next-1].Hole, r.Hits[next].Hole, "%s: a slot is cut", what)
			}
		}
		require.Equal(t, len(r.Hits), next, what)
		holes := 0
		for _, s := range r.Sizes {
			holes += s.Holes
		}
		require.Equal(t, drill.Pass{Runs: []drill.Run{r}}.Holes(), holes, what)
	}
}

func TestResumeOnAnotherMachine(t *testing.T) {
	in := resumable()
	p := shortLived(t, in, plan(t, in)[0], 20)
	was, _ := json.Marshal(p)
	other := in
	other.Machine, _ = machine.Preset("linear motor")
	other.Machine.ChangeAt = orb.Point{200, 100}
	other.Machine.Spindles, other.Machine.Places, other.Machine.MaxSpeed = 2, 14, 30000
	at := drill.Stop{Run: longRun(p).Number, Hit: 3, Last: 6, Fresh: true}
	rest, err := drill.Resume(context.Background(), other, p, at, quick)
	require.NoError(t, err)
	check(t, other, rest, "another machine")
	assert.Equal(t, 2, rest.SetUp.Spindles)
	assert.Equal(t, 2, rest.SetUp.Loads, "three stacks on two spindles")
	assert.Equal(t, 1, rest.SetUp.Last)
	for _, r := range rest.Runs {
		assert.LessOrEqual(t, r.Feed.Speed, 30000.0)
		for _, b := range r.Bits {
			assert.LessOrEqual(t, b.Place, 14)
		}
	}
	now, _ := json.Marshal(p)
	assert.Equal(t, string(was), string(now), "the pass was changed")

	for name, c := range map[string]struct {
		change func(*machine.Machine)
		at     drill.Stop
	}{
		"too few places":       {func(m *machine.Machine) { m.Places = 3 }, at},
		"too few to park":      {func(*machine.Machine) {}, drill.Stop{Run: at.Run, Hit: 3, Last: 6, Spindles: []int{2}}},
		"spindles too fast":    {func(m *machine.Machine) { m.MinSpeed, m.MaxSpeed = 150000, 160000 }, at},
		"axes that cannot run": {func(m *machine.Machine) { m.X.Accel = -1 }, at},
	} {
		bad := other
		c.change(&bad.Machine)
		_, err := drill.Resume(context.Background(), bad, p, c.at, quick)
		require.Error(t, err, name)
		if name != "axes that cannot run" {
			var se *drill.StopError
			require.ErrorAs(t, err, &se, name)
			require.ErrorIs(t, err, drill.ErrSetUp, name)
		}
	}
}

func TestResumeRefuses(t *testing.T) {
	in := resumable()
	unmounted := plan(t, in)[0]
	p := shortLived(t, in, unmounted, 20)
	n := len(longRun(p).Hits)
	run := longRun(p).Number
	last := p.Runs[len(p.Runs)-1]
	parked, err := drill.Resume(context.Background(), in, p, drill.Stop{Run: run, Hit: 2, Last: 7, Spindles: []int{2}}, quick)
	require.NoError(t, err)
	require.Equal(t, 5, parked.Runs[0].Again)
	broken := p
	broken.Runs = slices.Clone(p.Runs)
	broken.Runs[1].Bits = nil
	elsewhere := p
	elsewhere.Runs = slices.Clone(p.Runs)
	elsewhere.Runs[0].Hits = slices.Clone(p.Runs[0].Hits)
	elsewhere.Runs[0].Hits[0].Hole = 9999
	for _, c := range []struct {
		name, reason string
		p            drill.Pass
		at           drill.Stop
		err          error
	}{
		{"no run", "zero is no run", p, drill.Stop{}, drill.ErrStop},
		{"other run", "the pass has none", p, drill.Stop{Run: 99}, drill.ErrStop},
		{"negative", "counted from 1", p, drill.Stop{Run: run, Hit: -1}, drill.ErrStop},
		{"beyond", "the run is over", p, drill.Stop{Run: run, Hit: n + 1}, drill.ErrStop},
		{"doubt backwards", "last before good", p, drill.Stop{Run: run, Hit: 5, Last: 3}, drill.ErrStop},
		{"doubt beyond", "the run is over", p, drill.Stop{Run: run, Hit: 5, Last: n + 1}, drill.ErrStop},
		{"fragment in a good hit", "it cannot be good", p, drill.Stop{Run: run, Hit: 5, Last: 6, Fragments: []int{5}}, drill.ErrStop},
		{"fragment not made yet", "nothing broke there", p, drill.Stop{Run: run, Hit: 5, Last: 6, Fragments: []int{7}}, drill.ErrStop},
		{"no such spindle", "three are in use", p, drill.Stop{Run: run, Spindles: []int{4}}, drill.ErrStop},
		{"spindle 0", "counted from 1", p, drill.Stop{Run: run, Spindles: []int{0}}, drill.ErrStop},
		{"spindle twice", "once is enough", p, drill.Stop{Run: run, Spindles: []int{1, 1}}, drill.ErrStop},
		{"nothing left", "the pass is made", p, drill.Stop{Run: last.Number, Hit: len(last.Hits)}, drill.ErrStop},
		{"area NaN", "no length", p, drill.Stop{Run: run, Scrapped: []orb.Bound{{Min: orb.Point{math.NaN(), 0}}}}, drill.ErrCoord},
		{"area far", "no length", p, drill.Stop{Run: run, Scrapped: []orb.Bound{{Max: orb.Point{1e300, 0}}}}, drill.ErrCoord},
		{"area turned", "corners swapped", p, drill.Stop{Run: run, Scrapped: []orb.Bound{{Min: orb.Point{5, 0}}}}, drill.ErrCoord},
		{"not mounted", "no depth, no bits", unmounted, drill.Stop{Run: run}, drill.ErrUnmounted},
		{"no bits", "read from a bad file", broken, drill.Stop{Run: run}, drill.ErrSetUp},
		{"other input", "the hole does not exist", elsewhere, drill.Stop{Run: run}, drill.ErrSetUp},
		{"another spindle among parked hits", "it never made them", parked, drill.Stop{Run: run, Hit: 1, Last: 3, Spindles: []int{1}}, drill.ErrStop},
		{"all among parked hits", "one spindle was at work", parked, drill.Stop{Run: run, Hit: 1}, drill.ErrStop},
	} {
		_, err := drill.Resume(context.Background(), in, c.p, c.at, quick)
		var se *drill.StopError
		require.ErrorAs(t, err, &se, "%s: %s", c.name, c.reason)
		assert.ErrorIs(t, err, c.err, "%s: %s", c.name, c.reason)
		assert.Contains(t, err.Error(), "pass plated run", c.name)
	}
	_, err = parked.Mount(p.SetUp, in.Machine)
	assert.ErrorIs(t, err, drill.ErrSetUp, "a rest is mounted already")
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = drill.Resume(ctx, in, p, drill.Stop{Run: run, Hit: 1}, drill.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A rest is not believed: what it says was made before is held against the
// holes like the program itself.
func TestCheckOfARest(t *testing.T) {
	in := resumable()
	p := shortLived(t, in, plan(t, in)[0], 30)
	at := drill.Stop{Run: longRun(p).Number, Hit: 4, Last: 8, Spindles: []int{2}, Fragments: []int{6}}
	rest, err := drill.Resume(context.Background(), in, p, at, quick)
	require.NoError(t, err)
	require.Equal(t, 3, rest.Runs[0].Again)
	text := textOf(t, rest, nc.WriteOptions{})
	for _, c := range []struct {
		name, reason, rule string
		change             func(*drill.Rest)
	}{
		{"forgotten", "the holes made before are missing", "hole-missing", func(r *drill.Rest) { r.Done = nil }},
		{"made before and now", "hit twice", "hole-doubled", func(r *drill.Rest) {
			r.Done = append(slices.Clone(r.Done), drill.Done{Diameter: rest.Runs[0].Tool.Diameter, Hits: rest.Runs[0].Hits[:1]})
		}},
		{"made in no hole", "nothing is there", "hit-unknown", func(r *drill.Rest) {
			r.Done = append(slices.Clone(r.Done), drill.Done{Diameter: 1, Hits: []drill.Hit{{At: orb.Point{3, 3}}}})
		}},
		{"fragment forgotten", "its hole is not made", "hole-missing", func(r *drill.Rest) { r.LeftOut = nil }},
		{"left out and hit", "a bit would hit the piece", "left-out", func(r *drill.Rest) {
			r.LeftOut = append(slices.Clone(r.LeftOut), drill.LeftOut{Hole: rest.Runs[0].Hits[0].Hole})
		}},
		{"no such hole", "another input", "left-out", func(r *drill.Rest) { r.LeftOut = []drill.LeftOut{{Hole: 9999}} }},
		{"other doubt", "the parked spindles lose a hole", "again-differs", func(r *drill.Rest) { r.Again = r.Again[1:] }},
		{"other spindles", "the operator parks the wrong ones", "park-missing", func(r *drill.Rest) { r.Stop.Spindles = []int{1} }},
	} {
		changed := rest
		record := *rest.Rest
		c.change(&record)
		changed.Rest = &record
		assert.Contains(t, refused(drill.Check(in, changed, parse(t, text))), c.rule, "%s: %s", c.name, c.reason)
	}
	worn := rest
	worn.Runs = slices.Clone(rest.Runs)
	worn.Runs[0].Bits = slices.Clone(rest.Runs[0].Bits)
	worn.Runs[0].Bits[0].Worn = 1000
	assert.Contains(t, refused(drill.Check(in, worn, parse(t, text))), "life")
	assert.NoError(t, drill.Check(in, rest, parse(t, text)).Err())

	b, err := json.Marshal(rest)
	require.NoError(t, err)
	var again drill.Pass
	require.NoError(t, json.Unmarshal(b, &again))
	assert.Equal(t, text, textOf(t, again, nc.WriteOptions{}))
}

// Four holes of a tide gauge's board (invented): after the second the bit broke
// on the first of two spindles, perhaps in the hole before.
func ExampleResume() {
	mill, _ := machine.Preset("ball screw")
	size := tooling.Size{Diameter: 0.9, Basis: tooling.Finished, Plated: true}
	in := drill.Input{
		Panel: tooling.Panel{Width: 100, Height: 80, Thickness: 1.6, Material: tooling.FR4},
		Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill,
	}
	for x := range 4 {
		in.Holes = append(in.Holes, drill.Round(orb.Point{20 + 15*float64(x), 20}, size))
	}
	ctx := context.Background()
	passes, err := drill.Plan(ctx, in, drill.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	lot, err := stack.Solve(ctx, stack.Problem{Lot: 4, Panel: in.Panel, Rules: in.Rules, Machine: mill, SetUps: [][]stack.Work{passes[0].Work()}}, stack.Options{Height: 2})
	if err != nil {
		fmt.Println(err)
		return
	}
	pass, err := passes[0].Mount(lot.SetUps[0], mill)
	if err != nil {
		fmt.Println(err)
		return
	}
	rest, err := drill.Resume(ctx, in, pass, drill.Stop{Run: 1, Hit: 1, Last: 2, Spindles: []int{1}}, drill.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	program, err := rest.Program(nc.WriteOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, h := range rest.Runs[0].Hits {
		fmt.Printf("X%.0f ", h.At[0])
	}
	fmt.Printf("of %d hits, %d with the other spindle parked, refused: %v\n", pass.Hits(), rest.Runs[0].Again, drill.Check(in, rest, program).Err())
	// Output: X50 X35 X20 of 4 hits, 1 with the other spindle parked, refused: <nil>
}

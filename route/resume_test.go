package route_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// stoppable is a layout with runs of two cutters, a clamp to go round, and a
// pass for three spindles whose cutters last so many mm.
func stoppable(t testing.TB, life float64) (route.Layout, route.Pass) {
	t.Helper()
	in := samples()["sharp inside corners"]
	in.Machine.Spindles, in.Machine.Places = 3, 60
	in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: orb.Point{40, 0}, Max: orb.Point{60, 5}, Height: 9}}
	l := lay(t, in)
	p := plan(t, l, route.Options{CleanUp: 0.8})[0]
	s := setUp(t, in, p, 1)
	s.Spindles = 3
	for k := range s.Tools {
		s.Tools[k].Life, s.Tools[k].PerLoad = life, 6
	}
	whole, err := p.Mount(s, in.Machine)
	require.NoError(t, err)
	return l, whole
}

// cut is one path as a written program has it.
type cut struct {
	run, number int // of the run, from 1
	place       int
	length      float64 // mm, arcs by their chords
	shape       string  // where it goes: its words
	alone       []int
}

// cutsOf reads the paths of a program from the text alone, and how many it
// says are left out.
func cutsOf(t testing.TB, text string) (out []cut, left int) {
	t.Helper()
	var now cut
	header, down := true, false
	var at [2]float64
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		switch {
		case line == "%":
			header = false
		case strings.HasPrefix(line, "; left out from "):
			left++
		case strings.HasPrefix(line, "; run "):
			run := 0
			_, err := fmt.Sscanf(line, "; run %d", &run)
			require.NoError(t, err, line)
			if run != now.run {
				now.run, now.number = run, 0
			}
		case strings.HasPrefix(line, "M47,STOP: park all spindles but "):
			for _, word := range strings.Split(strings.TrimPrefix(line, "M47,STOP: park all spindles but "), " and ") {
				n, err := strconv.Atoi(word)
				require.NoError(t, err, line)
				now.alone = append(now.alone, n)
			}
		case strings.HasPrefix(line, "M47,STOP: take all"):
			now.alone = nil
		case header || line == "" || line[0] == ';' || strings.HasPrefix(line, "M47"):
		case line[0] == 'T':
			n, err := strconv.Atoi(line[1:])
			require.NoError(t, err, line)
			now.place = n
		case line == "M15":
			down = true
			now.number++
			now.shape, now.length = fmt.Sprint(at), 0
		case line == "M16" || line == "M17":
			down = false
			out = append(out, now)
		default:
			to := at
			if k := strings.IndexByte(line, 'X'); k >= 0 {
				_, err := fmt.Sscanf(line[k+1:], "%f", &to[0])
				require.NoError(t, err, line)
			}
			if k := strings.IndexByte(line, 'Y'); k >= 0 {
				_, err := fmt.Sscanf(line[k+1:], "%f", &to[1])
				require.NoError(t, err, line)
			}
			if down {
				now.shape += line[:min(3, len(line))] + fmt.Sprint(to)
				now.length += math.Hypot(to[0]-at[0], to[1]-at[1])
			}
			at = to
		}
	}
	return out, left
}

func randomStop(rng *rand.Rand, l route.Layout, p route.Pass) route.Stop {
	r := p.Runs[rng.IntN(len(p.Runs))]
	at := route.Stop{Run: r.Number, Path: rng.IntN(len(r.Paths) + 1)}
	at.Last = at.Path + rng.IntN(min(3, len(r.Paths)-at.Path+1))
	at.Spindles = [][]int{nil, {1 + rng.IntN(3)}, {3, 1}, {1, 2, 3}}[rng.IntN(4)]
	at.Together, at.Fresh = rng.IntN(3) == 0, rng.IntN(4) == 0
	if n := min(at.Last+1, len(r.Paths)); n > at.Path && rng.IntN(3) == 0 {
		at.Fragments = []int{at.Path + 1 + rng.IntN(n-at.Path)}
	}
	if rng.IntN(4) == 0 {
		x, y := rng.Float64()*l.Input.Panel.Width, rng.Float64()*l.Input.Panel.Height
		at.Scrapped = []orb.Bound{{Min: orb.Point{x - 40, y - 30}, Max: orb.Point{x + 40, y + 30}}}
	}
	return at
}

// Every spindle is followed through up to three stops, in the written texts
// alone: each path of the whole pass is cut once, those in doubt again where
// that was asked for, none of those left out; and no cutter cuts more than it
// lives.
func TestWrittenRestsCutEveryPathOnEverySpindle(t *testing.T) {
	const life = 180.0
	l, whole := stoppable(t, life)
	need := map[string]int{}
	first, _ := cutsOf(t, text(t, whole))
	for _, c := range first {
		need[c.shape]++
	}
	rounds := uint64(120)
	if testing.Short() {
		rounds = 25
	}
	seen := map[string]int{}
	for seed := range rounds {
		rng := rand.New(rand.NewPCG(53, seed))
		p, written := whole, first
		made, asked, wear := [3]map[string]int{{}, {}, {}}, [3]map[string]int{{}, {}, {}}, [3]map[int]float64{{}, {}, {}}
		gone := map[string]bool{}
		label := ""
		run := func(cuts []cut) {
			for _, c := range cuts {
				require.False(t, gone[c.shape], "%s: cuts what is left out", label)
				for n := range 3 {
					if c.alone == nil || slices.Contains(c.alone, n+1) {
						made[n][c.shape]++
						wear[n][c.place] += c.length
						require.LessOrEqual(t, wear[n][c.place], life+0.1, "%s: T%d of spindle %d", label, c.place, n+1)
					}
				}
			}
		}
		for round := range 3 {
			at := randomStop(rng, l, p)
			rest, err := route.Resume(context.Background(), l, p, at, route.Options{})
			if r := p.Runs[0]; errors.Is(err, route.ErrStop) && r.Number == at.Run && at.Path < r.Again {
				at.Spindles, at.Together = slices.Clone(p.Rest.Stop.Spindles), false
				rest, err = route.Resume(context.Background(), l, p, at, route.Options{})
			}
			label = fmt.Sprintf("seed %d, stop %d %+v", seed, round, at)
			begin := slices.IndexFunc(written, func(c cut) bool { return c.run == at.Run })
			last := max(at.Last, at.Path)
			run(written[:begin+last])
			for n := range 3 {
				concerned := len(at.Spindles) == 0 || slices.Contains(at.Spindles, n+1)
				for _, c := range written[begin+at.Path : begin+last] {
					if (concerned || at.Together) && (c.alone == nil || slices.Contains(c.alone, n+1)) {
						asked[n][c.shape]++
					}
				}
				// the path that was begun wears the cutter, and is not made
				if k := begin + last; k < len(written) && (written[k].alone == nil || slices.Contains(written[k].alone, n+1)) {
					wear[n][written[k].place] += written[k].length
				}
				switch {
				case at.Fresh:
					clear(wear[n])
				case concerned:
					wear[n][written[min(begin+last, len(written)-1)].place] = 0
					wear[n][written[max(begin+last-1, 0)].place] = 0
				}
			}
			if errors.Is(err, route.ErrStop) {
				for _, c := range written[begin+at.Path:] {
					gone[c.shape] = true // nothing is left, or it is all left out
				}
				written = nil
				break
			}
			require.NoError(t, err, label)
			src := text(t, rest)
			require.NoError(t, route.Check(l, rest, parse(t, src)).Err(), label)
			e, err := rest.Estimate(l.Input.Machine)
			require.NoError(t, err)
			require.Positive(t, e.Total(), label)
			before := written[begin+at.Path:]
			var left int
			written, left = cutsOf(t, src)
			known := len(gone)
			for _, c := range before {
				if !slices.ContainsFunc(written, func(d cut) bool { return d.shape == c.shape }) {
					gone[c.shape] = true
				}
			}
			require.Len(t, gone, left, "%s: what is left out is listed", label)
			for _, k := range at.Fragments {
				require.True(t, gone[before[k-1-at.Path].shape], label)
			}
			if len(at.Fragments)+len(at.Scrapped) == 0 {
				require.Len(t, gone, known, "%s: nothing asks for leaving out", label)
			}
			for _, l := range rest.Rest.LeftOut {
				require.Contains(t, []string{route.Fragment, route.Beside, route.Scrapped}, l.Why, label)
				seen[l.Why]++
			}
			if rest.Rest.Parked {
				seen["parked"]++
			}
			if rest.Runs[0].Cutters[0].Worn > 0 {
				seen["worn"]++
			}
			seen["stops"]++
			p = rest
		}
		run(written)
		for n := range 3 {
			for shape, want := range need {
				if !gone[shape] {
					require.Equal(t, want+asked[n][shape], made[n][shape], "%s: spindle %d, %s", label, n+1, shape)
				}
			}
			for shape := range made[n] {
				require.Positive(t, need[shape], "%s: spindle %d cuts what nobody asked for: %s", label, n+1, shape)
			}
		}
	}
	for _, what := range []string{route.Fragment, route.Scrapped, "parked", "worn"} {
		assert.Positive(t, seen[what], what)
	}
	assert.Greater(t, seen["stops"], int(rounds))
}

// What was cut before and what is left is the whole, wherever it stopped.
func TestResumeAtEveryPath(t *testing.T) {
	l, whole := stoppable(t, 150)
	before, _ := json.Marshal(whole)
	sum := func(paths []route.Path) (mm float64) {
		for _, q := range paths {
			mm += q.Length()
		}
		return mm
	}
	all, stops := 0.0, 0
	for _, r := range whole.Runs {
		all += sum(r.Paths)
	}
	for _, r := range whole.Runs {
		for k := range r.Paths {
			stops++
			rest, err := route.Resume(context.Background(), l, whole, route.Stop{Run: r.Number, Path: k}, route.Options{})
			require.NoError(t, err)
			require.NoError(t, route.Check(l, rest, parse(t, text(t, rest))).Err(), "run %d path %d", r.Number, k)
			mm := 0.0
			for _, q := range rest.Runs {
				mm += sum(q.Paths)
				byCutter := 0.0
				for _, c := range q.Cutters {
					byCutter += c.Cut
				}
				require.InDelta(t, q.Cut, byCutter, 0.01)
			}
			for _, d := range rest.Rest.Done {
				mm += sum(d.Paths)
			}
			require.InDelta(t, all, mm, 1e-6, "run %d path %d", r.Number, k)
		}
	}
	require.GreaterOrEqual(t, stops, 6)
	after, _ := json.Marshal(whole)
	require.Equal(t, string(before), string(after), "Resume changed the pass it was asked of")
}

func TestResumeOnAnotherMachine(t *testing.T) {
	l, p := stoppable(t, 180)
	other := l
	other.Input.Machine.Spindles, other.Input.Machine.Places = 2, 40
	other.Input.Machine.MaxSpeed = 24_000
	other.Input.Machine.ChangeAt = orb.Point{-40, 60}
	at := route.Stop{Run: p.Runs[0].Number, Path: 1, Fresh: true}
	rest, err := route.Resume(context.Background(), other, p, at, route.Options{})
	require.NoError(t, err)
	require.NoError(t, route.Check(other, rest, parse(t, text(t, rest))).Err())
	assert.Equal(t, 2, rest.SetUp.Spindles)
	assert.Equal(t, 2, rest.SetUp.Loads, "three stacks on two spindles")
	for _, r := range rest.Runs {
		assert.LessOrEqual(t, r.Feed.Speed, 24_000.0)
	}
	places := 0
	for _, r := range rest.Runs {
		places += len(r.Cutters)
	}
	other.Input.Machine.Places = places
	rest, err = route.Resume(context.Background(), other, p, at, route.Options{})
	require.NoError(t, err, "as many places as cutters")
	last := rest.Runs[len(rest.Runs)-1].Cutters
	assert.Equal(t, places, last[len(last)-1].Place)
	require.NoError(t, route.Check(other, rest, parse(t, text(t, rest))).Err())

	for name, change := range map[string]func(*route.Input, *route.Stop){
		"too few places":    func(in *route.Input, _ *route.Stop) { in.Machine.Places = 1 },
		"too few to park":   func(_ *route.Input, at *route.Stop) { at.Spindles, at.Last, at.Fresh = []int{2}, 2, false },
		"spindles too fast": func(in *route.Input, _ *route.Stop) { in.Machine.MinSpeed, in.Machine.MaxSpeed = 150_000, 160_000 },
		"too low":           func(in *route.Input, _ *route.Stop) { in.Machine.Opening = 3 },
	} {
		bad, at := other, at
		change(&bad.Input, &at)
		_, err := route.Resume(context.Background(), bad, p, at, route.Options{})
		var se *route.StopError
		require.ErrorAs(t, err, &se, name)
		require.ErrorIs(t, err, route.ErrSetUp, name)
	}
}

func TestResumeRefuses(t *testing.T) {
	l, p := stoppable(t, 180)
	run, n := p.Runs[0].Number, len(p.Runs[0].Paths)
	last := p.Runs[len(p.Runs)-1]
	unmounted := plan(t, l, route.Options{CleanUp: 0.8})[0]
	parked, err := route.Resume(context.Background(), l, p, route.Stop{Run: run, Path: 1, Last: 3, Spindles: []int{2}}, route.Options{})
	require.NoError(t, err)
	require.Equal(t, 2, parked.Runs[0].Again)
	broken := p
	broken.Runs = slices.Clone(p.Runs)
	broken.Runs[0].Cutters = nil
	for _, c := range []struct {
		name, reason string
		p            route.Pass
		at           route.Stop
		err          error
	}{
		{"no run", "zero is no run", p, route.Stop{}, route.ErrStop},
		{"other run", "the pass has none", p, route.Stop{Run: 99}, route.ErrStop},
		{"negative", "counted from 1", p, route.Stop{Run: run, Path: -1}, route.ErrStop},
		{"beyond", "the run is over", p, route.Stop{Run: run, Path: n + 1}, route.ErrStop},
		{"doubt backwards", "last before good", p, route.Stop{Run: run, Path: 3, Last: 2}, route.ErrStop},
		{"doubt beyond", "the run is over", p, route.Stop{Run: run, Path: 1, Last: n + 1}, route.ErrStop},
		{"fragment in a good path", "it cannot be good", p, route.Stop{Run: run, Path: 2, Fragments: []int{2}}, route.ErrStop},
		{"fragment not reached yet", "nothing broke there", p, route.Stop{Run: run, Path: 1, Last: 1, Fragments: []int{3}}, route.ErrStop},
		{"no such spindle", "three are in use", p, route.Stop{Run: run, Spindles: []int{4}}, route.ErrStop},
		{"spindle twice", "once is enough", p, route.Stop{Run: run, Spindles: []int{1, 1}}, route.ErrStop},
		{"nothing left", "the pass is made", p, route.Stop{Run: last.Number, Path: len(last.Paths)}, route.ErrStop},
		{"area NaN", "no length", p, route.Stop{Run: run, Scrapped: []orb.Bound{{Min: orb.Point{math.NaN(), 0}}}}, route.ErrCoord},
		{"area turned", "corners swapped", p, route.Stop{Run: run, Scrapped: []orb.Bound{{Min: orb.Point{5, 0}}}}, route.ErrCoord},
		{"not mounted", "no depth, no cutters", unmounted, route.Stop{Run: run}, route.ErrUnmounted},
		{"no cutters", "read from a bad file", broken, route.Stop{Run: run}, route.ErrSetUp},
		{"another spindle among parked paths", "it never cut them", parked, route.Stop{Run: run, Path: 1, Spindles: []int{1}}, route.ErrStop},
		{"all among parked paths", "one spindle was at work", parked, route.Stop{Run: run}, route.ErrStop},
	} {
		_, err := route.Resume(context.Background(), l, c.p, c.at, route.Options{})
		var se *route.StopError
		require.ErrorAs(t, err, &se, "%s: %s", c.name, c.reason)
		assert.ErrorIs(t, err, c.err, "%s: %s", c.name, c.reason)
		assert.Contains(t, err.Error(), "pass rout run", c.name)
	}
	_, err = parked.Mount(p.SetUp, l.Input.Machine)
	assert.ErrorIs(t, err, route.ErrSetUp, "a rest is mounted already")
	_, err = route.Resume(context.Background(), l, p, route.Stop{Run: run}, route.Options{Rough: math.NaN()})
	assert.ErrorIs(t, err, tooling.ErrValue)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = route.Resume(ctx, l, p, route.Stop{Run: run}, route.Options{})
	assert.ErrorIs(t, err, context.Canceled)
}

// A rest is not believed: what it says was cut before is held against the
// edges like the program itself.
func TestCheckOfARest(t *testing.T) {
	l, p := stoppable(t, 180)
	rest, err := route.Resume(context.Background(), l, p, route.Stop{Run: p.Runs[0].Number, Path: 2, Last: 4, Spindles: []int{2}, Fragments: []int{4}}, route.Options{})
	require.NoError(t, err)
	require.Equal(t, 1, rest.Runs[0].Again)
	src := text(t, rest)
	require.NoError(t, route.Check(l, rest, parse(t, src)).Err())
	for _, c := range []struct {
		name, reason, rule string
		change             func(*route.Rest)
	}{
		{"forgotten", "the edges cut before are missing", "uncut-edge", func(r *route.Rest) { r.Done = nil }},
		{"fragment forgotten", "its edge is not cut", "uncut-edge", func(r *route.Rest) { r.LeftOut = nil }},
		{"left out and cut", "a cutter would hit the piece", "left-out", func(r *route.Rest) {
			r.LeftOut = append(slices.Clone(r.LeftOut), route.LeftOut{Diameter: 1, Path: rest.Runs[0].Paths[0], Why: route.Fragment})
		}},
		{"given up and cut", "it was left out", "left-out", func(r *route.Rest) {
			r.LeftOut = append(slices.Clone(r.LeftOut), route.LeftOut{Diameter: 1, Path: rest.Runs[0].Paths[1], Why: route.Scrapped})
		}},
		{"other doubt", "the parked spindles lose a path", "again-differs", func(r *route.Rest) { r.Again = nil }},
		{"other spindles", "the operator parks the wrong ones", "park-missing", func(r *route.Rest) { r.Stop.Spindles = []int{1} }},
	} {
		changed, record := rest, *rest.Rest
		c.change(&record)
		changed.Rest = &record
		assert.Contains(t, broken(route.Check(l, changed, parse(t, src))), c.rule, "%s: %s", c.name, c.reason)
	}
	worn := rest
	worn.Runs = slices.Clone(rest.Runs)
	worn.Runs[0].Cutters = slices.Clone(rest.Runs[0].Cutters)
	worn.Runs[0].Cutters[0].Worn = 1e6
	assert.Contains(t, broken(route.Check(l, worn, parse(t, src))), "life")
}

// A third spindle keeps its cutter through two stops of the others: all that it
// cut counts, what it was cutting when the machine came to a halt as well.
func TestWearAddsUpOverTwoStops(t *testing.T) {
	l, p := stoppable(t, 400)
	length := func(n int) float64 { return p.Runs[0].Paths[n-1].Length() }
	once, err := route.Resume(context.Background(), l, p, route.Stop{Run: 1, Path: 1, Spindles: []int{1}}, route.Options{})
	require.NoError(t, err)
	require.InDelta(t, length(1)+length(2), once.Runs[0].Cutters[0].Worn, 0.01)
	twice, err := route.Resume(context.Background(), l, once, route.Stop{Run: 1, Path: 1, Spindles: []int{2}}, route.Options{})
	require.NoError(t, err)
	require.InDelta(t, length(1)+length(2)+length(2)+length(3), twice.Runs[0].Cutters[0].Worn, 0.01)
	fresh, err := route.Resume(context.Background(), l, once, route.Stop{Run: 1, Path: 1, Fresh: true, Spindles: []int{2}}, route.Options{})
	require.NoError(t, err)
	require.Zero(t, fresh.Runs[0].Cutters[0].Worn)
}

package drill_test

import (
	"context"
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

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling/nc"
)

// stroke is one hit as a written program has it.
type stroke struct {
	run, number int // of the run, from 1
	place       int
	diameter    float64
	at          orb.Point
	alone       []int // the spindles that make it; nil: all
}

func (s stroke) by(spindle int) bool { return s.alone == nil || slices.Contains(s.alone, spindle) }

// strokesOf reads the hits of a program and the places it says are left out:
// from the text alone, with none of the package's readers.
func strokesOf(t testing.TB, text string) (out []stroke, left []orb.Point) {
	t.Helper()
	diameters := map[int]float64{}
	var now stroke
	header := true
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		var x, y float64
		switch {
		case line == "%":
			header = false
		case strings.HasPrefix(line, "; left out at "):
			_, err := fmt.Sscanf(line, "; left out at X%f Y%f:", &x, &y)
			require.NoError(t, err, line)
			left = append(left, orb.Point{x, y})
		case strings.HasPrefix(line, "; run "):
			run := 0
			_, err := fmt.Sscanf(line, "; run %d", &run)
			require.NoError(t, err, line)
			if run != now.run {
				now.run, now.number = run, 0
			}
		case header && strings.HasPrefix(line, "T"):
			number, rest, _ := strings.Cut(line[1:], "C")
			n, err := strconv.Atoi(number)
			require.NoError(t, err, line)
			diameters[n], err = strconv.ParseFloat(rest[:strings.IndexByte(rest, 'F')], 64)
			require.NoError(t, err, line)
		case strings.HasPrefix(line, "T"):
			n, err := strconv.Atoi(line[1:])
			require.NoError(t, err, line)
			now.place, now.diameter = n, diameters[n]
		case strings.HasPrefix(line, "M47,STOP: park all spindles but "):
			for _, word := range strings.Split(strings.TrimPrefix(line, "M47,STOP: park all spindles but "), " and ") {
				n, err := strconv.Atoi(word)
				require.NoError(t, err, line)
				now.alone = append(now.alone, n)
			}
		case strings.HasPrefix(line, "M47,STOP: take all"):
			now.alone = nil
		case strings.HasPrefix(line, "X"):
			_, err := fmt.Sscanf(line, "X%fY%f", &x, &y)
			require.NoError(t, err, line)
			now.number++
			now.at = orb.Point{x, y}
			out = append(out, now)
		}
	}
	return out, left
}

// between is the distance from p to the segment from a to b.
func between(p, a, b orb.Point) float64 {
	u, v := b[0]-a[0], b[1]-a[1]
	s := 0.0
	if l := u*u + v*v; l > 0 {
		s = min(1, max(0, ((p[0]-a[0])*u+(p[1]-a[1])*v)/l))
	}
	return math.Hypot(a[0]+s*u-p[0], a[1]+s*v-p[1])
}

// holeAt is the hole whose centre line is nearest to a stroke.
func holeAt(holes []drill.Hole, at orb.Point) int {
	best := 0
	for i, h := range holes {
		if between(at, h.At, h.To) < between(at, holes[best].At, holes[best].To) {
			best = i
		}
	}
	return best
}

// tally is what one spindle made: strokes by hole and diameter, the bits' wear
// by place, and where the slots were hit.
type tally struct {
	made  map[[2]int]int
	asked map[[2]int]int // more than once because it was asked for
	wear  map[int]int
	hits  map[int][]orb.Point
}

func key(holes []drill.Hole, s stroke) [2]int {
	return [2]int{holeAt(holes, s.at), int(math.Round(1000 * s.diameter))}
}

// interruption follows the spindles of one machine through stops and rests.
type interruption struct {
	in    drill.Input
	need  map[[2]int]int // strokes of the whole pass
	all   []tally        // by spindle, the first is number 1
	left  map[int]bool   // holes left out
	life  int
	label string
}

func follow(in drill.Input, text []stroke, spindles, life int, label string) *interruption {
	f := &interruption{in: in, need: map[[2]int]int{}, left: map[int]bool{}, life: life, label: label}
	for _, s := range text {
		f.need[key(in.Holes, s)]++
	}
	for range spindles {
		f.all = append(f.all, tally{map[[2]int]int{}, map[[2]int]int{}, map[int]int{}, map[int][]orb.Point{}})
	}
	return f
}

// make lets the machine run so many strokes of a program.
func (f *interruption) make(t testing.TB, text []stroke) {
	for _, s := range text {
		require.False(t, f.left[holeAt(f.in.Holes, s.at)], "%s: a hole left out is hit at %v", f.label, s.at)
		for n := range f.all {
			if !s.by(n + 1) {
				continue
			}
			f.all[n].made[key(f.in.Holes, s)]++
			f.all[n].hits[holeAt(f.in.Holes, s.at)] = append(f.all[n].hits[holeAt(f.in.Holes, s.at)], s.at)
			f.all[n].wear[s.place]++
			require.LessOrEqual(t, f.all[n].wear[s.place], f.life, "%s: T%d of spindle %d is worn out", f.label, s.place, n+1)
		}
	}
}

// stop notes what the stop says is in doubt, and who gets a new bit.
func (f *interruption) stop(t testing.TB, text []stroke, at drill.Stop) {
	concerned := func(n int) bool { return len(at.Spindles) == 0 || slices.Contains(at.Spindles, n) }
	begin := slices.IndexFunc(text, func(s stroke) bool { return s.run == at.Run })
	end := begin + at.Last
	f.make(t, text[:end])
	for _, s := range text[begin+at.Hit : end] {
		for n := range f.all {
			if s.by(n+1) && (concerned(n+1) || at.Together) {
				f.all[n].asked[key(f.in.Holes, s)]++
			}
		}
	}
	for n := range f.all {
		if at.Fresh || concerned(n+1) {
			f.all[n].wear[text[max(begin, end-1)].place] = 0
		}
		if at.Fresh {
			clear(f.all[n].wear)
		}
	}
	for _, k := range at.Fragments {
		f.left[holeAt(f.in.Holes, text[begin+k-1].at)] = true
	}
	for _, s := range text[begin+at.Hit:] {
		h := f.in.Holes[holeAt(f.in.Holes, s.at)]
		for _, b := range at.Scrapped {
			for k := range 501 {
				x := float64(k) / 500
				if b.Contains(orb.Point{h.At[0] + x*(h.To[0]-h.At[0]), h.At[1] + x*(h.To[1]-h.At[1])}) {
					f.left[holeAt(f.in.Holes, s.at)] = true
				}
			}
		}
	}
}

// complete wants every stroke of the pass once on every spindle, and what was
// asked for again, again; nothing of the holes left out.
func (f *interruption) complete(t testing.TB) {
	for n, a := range f.all {
		for k, want := range f.need {
			if got := a.made[k]; !f.left[k[0]] && got != want+a.asked[k] {
				require.Equal(t, want+a.asked[k], got, "%s: spindle %d, hole %d with %.3f mm", f.label, n+1, k[0], float64(k[1])/1000)
			}
		}
		for k := range a.made {
			require.Positive(t, f.need[k], "%s: spindle %d makes what nobody asked for: %v", f.label, n+1, k)
		}
		for i, hits := range a.hits {
			if h := f.in.Holes[i]; h.IsSlot() && !f.left[i] {
				f.slot(t, h, hits)
			}
		}
	}
}

// slot wants no bump above the limit: no two neighbouring hits farther apart
// than leaves it, both ends reached.
func (f *interruption) slot(t testing.TB, h drill.Hole, hits []orb.Point) {
	d, bump := h.Size.Diameter, f.in.Rules.Bump
	limit := 2*math.Sqrt(bump*(d+0.3-bump)) + 0.01 // the bit is at most the allowance wider
	var along []float64
	for _, p := range hits {
		if between(p, h.At, h.To) < 0.002 {
			along = append(along, math.Hypot(p[0]-h.At[0], p[1]-h.At[1]))
		}
	}
	slices.Sort(along)
	require.InDelta(t, 0, along[0], 0.002, f.label)
	require.InDelta(t, h.Length(), along[len(along)-1], 0.002, f.label)
	for k := 1; k < len(along); k++ {
		require.LessOrEqual(t, along[k]-along[k-1], limit, f.label)
	}
}

// The count knows the holes, the written texts and what was asked for at each
// stop; nothing of passes. Up to three stops in a row, on three spindles.
func TestWrittenRestsMakeEveryHoleOnEverySpindle(t *testing.T) {
	in := resumable()
	passes := plan(t, in)
	rounds := uint64(300)
	if testing.Short() {
		rounds = 60
	}
	stops, slots := 0, 0
	for seed := range rounds {
		rng := rand.New(rand.NewPCG(43, seed))
		life := 25 + rng.IntN(20)
		p := shortLived(t, in, passes[rng.IntN(len(passes))], life)
		text, _ := strokesOf(t, textOf(t, p, nc.WriteOptions{}))
		f := follow(in, text, 3, life, "")
		for round := range 3 {
			at := randomStop(rng, in, p)
			rest, err := drill.Resume(context.Background(), in, p, at, quick)
			if errors.Is(err, drill.ErrStop) && at.Hit < p.Runs[0].Again && at.Run == p.Runs[0].Number {
				at.Spindles, at.Together = slices.Clone(p.Rest.Stop.Spindles), false // nobody else is at work there
				rest, err = drill.Resume(context.Background(), in, p, at, quick)
			}
			f.label = fmt.Sprintf("seed %d, stop %d %+v", seed, round, at)
			f.stop(t, text, at)
			if errors.Is(err, drill.ErrStop) {
				text = nil
				break
			}
			require.NoError(t, err, f.label)
			written := textOf(t, rest, nc.WriteOptions{})
			require.NoError(t, drill.Check(in, rest, parse(t, written)).Err(), f.label)
			var left []orb.Point
			text, left = strokesOf(t, written)
			require.Len(t, left, len(f.left), f.label)
			for _, q := range left {
				require.True(t, f.left[holeAt(in.Holes, q)], "%s: the hole at %v need not be left out", f.label, q)
			}
			stops++
			if h := in.Holes[holeAt(in.Holes, text[0].at)]; h.IsSlot() && at.Last%25 != 0 {
				slots++
			}
			p = rest
		}
		f.make(t, text)
		f.complete(t)
	}
	assert.Greater(t, stops, int(rounds)*3/2)
	assert.Greater(t, slots, int(rounds)/10)
}

// A rest on a machine with fewer spindles is run once for every so many stacks:
// each stack gets what it lacked, whichever load it is in.
func TestWrittenRestOnFewerSpindles(t *testing.T) {
	in := resumable()
	passes := plan(t, in)
	small := in
	small.Machine.Spindles, small.Machine.Places = 2, 30
	small.Machine.MaxSpeed = 60_000
	small.Machine.X.Accel /= 3
	for seed := range uint64(60) {
		rng := rand.New(rand.NewPCG(47, seed))
		p := shortLived(t, in, passes[0], 40)
		text, _ := strokesOf(t, textOf(t, p, nc.WriteOptions{}))
		at := randomStop(rng, in, p)
		at.Together, at.Fresh, at.Fragments = true, true, nil
		f := follow(in, text, 3, 40, fmt.Sprintf("seed %d %+v", seed, at))
		rest, err := drill.Resume(context.Background(), small, p, at, quick)
		if errors.Is(err, drill.ErrStop) {
			continue
		}
		require.NoError(t, err, f.label)
		written := textOf(t, rest, nc.WriteOptions{})
		require.NoError(t, drill.Check(small, rest, parse(t, written)).Err(), f.label)
		require.Equal(t, 2, rest.SetUp.Loads, f.label)
		require.Equal(t, 1, rest.SetUp.Last, f.label)
		f.stop(t, text, at)
		text, _ = strokesOf(t, written)
		for _, s := range text {
			require.LessOrEqual(t, s.place, 30, f.label)
			require.Nil(t, s.alone, f.label)
		}
		f.make(t, text)
		f.complete(t)

		// a stop of the first of the two loads concerns its two stacks only
		again, err := drill.Resume(context.Background(), small, rest, drill.Stop{Run: rest.Runs[0].Number, Last: 1, Spindles: []int{2}}, quick)
		require.NoError(t, err, f.label)
		require.Equal(t, 1, again.SetUp.Loads, f.label)
		require.Equal(t, 2, again.SetUp.Spindles, f.label)
		require.Equal(t, 1, again.Runs[0].Again, f.label)
	}
}

package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// Mount returns the pass as it will run in a set-up: each run gets its depth,
// feeds and life from the set-up, and where it outlives its cutter it is
// divided among further ones, at the ends of paths where the extra trips cost
// least. Tool numbers count through all passes of the set-up, so that one
// magazine holds them. Paths stand on the writing grid since [Plan].
//
// The pass itself is not changed. Errors are [*MountError] wrapping [ErrLife]
// for a path longer than its cutter lives, or [ErrSetUp]: a set-up that does
// not know a run, too few cutters, more tools than the machine has places.
func (p Pass) Mount(s stack.SetUp, m machine.Machine) (Pass, error) {
	if p.Rest != nil {
		return Pass{}, &MountError{Pass: p.Name, Found: "the rest after a stop", Expected: "a whole pass: a rest is mounted already", Err: ErrSetUp}
	}
	if s.Height < 1 {
		return Pass{}, &MountError{Pass: p.Name, Found: fmt.Sprintf("a stack of %d", s.Height), Expected: "at least one panel", Err: ErrSetUp}
	}
	out := p
	out.SetUp = s
	out.Runs = slices.Clone(p.Runs)
	for i := range out.Runs {
		if err := out.Runs[i].mount(&p, s, m); err != nil {
			return Pass{}, err
		}
	}
	return out, nil
}

func (r *Run) mount(p *Pass, s stack.SetUp, m machine.Machine) error {
	pass := p.Name
	refuse := func(err error, found, expected string) error {
		return &MountError{Pass: pass, Tool: r.Tool.ID, Found: found, Expected: expected, Err: err}
	}
	share, ok := s.Share(pass, r.Number)
	if !ok {
		return refuse(ErrSetUp, fmt.Sprintf("no share for run %d in set-up %d", r.Number, s.Number), "a set-up solved for this pass")
	}
	r.Feed, r.Depth, r.Life = share.Feed, share.Depth, share.Life
	for _, p := range r.Paths {
		if l := micro(p.Length()); tooling.Nanometres(l) > tooling.Nanometres(r.Life) {
			return refuse(ErrLife, fmt.Sprintf("a path of %.1f mm from X%.3f Y%.3f", l, p.Line.Start[0], p.Line.Start[1]), fmt.Sprintf("at most the life of %.0f mm: a lower stack, or more tabs", r.Life))
		}
	}
	starts := divide(r.Paths, share.PerLoad, r.Life, m.Travel(), m.ChangeAt)
	if starts == nil {
		return refuse(ErrSetUp, fmt.Sprintf("%d cutters of %.0f mm", share.PerLoad, r.Life), fmt.Sprintf("enough for %d paths of %.0f mm", len(r.Paths), r.Cut))
	}
	place := s.FirstPlace(pass, r.Number)
	if last := place + len(starts) - 1; last > m.Places {
		return refuse(ErrSetUp, fmt.Sprintf("tool T%d", last), fmt.Sprintf("at most the %d places of the magazine", m.Places))
	}
	places := make([]int, len(starts))
	for k := range places {
		places[k] = place + k
	}
	if at, ok := r.seat(starts, places, p.Around, m, p.Panel); !ok {
		return refuse(ErrObstacle, fmt.Sprintf("no way between X%.3f Y%.3f and the change position", at[0], at[1]), "room for the foot between the keep-outs")
	}
	return nil
}

// seat gives the run cutters in places that begin at the paths starts, and
// leads their rapids to and from the change position. Without a way it is not
// ok and returns the place that has none.
func (r *Run) seat(starts, places []int, around []tooling.KeepOut, m machine.Machine, bound orb.Bound) (orb.Point, bool) {
	r.Paths = slices.Clone(r.Paths)
	r.Cutters = make([]Cutter, len(starts))
	for k, first := range starts {
		end := len(r.Paths)
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		c := Cutter{Place: places[k], First: first, Paths: end - first}
		for _, p := range r.Paths[first:end] {
			c.Cut += p.Length()
		}
		c.Cut = micro(c.Cut)
		c.Home = r.Home
		if len(starts) > 1 {
			from, to := &r.Paths[first], r.Paths[end-1].Line.End()
			in, ok := detour(m.ChangeAt, from.Line.Start, around, m, bound)
			out, also := detour(to, m.ChangeAt, around, m, bound)
			if !ok || !also {
				return to, false
			}
			from.Via, c.Home = in, out
		}
		r.Cutters[k] = c
	}
	return orb.Point{}, true
}

// divide cuts a run among at most k cutters of a life in mm, as few as need
// be, so that the trips through the change position take the least time; of equal
// ones the later cut wins. It returns each cutter's first path, nil when k do
// not reach. Dynamic programming, O(k n^2).
func divide(paths []Path, k int, life float64, travel machine.Travel, change orb.Point) []int {
	return divideWorn(paths, k, life, life, travel, change)
}

// divideWorn is divide where the first cutter has only so many mm left.
func divideWorn(paths []Path, k int, life, first float64, travel machine.Travel, change orb.Point) []int {
	n := len(paths)
	upTo := make([]int64, n+1) // nm of path before each
	for i, p := range paths {
		upTo[i+1] = upTo[i] + tooling.Nanometres(micro(p.Length()))
	}
	limit := tooling.Nanometres(first) // of the first
	trip := make([]int64, n)
	for c := 1; c < n; c++ {
		a, b := paths[c-1].Line.End(), paths[c].Line.Start
		trip[c] = int64(travel.Between(a, change) + travel.Between(change, b) - travel.Between(a, b))
	}
	best := make([]int64, n+1) // ns of trips, all paths before c cut by the cutters so far
	for c := 1; c <= n; c++ {
		best[c] = math.MaxInt64
	}
	var from [][]int
	for range min(k, n) {
		next, back := make([]int64, n+1), make([]int, n+1)
		for c := range next {
			next[c] = math.MaxInt64
			for b := range c {
				if best[b] == math.MaxInt64 || upTo[c]-upTo[b] > limit {
					continue
				}
				if d := best[b] + trip[b]; d <= next[c] {
					next[c], back[c] = d, b
				}
			}
		}
		from, best = append(from, back), next
		limit = tooling.Nanometres(life)
		if best[n] < math.MaxInt64 {
			starts := make([]int, len(from))
			for j, c := len(from)-1, n; j >= 0; j-- {
				c = from[j][c]
				starts[j] = c
			}
			return starts
		}
	}
	return nil
}

package route

import (
	"math"

	"github.com/paulmach/orb"
)

// sideNames are the names of the four sides of a board on its panel.
var sideNames = [4]string{"right", "upper", "left", "lower"}

// sideOf is the side that an edge belongs to whose normal, away from the board,
// is out: the one it faces most, the earlier of two.
func sideOf(out orb.Point) int8 {
	x, y := out[0], out[1]
	switch {
	case x >= math.Abs(y):
		return 0
	case y >= math.Abs(x):
		return 1
	case -x >= math.Abs(y):
		return 2
	}
	return 3
}

// sideNeed is how many tabs each side must have: most, or as many as find room
// on it apart from each other; none where a score line holds the side.
func sideNeed(spots []spot, most int, apart float64) (need [4]int) {
	var last [4]float64
	var scored [4]bool
	for _, s := range spots {
		k := s.side
		scored[k] = scored[k] || s.scored
		if need[k] == 0 || s.fixed || s.s-last[k] >= apart {
			need[k] = min(need[k]+1, most)
			last[k] = s.s
		}
	}
	for k := range need {
		if scored[k] {
			need[k] = 0
		}
	}
	return need
}

// tellSides notes each side of a board that has fewer tabs than the rule asks for.
func (l *Layout) tellSides(o *loop, spots []spot, chosen []int) {
	want := l.Input.Rules.Tabs.PerSide
	var has [4]int
	for _, k := range chosen {
		has[spots[k].side]++
		if spots[k].scored {
			has[spots[k].side] = want
		}
	}
	for k, n := range has {
		if n < want {
			l.Report.Note("tab-side", "", "a board's "+sideNames[k]+" side has fewer tabs than the rule asks for: no room", float64(n), float64(want), o.box.Center())
		}
	}
}

// tally counts, for each side up to its need, the tabs of a walk: a number in
// mixed radix, of which there are at most 81.
type tally struct {
	need  [4]int
	place [4]uint   // of each side's digit
	full  [4]counts // numbers in which the side has what it needs
	last  uint      // the number in which all sides have
}

// counts is a set of such numbers.
type counts [2]uint64

func newTally(need [4]int) tally {
	t := tally{need: need}
	size := uint(1)
	for k, n := range need {
		t.place[k] = size
		size *= uint(n + 1)
	}
	t.last = size - 1
	for v := range size {
		for k, n := range need {
			if v/t.place[k]%uint(n+1) == uint(n) {
				t.full[k] = t.full[k].or(only(v))
			}
		}
	}
	return t
}

func only(v uint) (c counts) {
	c[v/64] = 1 << (v % 64)
	return c
}

func (t *tally) none() counts { return only(0) }
func (t *tally) all() uint    { return t.last }

// with is what a set becomes by one more tab on a side.
func (t *tally) with(c counts, side int8) counts {
	full := t.full[side]
	grow := counts{c[0] &^ full[0], c[1] &^ full[1]}
	return grow.up(t.place[side]).or(counts{c[0] & full[0], c[1] & full[1]})
}

// before is a number of a set that becomes v by one more tab on a side.
func (t *tally) before(c counts, v uint, side int8) uint {
	if c.has(v) && t.full[side].has(v) {
		return v
	}
	return v - t.place[side]
}

func (c counts) or(d counts) counts { return counts{c[0] | d[0], c[1] | d[1]} }
func (c counts) has(v uint) bool    { return c[v/64]>>(v%64)&1 == 1 }

// up adds n to every number of the set.
func (c counts) up(n uint) counts {
	if n >= 64 {
		return counts{0, c[0] << (n - 64)}
	}
	return counts{c[0] << n, c[1]<<n | c[0]>>(64-n)}
}

package route

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
)

// visit is one path as the order sees it: where it may begin and where it then
// ends, and which visits must come before it.
type visit struct {
	ends  [][2]orb.Point // by entry: start and end, mm; at least one
	after []int
}

// exactUpTo is the number of paths up to which the order and the entries are
// found by dynamic programming over all subsets, which is exact.
const exactUpTo = 9

// sequence is an order of visits and the entry of each.
type sequence struct {
	order []int
	entry []int  // by visit
	cost  int64  // ns from the change position and back to it
	loose []bool // by visit: its entry or a neighbour has changed since the moves round it were tried
}

func (s *sequence) clone() sequence {
	return sequence{slices.Clone(s.order), slices.Clone(s.entry), s.cost, slices.Clone(s.loose)}
}

// loosen says that something has changed at these visits; -1, the change position,
// is none.
func (s *sequence) loosen(visits ...int) {
	for _, v := range visits {
		if v >= 0 {
			s.loose[v] = true
		}
	}
}

// orderer searches the order of paths that takes the least machine time from
// the change position through all paths and back, entries chosen jointly.
type orderer struct {
	visits []visit
	travel machine.Travel
	home   orb.Point
	before [][]bool // before[a][b]: a must come before b, directly or through others
	free   bool     // none must
	first  []int    // by visit: its first node; nodes are all entries of all visits, the last is the change position
	legs   []int64  // ns from the end of one node to the start of another; nil: too many, worked out each time
	tried  int64    // moves looked at, for the statistics
}

// mostNodes bounds the table of legs: 32 MB.
const mostNodes = 2000

// solve orders the visits. Up to exactUpTo of them the answer is proven best;
// beyond that it is a local search: single visits are moved with a new entry,
// stretches of two and three are moved and any stretch is turned round while that
// shortens the way, the entries are chosen anew for the order by dynamic
// programming, and kicks restart the descent from a random move. After a kick only
// moves round what has changed are tried (don't-look bits: J. L. Bentley, Fast
// algorithms for geometric traveling salesman problems, ORSA J. Computing 4(4),
// 1992). Cost O(2^n n^2 e^2) exact, O(n^2 + kicks n e^2) else, for n visits of e
// entries.
//
// A cancelled context gives its error and the best order so far.
func (o *orderer) solve(ctx context.Context, kicks int, seed uint64) (sequence, error) {
	o.close()
	if len(o.visits) <= exactUpTo {
		return o.exact(), ctx.Err()
	}
	return o.search(ctx, kicks, seed)
}

// search is the local search of solve.
func (o *orderer) search(ctx context.Context, kicks int, seed uint64) (sequence, error) {
	o.close()
	best := o.greedy()
	o.descend(&best)
	rng := rand.New(rand.NewPCG(seed, uint64(len(o.visits))))
	for range kicks {
		if ctx.Err() != nil {
			return best, ctx.Err()
		}
		try := best.clone()
		if !o.kick(&try, rng) {
			continue
		}
		if o.moves(&try); try.cost < best.cost {
			o.descend(&try) // choosing all entries anew costs most
		}
		if try.cost <= best.cost {
			best = try
		}
	}
	o.descend(&best)
	return best, nil
}

// close completes the precedences over chains and works out the legs.
func (o *orderer) close() {
	n := len(o.visits)
	o.first = make([]int, n+1)
	var ends [][2]orb.Point
	for i, v := range o.visits {
		ends = append(ends, v.ends...)
		o.first[i+1] = len(ends)
	}
	if ends = append(ends, [2]orb.Point{o.home, o.home}); len(ends) <= mostNodes {
		o.legs = make([]int64, 0, len(ends)*len(ends))
		for _, a := range ends {
			for _, b := range ends {
				o.legs = append(o.legs, int64(o.travel.Between(a[1], b[0])))
			}
		}
	}
	o.before, o.free = make([][]bool, n), true
	next := make([][]int, n) // directly after each
	for b, v := range o.visits {
		for _, a := range v.after {
			next[a] = append(next[a], b)
		}
	}
	for a := range o.before {
		o.before[a] = make([]bool, n)
		open := slices.Clone(next[a])
		for len(open) > 0 {
			b := open[len(open)-1]
			open = open[:len(open)-1]
			if !o.before[a][b] {
				o.before[a][b], o.free = true, false
				open = append(open, next[b]...)
			}
		}
	}
}

// leg is the cost of going from the end of visit i (entry e) to the start of
// visit j (entry f); -1 is the change position.
func (o *orderer) leg(i, e, j, f int) int64 {
	if o.legs != nil {
		n := o.first[len(o.visits)]
		a, b := n, n
		if i >= 0 {
			a = o.first[i] + e
		}
		if j >= 0 {
			b = o.first[j] + f
		}
		return o.legs[a*(n+1)+b]
	}
	a, b := o.home, o.home
	if i >= 0 {
		a = o.visits[i].ends[e][1]
	}
	if j >= 0 {
		b = o.visits[j].ends[f][0]
	}
	return int64(o.travel.Between(a, b))
}

const unreached = math.MaxInt64 / 4

// greedy goes to the nearest allowed start each time.
func (o *orderer) greedy() sequence {
	n := len(o.visits)
	s := sequence{order: make([]int, 0, n), entry: make([]int, n), loose: slices.Repeat([]bool{true}, n)}
	done := make([]bool, n)
	waiting := make([]int, n)
	for a := range n {
		for b := range n {
			if o.before[a][b] {
				waiting[b]++
			}
		}
	}
	at, e := -1, 0
	for range n {
		next, entry, least := -1, 0, int64(unreached)
		for j := range n {
			if done[j] || waiting[j] > 0 {
				continue
			}
			for f := range o.visits[j].ends {
				if c := o.leg(at, e, j, f); c < least {
					next, entry, least = j, f, c
				}
			}
		}
		done[next] = true
		s.order, s.entry[next] = append(s.order, next), entry
		for b := range n {
			if o.before[next][b] {
				waiting[b]--
			}
		}
		at, e = next, entry
	}
	s.cost = o.total(&s)
	return s
}

func (o *orderer) total(s *sequence) int64 {
	var sum int64
	at, e := -1, 0
	for _, j := range s.order {
		sum += o.leg(at, e, j, s.entry[j])
		at, e = j, s.entry[j]
	}
	return sum + o.leg(at, e, -1, 0)
}

// enter chooses the best entries for the order: a shortest path through its
// layers.
func (o *orderer) enter(s *sequence) {
	n := len(s.order)
	from := make([][]int, n)
	cost := []int64{0}
	at := -1
	for k, j := range s.order {
		next := make([]int64, len(o.visits[j].ends))
		from[k] = make([]int, len(next))
		for f := range next {
			next[f] = unreached
			for e, c := range cost {
				if d := c + o.leg(at, e, j, f); d < next[f] {
					next[f], from[k][f] = d, e
				}
			}
		}
		cost, at = next, j
	}
	best, least := 0, int64(unreached)
	for e, c := range cost {
		if d := c + o.leg(at, e, -1, 0); d < least {
			best, least = e, d
		}
	}
	for k := n - 1; k >= 0; k-- {
		if v := s.order[k]; s.entry[v] != best {
			s.entry[v] = best
			s.loosen(s.node(k-1), v, s.node(k+1))
		}
		best = from[k][best]
	}
	s.cost = least
}

package tour

import "math/rand/v2"

const maxDepth = 52

// effort shapes the variable-depth search.
type effort struct {
	depth   int           // edges exchanged in one move at most, <= maxDepth
	loose   int           // up to here a move may leave the ring in pieces on its way
	breadth [maxDepth]int // continuations tried by number of edges removed so far, from 1
}

// search improves one ring by moves of the Lin-Kernighan family: edges are
// removed and added in turn along an alternating path, as long as the gain
// stays positive, until closing it gives a shorter ring (S. Lin, B. W.
// Kernighan, An effective heuristic algorithm for the traveling-salesman
// problem, Operations Research 21, 1973). The ring itself is only changed once
// a move is found: whether the exchange of k edges leaves one ring is decided
// from the order of their positions alone (K. Helsgaun, An effective
// implementation of the Lin-Kernighan traveling salesman heuristic, European
// Journal of Operational Research 126, 2000).
type search struct {
	ring
	near  neighbours
	how   effort
	reach int32 // longest rearrangement allowed, in nodes; 0: any
	rng   *rand.Rand

	tried   int64   // continuations looked at
	queue   []int32 // nodes to look at, first in first out
	head    int
	queued  []bool
	waiting int

	t     [2 * maxDepth]int32          // ends of the removed edges; t[2i+1] to t[2i+2] are added
	gone  []bool                       // by position: the edge after it is removed
	left  [maxDepth]int32              // position of the earlier end of removed edge i
	ahead [maxDepth]bool               // t[2i] is the earlier end
	order [maxDepth + 1][maxDepth]int8 // removed edges by position, for each depth
	seq   [maxDepth]stretch
	back  [maxDepth]bool  // by rank of the edge before: the last walk ran backwards through the stretch
	flip  bool            // the last walk met the closing edge from its home end
	cuts  [maxDepth]int32 // left, sorted
}

// option is one continuation of the alternating path.
type option struct {
	to, end int32 // the added edge goes to to, the edge from to to end is removed
	gain    int64
	ahead   bool // end comes after to
}

func newSearch(f *field, c neighbours, tour []int32, how effort, rng *rand.Rand) *search {
	n := len(tour)
	return &search{ring: newRing(f, tour), near: c, how: how, rng: rng,
		queue: make([]int32, n), queued: make([]bool, n), gone: make([]bool, n)}
}

func (s *search) push(v int32) {
	if s.queued[v] {
		return
	}
	s.queued[v] = true
	at := s.head + s.waiting
	if at >= len(s.queue) {
		at -= len(s.queue)
	}
	s.queue[at] = v
	s.waiting++
}

func (s *search) pop() int32 {
	v := s.queue[s.head]
	if s.head++; s.head == len(s.queue) {
		s.head = 0
	}
	s.waiting--
	s.queued[v] = false
	return v
}

// settle works the queue off and returns the gain.
func (s *search) settle() int64 {
	var sum int64
	for s.waiting > 0 {
		sum += s.visit(s.pop())
	}
	return sum
}

// visit improves around one node until nothing is found.
func (s *search) visit(v int32) int64 {
	var sum int64
	for {
		g := s.improve(v)
		if g == 0 {
			return sum
		}
		sum += g
	}
}

// improve looks for one move that removes an edge of v and makes it.
func (s *search) improve(v int32) int64 {
	for side := range 2 {
		w, c := s.next(v), s.after(v)
		if side == 1 {
			w, c = s.prev(v), s.before(v)
		}
		if s.fixed(v, w) {
			continue
		}
		s.remove(0, v, w, side == 0)
		s.order[1][0] = 0
		g := s.step(1, c)
		s.restore(0)
		if g > 0 {
			return g
		}
	}
	return 0
}

// remove notes the removed edge i from a to b; b is next when ahead.
func (s *search) remove(i int, a, b int32, ahead bool) {
	s.t[2*i], s.t[2*i+1] = a, b
	s.ahead[i] = ahead
	if ahead {
		s.left[i] = s.pos[a]
	} else {
		s.left[i] = s.pos[b]
	}
	s.gone[s.left[i]] = true
}

// restore takes the removal of edge i back.
func (s *search) restore(i int) { s.gone[s.left[i]] = false }

// step extends a path with k removed edges whose open gain is gain.
func (s *search) step(k int, gain int64) int64 {
	from := s.t[2*k-1]
	home := s.t[0]
	var best [16]option
	room := s.how.breadth[k]
	if k >= s.how.loose {
		room = min(room+2, len(best)) // some may turn out to break the ring
	}
	got, n := 0, len(s.tour)
	after, before := s.next(from), s.prev(from)
	for _, c := range s.near.of(from) {
		if c.id < 0 {
			break
		}
		g := int64(c.cost)
		if c.cost == far {
			g = s.cost(from, c.id)
		}
		g = gain - g
		if g <= 0 {
			break
		}
		if c.id == after || c.id == before {
			continue
		}
		for side := range 2 {
			p := int(s.pos[c.id])
			var end int32
			if side == 0 {
				end = s.tour[wrap(p+1, n)]
			} else {
				if p--; p < 0 {
					p = n - 1
				}
				end = s.tour[p]
			}
			leg := s.leg[p]
			if s.gone[p] || s.fixed(c.id, end) {
				continue
			}
			o := option{c.id, end, g + leg, side == 0}
			j := got
			if got == room {
				if best[got-1].gain >= o.gain {
					continue
				}
				j--
			} else {
				got++
			}
			for j > 0 && best[j-1].gain < o.gain {
				best[j] = best[j-1]
				j--
			}
			best[j] = o
		}
	}
	tried := 0
	s.tried += int64(got)
	for _, o := range best[:got] {
		s.remove(k, o.to, o.end, o.ahead)
		s.sortIn(k)
		closed := o.gain - s.cost(o.end, home)
		good := false
		if closed > 0 || k+1 >= s.how.loose {
			good = s.closes(k + 1)
			if good && closed > 0 && s.within(k+1) {
				s.exchange(k + 1)
				s.restore(k)
				return closed
			}
		}
		if k+1 >= s.how.depth || k+1 > s.how.loose && !good {
			s.restore(k)
			continue
		}
		var g int64
		if k+1 < s.how.loose || !good {
			g = s.step(k+1, o.gain)
		} else {
			g = s.chain(k+1, o.gain)
		}
		s.restore(k)
		if g > 0 {
			return g
		}
		if tried++; tried == s.how.breadth[k] {
			break
		}
	}
	return 0
}

// chain goes on alone from k removed edges that close to a ring, each time by
// the best edge that leaves it closing.
func (s *search) chain(k int, gain int64) int64 {
	home := s.t[0]
	start, n := k, len(s.tour)
	var won int64
	for won == 0 && k < s.how.depth {
		from := s.t[2*k-1]
		after, before := s.next(from), s.prev(from)
		oriented := false
		var best option
		best.gain = -1
		for _, c := range s.near.of(from) {
			if c.id < 0 {
				break
			}
			g := int64(c.cost)
			if c.cost == far {
				g = s.cost(from, c.id)
			}
			g = gain - g
			if g <= 0 {
				break
			}
			if c.id == after || c.id == before {
				continue
			}
			if !oriented {
				s.orient(k)
				oriented = true
			}
			p := s.pos[c.id]
			ahead := !s.turned(k, p)
			var end int32
			if ahead {
				end = s.tour[wrap(int(p)+1, n)]
			} else {
				if p--; p < 0 {
					p = int32(n - 1)
				}
				end = s.tour[p]
			}
			if s.gone[p] || s.fixed(c.id, end) {
				continue
			}
			if g += s.leg[p]; g > best.gain {
				best = option{c.id, end, g, ahead}
			}
		}
		if best.gain < 0 {
			break
		}
		s.remove(k, best.to, best.end, best.ahead)
		s.sortIn(k)
		k++
		gain = best.gain
		if closed := gain - s.cost(best.end, home); closed > 0 && s.within(k) {
			s.exchange(k)
			won = closed
		}
	}
	for k--; k >= start; k-- {
		s.restore(k)
	}
	return won
}

// orient finds which way the path from t0 to the last end runs through each
// stretch, once k edges are exchanged.
func (s *search) orient(k int) {
	s.walk(k, false)
	for r := range k {
		s.cuts[r] = s.left[s.order[k][r]]
	}
}

// turned tells whether the path runs backwards at position p.
func (s *search) turned(k int, p int32) bool {
	r := 0
	for r < k && s.cuts[r] < p {
		r++
	}
	if r--; r < 0 {
		r = k - 1
	}
	return s.back[r] != s.flip
}

// sortIn makes the order of k+1 removed edges from that of k.
func (s *search) sortIn(k int) {
	was, is := &s.order[k], &s.order[k+1]
	p := s.left[k]
	i := 0
	for ; i < k && s.left[was[i]] < p; i++ {
		is[i] = was[i]
	}
	is[i] = int8(k)
	for ; i < k; i++ {
		is[i+1] = was[i]
	}
}

// closes tells whether k exchanged edges leave a single ring: it walks from
// stretch to stretch and counts them.
func (s *search) closes(k int) bool {
	if k == 2 {
		return s.ahead[0] != s.ahead[1]
	}
	return s.walk(k, false) == k
}

// walk follows the exchanged ring over its stretches, from the one after the
// first removed edge on, and returns how many it meets.
func (s *search) walk(k int, note bool) int {
	order := &s.order[k]
	var rank [maxDepth]int8
	for r := range k {
		rank[order[r]] = int8(r)
	}
	s.flip = false
	r, back := 0, false // now at the stretch after the edge of rank r
	for count := 0; ; {
		if note {
			a := s.left[order[r]] + 1
			if int(a) == len(s.tour) {
				a = 0
			}
			b := s.left[order[wrap(r+1, k)]]
			s.seq[count] = stretch{a, b, back}
		}
		count++
		s.back[r] = back
		// Leave the stretch at its far end, over the added edge.
		var x int
		if back {
			i := int(order[r])
			x = 2 * i
			if s.ahead[i] {
				x++
			}
		} else {
			i := int(order[wrap(r+1, k)])
			x = 2 * i
			if !s.ahead[i] {
				x++
			}
		}
		if x&1 == 1 {
			x = wrap(x+1, 2*k)
		} else if x--; x < 0 {
			x = 2*k - 1
			s.flip = true
		}
		i := x >> 1
		r = int(rank[i])
		back = (x&1 == 0) == s.ahead[i] // entered at the earlier end: the stretch before
		if back {
			if r--; r < 0 {
				r = k - 1
			}
		}
		if r == 0 && !back {
			return count
		}
	}
}

func wrap(i, n int) int {
	if i >= n {
		return i - n
	}
	return i
}

// within tells whether a move keeps within reach, and notes its stretches.
func (s *search) within(k int) bool {
	s.walk(k, true)
	if s.reach == 0 {
		return true
	}
	var long int32
	for _, st := range s.seq[:k] {
		long = max(long, s.length(st))
	}
	return int32(len(s.tour))-long <= s.reach
}

// exchange makes the move of k edges that within noted and queues its ends.
func (s *search) exchange(k int) {
	s.arrange(s.seq[:k])
	for _, v := range s.t[:2*k] {
		s.push(v)
	}
}

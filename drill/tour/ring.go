package tour

// ring is a closed tour as an array: neighbours, order and the exchange of
// short stretches are all cheap, a long exchange costs its length. Windows keep
// the rings short.
type ring struct {
	*field
	tour []int32 // node by position
	pos  []int32 // position by node
	leg  []int64 // cost from a position to the next; 0 for a fixed edge
	log  []patch // what was overwritten since the last keep
	old  []int32 // the overwritten nodes, oldest patch first
	was  []int64 // their legs, from the one before the stretch to its last
}

// patch is a stretch of overwritten positions.
type patch struct {
	base   int32 // first position; the stretch may wrap
	length int32
	off    int32 // in old
}

func newRing(f *field, tour []int32) ring {
	n := len(tour)
	r := ring{field: f, tour: tour, pos: make([]int32, n), leg: make([]int64, n)}
	for p, v := range tour {
		r.pos[v] = int32(p)
		r.leg[p] = f.edge(v, tour[wrap(p+1, n)])
	}
	return r
}

// after is the cost from v to the next, before that to the previous.
func (r *ring) after(v int32) int64 { return r.leg[r.pos[v]] }

func (r *ring) before(v int32) int64 {
	p := int(r.pos[v]) - 1
	if p < 0 {
		p = len(r.leg) - 1
	}
	return r.leg[p]
}

func (r *ring) next(v int32) int32 {
	p := int(r.pos[v]) + 1
	if p == len(r.tour) {
		p = 0
	}
	return r.tour[p]
}

func (r *ring) prev(v int32) int32 {
	p := int(r.pos[v]) - 1
	if p < 0 {
		p = len(r.tour) - 1
	}
	return r.tour[p]
}

// keep forgets how to undo.
func (r *ring) keep() {
	r.log = r.log[:0]
	r.old = r.old[:0]
	r.was = r.was[:0]
}

// undo takes everything back since the last keep.
func (r *ring) undo() {
	n := int32(len(r.tour))
	for k := len(r.log) - 1; k >= 0; k-- {
		e := r.log[k]
		was := r.was[int(e.off)+k:] // one more leg than nodes, each time
		r.leg[wrap(int(e.base+n)-1, int(n))] = was[0]
		p := e.base
		for j, v := range r.old[e.off : e.off+e.length] {
			r.tour[p] = v
			r.pos[v] = p
			r.leg[p] = was[j+1]
			if p++; p == n {
				p = 0
			}
		}
	}
	r.keep()
}

// stretch is a run of positions, first to last, which may wrap.
type stretch struct {
	first, last int32
	back        bool // to be visited from last to first
}

func (r *ring) length(s stretch) int32 {
	d := s.last - s.first
	if d < 0 {
		d += int32(len(r.tour))
	}
	return d + 1
}

// arrange makes the ring visit its stretches in the order given. Together the
// stretches must be the whole ring. The longest stays where it is; what already
// stands where it belongs is left alone. The cost is the length of the rest.
func (r *ring) arrange(seq []stretch) {
	n := int32(len(r.tour))
	long := 0
	for k := range seq {
		if r.length(seq[k]) > r.length(seq[long]) {
			long = k
		}
	}
	var buf [maxDepth]stretch
	rest := buf[:len(seq)-1]
	anchor := seq[long]
	for k := range rest {
		if anchor.back { // the same ring the other way round
			s := seq[(long-1-k+len(seq))%len(seq)]
			s.back = !s.back
			rest[k] = s
		} else {
			rest[k] = seq[(long+1+k)%len(seq)]
		}
	}
	after := func(p int32) int32 {
		if p++; p == n {
			p = 0
		}
		return p
	}
	base := after(anchor.last)
	for len(rest) > 0 && !rest[0].back && rest[0].first == base {
		base = after(rest[0].last)
		rest = rest[1:]
	}
	end := anchor.first
	for len(rest) > 0 && !rest[len(rest)-1].back && after(rest[len(rest)-1].last) == end {
		end = rest[len(rest)-1].first
		rest = rest[:len(rest)-1]
	}
	if len(rest) == 0 {
		return
	}
	total := end - base
	if total <= 0 {
		total += n
	}
	off := int32(len(r.old))
	legs := len(r.was)
	before := wrap(int(base+n)-1, int(n))
	r.was = append(r.was, r.leg[before])
	if base+total <= n {
		r.old = append(r.old, r.tour[base:base+total]...)
		r.was = append(r.was, r.leg[base:base+total]...)
	} else {
		r.old = append(append(r.old, r.tour[base:]...), r.tour[:base+total-n]...)
		r.was = append(append(r.was, r.leg[base:]...), r.leg[:base+total-n]...)
	}
	r.log = append(r.log, patch{base, total, off})
	old, was := r.old[off:], r.was[legs:]
	p, last := int(base), r.tour[before]
	lp := before // the position of last
	for _, s := range rest {
		i := int(s.first - base)
		if i < 0 {
			i += int(n)
		}
		m := int(r.length(s))
		run, legs := old[i:i+m], was[i:i+m+1] // legs[j] comes before run[j]
		if s.back {
			r.leg[lp] = r.edge(last, run[m-1])
			for j := m - 1; j >= 0; j-- {
				v := run[j]
				r.tour[p] = v
				r.pos[v] = int32(p)
				r.leg[p] = legs[j]
				lp = p
				if p++; p == int(n) {
					p = 0
				}
			}
			last = run[0]
			continue
		}
		r.leg[lp] = r.edge(last, run[0])
		for j, v := range run {
			r.tour[p] = v
			r.pos[v] = int32(p)
			r.leg[p] = legs[j+1]
			lp = p
			if p++; p == int(n) {
				p = 0
			}
		}
		last = run[m-1]
	}
	r.leg[lp] = r.edge(last, r.tour[p])
}

package stack

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// label is a plan of everything up to its last span.
type label struct {
	edge    // sums, but for the span
	prev    *label
	tiers   int  // set-ups so far
	differs bool // from the plan that is to be avoided
}

// spans lists the set-ups of a plan in order.
func (l *label) spans() []span {
	var out []span
	for ; l.prev != nil; l = l.prev {
		out = append(out, l.span)
	}
	slices.Reverse(out)
	return out
}

// better orders labels: as edges, then fewer set-ups. Equal labels keep the
// order in which they were found, which is that of heights.
func better(a, b *label) int { return cmp.Or(a.order(&b.edge), cmp.Compare(a.tiers, b.tiers)) }

// prune keeps the labels that may still become part of the best plan, in the
// order of better: the first where nothing is shared, else those that no
// other beats in all of cost, time and shared tools. Labels that differ from
// the plan to be avoided and those that do not are pruned apart.
func (s *shop) prune(labels []label) []label {
	if len(labels) < 2 {
		return labels
	}
	var out []label
	if s.options.coupled() {
		out = s.front(labels)
	} else {
		out = firsts(labels)
	}
	slices.SortStableFunc(out, func(a, b label) int { return better(&a, &b) })
	return out
}

// firsts is the best label, and the best that differs.
func firsts(labels []label) []label {
	at := [2]int{-1, -1}
	for i := range labels {
		side := 0
		if labels[i].differs {
			side = 1
		}
		if at[side] < 0 || better(&labels[i], &labels[at[side]]) < 0 {
			at[side] = i
		}
	}
	var out []label
	for _, i := range at {
		if i >= 0 {
			out = append(out, labels[i])
		}
	}
	return out
}

// front is the labels that none with less cost, time and shared tools rules
// out: a sweep from the cheapest up, in which a label stays when it is faster
// than all before it. With shared tools it is held against each that stayed.
func (s *shop) front(labels []label) []label {
	order := make([]int, len(labels))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		a, b := &labels[i], &labels[j]
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(a.ns, b.ns), cmp.Compare(a.tiers, b.tiers), cmp.Compare(i, j))
	})
	least := map[bool]int64{false: math.MaxInt64, true: math.MaxInt64}
	var out []label
	for _, i := range order {
		l := &labels[i]
		if l.ns >= least[l.differs] && (len(s.shared) == 0 || slices.ContainsFunc(out, func(k label) bool { return k.beats(l) })) {
			continue
		}
		least[l.differs] = min(least[l.differs], l.ns)
		out = append(out, *l)
	}
	return out
}

// beats tells whether l, which costs no more, makes o superfluous.
func (l *label) beats(o *label) bool {
	if l.differs != o.differs || l.ns > o.ns {
		return false
	}
	for t := range l.use {
		if l.use[t] > o.use[t] {
			return false
		}
	}
	return true
}

// search is one run over all set-ups. Allowed, where not nil, names the
// choices that a plan may have; avoid those of a plan that the wanted one must
// differ from.
type search struct {
	*shop
	allowed, avoid map[choice]bool
}

// run returns the plans that may be best, in the order of better; none when
// no plan is allowed. A search that avoids a plan returns those that differ.
func (s search) run(ctx context.Context) ([]label, error) {
	front := []label{{edge: edge{use: make([]int64, len(s.shared))}}}
	for k := range s.benches {
		err := ctx.Err()
		if err != nil {
			return nil, err
		}
		if front, err = s.through(ctx, k, front); err != nil {
			return nil, err
		}
	}
	if s.avoid != nil {
		front = slices.DeleteFunc(front, func(l label) bool { return !l.differs })
	}
	return front, nil
}

// through takes the labels before a set-up to those after it: a shortest path
// over the cuts of its diameters, one layer for each tier where their number
// is limited.
func (s search) through(ctx context.Context, k int, front []label) ([]label, error) {
	b := &s.benches[k]
	n := len(b.groups)
	all, err := s.edgesOf(ctx, k)
	if err != nil {
		return nil, err
	}
	if n == 0 || b.tiers == 1 {
		return s.prune(s.extend(nil, front, s.few(all[n]))), nil
	}
	layers := b.tiers
	if b.tiers >= n {
		layers = 1 // no limit to count
	}
	table := make([][]edge, len(all))
	for i, edges := range all {
		table[i] = s.few(edges)
	}
	done, before := []label(nil), make([][]label, n+1)
	before[0] = front
	var buf []label // reused: prune hands back what stays
	for range layers {
		at := make([][]label, n+1)
		if layers == 1 {
			at[0] = front
			before = at // a tier may follow one of the same layer
		}
		for to := 1; to <= n; to++ {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			buf = buf[:0]
			for from := range to {
				buf = s.extend(buf, before[from], table[from*(n+1)+to])
			}
			at[to] = slices.Clone(s.prune(buf))
		}
		done = append(done, at[n]...)
		before = at
	}
	return s.prune(done), nil
}

// few keeps the edges of a tier that are allowed and that no other rules out.
func (s search) few(edges []edge) []edge {
	labels := make([]label, 0, len(edges))
	for _, e := range edges {
		c := s.choice(e.span)
		if s.allowed == nil || s.allowed[c] {
			labels = append(labels, label{edge: e, differs: s.avoid != nil && !s.avoid[c]})
		}
	}
	return edgesFrom(s.prune(labels))
}

// extend appends every label with every edge that the limits allow.
func (s search) extend(dst, labels []label, edges []edge) []label {
	for i := range labels {
		prev := &labels[i]
		for _, e := range edges {
			l := label{edge: e, prev: prev, tiers: prev.tiers + 1}
			l.cost, l.ns, l.key = prev.cost+e.cost, prev.ns+e.ns, prev.key+e.key
			if l.cost > maxMoney || l.ns > maxLotNs || l.key > maxMoney || (s.options.Due > 0 && l.ns > int64(s.options.Due)) {
				continue
			}
			if !s.inStock(&l, prev, e) {
				continue
			}
			l.differs = prev.differs || (s.avoid != nil && !s.avoid[s.choice(e.span)])
			dst = append(dst, l)
		}
	}
	return dst
}

func (s search) inStock(l *label, prev *label, e edge) bool {
	if len(s.shared) == 0 {
		return true
	}
	l.use = slices.Clone(prev.use)
	for t, n := range e.use {
		l.use[t] += n
		if l.use[t] > int64(s.shared[t].Stock) {
			return false
		}
	}
	return true
}

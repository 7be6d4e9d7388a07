package stack

import (
	"cmp"
	"context"
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

func betterOf(a, b label) int { return better(&a, &b) }

// prune keeps the labels that may still become part of the best plan, in the
// order of better: the first where nothing is shared, else those that no
// other beats in all of cost, time and shared tools.
func (s *shop) prune(labels []label) []label {
	if len(labels) < 2 {
		return labels
	}
	if !s.options.coupled() {
		return firsts(labels)
	}
	slices.SortStableFunc(labels, betterOf)
	var out []label
	for _, l := range labels {
		if !slices.ContainsFunc(out, func(k label) bool { return s.beats(k, l) }) {
			out = append(out, l)
		}
	}
	return out
}

// firsts is prune where nothing is shared: the best label, and the best that
// differs from the plan to be avoided.
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
	slices.SortStableFunc(out, betterOf)
	return out
}

// beats tells whether k, which is not worse in the order of better, makes l
// superfluous.
func (s *shop) beats(k, l label) bool {
	if k.differs != l.differs || k.ns > l.ns || k.cost > l.cost {
		return false
	}
	for t := range k.use {
		if k.use[t] > l.use[t] {
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

// few keeps the edges that are allowed. Where nothing is shared that is only
// the best of a tier, and the best that differs from the plan to be avoided:
// no other can be in the result.
func (s search) few(edges []edge) []edge {
	if s.allowed != nil {
		edges = slices.DeleteFunc(slices.Clone(edges), func(e edge) bool { return !s.allowed[s.choice(e.span)] })
	}
	if s.options.coupled() {
		return edges
	}
	best, other := -1, -1
	for i := range edges {
		at := &best
		if s.avoid != nil && s.avoid[s.choice(edges[i].span)] {
			at = &other
		}
		if *at < 0 || edges[i].order(&edges[*at]) < 0 {
			*at = i
		}
	}
	var out []edge
	for _, i := range []int{best, other} {
		if i >= 0 {
			out = append(out, edges[i])
		}
	}
	return out
}

// extend appends every label with every edge that the limits allow.
func (s search) extend(dst, labels []label, edges []edge) []label {
	for i := range labels {
		prev := &labels[i]
		for _, e := range edges {
			l := label{edge: e, prev: prev, tiers: prev.tiers + 1}
			l.cost, l.ns, l.key = prev.cost+e.cost, prev.ns+e.ns, prev.key+e.key
			if l.cost > maxMoney || l.ns > maxLotNs || (s.options.Due > 0 && l.ns > int64(s.options.Due)) {
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

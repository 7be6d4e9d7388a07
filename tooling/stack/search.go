package stack

import (
	"cmp"
	"context"
	"slices"
)

// span is one set-up of a plan: the groups [from, to) of a bench in a layout.
type span struct{ bench, from, to, layout int }

// edge is a span with what it costs.
type edge struct {
	span
	cost, ns, key int64   // billionths, ns, and what the objective compares
	use           []int64 // of the shared tools
}

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

// choice is what identifies a set-up of a plan: its work and its height.
type choice struct{ bench, from, to, height int }

func (s *shop) choice(p span) choice {
	return choice{p.bench, p.from, p.to, s.layouts[p.layout].height}
}

// price prices a span, and tells whether it is allowed.
func (s *shop) price(p span) (edge, bool) {
	c, ok := s.cell(p)
	if !ok {
		return edge{}, false
	}
	l := s.layouts[p.layout]
	e := edge{span: p, ns: s.lotTime(c, l)}
	cost, ok := s.costs(c, l)
	if !ok {
		return edge{}, false
	}
	e.cost = cost.total()
	e.key = e.cost + hourly(s.options.HourPrice, e.ns)
	if s.options.Objective == LeastTime {
		e.key = e.ns
	}
	b := &s.benches[p.bench]
	for t := range s.shared {
		n := b.spent[p.layout][p.to][t] - b.spent[p.layout][p.from][t]
		if p.to == len(b.groups) {
			n += b.final[p.layout][t]
		}
		if n > int64(s.shared[t].Stock) {
			return edge{}, false
		}
		e.use = append(e.use, n)
	}
	return e, s.options.Due == 0 || e.ns <= int64(s.options.Due)
}

// cell adds up a span's items, and tells whether all of them and the magazine
// allow the layout.
func (s *shop) cell(p span) (cell, bool) {
	b := &s.benches[p.bench]
	c := b.sums[p.layout][p.to].minus(b.sums[p.layout][p.from])
	if p.to == len(b.groups) {
		c = c.plus(b.last[p.layout])
	}
	return c, c.refused == 0 && c.places <= s.problem.Machine.Places
}

// edges lists what a tier may be, best first for each height and heights
// upwards. Where no limit is shared one edge a height is enough; else those
// that neither cost, time nor shared tools rule out.
func (s *shop) edges(bench, from, to int, allowed func(choice) bool) []edge {
	var out []edge
	start := 0
	for c, l := range s.layouts {
		if c > 0 && l.height != s.layouts[c-1].height {
			out = append(out[:start], s.keep(out[start:])...)
			start = len(out)
		}
		p := span{bench, from, to, c}
		if !s.heightAllowed(l.height) || (allowed != nil && !allowed(s.choice(p))) {
			continue
		}
		if e, ok := s.price(p); ok {
			out = append(out, e)
		}
	}
	return append(out[:start], s.keep(out[start:])...)
}

func (s *shop) heightAllowed(h int) bool {
	return s.options.Height == 0 || h == min(s.options.Height, s.problem.Lot)
}

// keep drops the edges of one choice that others of it rule out.
func (s *shop) keep(edges []edge) []edge {
	if len(edges) < 2 {
		return edges
	}
	labels := make([]label, len(edges))
	for i, e := range edges {
		labels[i] = label{edge: e}
	}
	out := edges[:0]
	for _, l := range s.prune(labels) {
		out = append(out, l.edge)
	}
	return out
}

// better orders labels: the objective, then the other of cost and time, then
// fewer set-ups. Equal labels keep the order in which they were found, which
// is that of heights.
func better(a, b label) int {
	return cmp.Or(cmp.Compare(a.key, b.key), cmp.Compare(a.ns, b.ns), cmp.Compare(a.cost, b.cost), cmp.Compare(a.tiers, b.tiers))
}

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
	slices.SortStableFunc(labels, better)
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
		if at[side] < 0 || better(labels[i], labels[at[side]]) < 0 {
			at[side] = i
		}
	}
	var out []label
	for _, i := range at {
		if i >= 0 {
			out = append(out, labels[i])
		}
	}
	slices.SortStableFunc(out, better)
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

// search is one run over all set-ups. Allowed restricts the choices; avoid
// names the choices of a plan that the wanted one must differ from.
type search struct {
	*shop
	allowed func(choice) bool
	avoid   map[choice]bool
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
	if n == 0 || b.tiers == 1 {
		return s.prune(s.extend(nil, front, s.few(s.edges(k, 0, n, s.allowed)))), nil
	}
	layers := b.tiers
	if b.tiers >= n {
		layers = 1 // no limit to count
	}
	table := make([][]edge, (n+1)*(n+1))
	for from := range n {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for to := from + 1; to <= n; to++ {
			table[from*(n+1)+to] = s.few(s.edges(k, from, to, s.allowed))
		}
	}
	done, before := []label(nil), make([][]label, n+1)
	before[0] = front
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
			for from := range to {
				at[to] = s.extend(at[to], before[from], table[from*(n+1)+to])
			}
			at[to] = s.prune(at[to])
		}
		done = append(done, at[n]...)
		before = at
	}
	return s.prune(done), nil
}

// few keeps only the best edge of a tier, and the best that differs from the
// plan to be avoided, where nothing is shared: no other can be in the result.
func (s search) few(edges []edge) []edge {
	if s.options.coupled() {
		return edges
	}
	best, other := -1, -1
	for i, e := range edges {
		at := &best
		if s.avoid[s.choice(e.span)] {
			at = &other
		}
		if *at < 0 || better(label{edge: e}, label{edge: edges[*at]}) < 0 {
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

package stack

import (
	"cmp"
	"context"
)

// span is one set-up of a plan: the groups [from, to) of a bench in a layout.
type span struct {
	bench, from, to, layout int
	mix                     *mix // speeds chosen together; nil: each by price
}

// edge is a span with what it costs.
type edge struct {
	span
	cost, ns, key int64   // billionths, ns, and what the objective compares
	use           []int64 // of the shared tools
}

// choice is what identifies a set-up of a plan: its work and its height.
type choice struct{ bench, from, to, height int }

func (s *shop) choice(p span) choice {
	return choice{p.bench, p.from, p.to, s.layouts[p.layout].height}
}

// order compares edges or sums of them: the objective, then the other of cost
// and time.
func (e *edge) order(o *edge) int {
	return cmp.Or(cmp.Compare(e.key, o.key), cmp.Compare(e.ns, o.ns), cmp.Compare(e.cost, o.cost))
}

// price prices a span, and tells whether it is allowed.
func (s *shop) price(p span) (edge, bool) {
	c, ok := s.cell(p)
	if !ok {
		return edge{}, false
	}
	l := s.layouts[p.layout]
	e := edge{span: p, ns: s.lotTime(c, l)}
	cost, ok := s.costs(p, c)
	if !ok {
		return edge{}, false
	}
	e.cost = cost.total()
	e.key = e.cost + hourly(s.options.HourPrice, e.ns)
	if s.options.Objective == LeastTime {
		e.key = e.ns
	}
	if e.key > maxMoney {
		return edge{}, false
	}
	b := &s.benches[p.bench]
	for t := range s.shared {
		n := b.spent[p.layout][p.to][t] - b.spent[p.layout][p.from][t]
		if p.to == len(b.groups) {
			n += b.final[p.layout][t]
		}
		if p.mix != nil {
			n = p.mix.spent[t]
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
	if p.mix != nil {
		return p.mix.cell, p.mix.places <= s.problem.Machine.Places
	}
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
func (s *shop) edges(bench, from, to int) []edge {
	var out []edge
	start := 0 // of the height's edges
	for c, l := range s.layouts {
		if c > 0 && l.height != s.layouts[c-1].height {
			out = append(out[:start], s.keep(out[start:])...)
			start = len(out)
		}
		if !s.heightAllowed(l.height) {
			continue
		}
		p := span{bench: bench, from: from, to: to, layout: c}
		if len(s.options.Speeds) < 2 {
			out = s.offer(out, start, p)
			continue
		}
		for _, p := range s.mixes(p) {
			out = s.offer(out, start, p)
		}
	}
	return append(out[:start], s.keep(out[start:])...)
}

// offer adds a span to the edges of its height from start on: to all of them,
// or in place of the one where it is better.
func (s *shop) offer(out []edge, start int, p span) []edge {
	e, ok := s.price(p)
	switch {
	case !ok:
	case len(out) == start || s.options.coupled():
		return append(out, e)
	case e.order(&out[start]) < 0:
		out[start] = e
	}
	return out
}

// edgesOf is the edges of every tier that a set-up may be cut into, the one
// from group i to group j at i (n+1) + j for n groups. Several searches use
// them, so they are worked out once.
func (s *shop) edgesOf(ctx context.Context, k int) ([][]edge, error) {
	b := &s.benches[k]
	if b.table != nil {
		return b.table, nil
	}
	n := len(b.groups)
	table := make([][]edge, (n+1)*(n+1))
	if n == 0 || b.tiers == 1 {
		table[n] = s.edges(k, 0, n)
		b.table = table
		return table, ctx.Err()
	}
	for from := range n {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		for to := from + 1; to <= n; to++ {
			if b.joined[from] || b.joined[to] {
				continue
			}
			table[from*(n+1)+to] = s.edges(k, from, to)
		}
	}
	b.table = table
	return table, nil
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
	return edgesFrom(s.prune(labels))
}

func edgesFrom(labels []label) []edge {
	out := make([]edge, len(labels))
	for i, l := range labels {
		out[i] = l.edge
	}
	return out
}

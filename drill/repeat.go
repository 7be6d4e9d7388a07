package drill

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// spot is the place and kind of an item in micrometres.
type spot struct {
	from, to [2]int64
	kind     HitKind
}

func spotOf(it item, by [2]int64) spot {
	a, b := micrometres(it.from), micrometres(it.to)
	return spot{[2]int64{a[0] + by[0], a[1] + by[1]}, [2]int64{b[0] + by[0], b[1] + by[1]}, it.kind}
}

// repeated orders the items of one board and repeats that order over all its
// copies, row by row and back again, for each kind of board and turn; what has no
// copies comes last, in an order of its own. boards counts the copies made in
// that way, 0 when nothing repeats: one board of a kind, or steps that do not lie
// on the writing grid.
func (in Input) repeated(ctx context.Context, items []item, o Options) (order []visited, boards int, err error) {
	o.Tour.Bound = false
	at := map[spot]int{}
	for i, it := range items {
		at[spotOf(it, [2]int64{})] = i
	}
	done := make([]bool, len(items))
	here := in.Machine.ChangeAt
	for _, places := range in.copies() {
		template, copies := alike(items, at, done, places)
		if len(template) == 0 {
			continue
		}
		own := make([]item, len(template))
		for k, i := range template {
			own[k] = items[i]
		}
		start := own[0].from
		step := orb.Point{float64(places[1][0]-places[0][0]) / 1000, float64(places[1][1]-places[0][1]) / 1000}
		end := orb.Point{start[0] + step[0], start[1] + step[1]} // where the next copy begins
		got, err := in.visitBetween(ctx, own, start, &end, o)
		if err != nil {
			return nil, 0, err
		}
		for _, indices := range copies {
			for _, v := range got.order {
				order = append(order, visited{indices[v.item], v.flipped})
				done[indices[v.item]] = true
			}
		}
		boards += len(copies)
		last := order[len(order)-1]
		if here = items[last.item].to; last.flipped {
			here = items[last.item].from
		}
	}
	if boards == 0 {
		return nil, 0, nil
	}
	var rest []int
	var left []item
	for i, it := range items {
		if !done[i] {
			rest, left = append(rest, i), append(left, it)
		}
	}
	if len(left) > 0 {
		got, err := in.visitBetween(ctx, left, here, &in.Machine.ChangeAt, o)
		if err != nil {
			return nil, 0, err
		}
		for _, v := range got.order {
			order = append(order, visited{rest[v.item], v.flipped})
		}
	}
	return order, boards, nil
}

// copies lists the places in micrometres of each kind and turn of board that
// is there more than once, by rows from below, every other row backwards.
func (in Input) copies() [][][2]int64 {
	type kind struct{ board, quarters int }
	var kinds []kind
	of := map[kind][][2]int64{}
	for _, b := range in.Panel.Boards {
		k := kind{b.Board, b.Quarters}
		if _, ok := of[k]; !ok {
			kinds = append(kinds, k)
		}
		of[k] = append(of[k], micrometres(b.Offset))
	}
	var out [][][2]int64
	for _, k := range kinds {
		places := of[k]
		if len(places) < 2 {
			continue
		}
		slices.SortFunc(places, func(a, b [2]int64) int { return cmp.Or(cmp.Compare(a[1], b[1]), cmp.Compare(a[0], b[0])) })
		for from, row := 0, 0; from < len(places); row++ {
			to := from + 1
			for to < len(places) && places[to][1] == places[from][1] {
				to++
			}
			if row%2 == 1 {
				slices.Reverse(places[from:to])
			}
			from = to
		}
		out = append(out, places)
	}
	return out
}

// alike finds the items of the first place that are there, moved, at every
// other place, and for each place the items they are there.
func alike(items []item, at map[spot]int, done []bool, places [][2]int64) (template []int, copies [][]int) {
	copies = make([][]int, len(places))
	taken := make([]bool, len(items))
	for i, it := range items {
		if done[i] || taken[i] {
			continue
		}
		found := make([]int, 0, len(places))
		for _, p := range places {
			k, ok := at[spotOf(it, [2]int64{p[0] - places[0][0], p[1] - places[0][1]})]
			if !ok || done[k] || taken[k] {
				break
			}
			found = append(found, k)
		}
		if len(found) < len(places) {
			continue
		}
		template = append(template, i)
		for c, k := range found {
			taken[k] = true
			copies[c] = append(copies[c], k)
		}
	}
	return template, copies
}

// Repeats says which runs repeat the order of one board, and what that costs
// a load, for passes planned with [Options].Repeat; and which have nothing to
// repeat.
func (p Pass) Repeats() tooling.Report {
	var report tooling.Report
	for _, r := range p.Runs {
		name := fmt.Sprintf("%s run %d", p.Name, r.Number)
		if r.Boards == 0 {
			report.Note("no-repeat", name, "no board repeats in this run: its order is that of the whole panel", 0, 0)
			continue
		}
		report.Note("repeat-order", name, fmt.Sprintf("the order of one board is repeated over %d boards; seconds that adds to the travel of a load", r.Boards), r.Repeat, 0)
	}
	return report
}

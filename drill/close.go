package drill

import (
	"cmp"
	"slices"
	"sort"
)

// levels says in which later run each round hole of a close pair is drilled:
// 0 for holes without a close neighbour and for the first of a pair, 1 for
// the second, and so on along a chain. Of two holes whose walls are nearer
// than web mm the larger comes first; of equal ones they only differ. The
// index order of ties follows order, which must not depend on the input's
// order. After is the diameter in mm of the largest hole that a hole follows;
// 0: none. Cost O(n log n) for holes that do not crowd.
func levels(at []item, web float64) (out []int, after []float64) {
	out, after = make([]int, len(at)), make([]float64, len(at))
	if web <= 0 {
		return out, after
	}
	near := closePairs(at, web)
	order := make([]int, len(at))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(at[b].tool.Diameter, at[a].tool.Diameter) })
	done := make([]bool, len(at))
	for _, i := range order {
		least := 0
		var taken []int
		for _, j := range near[i] {
			if !done[j] {
				continue
			}
			if at[j].tool.Diameter > at[i].tool.Diameter {
				least = max(least, out[j]+1)
				after[i] = max(after[i], at[j].tool.Diameter)
			} else {
				taken = append(taken, out[j])
			}
		}
		for slices.Contains(taken, least) {
			least++
		}
		out[i], done[i] = least, true
	}
	return out, after
}

// closePairs lists for each round item the items whose walls are nearer than
// web, by a sweep along X.
func closePairs(at []item, web float64) [][]int {
	near := make([][]int, len(at))
	var order []int
	widest := 0.0
	for i, it := range at {
		if !it.slot {
			order = append(order, i)
			widest = max(widest, it.tool.Diameter)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return at[order[a]].from[0] < at[order[b]].from[0] })
	for n, i := range order {
		for _, j := range order[n+1:] {
			dx, dy := at[j].from[0]-at[i].from[0], at[j].from[1]-at[i].from[1]
			if dx > widest+web {
				break
			}
			reach := (at[i].tool.Diameter+at[j].tool.Diameter)/2 + web
			if float64(dx*dx)+float64(dy*dy) < float64(reach*reach) {
				near[i] = append(near[i], j)
				near[j] = append(near[j], i)
			}
		}
	}
	return near
}

package route

import (
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// spare is how far in mm beyond the foot's radius a detour passes a keep-out.
const spare = 0.1

// tall lists the keep-outs that stand above the clearance at which the tool
// travels: rapids go round them.
func tall(panel tooling.Panel, clearance float64) []tooling.KeepOut {
	var out []tooling.KeepOut
	for _, k := range panel.KeepOuts {
		if k.Height > clearance {
			out = append(out, k)
		}
	}
	return out
}

// crosses tells whether a rapid may bring the foot over one of the keep-outs.
// The axes need not move in a straight line, so the whole box between the ends
// has to be clear.
func crosses(a, b orb.Point, around []tooling.KeepOut, foot float64) bool {
	box := orb.MultiPoint{a, b}.Bound().Pad(foot / 2)
	return slices.ContainsFunc(around, func(k tooling.KeepOut) bool { return box.Intersects(k.Bound()) })
}

// detour returns the turning points of the quickest rapid from a to b round
// the keep-outs: none when the way is clear. The turning points lie where the
// sides of the keep-outs, grown by the foot, and the coordinates of a and b
// cross. It is not ok when there is no way inside bound. Dijkstra over m points
// (E. W. Dijkstra, A note on two problems in connexion with graphs, Numerische
// Mathematik 1, 1959), O(m^2) box tests; ties go to the lower index.
func detour(a, b orb.Point, around []tooling.KeepOut, m machine.Machine, bound orb.Bound) (via []orb.Point, ok bool) {
	if !crosses(a, b, around, m.Foot) {
		return nil, true
	}
	nodes := crossings(a, b, around, m.Foot, bound)
	travel := m.Travel()
	cost := make([]int64, len(nodes))
	from := make([]int, len(nodes))
	done := make([]bool, len(nodes))
	for i := range cost {
		cost[i] = unreached
	}
	cost[0] = 0
	for {
		k := -1
		for i := range nodes {
			if !done[i] && cost[i] < unreached && (k < 0 || cost[i] < cost[k]) {
				k = i
			}
		}
		if k < 0 {
			return nil, false
		}
		if k == 1 {
			break
		}
		done[k] = true
		for i := range nodes {
			if done[i] || crosses(nodes[k], nodes[i], around, m.Foot) {
				continue
			}
			if d := cost[k] + int64(travel.Between(nodes[k], nodes[i])); d < cost[i] {
				cost[i], from[i] = d, k
			}
		}
	}
	for k := from[1]; k != 0; k = from[k] {
		via = append(via, nodes[k])
	}
	slices.Reverse(via)
	return via, true
}

// crossings lists a, b and the points a detour may turn at.
func crossings(a, b orb.Point, around []tooling.KeepOut, foot float64, bound orb.Bound) []orb.Point {
	nodes := []orb.Point{a, b}
	var xs, ys []float64
	put := func(x, y float64) { xs, ys = append(xs, x), append(ys, y) }
	put(a[0], a[1])
	put(b[0], b[1])
	grow := foot/2 + spare
	for _, k := range around {
		p := k.Bound().Pad(grow)
		put(p.Min[0], p.Min[1])
		put(p.Max[0], p.Max[1])
	}
	for _, x := range xs {
		for _, y := range ys {
			if p := gridPoint(orb.Point{x, y}); bound.Contains(p) && !crosses(p, p, around, foot) {
				nodes = append(nodes, p)
			}
		}
	}
	return nodes
}

package calibrate

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// blind is the mean square sensitivity, d ln(seconds) / d ln(parameter), below
// which the log does not see a parameter or a combination of some: 1e-8 is far
// above what the clock's nanoseconds leave in a difference quotient, and 2 % of
// noise in a thousand rows would leave such a parameter open by a factor of 6.
const blind = 1e-8

// errors returns the standard error of each free parameter, in its unit and
// infinite where the log does not see it, and the groups of which it sees only
// a combination: the large components of each eigenvector of J'WJ along which
// it leaves 30 % or more open; groups that share a member are one.
func (p *problem) errors(s state) ([]float64, [][]string) {
	all, _ := normalEquations(p.jacobian(s.at), s.resid, s.weight)
	rows := 0.0
	for _, w := range s.weight {
		rows += w
	}
	var seen []int // columns with any sensitivity
	errs := make([]float64, len(p.free))
	for c := range p.free {
		if errs[c] = math.Inf(1); all.At(c, c) > blind*rows {
			seen = append(seen, c)
		}
	}
	if len(seen) == 0 {
		return errs, nil
	}
	normal := mat.NewSymDense(len(seen), nil)
	for a, c := range seen {
		for b, d := range seen {
			normal.SetSym(a, b, all.At(c, d))
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(normal, true) {
		return errs, nil
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	var groups [][]int
	for _, c := range seen {
		errs[c] = 0
	}
	for e, lambda := range eigen.Values(nil) {
		open := math.Inf(1)
		if lambda > blind*rows {
			open = s.scale / math.Sqrt(lambda)
		}
		var group []int
		for a, c := range seen {
			part := abs(vectors.At(a, e))
			if part > 1e-3 || open < 1 {
				errs[c] += float64(part * part * open * open)
			}
			if part > 0.25 {
				group = append(group, p.free[c])
			}
		}
		if open > roughTo && len(group) > 1 {
			groups = join(groups, group)
		}
	}
	for c, k := range p.free {
		size := s.at[k]
		if traits[k].linear {
			size = unit(s.at, k)
		}
		errs[c] = math.Sqrt(errs[c]) * size
	}
	return errs, named(groups)
}

// join adds a group, together with those it shares a member with.
func join(groups [][]int, group []int) [][]int {
	var apart [][]int
	for _, g := range groups {
		if slices.ContainsFunc(g, func(k int) bool { return slices.Contains(group, k) }) {
			group = append(group, g...)
		} else {
			apart = append(apart, g)
		}
	}
	slices.Sort(group)
	return append(apart, slices.Compact(group))
}

// named returns groups by name, in the order of their first members.
func named(groups [][]int) [][]string {
	slices.SortFunc(groups, slices.Compare)
	var out [][]string
	for _, g := range groups {
		var names []string
		for _, k := range g {
			names = append(names, traits[k].name)
		}
		out = append(out, names)
	}
	return out
}

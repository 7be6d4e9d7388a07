package drill

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// place is a hole's place on the grid of 1 um on which programs are written:
// what falls together there would be one hit.
type place [4]int64

func placeOf(h Hole) place {
	a, b := micrometres(h.At), micrometres(h.To)
	if b[0] < a[0] || (b[0] == a[0] && b[1] < a[1]) {
		a, b = b, a // a slot is the same from either end
	}
	return place{a[0], a[1], b[0], b[1]}
}

func micrometres(p orb.Point) [2]int64 {
	return [2]int64{roundMicro(p[0]), roundMicro(p[1])}
}

func roundMicro(mm float64) int64 {
	n := tooling.Nanometres(mm)
	if n < 0 {
		return -((-n + 500) / 1000)
	}
	return (n + 500) / 1000
}

// byPlace returns the indices of the holes sorted by place, equal places by
// index.
func byPlace(holes []Hole) ([]int, []place) {
	places := make([]place, len(holes))
	order := make([]int, len(holes))
	for i, h := range holes {
		places[i], order[i] = placeOf(h), i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(slices.Compare(places[a][:], places[b][:]), cmp.Compare(a, b))
	})
	return order, places
}

func firstDouble(holes []Hole) ([2]int, bool) {
	order, places := byPlace(holes)
	for k := 1; k < len(order); k++ {
		if places[order[k]] == places[order[k-1]] {
			return [2]int{order[k-1], order[k]}, true
		}
	}
	return [2]int{}, false
}

// Distinct returns the holes with duplicates taken out: the same place (to
// 1 um) and size twice is one hole and a finding. The same place with
// different sizes is a [*HoleError] unless larger is set: then the largest
// stays, with a finding; finished and drilled sizes cannot be compared. The same place once plated and once not, or once
// tented or declared half and once not, is an error always.
//
// The order of those that stay is kept. Holes is not changed. Cost
// O(n log n).
func Distinct(holes []Hole, larger bool) ([]Hole, tooling.Report, error) {
	var report tooling.Report
	drop := make([]bool, len(holes))
	order, places := byPlace(holes)
	for from := 0; from < len(order); {
		to := from + 1
		for to < len(order) && places[order[to]] == places[order[from]] {
			to++
		}
		if err := settle(holes, order[from:to], larger, drop, &report); err != nil {
			return nil, nil, err
		}
		from = to
	}
	out := make([]Hole, 0, len(holes))
	for i, h := range holes {
		if !drop[i] {
			out = append(out, h)
		}
	}
	return out, report, nil
}

// settle decides which of the holes of one place stays.
func settle(holes []Hole, same []int, larger bool, drop []bool, report *tooling.Report) error {
	keep := same[0]
	for _, i := range same[1:] {
		a, b := holes[keep], holes[i]
		fault := func(err error, found, expected string) error {
			return &HoleError{Index: i, At: b.At, Source: b.Source, Found: found, Expected: expected, Err: err}
		}
		if a.Size.Plated != b.Size.Plated || a.Tented != b.Tented || a.Half != b.Half {
			return fault(ErrMarking, "another hole here, "+describe(a), "one marking; this one is "+describe(b))
		}
		if a.Size == b.Size {
			if b.Position > 0 && (a.Position == 0 || b.Position < a.Position) {
				keep, i = i, keep // the tighter place counts
			}
			drop[i] = true
			report.Note("duplicate-hit", fmt.Sprintf("%.3f mm", b.Size.Diameter), "the same hole twice is drilled once", 0, 0, b.At)
			continue
		}
		if !larger {
			return fault(ErrDuplicate, fmt.Sprintf("%s where %s has %s", kind(b.Size), a.Source, kind(a.Size)), "one size at a place")
		}
		if a.Size.Basis != b.Size.Basis {
			return fault(ErrDuplicate, fmt.Sprintf("%s where %s has %s", kind(b.Size), a.Source, kind(a.Size)), "sizes of one basis, or none can be called the larger")
		}
		if b.Size.Diameter > a.Size.Diameter {
			keep, i = i, keep
		}
		drop[i] = true
		report.Note("larger-taken", fmt.Sprintf("%.3f mm", holes[keep].Size.Diameter), "two sizes at one place: the larger is drilled, as asked", 0, 0, b.At)
	}
	return nil
}

func kind(s tooling.Size) string {
	return fmt.Sprintf("%s %.3f mm, %s", s.Kind(), s.Diameter, s.Basis)
}

func describe(h Hole) string {
	s := "unplated"
	if h.Size.Plated {
		s = "plated"
	}
	if h.Tented {
		s += ", tented"
	}
	if h.Half {
		s += ", half hole"
	}
	return fmt.Sprintf("%s, %.3f mm", s, h.Size.Diameter)
}

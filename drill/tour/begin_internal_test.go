package tour

import (
	"context"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// A closed tour without a start begins with the first item, entered at A and
// left at B, whichever of its ends comes first along the curve.
func TestClosedTourBeginsWithTheFirstItem(t *testing.T) {
	for _, turned := range []bool{false, true} {
		p := Problem{Closed: true}
		first := Item{A: orb.Point{0, 0}, B: orb.Point{30, 50}}
		if turned {
			first.A, first.B = first.B, first.A
		}
		p.Items = append(p.Items, first)
		for k := range 16 {
			p.Items = append(p.Items, Point(orb.Point{float64(10 + 7*(k%5)), float64(10 + 11*(k/5))}))
		}
		r, err := Solve(context.Background(), p, Options{Kicks: 3})
		if err != nil {
			t.Fatal(err)
		}
		if r.Order[0] != 0 || r.Flipped[0] {
			t.Errorf("turned %v: begins with item %d, entered at B %v", turned, r.Order[0], r.Flipped[0])
		}
		at := slices.Clone(r.Order)
		slices.Sort(at)
		if at[len(at)-1] != 16 || p.Length(r.Order, r.Flipped) != r.Length {
			t.Errorf("turned %v: %v of length %v", turned, r.Order, r.Length)
		}
	}
}

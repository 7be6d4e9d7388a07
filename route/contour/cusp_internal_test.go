package contour

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Two neighbours that leave their common point in nearly one direction may come
// within a nanometre of each other beside it, as far as their angle and bends explain
// it and within a micrometre of that point.
func TestNeighboursMay(t *testing.T) {
	var in elem
	in.setLine(vec{-10, 0}, vec{0, 0}, 0)
	// back is a line that returns at an angle above the one that came.
	back := func(angle float64) elem {
		s, c := math.Sincos(angle)
		var e elem
		e.setLine(vec{0, 0}, vec{-10 * c, 10 * s}, 1)
		return e
	}
	// bent returns along a circle that touches it.
	bent := func(r, angle float64) elem {
		s, c := math.Sincos(angle)
		centre := vec{0, 0}.along(vec{s, c}, r)
		return arcElem(vec{0, 0}, centre.along(vec{-1, 0}, r), centre, -1, 1)
	}
	for name, c := range map[string]struct {
		f    elem
		s    float64 // how far from the common point they meet, mm
		want bool
	}{
		"at the point":                     {back(1), 0, true},
		"a nanometre beside":               {back(1), 1e-6, true},
		"beyond it, wide open":             {back(1), 1.1e-6, false},
		"half a nanometre apart":           {back(1e-6), 5e-4, true},
		"more than one apart":              {back(3e-6), 5e-4, false},
		"near, but too far from the point": {back(1e-7), 2e-3, false},
		"as far as may be":                 {back(0), 1e-3, true},
		"bent by 0.4 nm":                   {bent(50, 0), 2e-4, true},
		"bent by 2 nm":                     {bent(10, 0), 2e-4, false},
		"bent and turned, 0.8 nm":          {bent(50, 2e-6), 2e-4, true},
		"bent and turned, 1.4 nm":          {bent(50, 5e-6), 2e-4, false},
	} {
		assert.Equal(t, c.want, neighboursMay(&in, &c.f, vec{-c.s, 0}), name)
	}
}

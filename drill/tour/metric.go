package tour

import (
	"math"

	"example.org/pinstack/tooling/machine"
	"github.com/paulmach/orb"
)

// kind tells the metrics apart.
type kind uint8

const (
	euclid kind = iota
	rounded
	ceiling
	chebyshev
	moveTime
)

// Metric says what going from one point to another costs. It is a concrete
// value rather than an interface or a type parameter, since its method is the
// inner loop of everything here. Every metric is symmetric, not negative, zero
// from a point to itself, and a whole number of units; only whole numbers are
// compared and summed, so that no rounding decides an order. The zero value is
// [Euclid].
type Metric struct {
	travel machine.Travel
	kind   kind
}

// Euclid is the straight distance, kept in nanometres; lengths read in mm.
func Euclid() Metric { return Metric{} }

// Rounded is TSPLIB's EUC_2D: the straight distance rounded to the nearest
// whole unit of the coordinates.
func Rounded() Metric { return Metric{kind: rounded} }

// Ceiling is TSPLIB's CEIL_2D: the straight distance rounded up.
func Ceiling() Metric { return Metric{kind: ceiling} }

// Chebyshev is TSPLIB's MAX_2D: the larger of both legs, each rounded to the
// nearest whole unit.
func Chebyshev() Metric { return Metric{kind: chebyshev} }

// MoveTime is the machine's own time between two hits, [machine.Travel.Between],
// kept in nanoseconds; lengths read in seconds.
func MoveTime(t machine.Travel) Metric { return Metric{kind: moveTime, travel: t} }

// Scale is the number of cost units in one unit of [Result.Length]: 1e6 for
// Euclid (nm in a mm), 1e9 for MoveTime (ns in a second), 1 for the others.
func (m Metric) Scale() float64 {
	switch m.kind {
	case euclid:
		return 1e6
	case moveTime:
		return 1e9
	}
	return 1
}

// Cost is the cost of going from a to b, in cost units; see [Metric.Scale].
func (m Metric) Cost(a, b orb.Point) int64 { return m.cost(a, b) }

// cost is Cost on a pointer: a Metric is too wide to copy in an inner loop. The
// conversions around the products keep a compiler from fusing them.
func (m *Metric) cost(a, b orb.Point) int64 {
	dx, dy := a[0]-b[0], a[1]-b[1]
	switch m.kind {
	case euclid:
		return int64(float64(1e6*math.Sqrt(float64(dx*dx)+float64(dy*dy))) + 0.5)
	case rounded:
		return int64(math.Sqrt(float64(dx*dx)+float64(dy*dy)) + 0.5)
	case ceiling:
		return int64(math.Ceil(math.Sqrt(float64(dx*dx) + float64(dy*dy))))
	case chebyshev:
		return int64(max(math.Abs(dx), math.Abs(dy)) + 0.5)
	}
	return int64(m.travel.Between(a, b))
}

package contour

import (
	"math"

	"github.com/paulmach/orb"
)

// vec is a point or a direction. Unlike orb.Point, an array, it can live in
// registers, which halves the time of the inner loops.
type vec struct{ x, y float64 }

func toVec(p orb.Point) vec    { return vec{p[0], p[1]} }
func (a vec) point() orb.Point { return orb.Point{a.x, a.y} }

func (a vec) add(b vec) vec              { return vec{a.x + b.x, a.y + b.y} }
func (a vec) sub(b vec) vec              { return vec{a.x - b.x, a.y - b.y} }
func (a vec) scale(f float64) vec        { return vec{a.x * f, a.y * f} }
func (a vec) along(b vec, f float64) vec { return vec{a.x + float64(b.x*f), a.y + float64(b.y*f)} }

// left is the vector turned a quarter counter-clockwise.
func (a vec) left() vec { return vec{-a.y, a.x} }

// dot and cross round each product by itself, so that no architecture fuses
// them and every one decides alike.
func (a vec) dot(b vec) float64   { return float64(a.x*b.x) + float64(a.y*b.y) }
func (a vec) cross(b vec) float64 { return float64(a.x*b.y) - float64(a.y*b.x) }

// norm is the length. Coordinates are bounded by [maxCoordinate], so squares can
// neither overflow nor, for lengths that matter, underflow.
func (a vec) norm() float64 { return math.Sqrt(a.dot(a)) }

func (a vec) dist(b vec) float64 { return a.sub(b).norm() }

// unit is the direction of a, the zero vector for the zero vector.
func (a vec) unit() vec {
	if n := a.norm(); n > 0 {
		return a.scale(1 / n)
	}
	return vec{}
}

// angleTo is the turn from a to b in (-pi, pi], positive counter-clockwise.
func (a vec) angleTo(b vec) float64 { return math.Atan2(a.cross(b), a.dot(b)) }

// rotate turns a counter-clockwise by an angle in radians.
func (a vec) rotate(angle float64) vec {
	s, c := math.Sincos(angle)
	return vec{float64(a.x*c) - float64(a.y*s), float64(a.x*s) + float64(a.y*c)}
}

func middle(a, b vec) vec { return vec{(a.x + b.x) / 2, (a.y + b.y) / 2} }

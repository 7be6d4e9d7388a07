package tooling

import (
	"errors"
	"fmt"
	"math"

	"github.com/paulmach/orb"
)

// ErrTargets is wrapped by the errors of [FitSimilarity] and [FitAffine]: too
// few targets, or all of them on one line.
var ErrTargets = errors.New("tooling: the targets do not fix the panel")

// Fit is how a panel has moved in process: a linear map about the centre of
// the nominal targets, and a shift. The zero value moves nothing.
type Fit struct {
	Kind  string     `json:"kind,omitempty"`    // "similarity" or "affine"; "": moves nothing
	About orb.Point  `json:"about_mm,omitzero"` // centre of the nominal targets
	Shift orb.Point  `json:"shift_mm,omitzero"` // of that centre
	Map   [4]float64 `json:"map,omitzero"`      // xx, xy, yx, yy: factors, without a unit
	Worst float64    `json:"worst_residual_mm,omitempty"`
	Rms   float64    `json:"rms_residual_mm,omitempty"`
}

// Apply moves a nominal point to where it is on the moved panel, mm.
func (f Fit) Apply(p orb.Point) orb.Point {
	if f.Kind == "" {
		return p
	}
	x, y := p[0]-f.About[0], p[1]-f.About[1]
	return SnapPoint(orb.Point{
		f.About[0] + f.Shift[0] + float64(f.Map[0]*x) + float64(f.Map[1]*y),
		f.About[1] + f.Shift[1] + float64(f.Map[2]*x) + float64(f.Map[3]*y),
	})
}

// Undo moves a point of the moved panel back to its nominal place, mm.
func (f Fit) Undo(p orb.Point) orb.Point {
	if f.Kind == "" {
		return p
	}
	u, v := p[0]-f.About[0]-f.Shift[0], p[1]-f.About[1]-f.Shift[1]
	det := float64(f.Map[0]*f.Map[3]) - float64(f.Map[1]*f.Map[2])
	return SnapPoint(orb.Point{
		f.About[0] + (float64(f.Map[3]*u)-float64(f.Map[1]*v))/det,
		f.About[1] + (float64(f.Map[0]*v)-float64(f.Map[2]*u))/det,
	})
}

// String says the change in words: shift in um, turn in mrad and scale in
// parts per million; empty for the zero value.
func (f Fit) String() string {
	if f.Kind == "" {
		return ""
	}
	return fmt.Sprintf("%s fit: shift X%+.0f Y%+.0f um, turn %+.3f mrad, scale X%+.0f Y%+.0f ppm, worst residual %.0f um",
		f.Kind, f.Shift[0]*1000, f.Shift[1]*1000, (f.Map[2]-f.Map[1])/2*1000, (f.Map[0]-1)*1e6, (f.Map[3]-1)*1e6, f.Worst*1000)
}

// maxStretch bounds how far a fit may turn, stretch or shear: panels change by
// parts in a thousand, so a percent means that targets were mixed up.
const maxStretch = 0.01

// FitSimilarity returns the shift, turn and uniform scale that bring nominal
// targets nearest to the measured ones, in the sense of least squares (closed
// form on centred coordinates). It wants two targets at least, apart from one
// another. Errors are [*InputError] wrapping [ErrTargets].
func FitSimilarity(nominal, measured []orb.Point) (Fit, error) {
	s, err := sums(nominal, measured, 2)
	if err != nil {
		return Fit{}, err
	}
	spread := s.xx + s.yy
	a, b := (s.xu+s.yv)/spread, (s.xv-s.yu)/spread
	return finish(Fit{Kind: "similarity", About: s.from, Shift: s.shift(), Map: [4]float64{a, -b, b, a}}, nominal, measured)
}

// FitAffine returns the shift and the linear map that bring nominal targets
// nearest to the measured ones, in the sense of least squares. It wants three
// targets at least, not on one line. Errors are [*InputError] wrapping
// [ErrTargets].
func FitAffine(nominal, measured []orb.Point) (Fit, error) {
	s, err := sums(nominal, measured, 3)
	if err != nil {
		return Fit{}, err
	}
	det := float64(s.xx*s.yy) - float64(s.xy*s.xy)
	// det is the product of the spreads along the two principal axes: on one
	// line one of them vanishes.
	if total := s.xx + s.yy; det < 1e-6*float64(total*total) {
		return Fit{}, targets("targets on one line", "targets that span the panel both ways")
	}
	solve := func(p, q float64) (float64, float64) { // normal equations, Cramer's rule
		return (float64(p*s.yy) - float64(q*s.xy)) / det, (float64(q*s.xx) - float64(p*s.xy)) / det
	}
	m := [4]float64{}
	m[0], m[1] = solve(s.xu, s.yu)
	m[2], m[3] = solve(s.xv, s.yv)
	return finish(Fit{Kind: "affine", About: s.from, Shift: s.shift(), Map: m}, nominal, measured)
}

func targets(found, expected string) error {
	return &InputError{Source: Source{Path: "targets"}, Err: ErrTargets, Found: found, Expected: expected}
}

// centred sums of products: x, y nominal, u, v measured, each from its centre.
type centredSums struct {
	from, to       orb.Point
	xx, xy, yy     float64
	xu, xv, yu, yv float64
}

func (s centredSums) shift() orb.Point {
	return SnapPoint(orb.Point{s.to[0] - s.from[0], s.to[1] - s.from[1]})
}

func sums(nominal, measured []orb.Point, least int) (centredSums, error) {
	var s centredSums
	switch n := len(nominal); {
	case n != len(measured):
		return s, targets(fmt.Sprintf("%d nominal and %d measured", n, len(measured)), "a measured place for every target")
	case n < least:
		return s, targets(fmt.Sprintf("%d targets", n), fmt.Sprintf("at least %d", least))
	}
	for i := range nominal {
		for _, p := range [2]orb.Point{nominal[i], measured[i]} {
			if !InRange(p[0]) || !InRange(p[1]) {
				return s, targets(fmt.Sprintf("target %d at X%g Y%g", i, p[0], p[1]), "finite coordinates within 10 m")
			}
		}
	}
	s.from, s.to = centre(nominal), centre(measured)
	for i := range nominal {
		x, y := nominal[i][0]-s.from[0], nominal[i][1]-s.from[1]
		u, v := measured[i][0]-s.to[0], measured[i][1]-s.to[1]
		s.xx += float64(x * x)
		s.xy += float64(x * y)
		s.yy += float64(y * y)
		s.xu += float64(x * u)
		s.xv += float64(x * v)
		s.yu += float64(y * u)
		s.yv += float64(y * v)
	}
	if s.xx+s.yy < 1 {
		return s, targets("targets within a millimetre of one another", "targets that span the panel")
	}
	return s, nil
}

func centre(ps []orb.Point) orb.Point {
	var x, y float64
	for _, p := range ps {
		x += p[0]
		y += p[1]
	}
	n := float64(len(ps))
	return SnapPoint(orb.Point{x / n, y / n})
}

// finish refuses maps no panel makes, and measures the residuals.
func finish(f Fit, nominal, measured []orb.Point) (Fit, error) {
	identity := [4]float64{1, 0, 0, 1}
	for k, m := range f.Map {
		f.Map[k] = math.Round(m*1e12) / 1e12
		if d := math.Abs(m - identity[k]); !(d <= maxStretch) {
			return Fit{}, targets(fmt.Sprintf("a change of %.1f %%", 100*d), "at most 1 %: have targets been mixed up, or mirrored?")
		}
	}
	sum := 0.0
	for i := range nominal {
		p := f.Apply(nominal[i])
		dx, dy := p[0]-measured[i][0], p[1]-measured[i][1]
		d2 := float64(dx*dx) + float64(dy*dy)
		sum += d2
		f.Worst = max(f.Worst, Snap(math.Sqrt(d2)))
	}
	f.Rms = Snap(math.Sqrt(sum / float64(len(nominal))))
	return f, nil
}

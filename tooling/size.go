package tooling

// Basis says what the diameters of a drill file mean.
type Basis string

// Adding the allowance twice, or not at all, scraps a lot; so the basis is
// never assumed for plated holes.
const (
	Finished Basis = "finished" // the diameter after plating
	Drilled  Basis = "drilled"  // the bit's diameter: no allowance
)

// Class says what a hole is for; allowance and tolerance follow from it.
type Class string

// The classes of hole. The zero value is treated as a component hole when
// plated and as mechanical when not.
const (
	Via        Class = "via"
	Component  Class = "component"
	PressFit   Class = "press-fit"
	Mechanical Class = "mechanical"
)

// Size is a hole's diameter as the drill file gives it, and how far the
// result may stray.
type Size struct {
	Diameter float64 `json:"diameter_mm"`
	Basis    Basis   `json:"basis"` // "" is read as finished here; readers of files refuse it
	Class    Class   `json:"class,omitempty"`
	Plated   bool    `json:"plated"`
	Minus    float64 `json:"minus_mm,omitempty"` // 0: by class, see [Size.Tolerance]
	Plus     float64 `json:"plus_mm,omitempty"`  // 0: by class
}

// Kind returns the class with the zero value resolved.
func (s Size) Kind() Class {
	switch {
	case s.Class != "":
		return s.Class
	case s.Plated:
		return Component
	}
	return Mechanical
}

// Tolerance returns the finished size's tolerance in mm, minus and plus: the
// size's own where given, else by class (common practice): plated 0.10,
// press-fit 0.05, unplated 0.08; a via is open below.
func (s Size) Tolerance() (minus, plus float64) {
	switch {
	case s.Kind() == Via && s.Plated:
		minus, plus = s.Diameter, 0.10
	case s.Kind() == PressFit:
		minus, plus = 0.05, 0.05
	case s.Plated:
		minus, plus = 0.10, 0.10
	default:
		minus, plus = 0.08, 0.08
	}
	if s.Minus != 0 {
		minus = s.Minus
	}
	if s.Plus != 0 {
		plus = s.Plus
	}
	return minus, plus
}

// Allowance is what is added to a finished diameter to get the drilled one,
// in mm. Copper of 20 to 25 um a side, 2 to 50 um of finish and about 20 um
// of undersize of the hole make up the defaults (common practice).
type Allowance struct {
	Via       float64 `json:"via_mm"`
	Component float64 `json:"component_mm"` // press-fit holes too
	Unplated  float64 `json:"unplated_mm"`
}

// DefaultAllowance returns the usual allowances: via 0.10, component 0.15,
// unplated 0 mm (common practice).
func DefaultAllowance() Allowance {
	return Allowance{Via: 0.10, Component: 0.15}
}

// Target returns the diameter in mm that should be drilled for a size.
func (a Allowance) Target(s Size) float64 {
	switch {
	case s.Basis == Drilled:
		return Snap(s.Diameter)
	case !s.Plated:
		return Snap(s.Diameter + a.Unplated)
	case s.Kind() == Via:
		return Snap(s.Diameter + a.Via)
	}
	return Snap(s.Diameter + a.Component)
}

// Result returns the finished diameter in mm that a bit leaves for a size:
// the inverse of Target.
func (a Allowance) Result(s Size, bit float64) float64 {
	return Snap(bit - (a.Target(s) - s.Diameter))
}

func (a Allowance) validate(v *Validation, path string) {
	v.Within(path+".via_mm", a.Via, 0, 0.5, "mm")
	v.Within(path+".component_mm", a.Component, 0, 0.5, "mm")
	v.Within(path+".unplated_mm", a.Unplated, 0, 0.5, "mm")
}

func (s Size) validate(v *Validation, path string) {
	v.Within(path+".diameter_mm", s.Diameter, 0.01, 1000, "mm")
	switch s.Basis {
	case Finished, Drilled, "":
	default:
		v.Add(path+".basis", ErrValue, quote(string(s.Basis)), "finished or drilled")
	}
	switch s.Class {
	case Via, Component, PressFit, Mechanical, "":
	default:
		v.Add(path+".class", ErrValue, quote(string(s.Class)), "via, component, press-fit or mechanical")
	}
	v.Within(path+".minus_mm", s.Minus, 0, 1000, "mm")
	v.Within(path+".plus_mm", s.Plus, 0, 1000, "mm")
}

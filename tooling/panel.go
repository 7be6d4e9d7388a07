package tooling

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"
)

// Role says what a panel feature is for.
type Role string

// The roles of a panel feature.
const (
	// Pin: a pin stands here in the stack. The stack's first pinning holes
	// are made at the pinning station, not by our programs.
	Pin Role = "pin"
	// ToolingHole: an unplated (tented) hole of the panel, drilled in the
	// first set-up; later set-ups may pin in it.
	ToolingHole Role = "tooling"
	// Coupon: a plated hole of a test coupon.
	Coupon Role = "coupon"
	// Target: an unplated (tented) hole that is measured later.
	Target Role = "target"
)

// Feature is a hole or pin that belongs to the panel, not to a board.
type Feature struct {
	Role     Role      `json:"role"`
	At       orb.Point `json:"at_mm"`
	Diameter float64   `json:"diameter_mm"`
	SetUp    int       `json:"set_up,omitempty"` // pins: the set-up they stand in; 0: every one
}

// KeepOut is a place that no tool and no pressure foot may come over while
// the tool is down, and where tall, not while it travels either: a clamp, a
// bushing.
type KeepOut struct {
	Name   string    `json:"name"`
	Min    orb.Point `json:"min_mm"`
	Max    orb.Point `json:"max_mm"`
	Height float64   `json:"height_mm"` // above the entry sheet; 0: flush
}

// Bound returns the keep-out's box.
func (k KeepOut) Bound() orb.Bound { return orb.Bound{Min: k.Min, Max: k.Max} }

// Placement puts a board on the panel: turned counter-clockwise about its own
// origin by quarter turns, then moved.
type Placement struct {
	Board    int       `json:"board"`
	Offset   orb.Point `json:"at_mm"`
	Quarters int       `json:"quarters,omitempty"` // 0 to 3
}

// Apply moves a point of the board onto the panel.
func (p Placement) Apply(at orb.Point) orb.Point {
	x, y := at[0], at[1]
	switch ((p.Quarters % 4) + 4) % 4 {
	case 1:
		x, y = -y, x
	case 2:
		x, y = -x, -y
	case 3:
		x, y = y, -x
	}
	return SnapPoint(orb.Point{x + p.Offset[0], y + p.Offset[1]})
}

// Score is a line cut to part depth from both faces by another machine; it
// runs the whole panel, horizontally or vertically. Edges on it are not
// routed.
type Score [2]orb.Point

// Panel is the blank that is drilled and routed, with what stands on it.
type Panel struct {
	Width     float64     `json:"width_mm"`
	Height    float64     `json:"height_mm"`
	Thickness float64     `json:"thickness_mm"`
	Material  string      `json:"material"`
	Copper    float64     `json:"copper_um,omitempty"` // um of the thickest layer; 0: not told, ordinary
	Layers    int         `json:"layers,omitempty"`    // copper layers; 0: not told, ordinary
	Boards    []Placement `json:"boards,omitempty"`
	Features  []Feature   `json:"features,omitempty"`
	KeepOuts  []KeepOut   `json:"keep_outs,omitempty"`
	Scores    []Score     `json:"scores,omitempty"`
}

// Bound returns the panel's box, from the origin.
func (p Panel) Bound() orb.Bound {
	return orb.Bound{Max: orb.Point{p.Width, p.Height}}
}

// Laminate returns what the panel is made of.
func (p Panel) Laminate() Laminate {
	return Laminate{Material: p.Material, Copper: p.Copper, Layers: p.Layers}
}

// Pins returns the pins that stand in a set-up, in the order given.
func (p Panel) Pins(setUp int) []Feature {
	var pins []Feature
	for _, f := range p.Features {
		if f.Role == Pin && (f.SetUp == 0 || f.SetUp == setUp) {
			pins = append(pins, f)
		}
	}
	return pins
}

// snapped returns the panel with every length in whole nanometres.
func (p Panel) snapped() Panel {
	p.Width, p.Height, p.Thickness = Snap(p.Width), Snap(p.Height), Snap(p.Thickness)
	p.Boards, p.Features = slices.Clone(p.Boards), slices.Clone(p.Features)
	p.KeepOuts, p.Scores = slices.Clone(p.KeepOuts), slices.Clone(p.Scores)
	for i := range p.Boards {
		p.Boards[i].Offset = SnapPoint(p.Boards[i].Offset)
	}
	for i := range p.Features {
		f := &p.Features[i]
		f.At, f.Diameter = SnapPoint(f.At), Snap(f.Diameter)
	}
	for i := range p.KeepOuts {
		k := &p.KeepOuts[i]
		k.Min, k.Max, k.Height = SnapPoint(k.Min), SnapPoint(k.Max), Snap(k.Height)
	}
	for i, s := range p.Scores {
		p.Scores[i] = Score{SnapPoint(s[0]), SnapPoint(s[1])}
	}
	return p
}

// Validate returns nil or [InputErrors] with a JSON path for each fault:
// sizes out of range, features off the panel, score lines that do not run the
// whole panel.
func (p Panel) Validate() error {
	var v Validation
	p.validate(&v, "")
	return v.Err()
}

func (p Panel) validate(v *Validation, prefix string) {
	v.Within(prefix+"width_mm", p.Width, 1, MaxLength, "mm")
	v.Within(prefix+"height_mm", p.Height, 1, MaxLength, "mm")
	v.Within(prefix+"thickness_mm", p.Thickness, 0.05, 20, "mm")
	if p.Material == "" {
		v.Add(prefix+"material", ErrMissing, "nothing", "a material's name")
	}
	v.Within(prefix+"copper_um", p.Copper, 0, 1000, "um")
	v.Count(prefix+"layers", p.Layers, 0, 100)
	for i, b := range p.Boards {
		path := index(prefix+"boards", i)
		v.Point(path+".at_mm", b.Offset)
		v.Count(path+".quarters", b.Quarters, 0, 3)
		v.Count(path+".board", b.Board, 0, 100_000)
	}
	seen := make(map[[2]int64]int, len(p.Features))
	for i, f := range p.Features {
		path := index(prefix+"features", i)
		p.validateFeature(v, path, f)
		if !InRange(f.At[0]) || !InRange(f.At[1]) {
			continue
		}
		at := [2]int64{Nanometres(f.At[0]), Nanometres(f.At[1])}
		first, ok := seen[at]
		if !ok {
			seen[at] = i
			continue
		}
		// A pin may stand in a tooling hole, and each set-up may have its own.
		if g := p.Features[first]; f.Role == g.Role && (f.SetUp == 0 || g.SetUp == 0 || f.SetUp == g.SetUp) {
			v.Add(path+".at_mm", ErrDuplicate, string(f.Role)+" at "+fmt.Sprintf("X%.3f Y%.3f", f.At[0], f.At[1])+" again", fmt.Sprintf("one; features[%d] is there", first))
		}
	}
	for i, k := range p.KeepOuts {
		path := index(prefix+"keep_outs", i)
		v.Point(path+".min_mm", k.Min)
		v.Point(path+".max_mm", k.Max)
		v.Within(path+".height_mm", k.Height, 0, 1000, "mm")
		if k.Max[0] < k.Min[0] || k.Max[1] < k.Min[1] {
			v.Add(path+".max_mm", ErrConflict, fmt.Sprint(k.Max), "a corner above and right of min_mm")
		}
	}
	for i, s := range p.Scores {
		p.validateScore(v, index(prefix+"scores", i), s)
	}
}

func (p Panel) validateFeature(v *Validation, path string, f Feature) {
	switch f.Role {
	case Pin, ToolingHole, Coupon, Target:
	default:
		v.Add(path+".role", ErrValue, quote(string(f.Role)), "pin, tooling, coupon or target")
	}
	v.Within(path+".diameter_mm", f.Diameter, 0.05, 50, "mm")
	v.Count(path+".set_up", f.SetUp, 0, 100)
	v.Point(path+".at_mm", f.At)
	r := f.Diameter / 2
	over := max(Nanometres(r-f.At[0]), Nanometres(r-f.At[1]), Nanometres(f.At[0]+r-p.Width), Nanometres(f.At[1]+r-p.Height))
	if InRange(f.At[0]) && InRange(f.At[1]) && over > 0 {
		v.Add(path+".at_mm", ErrValue, fmt.Sprintf("X%.3f Y%.3f", f.At[0], f.At[1]), "a place on the panel")
	}
}

func (p Panel) validateScore(v *Validation, path string, s Score) {
	for _, at := range s {
		if !InRange(at[0]) || !InRange(at[1]) {
			v.Point(path, at)
			return
		}
	}
	across := s[0][1] == s[1][1] && spans(s[0][0], s[1][0], p.Width)
	up := s[0][0] == s[1][0] && spans(s[0][1], s[1][1], p.Height)
	if !across && !up {
		v.Add(path, ErrValue, fmt.Sprint(s), "a horizontal or vertical line over the whole panel")
	}
}

func spans(a, b, length float64) bool {
	return Nanometres(min(a, b)) == 0 && Nanometres(max(a, b)) == Nanometres(length)
}

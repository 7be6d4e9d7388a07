package tooling

import "math"

// ToolKind tells what a tool is made for.
type ToolKind string

// The kinds of tool a drill and rout machine carries.
const (
	Bit     ToolKind = "bit"      // twist drill
	SlotBit ToolKind = "slot-bit" // stiff drill for overlapping hits
	Cutter  ToolKind = "cutter"   // routing cutter
)

func (k ToolKind) validate(v *Validation, path string) {
	switch k {
	case Bit, SlotBit, Cutter:
	default:
		v.Add(path, ErrValue, quote(string(k)), "bit, slot-bit or cutter")
	}
}

// Tool is one stock item: a bit or a cutter of one diameter.
type Tool struct {
	ID           string   `json:"id"`
	Kind         ToolKind `json:"kind"`
	Diameter     float64  `json:"diameter_mm"`
	Flute        float64  `json:"flute_mm"`                  // usable cutting length
	PointAngle   float64  `json:"point_deg,omitempty"`       // 0: by diameter, see [Tool.Point]
	MinSpeed     float64  `json:"min_rev_per_min,omitempty"` // 0: no limit
	MaxSpeed     float64  `json:"max_rev_per_min,omitempty"` // 0: no limit
	Price        float64  `json:"price"`                     // lot's money, each
	RepointPrice float64  `json:"repoint_price,omitempty"`   // lot's money, each time
	Repoints     int      `json:"repoints,omitempty"`        // times it may be repointed
	Stock        int      `json:"stock,omitempty"`           // pieces in the crib; 0: not counted
}

// maxRepoints is far above what any bit survives.
const maxRepoints = 100

// wideFrom is the diameter in mm from which bits are ground flat, about
// 165 deg instead of 130 deg (trade figure, common practice).
const wideFrom = 3.2

// Point returns the point angle in degrees: the tool's own, else 130 below
// 3.2 mm and 165 from there (common practice). A cutter's end is taken as
// flat: 180.
func (t Tool) Point() float64 {
	switch {
	case t.Kind == Cutter:
		return 180
	case t.PointAngle != 0:
		return t.PointAngle
	case t.Diameter >= wideFrom:
		return 165
	}
	return 130
}

// PointLength returns the length in mm of the conical point:
// (D/2) / tan(angle/2); 0 for a cutter.
func (t Tool) PointLength() float64 {
	if t.Kind == Cutter {
		return 0
	}
	return Snap(t.Diameter / 2 / math.Tan(t.Point()/2*math.Pi/180))
}

func (t Tool) validate(v *Validation, path string) {
	if t.ID == "" {
		v.Add(path+".id", ErrMissing, "nothing", "a name for the tool")
	}
	t.Kind.validate(v, path+".kind")
	v.Within(path+".diameter_mm", t.Diameter, 0.01, 50, "mm")
	v.Within(path+".flute_mm", t.Flute, 0.01, 100, "mm")
	if t.PointAngle != 0 {
		v.Within(path+".point_deg", t.PointAngle, 60, 180, "degrees")
	}
	v.Within(path+".min_rev_per_min", t.MinSpeed, 0, 1e6, "rev/min")
	v.Within(path+".max_rev_per_min", t.MaxSpeed, 0, 1e6, "rev/min")
	if t.MaxSpeed != 0 && t.MaxSpeed < t.MinSpeed {
		v.Add(path+".max_rev_per_min", ErrConflict, number(t.MaxSpeed), "at least min_rev_per_min, "+number(t.MinSpeed))
	}
	v.Within(path+".price", t.Price, 0, 1e6, "money")
	v.Within(path+".repoint_price", t.RepointPrice, 0, 1e6, "money")
	v.Count(path+".repoints", t.Repoints, 0, maxRepoints)
	v.Count(path+".stock", t.Stock, 0, 1_000_000)
}

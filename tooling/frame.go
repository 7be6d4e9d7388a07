package tooling

import (
	"fmt"

	"github.com/paulmach/orb"
)

// Frame says in which coordinates a program is written, against those of the
// panel: turned by quarter turns counter-clockwise, mirrored first where the
// panel lies face down, and counted from a datum. The zero value is the
// panel's own coordinates.
//
// Everything on the panel turns together: holes, paths, pins and keep-outs. A
// machine's change position is given in panel coordinates and turns with
// them.
type Frame struct {
	Datum    orb.Point `json:"datum_mm,omitzero"`   // the panel's point that becomes the origin, mm
	FaceDown bool      `json:"face_down,omitempty"` // mirrored left to right: drilled from the other face
	Quarters int       `json:"quarters,omitempty"`  // 0 to 3
}

// Validate returns nil or [InputErrors].
func (f Frame) Validate() error {
	var v Validation
	v.Point("datum_mm", f.Datum)
	v.Count("quarters", f.Quarters, 0, 3)
	return v.Err()
}

// Apply moves a point from panel coordinates into the frame, mm.
func (f Frame) Apply(p orb.Point) orb.Point {
	x, y := p[0]-f.Datum[0], p[1]-f.Datum[1]
	if f.FaceDown {
		x = -x
	}
	return SnapPoint(turned(x, y, f.Quarters))
}

// Undo moves a point of the frame back into panel coordinates, mm.
func (f Frame) Undo(p orb.Point) orb.Point {
	q := turned(p[0], p[1], -f.Quarters)
	if f.FaceDown {
		q[0] = -q[0]
	}
	return SnapPoint(orb.Point{q[0] + f.Datum[0], q[1] + f.Datum[1]})
}

// turned turns a point about the origin by quarter turns counter-clockwise.
func turned(x, y float64, quarters int) orb.Point {
	switch ((quarters % 4) + 4) % 4 {
	case 1:
		return orb.Point{-y, x}
	case 2:
		return orb.Point{-x, -y}
	case 3:
		return orb.Point{y, -x}
	}
	return orb.Point{x, y}
}

// String says the frame in words for program headers; empty for the zero
// value.
func (f Frame) String() string {
	if f == (Frame{}) {
		return ""
	}
	face := "face up"
	if f.FaceDown {
		face = "face down, mirrored left to right"
	}
	return fmt.Sprintf("origin at panel X%.3f Y%.3f, turned %d degrees, %s", f.Datum[0], f.Datum[1], 90*f.Quarters, face)
}

package artwork

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Layer is what an artwork file draws: strokes along their centre lines,
// regions, flashes, with the apertures and attributes that belong to them.
// All lengths are mm, whatever the file's own unit, on a grid of 1 nm.
type Layer struct {
	File       string
	Format     Format
	Function   Function    // what the file's attribute says it is; a caller who knows may set it before Profile
	Apertures  []Aperture  // in the order of their definitions
	Strokes    []Stroke    // in the order of the file, repeats expanded
	Flashes    []Flash     // in the order of the file, repeats expanded
	Regions    []Region    // in the order of the file, repeats expanded
	Attributes []Attribute // in the order of the file
	Report     tooling.Report
}

// Format is how the file writes its coordinates.
type Format struct {
	Inch        bool   // units: inch, else mm
	Integers    [2]int // digits before the point, of X and Y
	Decimals    [2]int // digits behind it, of X and Y
	Trailing    bool   // trailing zeros are omitted, else leading ones
	Incremental bool   // each coordinate counts from the point before
}

// Function is what a layer is for, from its file attribute.
type Function int

// The functions of a layer that matter here; every other one is FunctionOther.
const (
	FunctionUnknown Function = iota // the file does not say
	FunctionProfile                 // the board's outline and cut-outs
	FunctionRout                    // rout layer: plated or unplated routs
	FunctionScore                   // score lines
	FunctionOther                   // something else, such as copper
)

// Shape is the form of an aperture.
type Shape int

// The shapes of apertures.
const (
	ShapeCircle    Shape = iota // Width is the diameter
	ShapeRectangle              // Width by Height
	ShapeObround                // Width by Height, round ends
	ShapePolygon                // Width is the diameter of the circle around it
	ShapeMacro                  // drawn by a macro, which is not read: no size
	ShapeBlock                  // a block of other objects: no size
)

// Aperture is one aperture definition.
type Aperture struct {
	Code          int // 10 and up
	Shape         Shape
	Width, Height float64 // mm
	Hole          float64 // diameter of the hole in the middle, mm; 0: none
	Function      string  // its function attribute, such as "Profile"; "" where none
	Line, Column  int     // of the definition, 1-based, bytes
}

// Stroke is one straight or circular stroke along its centre line.
type Stroke struct {
	From, To orb.Point // mm
	Center   orb.Point // of an arc, mm
	Turn     int8      // 0 line, +1 counter-clockwise, -1 clockwise; From == To and a turn: a full circle
	Aperture int       // index into Layer.Apertures, -1: none was selected or it is not defined
	Width    float64   // of the stroke, mm: the aperture's diameter or lesser side; 0 where unknown
	Clear    bool      // drawn in clear polarity: it takes away
	Implied  bool      // the file gives no start point: it was taken from (0, 0)
	Line     int       // of the operation in the file, 1-based
	Column   int       // 1-based, bytes
}

// Flash is an aperture set down at one place.
type Flash struct {
	At       orb.Point // mm
	Aperture int       // index into Layer.Apertures, -1: none
	Clear    bool
	Line     int // 1-based
	Column   int // 1-based, bytes
}

// Region is a filled area: the inside of its contours, even-odd.
type Region struct {
	Contours []contour.Contour // closed
	Clear    bool              // drawn in clear polarity: it takes away
	Function string            // its aperture function attribute, "" where none
	Line     int               // of its begin, 1-based
	Column   int               // 1-based, bytes
}

// Attribute is one X2 attribute.
type Attribute struct {
	Kind   byte     // 'F' file, 'A' aperture, 'O' object
	Name   string   // such as ".FileFunction"
	Values []string // its fields
	Line   int      // 1-based
	Column int      // 1-based, bytes
}

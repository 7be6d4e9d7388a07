package nc

import (
	"fmt"

	"github.com/paulmach/orb"
)

// OpKind says what an [Op] does.
type OpKind uint8

// The operations a program is made of. The comment of each names the fields
// of [Op] that it fills; Kind, Tool and Line are always set, and From is where
// the tool stood before.
const (
	OpTool         OpKind = iota + 1 // select Tool (0: put the tool away); Diameter from the table
	OpHit                            // drill at To
	OpSlot                           // canned slot From -> To, centre to centre (G85; Text is "G87" for the stepped form)
	OpCircle                         // canned circle round To of Diameter; Text is "G84" (nibbled), "G32" or "G33" (routed)
	OpRapid                          // move to To with the tool up (G00, and G01-G03 without M15)
	OpPlunge                         // tool down at To (M15)
	OpLine                           // cut From -> To (G01)
	OpArc                            // cut From -> To round Center (G02, G03); To == From is a full circle
	OpRetract                        // tool up at To (M16, M17)
	OpCompensation                   // Text is "G40", "G41" or "G42"
	OpStop                           // operator stop (M06, M09)
	OpMessage                        // operator message, Text (M47)
	OpDwell                          // wait; Text as written (G04)
	OpEnd                            // end of program (M30, M00)
	OpComment                        // comment in the body, Text without its marks
	OpUnknown                        // word kept verbatim in Text; Motion tells whether it could make holes or move
)

var opNames = [...]string{
	"none", "tool", "hit", "slot", "circle", "rapid", "plunge", "line", "arc", "retract",
	"compensation", "stop", "message", "dwell", "end", "comment", "unknown",
}

// String returns the kind's name in lower case.
func (k OpKind) String() string {
	if int(k) < len(opNames) {
		return opNames[k]
	}
	return fmt.Sprintf("OpKind(%d)", uint8(k))
}

// Op is one operation of a program with every modal value filled in. Points
// are in mm whatever the file's units, snapped to whole nanometres when read.
type Op struct {
	Kind      OpKind
	Clockwise bool      // OpArc, OpCircle: turn seen from the entry side
	Motion    bool      // OpUnknown: the word could make holes or move the tool
	Tool      int       // tool in the spindle, 0 none
	From      orb.Point // mm, where the tool stood
	To        orb.Point // mm, where it goes; equals From for words without motion
	Center    orb.Point // mm, OpArc
	Diameter  float64   // mm, OpTool and OpCircle
	Line      int       // 1-based line of the source
	Text      string    // see [OpKind]
}

// String renders the operation for messages: kind, tool and the points it uses.
func (o Op) String() string {
	switch o.Kind {
	case OpTool:
		return fmt.Sprintf("tool T%d", o.Tool)
	case OpHit, OpRapid, OpPlunge, OpRetract:
		return fmt.Sprintf("%v T%d at (%.6f, %.6f)", o.Kind, o.Tool, o.To[0], o.To[1])
	case OpSlot, OpLine:
		return fmt.Sprintf("%v T%d (%.6f, %.6f) to (%.6f, %.6f)", o.Kind, o.Tool, o.From[0], o.From[1], o.To[0], o.To[1])
	case OpArc:
		turn := "counter-clockwise"
		if o.Clockwise {
			turn = "clockwise"
		}
		return fmt.Sprintf("arc T%d (%.6f, %.6f) to (%.6f, %.6f) round (%.6f, %.6f) %s", o.Tool,
			o.From[0], o.From[1], o.To[0], o.To[1], o.Center[0], o.Center[1], turn)
	case OpCircle:
		return fmt.Sprintf("circle T%d round (%.6f, %.6f) diameter %.6f", o.Tool, o.To[0], o.To[1], o.Diameter)
	case OpEnd:
		return "end"
	}
	return fmt.Sprintf("%v %q", o.Kind, o.Text)
}

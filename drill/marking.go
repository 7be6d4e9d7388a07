package drill

import (
	"fmt"
	"strings"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Plating is what a caller says of a file's holes.
type Plating string

// The platings a caller can state. [Stated] leaves it to the file, which must
// then say it for every tool that makes a hole.
const (
	Stated   Plating = ""
	Plated   Plating = "plated"
	Unplated Plating = "unplated"
)

// Marking is what the caller knows about a drill file beyond its text. The
// zero value takes everything from the file.
type Marking struct {
	Plating Plating       // of the whole file; a file that says otherwise is an error
	Sizes   tooling.Basis // finished or drilled; "" is an error where plated holes are made
	Class   tooling.Class // of holes the file does not classify
	Tented  bool          // unplated holes are tented and may be made before plating
	Half    bool          // declared half holes
	Tools   []ToolMarking // exceptions by tool number

	Position float64  // tolerance of the holes' places, mm either way; 0: none stated
	Waived   []string // words of unknown motion that the caller takes responsibility for
}

// ToolMarking is what the caller says of one tool of the file; empty fields
// follow the file's marking.
type ToolMarking struct {
	Tool    int
	Plating Plating
	Class   tooling.Class
	Tented  bool
	Half    bool
	Minus   float64 // mm; 0: by class
	Plus    float64 // mm; 0: by class

	Position float64 // tolerance of the holes' places, mm either way; 0: the file's
}

// hole is the size and nature of the holes one tool makes.
type nature struct {
	size         tooling.Size
	tented, half bool
	position     float64 // mm; 0: none stated
}

// resolve settles what the tool's holes are, from the caller and the file.
func (m Marking) resolve(file string, t nc.ToolDef) (nature, error) {
	source := tooling.Source{File: file, Line: t.Line, Tool: fmt.Sprintf("T%d", t.Number)}
	if !(t.Diameter > 0) {
		return nature{}, &ReadError{Source: source, Err: ErrTool, Found: "no diameter", Expected: "a diameter in the tool table"}
	}
	if t.HasZ && t.Z > 0 {
		return nature{}, &ReadError{Source: source, Err: ErrSpan, Found: fmt.Sprintf("a depth that ends %g mm above the backup", t.Z), Expected: "holes through the panel"}
	}
	var own ToolMarking
	for _, x := range m.Tools {
		if x.Tool == t.Number {
			own = x
		}
	}
	plating, err := m.plating(source, own, t)
	if err != nil {
		return nature{}, err
	}
	n := nature{
		size: tooling.Size{
			Diameter: tooling.Snap(t.Diameter), Basis: m.Sizes, Plated: plating == Plated, Minus: own.Minus, Plus: own.Plus,
		},
		tented: plating == Unplated && (m.Tented || own.Tented),
		half:   m.Half || own.Half,
	}
	if n.position = own.Position; n.position == 0 {
		n.position = m.Position
	}
	n.size.Class = m.class(own, t)
	if n.size.Basis == "" {
		if n.size.Plated {
			return nature{}, &ReadError{Source: source, Err: ErrSizes, Found: "no word on sizes", Expected: `"finished" or "drilled" from the caller`}
		}
		n.size.Basis = tooling.Finished
	}
	return n, nil
}

func (m Marking) plating(source tooling.Source, own ToolMarking, t nc.ToolDef) (Plating, error) {
	said := Plating(t.Marking)
	asked := m.Plating
	if own.Plating != Stated {
		asked = own.Plating
	}
	switch {
	case asked != Stated && asked != Plated && asked != Unplated:
		return "", &ReadError{Source: source, Err: ErrMarking, Found: fmt.Sprintf("%q from the caller", string(asked)), Expected: "plated, unplated or nothing"}
	case asked == Stated && said == Stated:
		return "", &ReadError{Source: source, Err: ErrMarking, Found: "no marking", Expected: "plated or unplated, from the file or the caller"}
	case asked == Stated:
		return said, nil
	case said != Stated && said != asked:
		return "", &ReadError{Source: source, Err: ErrMarking, Found: "the file says " + string(said), Expected: string(asked) + ", as the caller says"}
	}
	return asked, nil
}

func (m Marking) class(own ToolMarking, t nc.ToolDef) tooling.Class {
	if own.Class != "" {
		return own.Class
	}
	if t.Function != "" {
		return tooling.Class(t.Function)
	}
	return m.Class
}

// span refuses files whose attributes say that their holes do not go through.
func span(file string, attributes []nc.Attribute) error {
	for _, a := range attributes {
		if a.Name != "TF.FileFunction" {
			continue
		}
		for _, v := range a.Values {
			if w := strings.ToLower(v); w == "blind" || w == "buried" {
				return &ReadError{
					Source: tooling.Source{File: file, Line: a.Line}, Err: ErrSpan,
					Found: "file function " + strings.Join(a.Values, ","), Expected: "through holes",
				}
			}
		}
	}
	return nil
}

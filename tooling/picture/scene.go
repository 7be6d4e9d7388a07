package picture

import "github.com/paulmach/orb"

// Kind says what the marks of a layer are; it decides how they are drawn and in
// which order the layers lie on one another. It is one of the constants below.
type Kind string

// The kinds of layers, in the order in which they are drawn, lowest first.
const (
	Panel       Kind = "panel"       // the production panel and its features
	Board       Kind = "board"       // outlines and cut-outs of boards as they are wanted
	KeepOut     Kind = "keepout"     // areas that no tool and no foot may enter
	Path        Kind = "path"        // cutter paths; Width is the swept width
	Tab         Kind = "tab"         // tabs that hold a board in the panel: lines across the channel as wide as the tab
	Travel      Kind = "travel"      // moves with the tool up
	Perforation Kind = "perforation" // holes of perforated tabs, where they are drawn apart from the hits
	Hits        Kind = "hits"        // hits of a run, in the order of the machine
	Score       Kind = "score"       // score lines, made by another machine; over the hits, so that their labels can be read
	Pin         Kind = "pin"         // pins that hold the stack
	Finding     Kind = "finding"     // places of findings
)

// kinds lists all kinds in drawing order.
func kinds() []Kind {
	return []Kind{Panel, Board, KeepOut, Path, Tab, Travel, Perforation, Hits, Score, Pin, Finding}
}

// Shape is the form of a [Mark]. The zero value is [Circle].
type Shape uint8

// The shapes, with what they take of a mark.
const (
	Circle Shape = iota // Points[0] the centre, Width the diameter
	Slot                // Points[0] and Points[1] the centres of the ends, Width the width
	Line                // Points, two or more, joined in order; Width is the swept width, 0 for a thin line
	Arc                 // Points[0] start, Points[1] end, about Center; equal ends are a full circle; Width as for Line
	Box                 // Points[0] and Points[1] two opposite corners
	Text                // Points[0] the left end of the base line, Label the text, Width its height, 0 for the default
	Cross               // Points[0] the centre, Width the span, 0 for the default
	Peg                 // Points[0] the centre of a pin, Width its diameter
)

// String returns the name of the shape, or "shape(N)" for a value that is none.
func (s Shape) String() string {
	if int(s) < len(shapes) {
		return shapes[s].name
	}
	return "shape(" + itoa(int64(s)) + ")"
}

// Mark is one shape of a [Layer]. Which fields count is said at the [Shape].
type Mark struct {
	Shape     Shape
	Points    []orb.Point // mm
	Center    orb.Point   // mm; arcs only
	Clockwise bool        // sense of an arc seen with Y up
	Width     float64     // mm; see the shapes
	Label     string      // shown beside the mark or while pointing at it
	Role      string      // what it is in its run: "pilot", "nibble", "finish", "rough" ...; empty: the usual thing
	Number    int         // hit or path number within its run, from 1; 0: none
	Source    string      // where it came from, such as "plated.drl:123"; empty: not told
	Seconds   float64     // seconds of machine time from the start of the pass to the end of this mark; 0: not timed
}

// Hit returns a [Circle] mark of the given diameter (mm) at a place.
func Hit(at orb.Point, diameter float64) Mark {
	return Mark{Shape: Circle, Points: []orb.Point{at}, Width: diameter}
}

// Layer is a list of marks of one kind. The marks of a run stand in the order
// of the machine.
type Layer struct {
	Name     string
	Kind     Kind
	Pass     string  // the pass it belongs to; empty: the panel's own
	SetUp    int     // the set-up it belongs to, from 1; 0: all of them
	Run      int     // number of the run within the pass, from 1; 0: no run
	Place    int     // tool place T of the run; 0: none
	Diameter float64 // mm, of the run's tool; 0: none
	Start    float64 // seconds of machine time from the start of the pass to the start of the run, which includes its tool change and the way back to the next
	Style    int     // number of the colour and symbol of hits, from 1, as [StyleOf] counts; 0: by the layer's place among the hits of the scene
	Marks    []Mark
}

// Scene is a drawing of one panel. The zero value is empty and is refused by
// Validate for want of a size.
type Scene struct {
	Title         string
	Width, Height float64 // mm, of the panel
	Layers        []*Layer
}

// Layer returns the layer with this name and kind and adds an empty one at the
// end when there is none yet, so layers stand in the order of their first use.
// The pointer stays good while further layers are added. It costs O(layers).
func (s *Scene) Layer(name string, kind Kind) *Layer {
	for _, l := range s.Layers {
		if l != nil && l.Kind == kind && l.Name == name {
			return l
		}
	}
	l := &Layer{Name: name, Kind: kind}
	s.Layers = append(s.Layers, l)
	return l
}

// Pass returns a scene that shares the panel's own layers and those of one pass
// in one set-up, 0 for any, and leaves out the other passes and what stands on
// the panel in other set-ups only; the runs look as they do in s. Layers are
// copied, marks are shared. It costs O(layers).
func (s *Scene) Pass(name string, setUp int) *Scene {
	part := &Scene{Title: s.Title, Width: s.Width, Height: s.Height}
	for i, l := range s.Layers {
		if l == nil || l.Pass != "" && l.Pass != name || setUp != 0 && l.SetUp != 0 && l.SetUp != setUp {
			continue
		}
		c := *l
		c.Style = s.StyleNumber(i)
		part.Layers = append(part.Layers, &c)
	}
	return part
}

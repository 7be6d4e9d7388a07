package picture

import (
	"fmt"
	"math"
	"strconv"
	"unicode/utf8"

	"github.com/paulmach/orb"
)

const (
	reach     = 10_000 // mm; the largest coordinate and size that a scene takes
	maxTime   = 1e7    // s; four months of machine time
	maxLabel  = 1000   // bytes of a title, a name, a label
	maxPlaces = 1e6    // run, place and mark numbers
)

// shapes says, by Shape, the name and what a mark of it must carry.
var shapes = [...]struct {
	name     string
	min, max int  // number of points
	wide     bool // Width must be above zero
}{
	Circle: {"circle", 1, 1, true},
	Slot:   {"slot", 2, 2, true},
	Line:   {"line", 2, math.MaxInt, false},
	Arc:    {"arc", 2, 2, false},
	Box:    {"box", 2, 2, false},
	Text:   {"text", 1, 1, false},
	Cross:  {"cross", 1, 1, false},
	Peg:    {"peg", 1, 1, true},
}

// Validate reports the first thing in the scene that cannot be drawn as a
// [*MarkError]: a size, coordinate or time that is not finite or out of reach
// (10 m), a shape with too few or too many points, a hit without a width, times
// that run backwards within a layer, an unknown kind or shape, a text that is
// not valid UTF-8. An empty scene with a size is valid. It costs O(points).
func (s *Scene) Validate() error {
	top := func(field string, found any, want string) error {
		return &MarkError{Index: -1, Field: field, Found: fmt.Sprint(found), Want: want}
	}
	if !(s.Width > 0 && s.Width <= reach) {
		return top("Width", s.Width, "above 0 and at most 10000 mm")
	}
	if !(s.Height > 0 && s.Height <= reach) {
		return top("Height", s.Height, "above 0 and at most 10000 mm")
	}
	if !goodText(s.Title) {
		return top("Title", strconv.QuoteToASCII(clip(s.Title)), "UTF-8 text of at most 1000 bytes")
	}
	for i, l := range s.Layers {
		if l == nil {
			return top("Layers["+strconv.Itoa(i)+"]", "nil", "a layer")
		}
		if err := l.validate(); err != nil {
			return err
		}
	}
	return nil
}

// validate reports the first fault of a layer and its marks.
func (l *Layer) validate() error {
	bad := func(mark int, field string, found any, want string) error {
		return &MarkError{Layer: clip(l.Name), Kind: l.Kind, Index: mark, Field: field, Found: fmt.Sprint(found), Want: want}
	}
	if order(l.Kind) < 0 {
		return bad(-1, "Kind", strconv.QuoteToASCII(clip(string(l.Kind))), "one of the kinds of package picture")
	}
	switch {
	case !goodText(l.Name):
		return bad(-1, "Name", strconv.QuoteToASCII(clip(l.Name)), "UTF-8 text of at most 1000 bytes")
	case !goodText(l.Pass):
		return bad(-1, "Pass", strconv.QuoteToASCII(clip(l.Pass)), "UTF-8 text of at most 1000 bytes")
	case l.SetUp < 0 || l.SetUp > maxPlaces:
		return bad(-1, "SetUp", l.SetUp, "0 to 1000000")
	case l.Run < 0 || l.Run > maxPlaces:
		return bad(-1, "Run", l.Run, "0 to 1000000")
	case l.Place < 0 || l.Place > maxPlaces:
		return bad(-1, "Place", l.Place, "0 to 1000000")
	case l.Style < 0 || l.Style > maxPlaces:
		return bad(-1, "Style", l.Style, "0 to 1000000")
	case !(l.Diameter >= 0 && l.Diameter <= reach):
		return bad(-1, "Diameter", l.Diameter, "0 to 10000 mm")
	case !(l.Start >= 0 && l.Start <= maxTime):
		return bad(-1, "Start", l.Start, "0 to 10000000 s")
	}
	last := 0.0
	for i := range l.Marks {
		m := &l.Marks[i]
		if field, found, want := m.fault(); field != "" {
			return bad(i, field, found, want)
		}
		if m.Seconds < last {
			return bad(i, "Seconds", m.Seconds, "no less than the mark before it, "+strconv.FormatFloat(last, 'g', -1, 64))
		}
		last = m.Seconds
	}
	return nil
}

// fault returns the field of the mark that cannot be drawn, what it holds and
// what it should hold; an empty field means the mark is sound.
func (m *Mark) fault() (field string, found any, want string) {
	if int(m.Shape) >= len(shapes) {
		return "Shape", m.Shape, "one of the shapes of package picture"
	}
	k := shapes[m.Shape]
	if len(m.Points) < k.min || len(m.Points) > k.max {
		return "Points", fmt.Sprint(len(m.Points), " points"), fmt.Sprintf("the points of a %s, at least %d", k.name, k.min)
	}
	for _, p := range m.Points {
		if !near(p) {
			return "Points", p, "finite and within 10 m"
		}
	}
	if m.Shape == Arc && !near(m.Center) {
		return "Center", m.Center, "finite and within 10 m"
	}
	if !(m.Width >= 0 && m.Width <= reach) || k.wide && m.Width == 0 {
		if k.wide {
			return "Width", m.Width, "above 0 and at most 10000 mm"
		}
		return "Width", m.Width, "0 to 10000 mm"
	}
	if !(m.Seconds >= 0 && m.Seconds <= maxTime) {
		return "Seconds", m.Seconds, "0 to 10000000 s"
	}
	if m.Number < 0 || m.Number > maxPlaces*100 {
		return "Number", m.Number, "0 to 100000000"
	}
	for _, t := range []struct{ field, text string }{{"Label", m.Label}, {"Role", m.Role}, {"Source", m.Source}} {
		if !goodText(t.text) {
			return t.field, strconv.QuoteToASCII(clip(t.text)), "UTF-8 text of at most 1000 bytes"
		}
	}
	return "", nil, ""
}

func near(p orb.Point) bool {
	return math.Abs(p[0]) <= reach && math.Abs(p[1]) <= reach // false for NaN
}

func goodText(s string) bool { return len(s) <= maxLabel && utf8.ValidString(s) }

func clip(s string) string {
	if len(s) > 60 {
		return s[:60] + "..."
	}
	return s
}

// order returns the place of a kind in the drawing order, -1 for an unknown one.
func order(k Kind) int {
	for i, known := range kinds() {
		if k == known {
			return i
		}
	}
	return -1
}

func itoa(n int64) string { return strconv.FormatInt(n, 10) }

package picture_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
)

// FuzzTexts holds that no text breaks out of its place in the document and that
// what is shown is what was given.
func FuzzTexts(f *testing.F) {
	f.Add("boards", "clamp", "tide-gauge")
	f.Add(`"><script>alert(1)</script>`, "]]>", "<!--")
	f.Add("a&b", "\x00\x1b", "\ufffe'\"")
	f.Fuzz(func(t *testing.T, name, label, title string) {
		s := &picture.Scene{Title: title, Width: 20, Height: 20}
		s.Layer(name, picture.Pin).Marks = []picture.Mark{{Shape: picture.Peg, Points: []orb.Point{{5, 5}}, Width: 3, Label: label}}
		if err := s.Validate(); err != nil {
			for _, text := range []string{name, label, title} {
				if !utf8.ValidString(text) || len(text) > 1000 {
					return
				}
			}
			t.Fatalf("refused sound texts: %v", err)
		}
		texts := wellFormed(t, svg(t, s))
		plain := func(r rune) bool { return r < ' ' || r == '\ufffe' || r == '\uffff' || r == '\ufffd' }
		if strings.TrimSpace(label) != "" && !strings.ContainsFunc(label, plain) {
			for _, got := range texts {
				if got == label {
					return
				}
			}
			t.Fatalf("label %q is not in the picture: %q", label, texts)
		}
	})
}

// FuzzMarks holds that whatever numbers a mark carries, the scene is refused or
// drawn as a whole document of bounded size.
func FuzzMarks(f *testing.F) {
	f.Add(uint8(0), uint8(8), 1.0, 1.0, 2.0, 2.0, 0.5, 0.5, 0.3)
	f.Add(uint8(3), uint8(4), 1e300, math.Inf(1), 2.0, math.NaN(), 0.5, 0.5, -1.0)
	f.Add(uint8(4), uint8(2), -1e4, -1e4, 1e4, 1e4, 0.0, 0.0, 1e4)
	f.Fuzz(func(t *testing.T, shape, kind uint8, ax, ay, bx, by, cx, cy, width float64) {
		kinds := []picture.Kind{picture.Panel, picture.Board, picture.KeepOut, picture.Score, picture.Path, picture.Tab, picture.Travel, picture.Perforation, picture.Hits, picture.Pin, picture.Finding}
		s := &picture.Scene{Width: 100, Height: 80}
		l := s.Layer("L", kinds[int(kind)%len(kinds)])
		m := picture.Mark{Shape: picture.Shape(shape % 9), Points: []orb.Point{{ax, ay}}, Center: orb.Point{cx, cy}, Width: width, Clockwise: kind&1 == 0, Label: "m"}
		for _, two := range []picture.Shape{picture.Slot, picture.Line, picture.Arc, picture.Box} {
			if m.Shape == two {
				m.Points = append(m.Points, orb.Point{bx, by})
			}
		}
		l.Marks = []picture.Mark{m, m}
		if s.Validate() != nil {
			return
		}
		doc := svg(t, s)
		wellFormed(t, doc)
		if len(doc) > 20_000 {
			t.Fatalf("two marks take %d bytes", len(doc))
		}
		if strings.Contains(string(doc), "NaN") || strings.Contains(string(doc), "Inf") {
			t.Fatal("a number that is none reached the picture")
		}
	})
}

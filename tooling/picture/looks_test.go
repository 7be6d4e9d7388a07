package picture_test

import (
	"bytes"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/picture"
)

// golden holds a picture or a list to what it was.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", "scene", name)
	if *update {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); d != "" {
		t.Error(d)
	}
}

func digest(doc []byte) string {
	h := fnv.New32a()
	h.Write(doc)
	return fmt.Sprintf("%08x", h.Sum32())
}

// Every colour and symbol, over a hit of its own and in the legend, looks as it did.
func TestEverySymbolIsDrawnAsItWas(t *testing.T) {
	s := &picture.Scene{Title: "symbols", Width: 300, Height: 60}
	for n := range 17 {
		l := s.Layer(fmt.Sprintf("T%d", n+1), picture.Hits)
		l.Marks = []picture.Mark{picture.Hit(orb.Point{10 + 16*float64(n), 30}, 4), picture.Hit(orb.Point{10 + 16*float64(n), 10}, 0.3)}
	}
	golden(t, "symbols.svg", svg(t, s))
}

// Labels stand beside their marks, inside the panel, and readable from the right;
// arrows, hatching and the scale bar begin where they did.
func TestLabelsAndEdgesAreDrawnAsTheyWere(t *testing.T) {
	box := func(x0, y0, x1, y1 float64, label string) picture.Mark {
		return picture.Mark{Shape: picture.Box, Points: []orb.Point{{x0, y0}, {x1, y1}}, Label: label}
	}
	line := func(label string, width float64, points ...orb.Point) picture.Mark {
		return picture.Mark{Shape: picture.Line, Points: points, Label: label, Width: width}
	}
	at := func(shape picture.Shape, width float64, label string) picture.Mark {
		return picture.Mark{Shape: shape, Points: []orb.Point{{100, 100}}, Width: width, Label: label}
	}
	s := &picture.Scene{Title: "labels", Width: 300, Height: 200} // a unit is a millimetre
	s.Layer("clamps", picture.KeepOut).Marks = []picture.Mark{
		box(270, 10, 287, 20, "fits!"), box(270, 30, 287.001, 40, "fits?"), box(287, 60, 270, 50, "turned"), box(10, 10, 40, 90, ""), box(60, 10, 160, 20, "wide"), box(0, 0, 0.5, 0.5, ""),
	}
	s.Layer("scores", picture.Score).Marks = []picture.Mark{
		line("to the right", 0, orb.Point{0, 50}, orb.Point{300, 50}), line("to the left", 0, orb.Point{300, 60}, orb.Point{0, 60}),
		line("up", 0, orb.Point{50, 0}, orb.Point{50, 200}), line("down", 0, orb.Point{60, 200}, orb.Point{60, 0}),
		line("slanting", 0, orb.Point{0, 0}, orb.Point{200, 200}), line("back", 0, orb.Point{200, 200}, orb.Point{0, 0}),
		line("steep", 0, orb.Point{0, 0}, orb.Point{100, 200}), line("no way", 0, orb.Point{5, 5}, orb.Point{5, 5}),
	}
	s.Layer("notes", picture.Panel).Marks = []picture.Mark{at(picture.Text, 0, "usual"), at(picture.Text, 0.0004, "none"), at(picture.Text, 7, "tall"), at(picture.Cross, 0, "cross"), at(picture.Cross, 0.5, ""), at(picture.Cross, 3, "wide cross")}
	s.Layer("pins", picture.Pin).Marks = []picture.Mark{at(picture.Peg, 3.175, "pin"), at(picture.Peg, 0.2, "thin")}
	s.Layer("found", picture.Finding).Marks = []picture.Mark{at(picture.Circle, 2, "here"), at(picture.Circle, 8, "there")}
	s.Layer("boards", picture.Board).Marks = []picture.Mark{at(picture.Circle, 30, "board"), box(100, 120, 150, 180, "sensor")}
	s.Layer("tabs", picture.Tab).Marks = []picture.Mark{
		line("", 2, orb.Point{20, 100}, orb.Point{24, 100}), line("tab", 0, orb.Point{20, 110}, orb.Point{24, 110}), line("", 3, orb.Point{20, 120}, orb.Point{24, 120}), at(picture.Circle, 4, ""),
		{Shape: picture.Arc, Points: []orb.Point{{30, 100}, {30, 110}}, Center: orb.Point{30, 105}, Width: 2}, {Shape: picture.Slot, Points: []orb.Point{{40, 100}, {40, 110}}, Width: 1},
	}
	s.Layer("cuts", picture.Path).Marks = []picture.Mark{
		line("cut", 2.4, orb.Point{200, 20}, orb.Point{224, 20}), line("", 2.4, orb.Point{224, 20}, orb.Point{224, 44}), line("", 2.4, orb.Point{224, 44}, orb.Point{224, 67.999}),
		line("", 0, orb.Point{200, 80}, orb.Point{210, 80}, orb.Point{210, 110}, orb.Point{240, 110}), at(picture.Circle, 5, ""),
		{Shape: picture.Arc, Points: []orb.Point{{250, 100}, {270, 100}}, Center: orb.Point{260, 100}, Width: 2}, {Shape: picture.Arc, Points: []orb.Point{{250, 130}, {270, 130}}, Center: orb.Point{260, 130}, Clockwise: true},
		{Shape: picture.Arc, Points: []orb.Point{{250, 160}, {250, 160}}, Center: orb.Point{260, 160}}, {Shape: picture.Arc, Points: []orb.Point{{250, 170}, {260, 180}}, Center: orb.Point{260, 170}, Clockwise: true},
		{Shape: picture.Arc, Points: []orb.Point{{250, 190}, {260, 180}}, Center: orb.Point{260, 190}},
	}
	s.Layer("ways", picture.Travel).Marks = []picture.Mark{line("not shown", 0, orb.Point{0, 0}, orb.Point{10, 10})}
	s.Layer("webs", picture.Perforation).Marks = []picture.Mark{at(picture.Circle, 0.8, "")}
	hits := s.Layer("nibbles", picture.Hits)
	for k := range 30 {
		m := picture.Hit(orb.Point{150 + 0.4*float64(k), 150}, 0.6)
		m.Role, m.Label = []string{"", "pilot", "nibble", "finish"}[k%4], "not shown"
		hits.Marks = append(hits.Marks, m)
	}
	hits.Marks = append(hits.Marks, picture.Mark{Shape: picture.Slot, Points: []orb.Point{{170, 150}, {170, 150}}, Width: 1}, picture.Mark{Shape: picture.Slot, Points: []orb.Point{{180, 150}, {190, 155}}, Width: 1},
		picture.Mark{Shape: picture.Arc, Points: []orb.Point{{195, 150}, {205, 150}}, Center: orb.Point{200, 150}, Width: 1}, picture.Mark{Shape: picture.Text, Points: []orb.Point{{150, 160}}, Label: "nibbled"})
	s.Layer(strings.Repeat("n", 36), picture.Panel).Marks = []picture.Mark{at(picture.Cross, 0, "")}
	s.Layer(strings.Repeat("m", 37), picture.Panel).Marks = []picture.Mark{at(picture.Cross, 0, "")}
	golden(t, "labels.svg", svg(t, s))

	// A page draws the same things less title and legend.
	var figure bytes.Buffer
	require.NoError(t, s.WriteFigure(&figure))
	golden(t, "labels-figure.svg", figure.Bytes())
}

// Scenes drawn by lot are the same bytes on every machine and in every version.
func TestRandomScenesAreDrawnAsTheyWere(t *testing.T) {
	kinds := []picture.Kind{picture.Panel, picture.Board, picture.KeepOut, picture.Path, picture.Tab, picture.Travel, picture.Perforation, picture.Hits, picture.Hits, picture.Hits, picture.Score, picture.Pin, picture.Finding}
	var list bytes.Buffer
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(seed, 41))
		mm := func(most float64) float64 { return math.Round(r.Float64()*most*1000) / 1000 }
		s := &picture.Scene{Title: fmt.Sprint("scene ", seed), Width: 1 + mm(600), Height: 1 + mm(600)}
		for k := range 1 + r.IntN(9) {
			l := s.Layer(fmt.Sprint("layer ", k), kinds[r.IntN(len(kinds))])
			near := 0.01 + mm(1) // of the panel
			for range r.IntN(90) {
				m := picture.Mark{Shape: picture.Shape(r.IntN(8)), Width: 0.001 + mm(5), Clockwise: r.IntN(2) == 0, Center: orb.Point{mm(s.Width * near), mm(s.Height * near)}}
				if l.Kind == picture.Hits || l.Kind == picture.Perforation {
					m.Shape = []picture.Shape{picture.Circle, picture.Circle, picture.Circle, picture.Slot}[r.IntN(4)]
					m.Role = []string{"", "", "finish", "pilot"}[r.IntN(4)]
				}
				points := 1
				switch m.Shape {
				case picture.Slot, picture.Arc, picture.Box:
					points = 2
				case picture.Line:
					points = 2 + r.IntN(4)
				}
				for range points {
					m.Points = append(m.Points, orb.Point{mm(s.Width * near), mm(s.Height * near)})
				}
				if m.Shape == picture.Arc && r.IntN(3) == 0 {
					m.Points[1] = m.Points[0]
				}
				if m.Shape == picture.Text || r.IntN(5) == 0 {
					m.Label = strings.Repeat("x", r.IntN(12))
				}
				l.Marks = append(l.Marks, m)
			}
		}
		doc := svg(t, s)
		var figure bytes.Buffer
		require.NoError(t, s.WriteFigure(&figure))
		size := regexp.MustCompile(`viewBox="([^"]*)"`).FindSubmatch(doc)[1]
		count := func(part string) int { return bytes.Count(doc, []byte(part)) }
		fmt.Fprintf(&list, "%d: %d layers in %s, %d paths, %d texts, %d bytes %s, figure %s\n", seed, count("<g class"), size, count("<path"), count("<text"), len(doc), digest(doc), digest(figure.Bytes()))
	}
	golden(t, "random.txt", list.Bytes())
}

// Every figure of a scene is accepted at both its bounds, and one step beyond is
// refused with its layer, mark and field, what was found and what is allowed.
func TestLimitsOfAScene(t *testing.T) {
	fault := func(change func(*picture.Scene, *picture.Layer, *picture.Mark)) *picture.MarkError {
		s := &picture.Scene{Title: "scene", Width: 10, Height: 10}
		l := s.Layer("T1", picture.Hits)
		l.Marks = []picture.Mark{picture.Hit(orb.Point{1, 1}, 1), picture.Hit(orb.Point{2, 2}, 1)}
		change(s, l, &l.Marks[1])
		err := s.Validate()
		if err == nil {
			return nil
		}
		var bad *picture.MarkError
		require.ErrorAs(t, err, &bad)
		return bad
	}
	top := func(field, found, want string) *picture.MarkError {
		return &picture.MarkError{Index: -1, Field: field, Found: found, Want: want}
	}
	in := func(mark int, field, found, want string) *picture.MarkError {
		return &picture.MarkError{Layer: "T1", Kind: picture.Hits, Index: mark, Field: field, Found: found, Want: want}
	}
	long, longer := strings.Repeat("x", 1000), strings.Repeat("x", 1001)
	cut := `"` + strings.Repeat("x", 60) + `..."`
	for name, c := range map[string]struct {
		change func(*picture.Scene, *picture.Layer, *picture.Mark)
		want   *picture.MarkError
	}{
		"width, least":   {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Width = math.SmallestNonzeroFloat64 }, nil},
		"width, most":    {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Width = 10_000 }, nil},
		"width beyond":   {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Width = 10_000.5 }, top("Width", "10000.5", "above 0 and at most 10000 mm")},
		"height, least":  {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Height = math.SmallestNonzeroFloat64 }, nil},
		"height, most":   {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Height = 10_000 }, nil},
		"height of none": {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Height = 0 }, top("Height", "0", "above 0 and at most 10000 mm")},
		"title, longest": {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Title = long }, nil},
		"title beyond":   {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Title = longer }, top("Title", cut, "UTF-8 text of at most 1000 bytes")},
		"nil layer":      {func(s *picture.Scene, _ *picture.Layer, _ *picture.Mark) { s.Layers = append(s.Layers, nil) }, top("Layers[1]", "nil", "a layer")},
		"name, longest":  {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Name = long }, nil},
		"pass beyond":    {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Pass = longer }, in(-1, "Pass", cut, "UTF-8 text of at most 1000 bytes")},
		"kind, 60 letters": {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) {
			l.Kind = picture.Kind(strings.Repeat("k", 60))
		}, &picture.MarkError{Layer: "T1", Kind: picture.Kind(strings.Repeat("k", 60)), Index: -1, Field: "Kind", Found: `"` + strings.Repeat("k", 60) + `"`, Want: "one of the kinds of package picture"}},
		"set-up, most":      {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.SetUp = 1e6 }, nil},
		"set-up beyond":     {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.SetUp = 1e6 + 1 }, in(-1, "SetUp", "1000001", "0 to 1000000")},
		"set-up below":      {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.SetUp = -1 }, in(-1, "SetUp", "-1", "0 to 1000000")},
		"run, most":         {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Run = 1e6 }, nil},
		"run beyond":        {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Run = 1e6 + 1 }, in(-1, "Run", "1000001", "0 to 1000000")},
		"tool place, most":  {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Place = 1e6 }, nil},
		"tool place beyond": {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Place = 1e6 + 1 }, in(-1, "Place", "1000001", "0 to 1000000")},
		"style, most":       {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Style = 1e6 }, nil},
		"style beyond":      {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Style = 1e6 + 1 }, in(-1, "Style", "1000001", "0 to 1000000")},
		"diameter, most":    {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Diameter = 10_000 }, nil},
		"diameter beyond":   {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Diameter = 10_001 }, in(-1, "Diameter", "10001", "0 to 10000 mm")},
		"diameter below":    {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Diameter = -0.5 }, in(-1, "Diameter", "-0.5", "0 to 10000 mm")},
		"start, most":       {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Start = 1e7 }, nil},
		"start beyond":      {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Start = 10_000_001 }, in(-1, "Start", "1.0000001e+07", "0 to 10000000 s")},
		"start below":       {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Start = -0.5 }, in(-1, "Start", "-0.5", "0 to 10000000 s")},
		"last shape":        {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape = picture.Peg }, nil},
		"shape beyond":      {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape = picture.Peg + 1 }, in(1, "Shape", "shape(8)", "one of the shapes of package picture")},
		"a line's points":   {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape = picture.Line }, in(1, "Points", "1 points", "the points of a line, at least 2")},
		"a slot's points": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) {
			m.Shape, m.Points = picture.Slot, make([]orb.Point, 3)
		}, in(1, "Points", "3 points", "the points of a slot, at least 2")},
		"place, farthest": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Points[0] = orb.Point{10_000, -10_000} }, nil},
		"place beyond":    {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Points[0] = orb.Point{0, -10_001} }, in(1, "Points", "[0 -10001]", "finite and within 10 m")},
		"width of a mark": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Width = 10_000 }, nil},
		"and beyond":      {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Width = 10_001 }, in(1, "Width", "10001", "above 0 and at most 10000 mm")},
		"none of a text":  {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape, m.Width = picture.Text, 0 }, nil},
		"below of a text": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape, m.Width = picture.Text, -1 }, in(1, "Width", "-1", "0 to 10000 mm")},
		"none of a peg":   {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Shape, m.Width = picture.Peg, 0 }, in(1, "Width", "0", "above 0 and at most 10000 mm")},
		"centre, farthest": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) {
			m.Shape, m.Points, m.Center = picture.Arc, make([]orb.Point, 2), orb.Point{-10_000, 10_000}
		}, nil},
		"centre beyond": {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) {
			m.Shape, m.Points, m.Center = picture.Arc, make([]orb.Point, 2), orb.Point{10_001, 0}
		}, in(1, "Center", "[10001 0]", "finite and within 10 m")},
		"a circle has none":  {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Center = orb.Point{10_001, 0} }, nil},
		"seconds, most":      {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Seconds = 1e7 }, nil},
		"seconds beyond":     {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Seconds = 10_000_001 }, in(1, "Seconds", "1.0000001e+07", "0 to 10000000 s")},
		"seconds below":      {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Seconds = -0.5 }, in(1, "Seconds", "-0.5", "0 to 10000000 s")},
		"seconds again":      {func(_ *picture.Scene, l *picture.Layer, m *picture.Mark) { l.Marks[0].Seconds, m.Seconds = 2, 2 }, nil},
		"seconds back":       {func(_ *picture.Scene, l *picture.Layer, m *picture.Mark) { l.Marks[0].Seconds, m.Seconds = 2.5, 2 }, in(1, "Seconds", "2", "no less than the mark before it, 2.5")},
		"number, most":       {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Number = 1e8 }, nil},
		"number beyond":      {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Number = 1e8 + 1 }, in(1, "Number", "100000001", "0 to 100000000")},
		"number below":       {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Number = -1 }, in(1, "Number", "-1", "0 to 100000000")},
		"label, longest":     {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Label = long }, nil},
		"label beyond":       {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Label = longer }, in(1, "Label", cut, "UTF-8 text of at most 1000 bytes")},
		"role beyond":        {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Role = longer }, in(1, "Role", cut, "UTF-8 text of at most 1000 bytes")},
		"source, broken":     {func(_ *picture.Scene, _ *picture.Layer, m *picture.Mark) { m.Source = "\xff" }, in(1, "Source", `"\xff"`, "UTF-8 text of at most 1000 bytes")},
		"name of 60, broken": {func(_ *picture.Scene, l *picture.Layer, _ *picture.Mark) { l.Name = strings.Repeat("y", 59) + "\xff" }, &picture.MarkError{Layer: strings.Repeat("y", 59) + "\xff", Kind: picture.Hits, Index: -1, Field: "Name", Found: `"` + strings.Repeat("y", 59) + `\xff"`, Want: "UTF-8 text of at most 1000 bytes"}},
	} {
		require.Equal(t, c.want, fault(c.change), name)
	}
	require.Equal(t, "peg", picture.Peg.String())
	require.Equal(t, "shape(8)", (picture.Peg + 1).String())
}

// The number of a look is the layer's own or its place among the hits that have
// marks; what shows no hits has none.
func TestNumbersOfLooks(t *testing.T) {
	s := &picture.Scene{Width: 10, Height: 10}
	hit := []picture.Mark{picture.Hit(orb.Point{1, 1}, 1)}
	s.Layers = []*picture.Layer{
		{Kind: picture.Hits, Marks: hit}, {Kind: picture.Hits}, nil, {Kind: picture.Board, Marks: hit}, {Kind: picture.Hits, Marks: hit, Style: 7}, {Kind: picture.Perforation, Marks: hit}, {Kind: picture.Hits, Marks: hit},
	}
	var got []int
	for i := -1; i <= len(s.Layers); i++ {
		got = append(got, s.StyleNumber(i))
	}
	require.Equal(t, []int{0, 1, 2, 0, 0, 7, 3, 3, 0}, got)
}

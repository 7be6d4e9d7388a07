package picture_test

import (
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestValidateRefuses(t *testing.T) {
	mark := func(change func(*picture.Mark)) func(*picture.Scene) {
		return func(s *picture.Scene) { change(&s.Layers[0].Marks[1]) }
	}
	layer := func(change func(*picture.Layer)) func(*picture.Scene) {
		return func(s *picture.Scene) { change(s.Layers[0]) }
	}
	for _, row := range []struct {
		name, reason, field string
		index               int
		change              func(*picture.Scene)
	}{
		{"no width", "a panel has a size", "Width", -1, func(s *picture.Scene) { s.Width = 0 }},
		{"width NaN", "NaN compares false", "Width", -1, func(s *picture.Scene) { s.Width = math.NaN() }},
		{"height huge", "beyond the reach of any machine", "Height", -1, func(s *picture.Scene) { s.Height = 1e300 }},
		{"title broken", "not UTF-8", "Title", -1, func(s *picture.Scene) { s.Title = "\xff" }},
		{"title endless", "bounded", "Title", -1, func(s *picture.Scene) { s.Title = strings.Repeat("x", 1001) }},
		{"nil layer", "nothing to draw", "Layers[1]", -1, func(s *picture.Scene) { s.Layers = append(s.Layers, nil) }},
		{"unknown kind", "no look for it", "Kind", -1, layer(func(l *picture.Layer) { l.Kind = "paint" })},
		{"name broken", "not UTF-8", "Name", -1, layer(func(l *picture.Layer) { l.Name = "\xc3" })},
		{"pass broken", "not UTF-8", "Pass", -1, layer(func(l *picture.Layer) { l.Pass = "\xc3" })},
		{"run below zero", "runs count from 1", "Run", -1, layer(func(l *picture.Layer) { l.Run = -1 })},
		{"place huge", "no magazine has so many", "Place", -1, layer(func(l *picture.Layer) { l.Place = 1e7 })},
		{"style below zero", "styles count from 1", "Style", -1, layer(func(l *picture.Layer) { l.Style = -1 })},
		{"diameter infinite", "not a tool", "Diameter", -1, layer(func(l *picture.Layer) { l.Diameter = math.Inf(1) })},
		{"start NaN", "not a time", "Start", -1, layer(func(l *picture.Layer) { l.Start = math.NaN() })},
		{"unknown shape", "no look for it", "Shape", 1, mark(func(m *picture.Mark) { m.Shape = 99 })},
		{"no points", "a hit has a place", "Points", 1, mark(func(m *picture.Mark) { m.Points = nil })},
		{"two points", "a hit has one place", "Points", 1, mark(func(m *picture.Mark) { m.Points = append(m.Points, orb.Point{}) })},
		{"point NaN", "not a place", "Points", 1, mark(func(m *picture.Mark) { m.Points = []orb.Point{{math.NaN(), 0}} })},
		{"point far off", "beyond 10 m", "Points", 1, mark(func(m *picture.Mark) { m.Points = []orb.Point{{0, 10_000.1}} })},
		{"hit without width", "a hit has a diameter", "Width", 1, mark(func(m *picture.Mark) { m.Width = 0 })},
		{"hit below zero", "a hit has a diameter", "Width", 1, mark(func(m *picture.Mark) { m.Width = -1 })},
		{"line width NaN", "not a width", "Width", 1, mark(func(m *picture.Mark) {
			*m = picture.Mark{Shape: picture.Line, Points: make([]orb.Point, 2), Width: math.NaN()}
		})},
		{"arc centre infinite", "not a place", "Center", 1, mark(func(m *picture.Mark) {
			*m = picture.Mark{Shape: picture.Arc, Points: make([]orb.Point, 2), Center: orb.Point{math.Inf(-1), 0}}
		})},
		{"time NaN", "not a time", "Seconds", 1, mark(func(m *picture.Mark) { m.Seconds = math.NaN() })},
		{"time runs back", "marks stand in the machine's order", "Seconds", 1, mark(func(m *picture.Mark) { m.Seconds = 0.5 })},
		{"number below zero", "hits count from 1", "Number", 1, mark(func(m *picture.Mark) { m.Number = -1 })},
		{"label broken", "not UTF-8", "Label", 1, mark(func(m *picture.Mark) { m.Label = "\xfe" })},
		{"role endless", "bounded", "Role", 1, mark(func(m *picture.Mark) { m.Role = strings.Repeat("r", 2000) })},
		{"source broken", "not UTF-8", "Source", 1, mark(func(m *picture.Mark) { m.Source = "\x80" })},
	} {
		t.Run(row.name, func(t *testing.T) {
			s := &picture.Scene{Width: 10, Height: 10}
			l := s.Layer("T1", picture.Hits)
			l.Marks = []picture.Mark{picture.Hit(orb.Point{1, 1}, 1), picture.Hit(orb.Point{2, 2}, 1)}
			l.Marks[0].Seconds, l.Marks[1].Seconds = 1, 2
			require.NoError(t, s.Validate())
			row.change(s)
			err := s.WriteSVG(io.Discard)
			var bad *picture.MarkError
			require.ErrorAs(t, err, &bad, row.reason)
			require.ErrorIs(t, err, picture.ErrScene)
			require.Equal(t, row.field, bad.Field)
			require.Equal(t, row.index, bad.Index)
			require.Contains(t, err.Error(), row.field+" is ")
			require.NotEmpty(t, bad.Want)
		})
	}
}

func TestNothingIsWrittenOfABrokenScene(t *testing.T) {
	s := sample()
	s.Layers[len(s.Layers)-1].Marks[0].Points[0][0] = math.NaN()
	var w counter
	require.Error(t, s.WriteSVG(&w))
	require.Zero(t, w)
}

type counter int

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

func TestErrorSaysWhere(t *testing.T) {
	err := error(&picture.MarkError{Layer: "T1", Kind: picture.Hits, Index: 3, Field: "Width", Found: "0", Want: "above 0"})
	require.EqualError(t, err, `picture: layer "T1" (hits), mark 3: Width is 0, want above 0`)
	require.True(t, errors.Is(err, picture.ErrScene))
}

package picture_test

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// signSpan returns how wide the symbol of the first hit is drawn in micrometres:
// the first look is a plus, whose first stroke runs across.
func signSpan(t *testing.T, s *picture.Scene) int {
	t.Helper()
	_, hits, ok := strings.Cut(string(svg(t, s)), `<g class="hits">`)
	require.True(t, ok)
	m := regexp.MustCompile(`stroke-width="\d+" d="M-?\d+ -?\d+h(\d+)m`).FindStringSubmatch(hits)
	require.NotNil(t, m, hits[:min(len(hits), 300)])
	var span int
	_, err := fmt.Sscan(m[1], &span)
	require.NoError(t, err)
	return span
}

func TestSymbolsLeaveRoom(t *testing.T) {
	grid := func(pitch float64, n int) *picture.Scene {
		s := &picture.Scene{Width: 300, Height: 300}
		l := s.Layer("run", picture.Hits)
		for i := range n {
			l.Marks = append(l.Marks, picture.Hit(orb.Point{10 + pitch*float64(i%20), 10 + pitch*float64(i/20)}, 0.2))
		}
		return s
	}
	alone := signSpan(t, grid(1, 1))
	require.Equal(t, alone, signSpan(t, grid(10, 200)), "far apart they are as large as one alone")
	for _, pitch := range []float64{0.9, 1, 1.2} {
		span := signSpan(t, grid(pitch, 200))
		require.Less(t, span, int(pitch*1000), "symbols at a pitch of %g mm stay clear of one another", pitch)
		require.Greater(t, span, int(pitch*700))
	}
	_, dense, _ := strings.Cut(string(svg(t, grid(0.4, 200))), `<g class="hits">`)
	dense, _, _ = strings.Cut(dense, "</g>")
	require.Equal(t, 1, strings.Count(dense, "<path"), "symbols too small to be told apart are left out, the discs stay")
	stacked := grid(0, 500) // all in one place
	require.Equal(t, alone, signSpan(t, stacked))
	crowd := grid(1, 1)
	for range 3000 {
		m := picture.Hit(orb.Point{10, 10}, 0.2)
		m.Role = "nibble"
		crowd.Layers[0].Marks = append(crowd.Layers[0].Marks, m)
	}
	require.Equal(t, alone, signSpan(t, crowd), "nibbles have no symbol and take no room")
}

func TestFigureHasNoTitleAndLegend(t *testing.T) {
	s := sample()
	var b strings.Builder
	require.NoError(t, s.WriteFigure(&b))
	wellFormed(t, []byte(b.String()))
	whole := string(svg(t, s))
	bold := `font-weight="bold">` + s.Title
	require.Contains(t, whole, bold)
	require.NotContains(t, b.String(), bold)
	require.Less(t, strings.Count(b.String(), "<text"), strings.Count(whole, "<text"))
	require.Equal(t, strings.Count(whole, "<g class="), strings.Count(b.String(), "<g class="), "every layer is there")
	s.Width = 0
	require.ErrorIs(t, s.WriteFigure(&b), picture.ErrScene)
}

func TestLabelsStandClear(t *testing.T) {
	s := &picture.Scene{Width: 100, Height: 100}
	s.Layer("clamps", picture.KeepOut).Marks = []picture.Mark{
		{Shape: picture.Box, Points: []orb.Point{{0, 10}, {20, 20}}, Label: "left"},
		{Shape: picture.Box, Points: []orb.Point{{80, 10}, {100, 20}}, Label: "right"},
	}
	s.Layer("scores", picture.Score).Marks = []picture.Mark{
		{Shape: picture.Line, Points: []orb.Point{{0, 50}, {100, 50}}, Label: "flat"},
		{Shape: picture.Line, Points: []orb.Point{{100, 60}, {0, 60}}, Label: "back"},
		{Shape: picture.Line, Points: []orb.Point{{30, 0}, {30, 100}}, Label: "up"},
		{Shape: picture.Line, Points: []orb.Point{{40, 100}, {40, 0}}, Label: "down"},
	}
	doc := string(svg(t, s))
	attributes := func(label string) string {
		m := regexp.MustCompile(`<text ([^>]*)>` + label + `<`).FindStringSubmatch(doc)
		require.NotNil(t, m, label)
		return m[1]
	}
	require.NotContains(t, attributes("left"), "text-anchor")
	require.Contains(t, attributes("right"), `text-anchor="end"`, "a label does not leave the panel")
	x := regexp.MustCompile(`x="\d+"`)
	require.Equal(t, x.FindString(attributes("flat")), x.FindString(attributes("back")), "both are read from the left")
	require.NotContains(t, attributes("flat"), "rotate")
	y := regexp.MustCompile(`y="\d+"`)
	require.Equal(t, y.FindString(attributes("up")), y.FindString(attributes("down")), "both are read from below")
	require.Contains(t, attributes("up"), `transform="rotate(-90 `)
}

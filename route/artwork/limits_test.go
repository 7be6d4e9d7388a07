package artwork_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

// Coordinates reach 10 m either way and not a nanometre beyond, absolute or added up.
func TestReach(t *testing.T) {
	for _, c := range []struct {
		name, head, lines string
		ok                bool
	}{
		{"10 m in X", "%FSLAX56Y56*%", "X10000000000Y0D01*", true},
		{"10 m in Y", "%FSLAX56Y56*%", "X0Y10000000000D01*", true},
		{"-10 m", "%FSLAX56Y56*%", "X-10000000000Y-10000000000D01*", true},
		{"past it in X", "%FSLAX56Y56*%", "X10000000001Y0D01*", false},
		{"past it in Y", "%FSLAX56Y56*%", "X0Y10000000001D01*", false},
		{"past it below", "%FSLAX56Y56*%", "X0Y-10000000001D01*", false},
		{"added up", "%FSLIX56Y56*%", "X5000000000D01*\nX5000000000D01*", true},
		{"added up past it", "%FSLIX56Y56*%", "X5000000000D01*\nX5000000001D01*", false},
		{"added up far past it", "%FSLIX66Y66*%", "X9000000000D01*\nX900000000000D01*", false},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, err := artwork.Read([]byte(c.head+"\n%MOMM*%\n%ADD10C,0.1*%\nD10*\nG01*\nX0Y0D02*\n"+c.lines+"\nM02*\n"), "far.gbr", artwork.Options{})
			if c.ok {
				require.NoError(t, err)
				require.NotEmpty(t, l.Strokes)
				return
			}
			require.ErrorIs(t, err, artwork.ErrRange)
			last := 7 + strings.Count(c.lines, "\n")
			require.ErrorContains(t, err, fmt.Sprintf("far.gbr:%d:1", last), "it names the line and column of the word")
		})
	}
}

// A comment holds an attribute only behind its mark, with a command that is one.
func TestAttributesInComments(t *testing.T) {
	for text, want := range map[string]int{
		"G04 #@! TF.Part,Single*": 1, "G04 #@!TF.Part,Single*": 1, "G04 #@!   TA.AperFunction,Vcut*": 1, "G04#@! TO.N,A*": 1,
		"G04 #@!*": 0, "G04 #@! *": 0, "G04 #@! T*": 0, "G04 #@! XF.Part,Single*": 0, "G04 TF.Part,Single*": 0, "G04 #@ TF.Part,Single*": 0, "G04 #@! TQ.Part*": 0,
	} {
		l, err := artwork.Read([]byte(mm46+text+"\n%ADD10C,0.1*%\nD10*\nX0Y0D02*\nG01X1000000Y0D01*\nM02*\n"), "c.gbr", artwork.Options{})
		require.NoError(t, err, text)
		require.Len(t, l.Attributes, want, text)
	}
}

// The candidates of an ambiguous layer say how many of the holes lie in each, and
// how many contours lie around it.
func TestCandidatesCountHoles(t *testing.T) {
	l := layerOf(t, "refused-sheet-frame")
	_, err := l.Profile(artwork.ProfileOptions{Holes: []orb.Point{{900, 900}, {901, 900}}})
	var e *artwork.AmbiguousError
	require.ErrorAs(t, err, &e)
	var said []string
	for _, c := range e.Candidates {
		said = append(said, fmt.Sprintf("%d: %.0f mm2, %d holes, depth %d", c.Index, c.Area, c.Holes, c.Depth))
	}
	require.Equal(t, []string{"0: 32000 mm2, 0 holes, depth 0", "1: 1000 mm2, 0 holes, depth 1", "2: 28 mm2, 0 holes, depth 2"}, said)

	inFrame := orb.Point{e.Candidates[0].Box.Max[0] - 1, e.Candidates[0].Box.Max[1] - 1}
	_, err = l.Profile(artwork.ProfileOptions{Pick: artwork.PickIndex, Index: 9, Holes: []orb.Point{{3, 3}, inFrame, {900, 900}}})
	require.ErrorAs(t, err, &e)
	require.Equal(t, []int{2, 1, 0}, []int{e.Candidates[0].Holes, e.Candidates[1].Holes, e.Candidates[2].Holes})
}

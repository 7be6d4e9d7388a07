package picture_test

import (
	"testing"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestZeroValues(t *testing.T) {
	var s picture.Scene
	require.ErrorIs(t, s.Validate(), picture.ErrScene, "an empty scene has no size")
	s.Width, s.Height = 1, 1
	require.NoError(t, s.Validate())
	wellFormed(t, svg(t, &s))
	require.Equal(t, "circle", picture.Mark{}.Shape.String())
	require.Equal(t, "shape(77)", picture.Shape(77).String())
	require.Zero(t, s.StyleNumber(0))
}

func TestLayerFindsOrAdds(t *testing.T) {
	var s picture.Scene
	a := s.Layer("T1", picture.Hits)
	for range 100 {
		s.Layer("T1", picture.Hits).Marks = append(s.Layer("T1", picture.Hits).Marks, picture.Hit(orb.Point{}, 1))
	}
	b := s.Layer("T1", picture.Path)
	for n := range 50 {
		s.Layer(string(rune('A'+n)), picture.Pin)
	}
	require.NotSame(t, a, b, "kinds are apart")
	require.Same(t, a, s.Layer("T1", picture.Hits), "pointers stay good")
	require.Len(t, a.Marks, 100)
	require.Len(t, s.Layers, 52)
	require.Equal(t, "T1", s.Layers[0].Name, "layers stand in the order of their first use")
}

func TestPassKeepsLooks(t *testing.T) {
	whole := sample()
	part := whole.Pass("unplated", 0)
	var names []string
	for i, l := range part.Layers {
		names = append(names, l.Name)
		if l.Name == "unplated T4 3.20 mm" {
			require.Equal(t, 4, part.StyleNumber(i), "the fourth run of the whole picture")
		}
	}
	require.Contains(t, names, "boards")
	require.Contains(t, names, "unplated T4 3.20 mm")
	require.NotContains(t, names, "plated T1 0.40 mm")
	for _, l := range whole.Layers {
		require.Zero(t, l.Style, "the whole scene is left as it was")
	}
	require.NoError(t, part.Validate())
}

func TestPassKeepsToItsSetUp(t *testing.T) {
	s := picture.Scene{Width: 10, Height: 10}
	for n := range 3 {
		l := s.Layer("set-up "+string(rune('0'+n)), picture.Hits)
		l.Pass, l.SetUp = "plated", n
		s.Layer("pins "+string(rune('0'+n)), picture.Pin).SetUp = n
	}
	names := func(setUp int) (list []string) {
		for _, l := range s.Pass("plated", setUp).Layers {
			list = append(list, l.Name)
		}
		return list
	}
	require.Equal(t, []string{"set-up 0", "pins 0", "set-up 2", "pins 2"}, names(2), "what has no set-up is in all")
	require.Len(t, names(0), 6)
	require.Empty(t, s.Pass("rout", 7).Layers[1:], "only what stands on the panel in every set-up")
	s.Layers[0].SetUp = -1
	require.ErrorIs(t, s.Validate(), picture.ErrScene)
}

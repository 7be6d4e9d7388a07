package artwork_test

import (
	"math"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

const mm46 = "%FSLAX46Y46*%\n%MOMM*%\n"

// The file's own word on what a layer is.
func TestFunctions(t *testing.T) {
	for word, want := range map[string]artwork.Function{
		"": artwork.FunctionUnknown, "%TF.FileFunction,Profile,NP*%\n": artwork.FunctionProfile, "%TF.FileFunction,NonPlated,1,2,NPTH,Rout*%\n": artwork.FunctionRout,
		"%TF.FileFunction,Copper,L1,Top*%\n": artwork.FunctionOther,
	} {
		l, err := artwork.Read([]byte(word+mm46+"%ADD10C,0.1*%\nD10*\nX0Y0D02*\nG01X1000000Y0D01*\nM02*\n"), "layer.gbr", artwork.Options{})
		require.NoError(t, err, word)
		require.Equal(t, want, l.Function, word)
	}
}

// Apertures keep shape and size, flashes their place, attributes their words.
func TestApertures(t *testing.T) {
	l, err := artwork.Read([]byte("%TF.Part,Single*%\n"+mm46+"%ADD10C,0.5*%\n%ADD11R,1X2*%\n%ADD12O,2X1*%\n%ADD13P,3X6*%\n%AMTHERMAL*1,1,1,0,0*%\n%ADD14THERMAL*%\n"+
		"%ABD15*%\nD10*\nX0Y0D03*\n%AB*%\nD11*\nX3000000Y4000000D03*\nM02*\n"), "layer.gbr", artwork.Options{})
	require.NoError(t, err)
	var shapes []artwork.Shape
	for _, a := range l.Apertures {
		shapes = append(shapes, a.Shape)
	}
	require.Equal(t, []artwork.Shape{artwork.ShapeCircle, artwork.ShapeRectangle, artwork.ShapeObround, artwork.ShapePolygon, artwork.ShapeMacro, artwork.ShapeBlock}, shapes)
	want := []artwork.Flash{{At: orb.Point{3, 4}, Aperture: 1, Line: 15, Column: 1}}
	if d := cmp.Diff(want, l.Flashes); d != "" {
		t.Error(d)
	}
	var part artwork.Attribute
	for _, a := range l.Attributes {
		if a.Name == ".Part" {
			part = a
		}
	}
	require.Equal(t, []string{"Single"}, part.Values)
}

// Options out of bounds are refused before anything is read.
func TestOptionsOutOfBounds(t *testing.T) {
	require.NoError(t, artwork.Options{}.Validate())
	require.Error(t, artwork.Options{MaxBytes: -1}.Validate())
	require.NoError(t, artwork.ProfileOptions{Pick: artwork.PickClear}.Validate())
	require.Error(t, artwork.ProfileOptions{Wide: math.NaN()}.Validate())
}

// What lies round the board is told by its kind.
func TestKindsOfItems(t *testing.T) {
	box := func(x0, y0, x1, y1 string) string {
		return "X" + x0 + "Y" + y0 + "D02*\nG01X" + x1 + "Y" + y0 + "D01*\nX" + x1 + "Y" + y1 + "D01*\nX" + x0 + "Y" + y1 + "D01*\nX" + x0 + "Y" + y0 + "D01*\n"
	}
	letters := ""
	for k := range 6 { // an N each
		x := strconv.Itoa(-30 + 3*k)
		far := strconv.Itoa(-28 + 3*k)
		letters += "X" + x + "000000Y100000000D02*\nG01X" + x + "000000Y103000000D01*\nX" + far + "000000Y100000000D01*\nX" + far + "000000Y103000000D01*\n"
	}
	src := mm46 + "%ADD10C,0.1*%\n%ADD11C,1*%\nD10*\n" + box("0", "0", "60000000", "40000000") + // the board
		box("-40000000", "-40000000", "150000000", "120000000") + // a frame round it
		box("70000000", "50000000", "72000000", "52000000") + // a mark beside it
		"X0Y-8000000D02*\nG01X60000000Y-8000000D01*\n" + // a dimension
		"X5000000Y5000000D02*\nX9000000Y9000000D01*\nX14000000Y6000000D01*\n" + // loose within it
		letters + // a word
		"D11*\nX100000000Y100000000D03*\nM02*\n"
	l, err := artwork.Read([]byte(src), "layer.gbr", artwork.Options{})
	require.NoError(t, err)
	p, err := l.Profile(artwork.ProfileOptions{Holes: []orb.Point{{2, 2}, {58, 2}, {58, 38}, {2, 38}}})
	require.NoError(t, err)
	require.Len(t, p.Boards, 1)
	require.InDelta(t, 2400, p.Boards[0].Area(), 1e-9)
	got := map[artwork.Kind]int{}
	for _, i := range p.Items {
		got[i.Kind]++
	}
	want := map[artwork.Kind]int{artwork.KindFrame: 1, artwork.KindMark: 1, artwork.KindDimension: 1, artwork.KindLoose: 1, artwork.KindText: 6, artwork.KindFlash: 1}
	if d := cmp.Diff(want, got); d != "" {
		t.Errorf("(-want +got):\n%s", d)
	}
}

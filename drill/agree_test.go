package drill_test

import (
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
)

// filed puts holes into a file, moved and scaled; scale holds for the sizes.
func filed(file string, at []orb.Point, d, scale float64, move func(orb.Point) orb.Point) []drill.Hole {
	var out []drill.Hole
	for _, p := range at {
		h := drill.Round(tooling.SnapPoint(move(p)), tooling.Size{Diameter: d * scale, Basis: tooling.Finished, Plated: d < 2})
		h.Source.File = file
		out = append(out, h)
	}
	return out
}

// tideGauge is a board of 90 x 70 mm: rows of pins off the middle, mounting holes
// and locating pegs.
func tideGauge() (plated, unplated []orb.Point) {
	for k := range 12 {
		plated = append(plated, orb.Point{12.7 + 2.54*float64(k), 20.32}, orb.Point{12.7 + 2.54*float64(k), 22.86}, orb.Point{70, 8 + 2.54*float64(k)})
	}
	plated = append(plated, orb.Point{75, 60}, orb.Point{60, 51}, orb.Point{23, 57})
	return plated, []orb.Point{{4, 4}, {86, 4}, {4, 66}, {86, 66}, {20, 47.3}, {50, 24.5}}
}

func TestDrillFilesOfOneBoardAgree(t *testing.T) {
	plated, unplated := tideGauge()
	same := func(p orb.Point) orb.Point { return p }
	for _, c := range []struct {
		name, says, reason string
		certain            bool
		scale              float64
		move               func(orb.Point) orb.Point
	}{
		{"as it should be", "", "nothing speaks against it", false, 1, same},
		{"inches", "if it were in inches", "sizes and places divided by 25.4", true, 1 / 25.4, func(p orb.Point) orb.Point { return orb.Point{p[0] / 25.4, p[1] / 25.4} }},
		{"places in inches", "if it were in inches", "sizes were right, places not", true, 1, func(p orb.Point) orb.Point { return orb.Point{p[0] / 25.4, p[1] / 25.4} }},
		{"millimetres", "if it were in millimetres", "read as inches", true, 25.4, func(p orb.Point) orb.Point { return orb.Point{p[0] * 25.4, p[1] * 25.4} }},
		{"mirrored about the origin", "mirrored left to right about the origin", "seen from below", true, 1, func(p orb.Point) orb.Point { return orb.Point{-p[0], p[1]} }},
		{"Y down", "mirrored bottom to top about the origin", "page coordinates", true, 1, func(p orb.Point) orb.Point { return orb.Point{p[0], -p[1]} }},
		{"mirrored on the board", "were mirrored left to right", "a bottom view with its own origin", false, 1, func(p orb.Point) orb.Point { return orb.Point{90 - p[0], p[1]} }},
		{"far off", "another origin", "a page origin", true, 1, func(p orb.Point) orb.Point { return orb.Point{p[0] + 300, p[1] + 20} }},
		{"beside", "apart", "a panel origin", false, 1, func(p orb.Point) orb.Point { return orb.Point{p[0] + 100, p[1]} }},
	} {
		t.Run(c.name, func(t *testing.T) {
			holes := append(filed("plated.drl", plated, 1, 1, same), filed("unplated.drl", unplated, 3.2, c.scale, c.move)...)
			report, err := drill.Agree(holes, orb.Bound{})
			var re *drill.RegistrationError
			switch {
			case c.says == "":
				require.NoError(t, err)
				require.Empty(t, report)
			case c.certain:
				require.ErrorIs(t, err, drill.ErrRegistration, c.reason)
				require.True(t, errors.As(err, &re))
				require.Equal(t, "unplated.drl", re.File)
				require.Contains(t, err.Error(), c.says)
			default:
				require.NoError(t, err)
				require.Len(t, report, 1, c.reason)
				require.Equal(t, "registration", report[0].Rule)
				require.Contains(t, report[0].Detail, c.says)
			}
		})
	}
}

func TestHolesThatCutIntoThoseOfAnotherFile(t *testing.T) {
	plated, _ := tideGauge()
	pegs := []orb.Point{{4, 4}, {86, 60}, {30, 30}, {55, 30}, {17, 40}}
	mirrored := make([]orb.Point, len(pegs))
	for i, p := range pegs { // about X = 45 they fall on pins
		mirrored[i] = orb.Point{90 - p[0], p[1]}
	}
	mirrored[2], mirrored[3] = orb.Point{26, 21.5}, orb.Point{30, 21.5}
	same := func(p orb.Point) orb.Point { return p }
	_, err := drill.Agree(append(filed("plated.drl", plated, 1, 1, same), filed("unplated.drl", mirrored, 3.2, 1, same)...), orb.Bound{})
	require.ErrorIs(t, err, drill.ErrRegistration)
	require.Contains(t, err.Error(), "2 of 5 holes cut into holes of the other file, none would if it were mirrored")

	// Divided by 25.4 no file cuts into another: that explains nothing where the
	// two span as much.
	off := []orb.Point{{18, 24.5}, {30, 24.5}, {69.7, 38.5}, {57.7, 38.5}}
	_, err = drill.Agree(append(filed("plated.drl", append(plated, orb.Point{2, 6}), 1, 1, same), filed("unplated.drl", off, 3.2, 1, same)...), orb.Bound{})
	require.ErrorIs(t, err, drill.ErrRegistration)
	require.Contains(t, err.Error(), "2 of 4 holes cut into holes of the other file, none would if it were")
	require.NotContains(t, err.Error(), "millimetres")
}

func TestToolingHolesThatWouldFallTogether(t *testing.T) {
	plated, _ := tideGauge()
	corners := []orb.Point{{4, 4}, {86, 4}, {4, 66}}
	same := func(p orb.Point) orb.Point { return p }
	holes := append(filed("plated.drl", append(plated, corners...), 1, 1, same),
		filed("unplated.drl", corners, 1, 1, func(p orb.Point) orb.Point { return orb.Point{90 - p[0], p[1]} })...)
	report, err := drill.Agree(holes, orb.Bound{})
	require.NoError(t, err)
	require.Empty(t, report, "two of three still fall together: nothing can be said")
	holes = append(filed("plated.drl", append(plated, corners...), 1, 1, same),
		filed("unplated.drl", corners, 1, 1, func(p orb.Point) orb.Point { return orb.Point{p[0] + 1.5, p[1] + 1.5} })...)
	report, err = drill.Agree(holes, orb.Bound{})
	require.NoError(t, err)
	require.NotEmpty(t, report)
	require.Contains(t, report[0].Detail, "fall on holes of the same size if it were moved")
}

// TestBoardsThatAgreeAreNotAccused places unplated holes anywhere they do not
// cut into others: no error whatever they look like.
func TestBoardsThatAgreeAreNotAccused(t *testing.T) {
	found := 0
	for seed := range uint64(300) {
		r := rand.New(rand.NewPCG(seed, 5))
		plated, _ := tideGauge()
		var pegs []orb.Point
		for range 1 + r.IntN(8) {
			p := tooling.SnapPoint(orb.Point{90 * r.Float64(), 70 * r.Float64()})
			clear := true
			for _, q := range append(append([]orb.Point(nil), plated...), pegs...) {
				dx, dy := p[0]-q[0], p[1]-q[1]
				clear = clear && dx*dx+dy*dy > 3.3*3.3
			}
			if clear {
				pegs = append(pegs, p)
			}
		}
		if len(pegs) == 0 {
			continue
		}
		same := func(p orb.Point) orb.Point { return p }
		report, err := drill.Agree(append(filed("plated.drl", plated, 1, 1, same), filed("unplated.drl", pegs, 3.2, 1, same)...), orb.Bound{})
		require.NoError(t, err, "seed %d: %v", seed, pegs)
		found += len(report)
	}
	require.Less(t, found, 5, "findings about boards with nothing wrong")
}

// Groups of holes at opposite ends of a board, or on opposite sides of an origin in
// its middle, are no mistake where the outline holds them all.
func TestFarApartOnOneBoardIsNoMistake(t *testing.T) {
	same := func(p orb.Point) orb.Point { return p }
	header := []orb.Point{{4, 8}, {4, 10.54}, {4, 13.08}, {4, 15.62}}
	left := []orb.Point{{-20, -6}, {-20, 6}, {-12, -6}, {-12, 6}}
	right := []orb.Point{{14, -5}, {14, 5}, {18, 0}}
	for _, c := range []struct {
		name             string
		plated, unplated []orb.Point
		board            orb.Bound
	}{
		{"a header and one mounting hole", header, []orb.Point{{55, 15}}, orb.Bound{Max: orb.Point{60, 30}}},
		{"about the origin", left, right, orb.Bound{Min: orb.Point{-25, -10}, Max: orb.Point{25, 10}}},
	} {
		t.Run(c.name, func(t *testing.T) {
			holes := append(filed("plated.drl", c.plated, 1, 1, same), filed("unplated.drl", c.unplated, 3.2, 1, same)...)
			_, err := drill.Agree(holes, orb.Bound{})
			require.ErrorIs(t, err, drill.ErrRegistration, "without an outline it can only be a mistake")
			report, err := drill.Agree(holes, c.board)
			require.NoError(t, err)
			require.Len(t, report, 1)
			require.True(t, report[0].OK)
			small := c.board
			small.Max[0] = 12
			_, err = drill.Agree(holes, small)
			require.ErrorIs(t, err, drill.ErrRegistration, "the board does not hold them all")
		})
	}
}

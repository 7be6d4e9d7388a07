package artwork_test

import (
	"errors"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
)

func layerOf(t *testing.T, name string) *artwork.Layer {
	t.Helper()
	src, err := os.ReadFile(filepath.Join(corpus, name+".gbr"))
	require.NoError(t, err)
	l, err := artwork.Read(src, name+".gbr", artwork.Options{})
	require.NoError(t, err)
	return l
}

func rules(p *artwork.Profile) map[string]int {
	out := map[string]int{}
	for _, f := range p.Report {
		out[f.Rule] += f.Count
	}
	return out
}

// What is ambiguous without holes is clear with them, and may be picked.
func TestFramesAndPicks(t *testing.T) {
	inBoard := []orb.Point{{3, 3}, {36, 3}, {36, 21}, {3, 21}}
	for _, c := range []struct {
		name, file, reason string
		options            artwork.ProfileOptions
		area               float64 // of the boards together
		boards, cutOuts    int
		rule               string
	}{
		{"holes tell the board from its sheet", "refused-sheet-frame", "all holes lie in the inner contour", artwork.ProfileOptions{Holes: inBoard}, 1000 - 9*math.Pi, 1, 1, "frame"},
		{"holes tell it from a titled sheet", "refused-sheet-frame-with-text", "all holes lie in the inner contour", artwork.ProfileOptions{Holes: inBoard}, 1000, 1, 0, "frame"},
		{"holes tell it from a second line", "refused-double-line", "they lie in both: the tighter one", artwork.ProfileOptions{Holes: inBoard}, 1000, 1, 0, "frame"},
		{"outer as asked", "refused-sheet-frame", "PickOuter", artwork.ProfileOptions{Pick: artwork.PickOuter}, 32000 - 1000, 1, 1, "mark"},
		{"largest as asked", "two-boards", "PickLargest", artwork.ProfileOptions{Pick: artwork.PickLargest}, 1000, 1, 0, "left-out"},
		{"index as asked", "refused-sheet-frame", "PickIndex 1", artwork.ProfileOptions{Pick: artwork.PickIndex, Index: 1}, 1000 - 9*math.Pi, 1, 1, "left-out"},
		{"holes asked for", "refused-sheet-frame", "PickHoles", artwork.ProfileOptions{Pick: artwork.PickHoles, Holes: inBoard}, 1000 - 9*math.Pi, 1, 1, "frame"},
		{"a rim with the holes is the board", "window", "the holes lie in the rim", artwork.ProfileOptions{Holes: []orb.Point{{2, 2}, {38, 2}, {38, 23}, {2, 23}}}, 1000 - 450, 1, 1, ""},
		{"one hole drawn as a cut-out too", "circle-multi-quadrant", "a hole in a cut-out of its own size makes it no board", artwork.ProfileOptions{Holes: []orb.Point{{10, 10}}}, 1000 - 9*math.Pi, 1, 1, ""},
		{"the hits along a slot drawn as a cut-out", "region-beside-strokes", "all holes lie in the cut-out, which is too small for a board", artwork.ProfileOptions{Holes: []orb.Point{{11, 12}, {15, 12}, {19, 12}}}, 1000 - 50, 1, 1, ""},
		{"a contour without holes beside one with holes", "two-boards", "the drill file knows one of them", artwork.ProfileOptions{Holes: []orb.Point{{3, 3}, {30, 20}}}, 1000, 1, 0, "mark"},
		{"holes of both", "two-boards", "both hold holes", artwork.ProfileOptions{Holes: []orb.Point{{3, 3}, {70, 20}}}, 1750 - 4*math.Pi, 2, 1, ""},
		{"holes elsewhere", "rounded", "files that do not register do not decide", artwork.ProfileOptions{Holes: []orb.Point{{300, 300}}}, 1000 - (4-math.Pi)*9, 1, 0, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := layerOf(t, c.file).Profile(c.options)
			require.NoError(t, err, c.reason)
			require.Len(t, p.Boards, c.boards, c.reason)
			area, cutOuts := 0.0, 0
			for _, b := range p.Boards {
				area += b.Area()
				cutOuts += len(b.CutOuts)
			}
			require.InDelta(t, c.area, area, 1e-6, c.reason)
			require.Equal(t, c.cutOuts, cutOuts, c.reason)
			if c.rule != "" {
				require.NotZero(t, rules(p)[c.rule], "%v", p.Report)
			}
		})
	}
}

// An AmbiguousError lists its candidates so that one can be picked by index.
func TestCandidates(t *testing.T) {
	_, err := layerOf(t, "refused-sheet-frame").Profile(artwork.ProfileOptions{})
	var e *artwork.AmbiguousError
	require.True(t, errors.As(err, &e))
	require.Len(t, e.Candidates, 3)
	for i, area := range []float64{32000, 1000, 9 * math.Pi} {
		require.InDelta(t, area, e.Candidates[i].Area, 1e-6)
		require.Equal(t, i, e.Candidates[i].Index)
		require.Equal(t, i, e.Candidates[i].Depth)
	}
	_, err = layerOf(t, "refused-sheet-frame").Profile(artwork.ProfileOptions{Pick: artwork.PickIndex, Index: 3})
	require.ErrorIs(t, err, artwork.ErrAmbiguous)
	_, err = layerOf(t, "plain").Profile(artwork.ProfileOptions{Pick: artwork.PickHoles, Holes: []orb.Point{{-5, -5}}})
	require.ErrorIs(t, err, artwork.ErrAmbiguous)
}

// Which lines are score lines may be told by the caller.
func TestScoreCodes(t *testing.T) {
	l := layerOf(t, "cut-out-wide-stroke")
	p, err := l.Profile(artwork.ProfileOptions{ScoreCodes: []int{11}})
	require.NoError(t, err)
	require.Equal(t, []orb.Point{{10, 10}, {20, 10}}, []orb.Point{p.Scores[0].From, p.Scores[0].To})
	require.Empty(t, p.Boards[0].CutOuts)
	l.Function = artwork.FunctionScore
	p, err = l.Profile(artwork.ProfileOptions{})
	require.NoError(t, err)
	require.Len(t, p.Scores, 5)
	require.Empty(t, p.Boards)
}

// Wide strokes are cut-outs from the width asked for.
func TestWide(t *testing.T) {
	for wide, want := range map[float64]int{0: 1, 1.5: 1, 1.6: 0, -1: 0} {
		p, err := layerOf(t, "cut-out-wide-stroke").Profile(artwork.ProfileOptions{Wide: wide})
		require.NoError(t, err)
		require.Len(t, p.Boards[0].CutOuts, want, "wide %v", wide)
		require.Equal(t, 1-want, len(p.Items), "what is no cut-out is listed")
	}
}

// Arcs are fitted to chords only when asked for.
func TestFitArcs(t *testing.T) {
	var d drawing
	d.contour(contour.FromBound(orb.Bound{Max: orb.Point{40, 25}}))
	ring := contour.Circle(orb.Point{20, 12}, 5).AppendRing(nil, 0.0005)
	d.contour(contour.FromRing(ring))
	l, err := artwork.Read(d.bytes(0.1), "chords.gbr", artwork.Options{})
	require.NoError(t, err)
	plain, err := l.Profile(artwork.ProfileOptions{})
	require.NoError(t, err)
	fitted, err := l.Profile(artwork.ProfileOptions{FitArcs: 0.002})
	require.NoError(t, err)
	require.Greater(t, len(plain.Boards[0].CutOuts[0].Moves), 100)
	require.Len(t, fitted.Boards[0].CutOuts[0].Moves, 1)
	require.InDelta(t, plain.Boards[0].Area(), fitted.Boards[0].Area(), 0.05)
}

// A tolerance narrower than the gap leaves the board open.
func TestJoins(t *testing.T) {
	l := layerOf(t, "gap-95-um")
	_, err := l.Profile(artwork.ProfileOptions{Joins: []float64{0.005, 0.02}})
	var open *artwork.OpenError
	require.True(t, errors.As(err, &open), "%v", err)
	require.InDelta(t, 0.095, open.Gap, 1e-9)
	require.InDelta(t, 0.02, open.Join, 1e-9)
	require.Equal(t, "gap-95-um.gbr", open.Source.File)
	p, err := l.Profile(artwork.ProfileOptions{Joins: []float64{0.3}})
	require.NoError(t, err)
	require.InDelta(t, 0.3, p.Join, 1e-9)
}

// Options that mean nothing are refused.
func TestOptionsRefused(t *testing.T) {
	l := layerOf(t, "plain")
	for _, o := range []artwork.ProfileOptions{
		{Joins: []float64{}, Pick: -1}, {Joins: []float64{0}}, {Joins: []float64{0.02, 0.005}}, {Joins: []float64{2}}, {Joins: []float64{math.NaN()}},
		{Pick: 9}, {Pick: artwork.PickHoles}, {Holes: []orb.Point{{math.NaN(), 0}}}, {Holes: []orb.Point{{1e300, 0}}},
		{Wide: math.NaN()}, {FitArcs: -1}, {FitArcs: math.NaN()},
	} {
		_, err := l.Profile(o)
		require.ErrorIs(t, err, artwork.ErrOptions, "%+v", o)
	}
	_, err := artwork.Read(nil, "", artwork.Options{MaxBytes: -1})
	require.ErrorIs(t, err, artwork.ErrOptions)
}

// Limits hold, and name what they count.
func TestLimits(t *testing.T) {
	src, err := os.ReadFile(filepath.Join(corpus, "step-repeat.gbr"))
	require.NoError(t, err)
	for _, o := range []artwork.Options{{MaxBytes: 100}, {MaxObjects: 11}, {MaxObjects: 3}} {
		_, err := artwork.Read(src, "x", o)
		require.ErrorIs(t, err, artwork.ErrLimit)
	}
	_, err = artwork.Read(src, "x", artwork.Options{MaxObjects: 12})
	require.NoError(t, err)
	src, err = os.ReadFile(filepath.Join(corpus, "aperture-shapes.gbr"))
	require.NoError(t, err)
	_, err = artwork.Read(src, "x", artwork.Options{MaxApertures: 3})
	require.ErrorIs(t, err, artwork.ErrLimit)
	deep := "%FSLAX46Y46*%%MOMM*%"
	for k := range 9 {
		deep += "%ABD" + string(rune('1'+k)) + "0*%"
	}
	_, err = artwork.Read([]byte(deep), "x", artwork.Options{})
	require.ErrorIs(t, err, artwork.ErrLimit)
}

// Blocks set down by blocks grow as powers, and are stopped at the limit.
func TestBlockBomb(t *testing.T) {
	s := "%FSLAX46Y46*%%MOMM*%G01*%ABD10*%X0Y0D02*X1Y1D01*%AB*%"
	for k := 11; k < 30; k++ {
		s += "%ABD" + string(rune('0'+k/10)) + string(rune('0'+k%10)) + "*%D" + string(rune('0'+(k-1)/10)) + string(rune('0'+(k-1)%10)) + "*"
		for range 20 {
			s += "X0Y0D03*"
		}
		s += "%AB*%"
	}
	_, err := artwork.Read([]byte(s), "x", artwork.Options{})
	require.ErrorIs(t, err, artwork.ErrLimit)
}

// A sheet with frame, title block, text and dimension lines gives its board, wherever
// it stands, once the holes are known.
func TestSheets(t *testing.T) {
	for seed := range uint64(200) {
		rng := rand.New(rand.NewPCG(seed, 11))
		x, y := 60+100*rng.Float64(), 60+60*rng.Float64()
		r := 8 + 30*rng.Float64()
		outline, cutOuts := randomBoard(rng, x, y, r)
		if !sound(outline, cutOuts) {
			continue
		}
		var d drawing
		d.contour(contour.FromBound(orb.Bound{Max: orb.Point{297, 210}}))
		if rng.IntN(2) == 0 {
			d.contour(contour.FromBound(orb.Bound{Min: orb.Point{5, 5}, Max: orb.Point{292, 205}}))
		}
		d.contour(contour.FromBound(orb.Bound{Min: orb.Point{230, 10}, Max: orb.Point{285, 30}}))
		for k := range 12 { // letters of two or three strokes
			u := 232 + 1.2*float64(k)
			d.line(u, 12, u, 14)
			d.line(u, 14, u+0.8, 13.2)
			if k%2 == 0 {
				d.line(u+0.8, 13.2, u+0.8, 12)
			}
		}
		b := outline.Bound()
		d.line(b.Min[0], b.Min[1]-1, b.Min[0], b.Min[1]-8)
		d.line(b.Max[0], b.Min[1]-1, b.Max[0], b.Min[1]-8)
		d.line(b.Min[0], b.Min[1]-7, b.Max[0], b.Min[1]-7)
		var want drawing
		want.contour(outline)
		area := outline.Area()
		for _, c := range cutOuts {
			want.contour(c)
			area -= math.Abs(c.Area())
		}
		var holes []orb.Point
		for len(holes) < 8 {
			p := orb.Point{x + r*(2*rng.Float64()-1), y + r*(2*rng.Float64()-1)}
			if outline.Contains(p) {
				holes = append(holes, p)
			}
		}
		all := append(d, spoil(rng, want, 0)...)
		rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
		l, err := artwork.Read(all.bytes(0.1), "sheet.gbr", artwork.Options{})
		require.NoError(t, err)
		p, err := l.Profile(artwork.ProfileOptions{Holes: holes})
		require.NoError(t, err, "seed %d", seed)
		require.Len(t, p.Boards, 1, "seed %d", seed)
		require.InDelta(t, area, p.Boards[0].Area(), 1e-3+p.Join*outline.Length(), "seed %d", seed)
		_, err = l.Profile(artwork.ProfileOptions{})
		require.ErrorIs(t, err, artwork.ErrAmbiguous, "seed %d: without holes the sheet may be the board", seed)
	}
}

// A filled strip is a score line up to 1 mm wide and from four times its width on; what
// is wider, shorter or no strip is listed.
func TestStripsOfAScoreLayer(t *testing.T) {
	for _, c := range []struct {
		name string
		line contour.Contour
		want []orb.Point // ends of its centre line
	}{
		{"1 mm wide", contour.FromBound(orb.Bound{Min: orb.Point{0, 2}, Max: orb.Point{50, 3}}), []orb.Point{{0, 2.5}, {50, 2.5}}},
		{"wider than 1 mm", contour.FromBound(orb.Bound{Min: orb.Point{0, 2}, Max: orb.Point{50, 3.001}}), nil},
		{"four times as long as wide", contour.FromBound(orb.Bound{Max: orb.Point{0.5, 2}}), []orb.Point{{0.25, 0}, {0.25, 2}}},
		{"shorter", contour.FromBound(orb.Bound{Max: orb.Point{0.5, 1.999}}), nil},
		{"a wedge", contour.FromLine(orb.LineString{{0, 0}, {50, 0}, {50, 1}, {0, 0}}), nil},
		{"a circle", contour.Circle(orb.Point{5, 5}, 0.2), nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			l := &artwork.Layer{Function: artwork.FunctionScore, Regions: []artwork.Region{{Contours: []contour.Contour{c.line}, Line: 4, Column: 2}}}
			p, err := l.Profile(artwork.ProfileOptions{})
			require.NoError(t, err)
			require.Empty(t, p.Boards)
			var got []orb.Point
			for _, s := range p.Scores {
				require.Equal(t, 4, s.Source.Line)
				ends := []orb.Point{s.From, s.To}
				if s.From[0]+s.From[1] > s.To[0]+s.To[1] {
					ends = []orb.Point{s.To, s.From}
				}
				got = append(got, ends...)
			}
			require.Equal(t, c.want, got)
			require.Len(t, p.Items, 1-len(got)/2)
			for _, i := range p.Items {
				require.Equal(t, artwork.KindScore, i.Kind)
				require.InDelta(t, math.Abs(c.line.Area()), math.Abs(i.Line.Area()), 1e-9)
			}
		})
	}
}

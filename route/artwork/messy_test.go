package artwork_test

import (
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

// messy is a random layer: boards spoilt as in [spoil], and beside them or on them
// what else is drawn in such layers. It gives the places of holes on the boards, too.
func messy(rng *rand.Rand) (src []byte, holes []orb.Point) {
	var d drawing
	for k := range 1 + rng.IntN(2) {
		x := 100 + 150*float64(k)
		outline, cutOuts := randomBoard(rng, x, 80, 20+40*rng.Float64())
		for !sound(outline, cutOuts) {
			outline, cutOuts = randomBoard(rng, x, 80, 20+40*rng.Float64())
		}
		d.contour(outline)
		for _, c := range cutOuts {
			d.contour(c)
		}
		for k := range 6 {
			p := outline.Start
			f := 0.5 + 0.07*float64(k)
			holes = append(holes, orb.Point{x + (p[0]-x)*f, 80 + (p[1]-80)*f})
		}
	}
	d = spoil(rng, d, []int64{0, 2_000, 12_000, 60_000}[rng.IntN(4)])
	some := func() bool { return rng.IntN(3) == 0 }
	if some() { // a sheet's frame
		d.line(0, 0, 400, 0)
		d.line(400, 0, 400, 200)
		d.line(400, 200, 0, 200)
		d.line(0, 200, 0, 0)
	}
	if some() { // a title
		for k := range 4 + rng.IntN(8) {
			x := 300 + 2.5*float64(k)
			d.line(x, 5, x+1, 7+rng.Float64())
			d.line(x+1, 7, x+2, 5)
		}
	}
	if some() { // a dimension
		d.line(60, 10, 140, 10)
		d.line(60, 8, 60, 18)
		d.line(140, 8, 140, 18)
	}
	if some() { // a stroke that ends nowhere
		d.line(100, 80, 101+rng.Float64(), 80.5)
	}
	text := strings.TrimSuffix(string(d.bytes(0.1)), "M02*\n")
	var b strings.Builder
	b.WriteString(text)
	place := func(x, y float64) string {
		p := nm(orb.Point{x, y})
		return fmt.Sprintf("X%dY%d", p[0], p[1])
	}
	rectangle := func(x, y, w, h float64) {
		b.WriteString(place(x, y) + "D02*\n")
		for _, p := range [][2]float64{{x + w, y}, {x + w, y + h}, {x, y + h}, {x, y}} {
			b.WriteString(place(p[0], p[1]) + "D01*\n")
		}
	}
	if some() { // a slot drawn as a wide stroke
		b.WriteString("%ADD20C,1.2*%\nD20*\n" + place(95, 82) + "D02*\n" + place(97+rng.Float64(), 83) + "D01*\nD10*\n")
	}
	if some() { // a filled mark
		b.WriteString("G36*\n")
		rectangle(20, 20, 1+rng.Float64(), 2)
		b.WriteString("G37*\n")
	}
	if some() { // a cut-out as a block, set down turned, mirrored and scaled
		b.WriteString("%ABD30*%\nD10*\n")
		rectangle(0.2, 0.1, 1.5, 0.5)
		b.WriteString(place(3, 0) + "D02*\nG03*\n" + place(3, 0) + "I500000J0D01*\nG01*\n%AB*%\nD30*\n")
		fmt.Fprintf(&b, "%%LR%d*%%\n%%LM%s*%%\n%%LS%.2f*%%\n", 15*rng.IntN(24), []string{"N", "X", "Y", "XY"}[rng.IntN(4)], 0.5+rng.Float64())
		b.WriteString(place(100, 81) + "D03*\n%LR0*%\n%LMN*%\n%LS1.0*%\nD10*\n")
	}
	if some() { // marks stepped and repeated
		fmt.Fprintf(&b, "%%SRX%dY%dI%.1fJ%.1f*%%\n", 1+rng.IntN(3), 1+rng.IntN(3), 3+rng.Float64(), 4+rng.Float64())
		rectangle(320, 100, 2, 1)
		b.WriteString("%SR*%\n")
	}
	if some() { // a score line
		b.WriteString("%TA.AperFunction,Vcut*%\n%ADD40C,0.15*%\n%TD*%\nD40*\n" + place(0, 80) + "D02*\n" + place(400, 80) + "D01*\n")
	}
	b.WriteString("M02*\n")
	return []byte(b.String()), holes
}

// Messy layers read as they did, with every place and figure: what changes shows
// here. Whether a reading is right is for the other tests to say.
func TestMessyLayersReadAsBefore(t *testing.T) {
	got := map[string][]string{}
	for seed := range uint64(90) {
		rng := rand.New(rand.NewPCG(seed, 41))
		src, holes := messy(rng)
		for _, o := range []artwork.ProfileOptions{{}, {Holes: holes}, {Pick: artwork.PickOuter, FitArcs: 0.02}} {
			name := fmt.Sprintf("%d, %d holes, pick %d", seed, len(o.Holes), o.Pick)
			got[name] = facts(t, src, o)
		}
	}
	golden := filepath.Join("testdata", "messy.golden")
	if *update {
		text, err := json.MarshalIndent(got, "", " ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(golden, append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile(golden)
	require.NoError(t, err)
	var want map[string][]string
	require.NoError(t, json.Unmarshal(text, &want))
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// facts is a reading line by line.
func facts(t *testing.T, src []byte, o artwork.ProfileOptions) (out []string) {
	t.Helper()
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	l, err := artwork.Read(src, "messy.gbr", artwork.Options{})
	require.NoError(t, err)
	p, err := l.Profile(o)
	if err != nil {
		say("%v", err)
		return out
	}
	for _, b := range p.Boards {
		say("board %d:%d %s, begins %.6f", b.Source.Line, b.Source.Column, contourText(b.Outline), b.Outline.Start)
		for _, c := range b.CutOuts {
			say("cut-out %s, begins %.6f", contourText(c), c.Start)
		}
	}
	for _, s := range p.Scores {
		say("score %.6f to %.6f", s.From, s.To)
	}
	say("gap %.6f join %.3f", p.Gap, p.Join)
	for _, i := range p.Items {
		say("%v of %d at %d:%d, %s, ends %.6f", i.Kind, i.Strokes, i.Source.Line, i.Source.Column, boxText(i.Box), i.Ends)
	}
	for _, f := range append(l.Report, p.Report...) {
		say("%s x%d at %d:%d, %.6f of %.6f, places %.6f", f.Rule, f.Count, f.Source.Line, f.Source.Column, f.Value, f.Limit, f.Places)
	}
	return out
}

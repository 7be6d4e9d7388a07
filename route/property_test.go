package route_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// notched is a random board: a rectangle with rounded or sharp corners and, on
// some sides, notches with rounded or sharp inside corners; some have a cut-out.
func notched(rng *rand.Rand) route.Board {
	w, h := float64(30+rng.IntN(50)), float64(25+rng.IntN(40))
	r := []float64{0, 0.5, 1, 2.5, 4}[rng.IntN(5)]
	c := rounded(w, h, r)
	if rng.IntN(2) == 0 { // a notch in the lower edge
		a := r + 3 + float64(rng.IntN(int(w-2*r-16)))
		b := a + 4 + float64(rng.IntN(6))
		depth := 2 + float64(rng.IntN(5))
		var in []contour.Move
		if ri := []float64{0, 1.25, 1.6}[rng.IntN(3)]; ri == 0 {
			in = []contour.Move{{To: orb.Point{a, 0}}, {To: orb.Point{a, depth}}, {To: orb.Point{b, depth}}, {To: orb.Point{b, 0}}}
		} else {
			depth += ri
			in = []contour.Move{
				{To: orb.Point{a, 0}}, {To: orb.Point{a, depth - ri}}, {To: orb.Point{a + ri, depth}, Center: orb.Point{a + ri, depth - ri}, Turn: -1},
				{To: orb.Point{b - ri, depth}}, {To: orb.Point{b, depth - ri}, Center: orb.Point{b - ri, depth - ri}, Turn: -1}, {To: orb.Point{b, 0}},
			}
		}
		c.Moves = append(in, c.Moves...)
	}
	b := route.Board{Outline: c}
	switch rng.IntN(4) {
	case 0:
		b.CutOuts = []contour.Contour{contour.Circle(orb.Point{w / 2, h/2 + 4}, 1+float64(rng.IntN(10))/2)}
	case 1:
		b.CutOuts = []contour.Contour{rounded(9, 5, []float64{0, 1.3, 2.5}[rng.IntN(3)]).Translate(w/2-4.5, h/2+2)}
	}
	return b
}

// anyInput lays one to six random boards in a grid.
func anyInput(rng *rand.Rand) (route.Input, route.Options) {
	b := notched(rng)
	size := b.Outline.Bound().Max
	gap := []float64{0.8, 2.4, 2.4, 3, 4.8, 6, 12}[rng.IntN(7)]
	nx, ny := 1+rng.IntN(3), 1+rng.IntN(2)
	scored := rng.IntN(5) == 0
	step := orb.Point{size[0] + gap, size[1] + gap}
	if scored {
		step[0] = size[0]
	}
	p := panel(40+step[0]*float64(nx)+gap, 40+step[1]*float64(ny)+gap)
	for y := range ny {
		for x := range nx {
			p.Boards = append(p.Boards, tooling.Placement{Offset: orb.Point{20 + step[0]*float64(x), 20 + step[1]*float64(y)}})
		}
	}
	for x := 0; scored && x <= nx; x++ {
		s := 20 + step[0]*float64(x)
		p.Scores = append(p.Scores, tooling.Score{{s, 0}, {s, p.Height}})
	}
	in := input(b, p)
	in.Rules.Rout.Cutter = []float64{0, 0, 0.8, 2.4}[rng.IntN(4)]
	in.Rules.Rout.Deflection = []float64{0, 0, 0.03}[rng.IntN(3)]
	in.Rules.Rout.LeadIn = []float64{0, 0.5, 2}[rng.IntN(3)]
	in.Rules.Rout.Overlap = []float64{0, 0.8}[rng.IntN(2)]
	if rng.IntN(2) == 0 {
		in.Rules.Rout.Direction = tooling.Climb
	}
	in.Rules.Tabs.Width = []float64{1.5, 3, 6.4}[rng.IntN(3)]
	in.Rules.Tabs.Perforated = in.Rules.Tabs.Width > 5
	in.Rules.Tabs.CornerClear = []float64{0, 2, 5}[rng.IntN(3)]
	in.Rules.Tabs.PerBoard = 2 + rng.IntN(4)
	if rng.IntN(3) == 0 {
		at := orb.Point{20 + size[0]/2, 20 + size[1]/4}
		in.Holes = append(in.Holes, drill.Round(at, finished(float64(5+rng.IntN(6)), rng.IntN(2) == 0)))
	}
	o := route.Options{Rough: []float64{0, 0, 0.15}[rng.IntN(3)], CleanUp: []float64{0, 0, 0.8}[rng.IntN(3)], Kicks: 1}
	return in, o
}

// TestRandomLayouts lays, plans, writes and checks random panels: each passes
// its check, or is refused beforehand by a typed error.
func TestRandomLayouts(t *testing.T) {
	const seed = 15
	rounds := 210
	if testing.Short() {
		rounds = 12
	}
	rng := rand.New(rand.NewPCG(seed, 1))
	passed, refused := 0, map[string]int{}
	for round := range rounds {
		in, o := anyInput(rng)
		l, err := route.Lay(in)
		var passes []route.Pass
		if err == nil {
			passes, err = route.Plan(context.Background(), l, o)
		}
		if err != nil {
			var be *route.BoardError
			if !errors.As(err, &be) || errors.Is(err, route.ErrOffset) {
				t.Fatalf("seed %d round %d: %v", seed, round, err)
			}
			refused[fmt.Sprint(errors.Unwrap(err))]++
			continue
		}
		for _, p := range passes {
			m, err := p.Mount(setUp(t, in, p, 1), in.Machine)
			if err != nil {
				t.Fatalf("seed %d round %d: %v", seed, round, err)
			}
			if err := route.Check(l, m, parse(t, text(t, m))).Err(); err != nil {
				t.Errorf("seed %d round %d: %v", seed, round, err)
			}
		}
		passed++
	}
	t.Logf("%d of %d passed, refused: %v", passed, rounds, refused)
	if passed < rounds/3 {
		t.Errorf("only %d of %d random panels were planned: %v", passed, rounds, refused)
	}
}

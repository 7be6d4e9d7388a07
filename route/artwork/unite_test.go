package artwork_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

// convex is a circle or a polygon whose chord at a height is known without any
// of the code under test.
type convex struct {
	center  orb.Point
	radius  float64 // 0: a polygon
	corners []orb.Point
}

func (c convex) chord(y float64) (x0, x1 float64, ok bool) {
	if c.radius > 0 {
		h := c.radius*c.radius - (y-c.center[1])*(y-c.center[1])
		if h <= 0 {
			return 0, 0, false
		}
		return c.center[0] - math.Sqrt(h), c.center[0] + math.Sqrt(h), true
	}
	x0, x1 = math.Inf(1), math.Inf(-1)
	for i, p := range c.corners {
		q := c.corners[(i+1)%len(c.corners)]
		if (p[1] > y) != (q[1] > y) {
			x := p[0] + (q[0]-p[0])*(y-p[1])/(q[1]-p[1])
			x0, x1 = min(x0, x), max(x1, x)
		}
	}
	return x0, x1, x0 < x1
}

func (c convex) draw(b *strings.Builder) {
	nm := func(v float64) int64 { return int64(math.Round(v * 1e6)) }
	if c.radius > 0 {
		x, y := nm(c.center[0]+c.radius), nm(c.center[1])
		fmt.Fprintf(b, "X%dY%dD02*\nG03*\nX%dY%dI%dJ0D01*\nG01*\n", x, y, x, y, -nm(c.radius))
		return
	}
	for i := range len(c.corners) + 1 {
		p := c.corners[i%len(c.corners)]
		fmt.Fprintf(b, "X%dY%dD0%d*\n", nm(p[0]), nm(p[1]), map[bool]int{true: 2, false: 1}[i == 0])
	}
}

// Cut-outs that overlap take away what any of them encloses: as much as a
// scan line over the shapes as they were drawn finds.
func TestCutOutsUniteAsAScanLineMeasuresThem(t *testing.T) {
	united := 0
	for seed := range uint64(120) {
		rng := rand.New(rand.NewPCG(seed, 31))
		shapes := make([]convex, 2+rng.IntN(3))
		for i := range shapes {
			at := orb.Point{45 + 10*rng.Float64(), 45 + 10*rng.Float64()}
			s := convex{center: at}
			if rng.IntN(2) == 0 {
				s.radius = 1 + 8*rng.Float64()
			} else {
				w, h := 2+16*rng.Float64(), 2+16*rng.Float64()
				sin, cos := math.Sincos(float64(rng.IntN(5)) * math.Pi / 7)
				for _, c := range [][2]float64{{-w, -h}, {w, -h}, {w, h}, {-w, h}} {
					s.corners = append(s.corners, orb.Point{at[0] + (c[0]*cos-c[1]*sin)/2, at[1] + (c[0]*sin+c[1]*cos)/2})
				}
			}
			shapes[i] = s
		}
		var b strings.Builder
		b.WriteString("%FSLAX46Y46*%\n%MOMM*%\n%ADD10C,0.1*%\nG75*\nG01*\nD10*\n")
		convex{corners: []orb.Point{{0, 0}, {100, 0}, {100, 100}, {0, 100}}}.draw(&b)
		for _, s := range shapes {
			s.draw(&b)
		}
		b.WriteString("M02*\n")
		l, err := artwork.Read([]byte(b.String()), "random", artwork.Options{})
		require.NoError(t, err, "seed %d", seed)
		p, err := l.Profile(artwork.ProfileOptions{Holes: []orb.Point{{1, 1}, {99, 1}, {99, 99}, {1, 99}}})
		if errors.Is(err, artwork.ErrCrossing) && island(shapes) {
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		require.Len(t, p.Boards, 1, "seed %d", seed)
		united += rules(p)["cut-outs-united"]

		levels := []float64{20, 80}
		for _, s := range shapes {
			if s.radius > 0 {
				levels = append(levels, s.center[1]-s.radius, s.center[1]+s.radius)
			}
			for _, c := range s.corners {
				levels = append(levels, c[1])
			}
		}
		slices.Sort(levels)
		var want float64
		for i, y := range levels[1:] {
			const parts = 200
			step := (y - levels[i]) / parts
			for k := range parts {
				want += step * covered(shapes, levels[i]+step*(float64(k)+0.5))
			}
		}
		got := 0.0
		for _, c := range p.Boards[0].CutOuts {
			got -= c.Area()
		}
		require.InDelta(t, want, got, 0.02, "seed %d: %d shapes", seed, len(shapes))
	}
	require.Greater(t, united, 120, "most of the shapes overlap")
}

// island floods a grid from outside and reports whether a place that no shape
// covers stays dry: an island, or a bay whose mouth is narrower than the grid.
func island(shapes []convex) bool {
	const n, step = 400, 0.1
	var wet [n][n]bool
	row := func(k int) float64 { return 30 + (float64(k)+0.5)*step }
	dry := func(i, j int) bool {
		for _, s := range shapes {
			if x0, x1, ok := s.chord(row(j)); ok && x0 < row(i) && row(i) < x1 {
				return false
			}
		}
		return !wet[i][j]
	}
	work := [][2]int{{0, 0}}
	wet[0][0] = true
	for len(work) > 0 {
		c := work[len(work)-1]
		work = work[:len(work)-1]
		for _, d := range [4][2]int{{1, 0}, {-1, 0}, {0, 1}, {0, -1}} {
			if i, j := c[0]+d[0], c[1]+d[1]; i >= 0 && j >= 0 && i < n && j < n && dry(i, j) {
				wet[i][j] = true
				work = append(work, [2]int{i, j})
			}
		}
	}
	for i := range n {
		for j := range n {
			if dry(i, j) {
				return true
			}
		}
	}
	return false
}

// covered is the length at a height that lies in any of the shapes.
func covered(shapes []convex, y float64) float64 {
	const from, to = 20.0, 80.0
	total, at := 0.0, from
	for at < to {
		reach, next := at, to
		for _, s := range shapes {
			x0, x1, ok := s.chord(y)
			switch {
			case !ok:
			case x0 <= at && x1 > at:
				reach = max(reach, x1)
			case x0 > at:
				next = min(next, x0)
			}
		}
		if reach == at {
			at = next
			continue
		}
		total += reach - at
		at = reach
	}
	return total
}

// A cut-out that holds holes as a board does is none, and neither is one that hangs
// over the edge: these crossings stay refused.
func TestWhatDoesNotUnite(t *testing.T) {
	l := layerOf(t, "cut-outs-overlap")
	holes := []orb.Point{{1, 1}, {39, 1}, {39, 24}, {1, 24}}
	for _, c := range []struct {
		name  string
		in    []orb.Point
		unite bool
	}{
		{"no holes in them", nil, true},
		{"two hits of a slot", []orb.Point{{12, 10}, {14, 10}}, true},
		{"three holes", []orb.Point{{12, 10}, {14, 10}, {16, 9}}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := l.Profile(artwork.ProfileOptions{Holes: append(append([]orb.Point(nil), holes...), c.in...)})
			if !c.unite {
				require.ErrorIs(t, err, artwork.ErrCrossing)
				return
			}
			require.NoError(t, err)
			require.Equal(t, 1, rules(p)["cut-outs-united"])
		})
	}
}

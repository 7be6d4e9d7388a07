package artwork_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
)

// stroke is one stroke of a drawing in nanometres.
type stroke struct {
	from, to, center [2]int64
	turn             int8
}

func (s stroke) reversed() stroke {
	s.from, s.to, s.turn = s.to, s.from, -s.turn
	return s
}

// drawing collects strokes and writes them in mm 4:6.
type drawing []stroke

func nm(p orb.Point) [2]int64 {
	return [2]int64{int64(math.Round(p[0] * 1e6)), int64(math.Round(p[1] * 1e6))}
}

func (d *drawing) contour(c contour.Contour) {
	at := c.Start
	for _, m := range c.Moves {
		*d = append(*d, stroke{nm(at), nm(m.To), nm(m.Center), m.Turn})
		at = m.To
	}
}

func (d *drawing) line(x0, y0, x1, y1 float64) {
	*d = append(*d, stroke{from: nm(orb.Point{x0, y0}), to: nm(orb.Point{x1, y1})})
}

func (d drawing) bytes(width float64) []byte {
	var b strings.Builder
	fmt.Fprintf(&b, "%%FSLAX46Y46*%%\n%%MOMM*%%\nG75*\n%%ADD10C,%.3f*%%\nD10*\nG01*\n", width)
	for _, s := range d {
		fmt.Fprintf(&b, "X%dY%dD02*\n", s.from[0], s.from[1])
		switch s.turn {
		case 0:
			fmt.Fprintf(&b, "X%dY%dD01*\n", s.to[0], s.to[1])
		default:
			word := "G03*"
			if s.turn < 0 {
				word = "G02*"
			}
			fmt.Fprintf(&b, "%s\nX%dY%dI%dJ%dD01*\nG01*\n", word, s.to[0], s.to[1], s.center[0]-s.from[0], s.center[1]-s.from[1])
		}
	}
	return append([]byte(b.String()), "M02*\n"...)
}

// randomBoard is an outline about the middle of a box of side 2r, corners on a circle,
// and round and slotted cut-outs well within.
func randomBoard(rng *rand.Rand, x, y, r float64) (contour.Contour, []contour.Contour) {
	n := 3 + rng.IntN(9)
	var outline contour.Contour
	grid := func(v float64) float64 { return math.Round(v*1e3) / 1e3 }
	var corners []orb.Point
	for k := range n {
		a := 2 * math.Pi * (float64(k) + 0.6*rng.Float64()) / float64(n)
		q := r * (0.6 + 0.4*rng.Float64())
		corners = append(corners, orb.Point{grid(x + q*math.Cos(a)), grid(y + q*math.Sin(a))})
	}
	outline.Start = corners[0]
	for k := range n {
		p, q := corners[k], corners[(k+1)%n]
		m := contour.Move{To: q}
		if rng.IntN(3) == 0 { // a flat arc that bulges out
			mx, my, dx, dy := (p[0]+q[0])/2, (p[1]+q[1])/2, q[0]-p[0], q[1]-p[1]
			m.Turn = 1
			m.Center = orb.Point{mx - 2*dy, my + 2*dx}
			m.Center = orb.Point{float64(nm(m.Center)[0]) / 1e6, float64(nm(m.Center)[1]) / 1e6}
		}
		outline.Moves = append(outline.Moves, m)
	}
	var cutOuts []contour.Contour
	for k := range rng.IntN(4) {
		cx, cy := grid(x+0.12*r*float64(k%2)*2-0.12*r), grid(y+0.12*r*float64(k/2)*2-0.12*r)
		q := grid(0.02*r + 0.05*r*rng.Float64())
		if rng.IntN(2) == 0 {
			cutOuts = append(cutOuts, contour.Circle(orb.Point{cx, cy}, q))
			continue
		}
		cutOuts = append(cutOuts, contour.Contour{Start: orb.Point{cx - q, cy - q/2}, Moves: []contour.Move{
			{To: orb.Point{cx + q, cy - q/2}}, {To: orb.Point{cx + q, cy + q/2}, Center: orb.Point{cx + q, cy}, Turn: 1},
			{To: orb.Point{cx - q, cy + q/2}}, {To: orb.Point{cx - q, cy - q/2}, Center: orb.Point{cx - q, cy}, Turn: 1},
		}})
	}
	return outline, cutOuts
}

// sound reports whether the cut-outs lie in the outline and apart.
func sound(outline contour.Contour, cutOuts []contour.Contour) bool {
	for _, c := range cutOuts {
		if !outline.Contains(c.Start) {
			return false
		}
	}
	return contour.ValidateRegion(append([]contour.Contour{outline}, cutOuts...)) == nil
}

// spoil draws the strokes as files do: cut in parts, doubled, turned, shuffled,
// with gaps up to a width in nanometres, overlapping, with specks.
func spoil(rng *rand.Rand, d drawing, gap int64) drawing {
	var out drawing
	for _, s := range d {
		if s.turn != 0 || s.from == s.to {
			if rng.IntN(4) == 0 && s.from != s.to {
				out = append(out, s.reversed()) // twice
			}
			out = append(out, s)
			continue
		}
		parts := 1 + rng.IntN(3)
		at := s.from
		var ends [][2]int64
		for k := 1; k <= parts; k++ {
			to := s.to
			if k < parts {
				f := float64(k) / float64(parts)
				to = [2]int64{s.from[0] + int64(f*float64(s.to[0]-s.from[0])), s.from[1] + int64(f*float64(s.to[1]-s.from[1]))}
			}
			out = append(out, stroke{from: at, to: to})
			ends = append(ends, at)
			at = to
		}
		if rng.IntN(3) == 0 { // a stroke along all of the parts, or some
			out = append(out, stroke{from: ends[rng.IntN(len(ends))], to: s.to})
		}
		if rng.IntN(5) == 0 { // a speck
			out = append(out, stroke{from: s.from, to: s.from}, stroke{from: s.to, to: [2]int64{s.to[0] + 300, s.to[1] - 200}})
		}
	}
	if gap > 0 {
		k := rng.IntN(len(out))
		for i := range out {
			s := &out[(k+i)%len(out)]
			dx, dy := float64(s.to[0]-s.from[0]), float64(s.to[1]-s.from[1])
			l := math.Hypot(dx, dy)
			if s.turn == 0 && l > 100*float64(gap) {
				s.from[0] += int64(dx / l * float64(gap))
				s.from[1] += int64(dy / l * float64(gap))
				break
			}
		}
	}
	for i := range out {
		if rng.IntN(2) == 0 {
			out[i] = out[i].reversed()
		}
	}
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

// Random boards come out of drawings spoilt in the ways of real files with
// their area and cut-outs, within the tolerance that was needed.
func TestSpoiltDrawings(t *testing.T) {
	runs := 3000
	if testing.Short() {
		runs = 100
	}
	for seed := range uint64(runs) {
		rng := rand.New(rand.NewPCG(seed, 7))
		outline, cutOuts := randomBoard(rng, 100, 80, 10+40*rng.Float64())
		if !sound(outline, cutOuts) {
			continue
		}
		var d drawing
		d.contour(outline)
		for _, c := range cutOuts {
			d.contour(c)
		}
		gap := []int64{0, 0, 3_000, 15_000, 90_000}[rng.IntN(5)]
		src := spoil(rng, d, gap).bytes(0.1)
		l, err := artwork.Read(src, "spoilt.gbr", artwork.Options{})
		require.NoError(t, err, "seed %d", seed)
		p, err := l.Profile(artwork.ProfileOptions{})
		require.NoError(t, err, "seed %d\n%s", seed, src)
		require.Len(t, p.Boards, 1, "seed %d\n%s", seed, src)
		want, length := outline.Area(), outline.Length()
		for _, c := range cutOuts {
			want -= math.Abs(c.Area())
			length += c.Length()
		}
		require.Len(t, p.Boards[0].CutOuts, len(cutOuts), "seed %d\n%s", seed, src)
		require.InDelta(t, want, p.Boards[0].Area(), 1e-3+p.Join*length, "seed %d\n%s", seed, src)
		require.LessOrEqual(t, p.Gap*1e6, float64(gap)+2, "seed %d", seed)
	}
}

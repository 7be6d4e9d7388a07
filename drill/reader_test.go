package drill_test

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// A second reader, for one form only: whole micrometres, a word for X and one
// for Y in every block, a tool a line. It shares nothing with package nc, so
// that a mistake there cannot hide itself.

type fixedHit struct {
	x, y int    // um
	bit  string // diameter as written, such as "0.400"
}

func readFixed(text string) ([]fixedHit, error) {
	bits := map[string]string{} // "T3" to "0.400"
	header, bit, ended := true, "", false
	var hits []fixedHit
	for n, line := range strings.Split(text, "\n") {
		bad := func(what string) error { return fmt.Errorf("line %d: %s: %q", n+1, what, line) }
		switch {
		case ended && line != "":
			return nil, bad("after the end")
		case line == "", line[0] == ';', line == "M48", line == "G90", line == "G05", line == "FMAT,2", strings.HasPrefix(line, "METRIC"), strings.HasPrefix(line, "M47,"):
		case line == "%":
			header = false
		case line == "M30":
			ended = true
		case header && line[0] == 'T':
			name, rest, ok := strings.Cut(line, "C")
			if !ok || len(rest) < 5 {
				return nil, bad("no diameter")
			}
			bits[name] = rest[:5]
		case line[0] == 'T':
			if bit = bits[line]; bit == "" {
				return nil, bad("unknown tool")
			}
		case line[0] == 'X':
			xs, ys, ok := strings.Cut(line[1:], "Y")
			x, errX := strconv.Atoi(xs)
			y, errY := strconv.Atoi(ys)
			if !ok || errX != nil || errY != nil || bit == "" || header {
				return nil, bad("no hit")
			}
			hits = append(hits, fixedHit{x, y, bit})
		default:
			return nil, bad("unknown")
		}
	}
	if !ended {
		return nil, fmt.Errorf("no end")
	}
	return hits, nil
}

// stockBit is the bit a size should get from the default crib: the finished
// size and the usual allowance, then the nearest of the series, the larger of
// two for plated holes. Slots get slot bits where the series has one.
func stockBit(s tooling.Size, slot bool) string {
	target := float64(s.Diameter * 1000)
	if s.Basis == tooling.Finished && s.Plated {
		target += 150
		if s.Class == tooling.Via {
			target -= 50
		}
	}
	step, from := 50.0, 100.0
	if target > 3250 && !slot {
		step, from = 100, 3300
	}
	k := (target - from) / step
	near := math.Floor(k + 0.5)
	if !s.Plated && k-math.Floor(k) == 0.5 {
		near = math.Floor(k)
	}
	return fmt.Sprintf("%.3f", (from+near*step)/1000)
}

// compareFixed tells what is wrong with the hits of a stage.
func compareFixed(in drill.Input, stage tooling.Stage, hits []fixedHit) []string {
	var wrong []string
	type spot struct{ x, y int }
	at := map[spot][]fixedHit{}
	for _, h := range hits {
		at[spot{h.x, h.y}] = append(at[spot{h.x, h.y}], h)
	}
	routed := in.Routed()
	used := 0
	micro := func(v float64) int { return int(math.Round(v * 1000)) }
	for i, h := range in.Holes {
		if slices.Contains(routed, i) {
			continue
		}
		bit := stockBit(h.Size, h.IsSlot())
		wide, _ := strconv.ParseFloat(bit, 64)
		if !h.IsSlot() {
			own, pilots := 0, 0
			for _, g := range at[spot{micro(h.At[0]), micro(h.At[1])}] {
				if g.bit == bit {
					own++
				} else {
					pilots++
				}
			}
			want, first := 0, 0
			if h.Stage() == stage {
				want = 1
				if wide >= 4 {
					first = 1
				}
			}
			if own != want || pilots != first {
				wrong = append(wrong, fmt.Sprintf("hole %d: %d hits with %s and %d others, expected %d and %d", i, own, bit, pilots, want, first))
			}
			used += own + pilots
			continue
		}
		// A slot: its own hits on the line, ends included, the rest of those near it
		// are pilots beyond the ends.
		l := h.Length()
		var along []float64
		pilots := 0
		for _, g := range hits {
			x, y := float64(g.x)/1000-h.At[0], float64(g.y)/1000-h.At[1]
			ux, uy := (h.To[0]-h.At[0])/l, (h.To[1]-h.At[1])/l
			a, off := x*ux+y*uy, math.Abs(x*uy-y*ux)
			switch {
			case off > 0.0011 || a < -wide/2 || a > l+wide/2:
			case g.bit == bit && a > -0.0011 && a < l+0.0011:
				along = append(along, a)
			case g.bit != bit && (a < 0 || a > l):
				pilots++
			}
		}
		used += len(along) + pilots
		if h.Stage() != stage {
			if len(along) > 0 {
				wrong = append(wrong, fmt.Sprintf("slot %d: hit in the wrong stage", i))
			}
			continue
		}
		slices.Sort(along)
		first := 0
		if l < wide {
			first = 2
		}
		bad := len(along) < 2 || pilots != first || along[0] > 0.0011 || along[len(along)-1] < l-0.0011
		for k := 1; k < len(along) && !bad; k++ {
			gap := along[k] - along[k-1]
			// Bump of 12.7 um: (D - sqrt(D^2 - p^2))/2, and a little for the grid.
			bad = gap < 0.001 || (wide-math.Sqrt(wide*wide-gap*gap))/2 > 0.0127+0.0002
		}
		if bad {
			wrong = append(wrong, fmt.Sprintf("slot %d: hits at %v, %d pilots", i, along, pilots))
		}
	}
	if used != len(hits) {
		wrong = append(wrong, fmt.Sprintf("%d hits of which %d have a hole", len(hits), used))
	}
	return wrong
}

func TestSecondReaderFindsTheSameHoles(t *testing.T) {
	in := small()
	compare := func(in drill.Input, passes []drill.Pass) {
		for _, p := range passes {
			text := textOf(t, p, nc.WriteOptions{Zeros: nc.TrailingZeros})
			hits, err := readFixed(text)
			require.NoError(t, err)
			require.Len(t, hits, p.Hits())
			require.Empty(t, compareFixed(in, p.Stage, hits))
		}
	}
	compare(in, mountAll(t, in, 24))
	for _, name := range planned() {
		compare(mountedSample(t, name))
	}
}

// The second reader is no rubber stamp.
func TestSecondReaderNoticesFaults(t *testing.T) {
	in := small()
	p := mountAll(t, in, 24)[0]
	text := textOf(t, p, nc.WriteOptions{Zeros: nc.TrailingZeros})
	hits, err := readFixed(text)
	require.NoError(t, err)
	for k := range hits {
		for what, change := range map[string]func([]fixedHit) []fixedHit{
			"lost":    func(h []fixedHit) []fixedHit { return slices.Delete(h, k, k+1) },
			"doubled": func(h []fixedHit) []fixedHit { return slices.Insert(h, k, h[k]) },
			"moved": func(h []fixedHit) []fixedHit {
				h[k].x += 20
				h[k].y -= 13
				return h
			},
			"wrong bit": func(h []fixedHit) []fixedHit {
				h[k].bit = "0.350"
				return h
			},
		} {
			if pilot := hits[k].bit == "0.650" || hits[k].bit == "1.500"; what == "wrong bit" && pilot {
				continue // any smaller bit makes a pilot
			}
			require.NotEmpty(t, compareFixed(in, p.Stage, change(slices.Clone(hits))), "hit %d (%v) %s", k, hits[k], what)
		}
	}
	for _, bad := range []string{"", "M48\n%\nX1Y1\nM30\n", "M48\nT1C0.400\n%\nT2\nM30\n", "M48\nT1C0.400\n%\nT1\nX1.0Y1\nM30\n", "M48\n%\nM30\nG05\n", "M48\n%\nG85\nM30\n", "M48\nT1\n%\nM30\n"} {
		_, err := readFixed(bad)
		require.Error(t, err, "%q", bad)
	}
}

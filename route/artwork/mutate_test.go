package artwork_test

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

// bare is what a stroke draws, without its place in the file.
func bare(l *artwork.Layer) []artwork.Stroke {
	out := slices.Clone(l.Strokes)
	for i := range out {
		out[i].Line, out[i].Column = 0, 0
	}
	return out
}

// subject is a file whose strokes each have their own start and end.
func subject(rng *rand.Rand) (lines []string) {
	lines = []string{"%FSLAX46Y46*%", "%MOMM*%", "%LPD*%", "%ADD10C,0.100000*%", "%ADD11C,0.250000*%", "G75*", "G01*", "D10*"}
	for range 12 {
		x, y := 1_000_000+rng.IntN(89_000_000), 1_000_000+rng.IntN(89_000_000)
		lines = append(lines, fmt.Sprintf("X%dY%dD02*", x, y))
		if rng.IntN(3) == 0 {
			r := 1_000_000 + rng.IntN(9_000_000)
			lines = append(lines, "G03*", fmt.Sprintf("X%dY%dI%dJ0D01*", x-2*r, y, -r), "G01*")
		} else {
			lines = append(lines, fmt.Sprintf("X%dY%dD01*", 1_000_000+rng.IntN(89_000_000), 1_000_000+rng.IntN(89_000_000)))
		}
	}
	return append(lines, "M02*")
}

// Changes of form change no stroke.
func TestFormChangesNothing(t *testing.T) {
	for seed := range uint64(2000) {
		rng := rand.New(rand.NewPCG(seed, 3))
		lines := subject(rng)
		src := strings.Join(lines, "\n")
		want, err := artwork.Read([]byte(src), "a", artwork.Options{})
		require.NoError(t, err)
		var b strings.Builder
		for _, l := range lines {
			switch rng.IntN(10) {
			case 0:
				b.WriteString("G04 greenhouse-sensor 50% \xe9*\n")
			case 1:
				b.WriteString("%TO.N,x*%")
			case 2:
				b.WriteString("**\r\n")
			case 3:
				if strings.HasPrefix(l, "D1") {
					l = "G54" + l
				}
			case 4:
				l = strings.ReplaceAll(strings.ReplaceAll(l, "D01*", "D1*"), "D02*", "D002 *")
			case 5:
				l = strings.Replace(strings.Replace(l, "X", "X0", 1), "Y", "Y+0", 1)
				if strings.HasPrefix(l, "%") || strings.Contains(l, "-") || strings.Contains(l, "++") {
					l = strings.Replace(strings.Replace(l, "X0", "X", 1), "Y+0", "Y", 1)
				}
			case 6:
				at := rng.IntN(len(l) + 1)
				l = l[:at] + "\r\n" + l[at:]
			}
			b.WriteString(l + []string{"\n", "\r\n", "", "\r", " \n"}[rng.IntN(5)])
		}
		got, err := artwork.Read([]byte(b.String()), "a", artwork.Options{})
		require.NoError(t, err, "seed %d\n%s", seed, b.String())
		require.Equal(t, bare(want), bare(got), "seed %d\n%s", seed, b.String())
	}
}

// Damage to the structure of a file never changes a stroke in silence: the strokes
// are the same, or a finding or a typed error tells.
func TestDamageIsToldOf(t *testing.T) {
	runs := 12_000
	if testing.Short() {
		runs = 2000
	}
	same, told, refused := 0, 0, 0
	for seed := range uint64(runs) {
		rng := rand.New(rand.NewPCG(seed, 5))
		src := strings.Join(subject(rng), "\n")
		want, err := artwork.Read([]byte(src), "a", artwork.Options{})
		require.NoError(t, err)
		require.Empty(t, want.Report)
		var places []int // of letters and signs; digits are content
		for i, c := range []byte(src) {
			if (c >= 'A' && c <= 'Z' || c == '*' || c == '%') && !(c == 'D' && strings.HasPrefix(src[i:], "D0")) {
				places = append(places, i)
			}
		}
		at := places[rng.IntN(len(places))]
		bad := src[:at] + src[at+1:]
		if rng.IntN(2) == 0 {
			const others = "ABCDEFGHIJKLMNOPQRSTUVWXYZ*%#?\x00"
			bad = src[:at] + string(others[rng.IntN(len(others))]) + src[at+1:]
		}
		got, err := artwork.Read([]byte(bad), "a", artwork.Options{})
		if err != nil {
			var e *artwork.ReadError
			require.True(t, errors.As(err, &e), "seed %d: %v", seed, err)
			require.Positive(t, e.Source.Line)
			require.Positive(t, e.Source.Column)
			refused++
			continue
		}
		if slices.Equal(bare(want), bare(got)) {
			same++
			continue
		}
		require.NotEmpty(t, got.Report, "seed %d: byte %d of\n%s", seed, at, bad)
		told++
	}
	t.Logf("%d mutants: %d the same strokes, %d with a finding, %d refused", runs, same, told, refused)
	require.Positive(t, same)
	require.Positive(t, told)
	require.Greater(t, refused, runs/4)
}

// A changed digit of a coordinate changes that stroke and no other, is told of, or is refused.
func TestContentChangesItsStroke(t *testing.T) {
	runs := 6000
	if testing.Short() {
		runs = 1000
	}
	changed := 0
	for seed := range uint64(runs) {
		rng := rand.New(rand.NewPCG(seed, 9))
		lines := subject(rng)
		want, err := artwork.Read([]byte(strings.Join(lines, "\n")), "a", artwork.Options{})
		require.NoError(t, err)
		k := 8 + rng.IntN(len(lines)-9)
		l := lines[k]
		var places []int
		for i, c := range []byte(l) {
			if c >= '0' && c <= '9' && i < strings.IndexByte(l+"D", 'D') && l[0] == 'X' {
				places = append(places, i)
			}
		}
		if len(places) == 0 {
			continue
		}
		at := places[rng.IntN(len(places))]
		digit := byte('0' + rng.IntN(10))
		if digit == l[at] {
			continue
		}
		lines[k] = l[:at] + string(digit) + l[at+1:]
		mine := -1 // the stroke that the line belongs to
		for _, line := range lines[:k+1] {
			if strings.HasSuffix(line, "D02*") {
				mine++
			}
		}
		got, err := artwork.Read([]byte(strings.Join(lines, "\n")), "a", artwork.Options{})
		if err != nil {
			require.ErrorIs(t, err, artwork.ErrArc, "seed %d", seed)
			continue
		}
		a, b := bare(want), bare(got)
		require.Len(t, b, len(a))
		for i := range a {
			if i != mine {
				require.Equal(t, a[i], b[i], "seed %d", seed)
			} else if len(got.Report) == 0 { // a centre may be moved back, with a finding
				require.NotEqual(t, a[i], b[i], "seed %d: line %q", seed, lines[k])
			}
		}
		changed++
	}
	require.Greater(t, changed, runs/4)
}

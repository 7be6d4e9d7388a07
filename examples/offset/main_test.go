package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/contour"
)

var update = flag.Bool("update", false, "write golden files")

// timeless runs the program and replaces what hangs on the clock.
func timeless(t *testing.T, args ...string) (string, int) {
	t.Helper()
	var out, errs bytes.Buffer
	status := run(args, &out, &errs)
	require.Empty(t, errs.String())
	var lines []string
	for line := range strings.Lines(out.String()) {
		if at := strings.Index(line, `,"seconds":`); at >= 0 {
			line = line[:at] + "}\n"
		}
		lines = append(lines, line)
	}
	return strings.Join(lines, ""), status
}

func TestGolden(t *testing.T) {
	for name, args := range map[string][]string{
		"outside.json": {"-json", "-cutter", "2.4"},
		"inside.json":  {"-json", "-cutter", "2.4", "-side", "inside"},
		"outside.txt":  {"-cutter", "2.4"},
	} {
		t.Run(name, func(t *testing.T) {
			got, status := timeless(t, append(args, "testdata/boards.wkt")...)
			assert.Equal(t, 1, status, "some lines are no regions")
			for line := range strings.Lines(got) {
				assert.Equal(t, args[0] == "-json", strings.HasPrefix(line, `{"schema":1,`), "the first key tells the form: %s", line)
			}
			file := filepath.Join("testdata", name)
			if *update {
				require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
			}
			want, err := os.ReadFile(file)
			require.NoError(t, err)
			if d := cmp.Diff(string(want), got); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
}

// What is printed must itself be a path at the cutter's radius, arcs that fit
// their ends and moves that share them.
func TestPrintedPath(t *testing.T) {
	var ring []string
	const n = 400
	for i := range n + 1 {
		s, c := math.Sincos(2 * math.Pi * float64(i%n) / n)
		ring = append(ring, fmt.Sprintf("%.3f %.3f", 40+20*c, 30+(12+2*math.Sin(6*math.Pi*float64(i%n)/n))*s))
	}
	file := filepath.Join(t.TempDir(), "board.wkt")
	require.NoError(t, os.WriteFile(file, []byte("egg\tPOLYGON(("+strings.Join(ring, ",")+"))\n"), 0o644))
	for _, fit := range []float64{0, 0.002} {
		out, status := timeless(t, "-json", "-cutter", "1.6", "-fit", fmt.Sprint(fit), file)
		require.Zero(t, status)
		var r struct {
			Paths []struct {
				Closed bool
				Start  [2]float64
				Moves  []struct {
					Line      *[2]float64
					Arc       *[4]float64
					Clockwise bool
				}
			}
			Check struct {
				MinClearance float64 `json:"min_clearance_mm"`
				Gouge        float64 `json:"gouge_mm"`
				Uncut        float64 `json:"uncut_mm"`
			}
		}
		require.NoError(t, json.Unmarshal([]byte(out), &r))
		require.Len(t, r.Paths, 1)
		c := contour.Contour{Start: r.Paths[0].Start}
		for _, m := range r.Paths[0].Moves {
			switch {
			case m.Line != nil:
				c.Moves = append(c.Moves, contour.Move{To: *m.Line})
			case m.Clockwise:
				c.Moves = append(c.Moves, contour.Move{To: [2]float64(m.Arc[:2]), Center: [2]float64(m.Arc[2:]), Turn: -1})
			default:
				c.Moves = append(c.Moves, contour.Move{To: [2]float64(m.Arc[:2]), Center: [2]float64(m.Arc[2:]), Turn: 1})
			}
		}
		require.True(t, c.Closed())
		require.NoError(t, c.Validate())
		assert.InDelta(t, 0.8, r.Check.MinClearance, 1e-5+fit, "from the chords as they were given")
		assert.Less(t, r.Check.Gouge, 1e-5+fit)
		assert.Zero(t, r.Check.Uncut)
	}
}

// The check finds what is wrong with a path that it did not make.
func TestMeasure(t *testing.T) {
	square := []contour.Contour{contour.FromRing(orb.Ring{{0, 0}, {30, 0}, {30, 20}, {0, 20}})}
	o, err := contour.Offset(square, 1.2)
	require.NoError(t, err)
	of := func(paths ...contour.Contour) check {
		return ruling{given: square, source: square, paths: paths, r: 1.2}.measure(nil, nil)
	}
	good := of(o.Loops...)
	assert.InDelta(t, 1.2, float64(*good.MinClearance), 1e-9)
	assert.Zero(t, good.Uncut)

	shifted := of(o.Loops[0].Translate(0.1, 0))
	assert.InDelta(t, 0.1, float64(shifted.Gouge), 1e-9)
	assert.Greater(t, float64(shifted.Uncut), 15.0)

	lost := of()
	assert.Nil(t, lost.MinClearance)
	assert.InDelta(t, 100, float64(lost.Uncut), 0.2)

	within, err := contour.Offset(square, -1.2)
	require.NoError(t, err)
	wrong := of(within.Loops...)
	assert.InDelta(t, -1.2, float64(*wrong.MinClearance), 1e-9, "the path runs through the material")
	assert.InDelta(t, 2.4, float64(wrong.Gouge), 1e-9)

	// An arc that bulges into the edge between its ends.
	bulge := of(contour.Contour{Start: orb.Point{5, -2}, Moves: []contour.Move{{To: orb.Point{8, -2}, Center: orb.Point{6.5, -2}, Turn: -1}}})
	assert.InDelta(t, 0.5, float64(*bulge.MinClearance), 1e-6)
	assert.InDelta(t, 0.7, float64(bulge.Gouge), 1e-6)
}

func TestUsage(t *testing.T) {
	for _, args := range [][]string{
		{}, {"-cutter", "2"}, {"-cutter", "0", "x"}, {"-cutter", "NaN", "x"}, {"-cutter", "2", "-side", "left", "x"},
		{"-cutter", "2", "-fit", "-1", "x"}, {"-nonsense"},
	} {
		var errs bytes.Buffer
		assert.Equal(t, 2, run(args, io.Discard, &errs), "%v", args)
		assert.NotEmpty(t, errs.String())
	}
	var errs bytes.Buffer
	assert.Equal(t, 1, run([]string{"-cutter", "2", "no such file"}, io.Discard, &errs))
	assert.Contains(t, errs.String(), "no such file")
}

func TestSeconds(t *testing.T) {
	s := settings{cutter: 2, side: "outside"}
	at := time.Unix(0, 0)
	s.now = func() time.Time { at = at.Add(time.Second); return at }
	r, err := s.offset("x", "POLYGON((0 0,1 0,1 1,0 0))")
	require.NoError(t, err)
	assert.Equal(t, fixed(1), r.Seconds)
}

//go:build shared

package nc_test

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// reading is an independent reading of a published drill file, made by others
// and kept beside the files.
type reading struct {
	File         string     `json:"file"`
	Units        string     `json:"units"`
	ReadAs       string     `json:"read_as"`
	IntDec       []int      `json:"int_dec"`
	Hits         int        `json:"hits"`
	Slots        int        `json:"slots"`
	SlotsG85     int        `json:"slots_g85"`
	RoutSegments int        `json:"rout_segments"`
	Box          [4]float64 `json:"bbox_mm"`
	SumX         float64    `json:"sum_x_mm"`
	SumY         float64    `json:"sum_y_mm"`
	Tools        []struct {
		Tool         int        `json:"tool"`
		Diameter     float64    `json:"diameter_mm"`
		Plated       *string    `json:"plated"`
		Hits         int        `json:"hits"`
		SlotsG85     int        `json:"slots_g85"`
		RoutSegments int        `json:"rout_segments"`
		Box          [4]float64 `json:"bbox_mm"`
		SumX         float64    `json:"sum_x_mm"`
		SumY         float64    `json:"sum_y_mm"`
	} `json:"tools"`
}

// sharedDir returns the folder of the published boards; a missing one fails.
func sharedDir(t *testing.T) string {
	t.Helper()
	root := os.Getenv("PINSTACK_SHARED")
	require.NotEmpty(t, root, "PINSTACK_SHARED must name the folder of the shared inputs")
	return filepath.Join(root, "boards")
}

// tally sums what one tool makes.
type tally struct {
	hits, slots, segments int
	sumX, sumY            float64
	box                   orb.Bound
	any                   bool
}

func (ta *tally) add(p orb.Point) {
	if !ta.any {
		ta.box, ta.any = orb.Bound{Min: p, Max: p}, true
	}
	ta.box = ta.box.Extend(p)
}

func (ta *tally) op(op nc.Op) {
	switch op.Kind {
	case nc.OpHit:
		ta.hits++
		ta.sumX += op.To[0]
		ta.sumY += op.To[1]
		ta.add(op.To)
	case nc.OpSlot, nc.OpLine, nc.OpArc:
		if op.Kind == nc.OpSlot {
			ta.slots++
		} else {
			ta.segments++
		}
		ta.add(op.From)
		ta.add(op.To)
	}
}

// TestPublishedBoards compares every published board with the independent
// reading kept beside it.
func TestPublishedBoards(t *testing.T) {
	dir := sharedDir(t)
	raw, err := os.ReadFile(filepath.Join(dir, "readings.json"))
	require.NoError(t, err)
	var readings []reading
	require.NoError(t, json.Unmarshal(raw, &readings))
	require.Len(t, readings, 14)
	const um = 0.001
	near := func(t *testing.T, want, got, tol float64, what string) {
		t.Helper()
		if math.Abs(want-got) > tol {
			t.Errorf("%s: got %.6f, want %.6f", what, got, want)
		}
	}
	boxes := func(t *testing.T, want [4]float64, got orb.Bound, what string) {
		t.Helper()
		for i, v := range [4]float64{got.Min[0], got.Min[1], got.Max[0], got.Max[1]} {
			near(t, want[i], v, um/2, what)
		}
	}
	for _, want := range readings {
		t.Run(want.File, func(t *testing.T) {
			src, err := os.ReadFile(filepath.Join(dir, want.File))
			require.NoError(t, err)
			p, err := nc.Parse(src, nc.ReadOptions{File: want.File})
			require.NoError(t, err)
			for _, n := range p.Notes {
				t.Logf("%+v", n)
			}
			assert.Equal(t, want.Units, p.Units.String())
			assert.Equal(t, want.ReadAs, p.Zeros.String())
			if len(want.IntDec) == 2 {
				assert.Equal(t, nc.Digits{Int: want.IntDec[0], Dec: want.IntDec[1]}, p.Digits)
			}
			var all tally
			byTool := map[int]*tally{}
			for op, err := range p.Ops() {
				require.NoError(t, err)
				if byTool[op.Tool] == nil {
					byTool[op.Tool] = &tally{}
				}
				all.op(op)
				byTool[op.Tool].op(op)
			}
			assert.Equal(t, want.Hits, all.hits, "hits")
			assert.Equal(t, want.SlotsG85, all.slots, "slots")
			assert.Equal(t, want.RoutSegments, all.segments, "rout segments")
			near(t, want.SumX, all.sumX, 1e-4, "sum of x")
			near(t, want.SumY, all.sumY, 1e-4, "sum of y")
			boxes(t, want.Box, all.box, "box")
			assert.Len(t, p.Tools, len(want.Tools))
			for _, wt := range want.Tools {
				def := p.Tool(wt.Tool)
				if !assert.NotNil(t, def, "T%d", wt.Tool) {
					continue
				}
				near(t, wt.Diameter, def.Diameter, 1e-9, "diameter")
				if wt.Plated != nil {
					assert.Equal(t, map[string]string{"P": "plated", "N": "unplated"}[*wt.Plated], def.Marking)
				}
				got := byTool[wt.Tool]
				if got == nil {
					got = &tally{}
				}
				assert.Equal(t, wt.Hits, got.hits)
				assert.Equal(t, wt.SlotsG85, got.slots)
				assert.Equal(t, wt.RoutSegments, got.segments)
				near(t, wt.SumX, got.sumX, 1e-4, "sum of x of a tool")
				near(t, wt.SumY, got.sumY, 1e-4, "sum of y of a tool")
				if got.any {
					boxes(t, wt.Box, got.box, "box of a tool")
				}
			}
			var out bytes.Buffer
			n, err := p.WriteTo(&out)
			require.NoError(t, err)
			assert.Equal(t, int64(len(src)), n)
			assert.True(t, bytes.Equal(src, out.Bytes()), "round trip")
		})
	}
}

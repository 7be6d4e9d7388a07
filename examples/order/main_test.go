package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

const d493 = "../../testdata/published/d493.tsp"

func TestLineHasTheKeys(t *testing.T) {
	var out bytes.Buffer
	order := filepath.Join(t.TempDir(), "order")
	require.NoError(t, run(context.Background(), []string{"-json", "-kicks", "2", "-bound", "-procs", "1", "-seed", "3", "-tour", order, d493}, &out))
	var got map[string]any
	require.NoError(t, json.Unmarshal(out.Bytes(), &got))
	var keys []string
	for k := range got {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	require.Equal(t, []string{"bound", "gap", "kicks", "length", "metric", "name", "points", "schema", "seconds", "wall"}, keys)
	require.True(t, strings.HasPrefix(out.String(), `{"schema":1,`), "the first key tells the form")
	require.Equal(t, "d493", got["name"])
	require.EqualValues(t, 493, got["points"])
	require.Equal(t, "tsplib", got["metric"])
	length, bound := got["length"].(float64), got["bound"].(float64)
	require.GreaterOrEqual(t, length, 35002.0, "below the proven optimum")
	require.Less(t, length, 35002*1.02)
	require.LessOrEqual(t, bound, 35002.0)
	require.InDelta(t, length/bound-1, got["gap"].(float64), 1e-12)

	src, err := os.ReadFile(order)
	require.NoError(t, err)
	var seen []int
	for _, w := range strings.Fields(string(src)) {
		i, err := strconv.Atoi(w)
		require.NoError(t, err)
		seen = append(seen, i)
	}
	slices.Sort(seen)
	require.Len(t, seen, 493)
	require.Equal(t, 1, seen[0])
	require.Equal(t, 493, seen[492])
	require.Len(t, slices.Compact(seen), 493)
}

func TestWeights(t *testing.T) {
	const square = "NAME: square\nTYPE: TSP\nDIMENSION: 4\nEDGE_WEIGHT_TYPE: %\nNODE_COORD_SECTION\n1 0 0\n2 0 1.4\n3 1.4 1.4\n4 1.4 0\nEOF\n"
	for _, c := range []struct {
		edges, metric string
		want          float64
	}{
		{"EUC_2D", "", 4},         // 1.4 rounds to 1
		{"CEIL_2D", "", 8},        // and up to 2
		{"MAX_2D", "tsplib", 4},   // both legs round first
		{"EUC_2D", "euclid", 5.6}, // no rounding
	} {
		file := filepath.Join(t.TempDir(), "square.tsp")
		require.NoError(t, os.WriteFile(file, []byte(strings.Replace(square, "%", c.edges, 1)), 0o600))
		var out bytes.Buffer
		require.NoError(t, run(context.Background(), []string{"-json", "-metric", c.metric, file}, &out))
		var l line
		require.NoError(t, json.Unmarshal(out.Bytes(), &l))
		require.InDelta(t, c.want, l.Length, 1e-6, c.edges+c.metric)
		require.Equal(t, l.Length, l.Bound, "four points are solved exactly")
	}
}

func TestDrillProgram(t *testing.T) {
	const program = "M48\nMETRIC,TZ\nT1C0.8\nT2C1.0\n%\nT1\nX10.0Y10.0\nX20.0Y10.0\nX15.0Y10.0\nT2\nX5.0Y5.0G85X8.0Y5.0\nM30\n"
	file := filepath.Join(t.TempDir(), "tide-gauge.drl")
	require.NoError(t, os.WriteFile(file, []byte(program), 0o600))
	var out bytes.Buffer
	require.NoError(t, run(context.Background(), []string{"-json", file}, &out))
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	require.Len(t, lines, 2)
	var first, second line
	require.NoError(t, json.Unmarshal([]byte(lines[0]), &first))
	require.NoError(t, json.Unmarshal([]byte(lines[1]), &second))
	require.Equal(t, "tide-gauge.drl T1", first.Name)
	require.Equal(t, 3, first.Points)
	require.Equal(t, "machine", first.Metric)
	require.Equal(t, 1, second.Points)
	require.Greater(t, second.Length, 0.0)
	require.ErrorContains(t, run(context.Background(), []string{"-metric", "tsplib", file}, &out), "needs a .tsp file")
}

func TestRefused(t *testing.T) {
	head := "NAME: x\nTYPE: TSP\nDIMENSION: 2\nEDGE_WEIGHT_TYPE: EUC_2D\nNODE_COORD_SECTION\n"
	for _, c := range []struct {
		name, src, want string
	}{
		{"type", "TYPE: ATSP\n", `x.tsp:1: TYPE is "ATSP", expected TSP`},
		{"weights", "EDGE_WEIGHT_TYPE: GEO\n", "expected EUC_2D, CEIL_2D or MAX_2D"},
		{"dimension", "DIMENSION: -4\n", "DIMENSION is"},
		{"huge", "DIMENSION: 99999999999\n", "DIMENSION is"},
		{"early", "EDGE_WEIGHT_TYPE: EUC_2D\nNODE_COORD_SECTION\n", "before DIMENSION"},
		{"number", head + "1 0 x\n", "x.tsp:6"},
		{"infinite", head + "1 0 1e999\n", "x.tsp:6"},
		{"nan", head + "1 nan 0\n", "not finite"},
		{"surplus", head + "1 0 0 0\n", "after the coordinates"},
		{"range", head + "3 0 0\n", "node 3, expected 1 to 2"},
		{"twice", head + "1 0 0\n1 0 0\n", "node 1 a second time"},
		{"second dimension", head + "DIMENSION: 5\nNODE_COORD_SECTION\n3 0 0\n", "node 3, expected 1 to 2"},
		{"missing", head + "1 0 0\nEOF\n", "node 2 is missing"},
		{"no weights", "DIMENSION: 0\nNODE_COORD_SECTION\n", "no EDGE_WEIGHT_TYPE"},
		{"no nodes", "DIMENSION: 0\nEDGE_WEIGHT_TYPE: EUC_2D\n", "no NODE_COORD_SECTION"},
		{"keyword", "FOO: 1\n", "expected a keyword"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := readTSP(strings.NewReader(c.src), "x.tsp")
			require.ErrorContains(t, err, c.want)
		})
	}
	var out bytes.Buffer
	require.Error(t, run(context.Background(), nil, &out))
	require.ErrorContains(t, run(context.Background(), []string{"-metric", "x", d493}, &out), "-metric")
	require.Error(t, run(context.Background(), []string{"no-such-file.tsp"}, &out))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	require.ErrorIs(t, run(ctx, []string{d493}, &out), context.Canceled)
}

func FuzzReadTSP(f *testing.F) {
	f.Add("NAME: x\nTYPE: TSP\nDIMENSION: 2\nEDGE_WEIGHT_TYPE: EUC_2D\nNODE_COORD_SECTION\n1 0 0\n2 1e3 -4.5\nEOF\n")
	f.Add("DIMENSION: 1\nEDGE_WEIGHT_TYPE: MAX_2D\nNODE_COORD_SECTION\n1 0 0")
	f.Fuzz(func(t *testing.T, src string) {
		in, err := readTSP(strings.NewReader(src), "x.tsp")
		if err == nil && in.edges == "" {
			t.Fatal("accepted without a metric")
		}
	})
}

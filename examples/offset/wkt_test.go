package main

import (
	"bytes"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPolygons(t *testing.T) {
	square := orb.Polygon{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}
	for name, tt := range map[string]struct {
		text string
		want orb.MultiPolygon
	}{
		"plain":            {"POLYGON((0 0,1 0,1 1,0 0))", orb.MultiPolygon{square}},
		"spaces":           {"  POLYGON ( ( 0  0 , 1 0,1 1 ,0 0 ) )  ", orb.MultiPolygon{square}},
		"lower case":       {"polygon((0 0,1 0,1 1,0 0))", orb.MultiPolygon{square}},
		"exponents":        {"Polygon((0e3 -0.0,1.0E+0 0,10e-1 1,.0 0.))", orb.MultiPolygon{square}},
		"heights":          {"POLYGON Z ((0 0 5,1 0 5,1 1 5,0 0 5))", orb.MultiPolygon{square}},
		"joined tag":       {"POLYGONZM((0 0 5 1,1 0 5 1,1 1 5 1,0 0 5 1))", orb.MultiPolygon{square}},
		"untagged heights": {"POLYGON((0 0 5,1 0 5,1 1 5,0 0 5))", orb.MultiPolygon{square}},
		"multi":            {"MULTIPOLYGON(((0 0,1 0,1 1,0 0)),EMPTY,((0 0,1 0,1 1,0 0)))", orb.MultiPolygon{square, square}},
		"empty":            {"POLYGON EMPTY", nil},
		"empty multi":      {"multipolygon z empty", nil},
	} {
		t.Run(name, func(t *testing.T) {
			got, err := polygons(tt.text)
			require.NoError(t, err)
			if d := cmp.Diff(tt.want, got); d != "" {
				t.Errorf("(-want +got)\n%s", d)
			}
		})
	}
	for text, want := range map[string]string{
		"":                                       "column 1, want POLYGON",
		"POINT(1 2)":                             `"POINT" at column 1`,
		"POLYGON":                                "the end at column 8, want (",
		"POLYGON X((0 0,1 0,1 1,0 0))":           `"X" at column 9`,
		"POLYGON Z X((0 0 5,1 0 5,1 1 5,0 0 5))": `at column 11, want (`,
		"POLYGON Z M EMPTY":                      `"M EMPTY" at column 11, want (`,
		"POLYGON((0 0,1 0,1 1,0 0)":              "want , or )",
		"POLYGON((0 0,1 0,1 1,0 0)))":            "want the end of the line",
		"POLYGON((0 0,1 zero,1 1,0 0))":          "column 16, want a number",
		"POLYGON((0 0,1,1 1,0 0))":               "column 15, want a number",
		"POLYGON((0 0,nan 0,1 1,0 0))":           "want a number",
		"POLYGON((0 0,1e999 0,1 1,0 0))":         "want a number",
		"POLYGON((0 0 1,1 0,1 1 1,0 0 1))":       "want 3 numbers a point",
		"POLYGON((0 0,1 0 1,1 1,0 0))":           "want , or )",
		"POLYGON((1 2 3 4 5,1 0 1,1 1,0 0))":     "want , or )",
		"POLYGON Z((0 0,1 0,1 1,0 0))":           "want 3 numbers a point",
		"POLYGON(0 0,1 0,1 1,0 0)":               "want (",
		"SRID=1;POLYGON((0 0,1 0,1 1,0 0))":      `"SRID"`,
		"POLYGON((0x10 0,1 0,1 1,0 0))":          "want",
		"POLYGON((" + strings.Repeat("1", 500):   "want a number",
	} {
		_, err := polygons(text)
		assert.ErrorIs(t, err, errWKT, "%.40q", text)
		assert.ErrorContains(t, err, want, "%.40q", text)
	}
}

// FuzzPolygons: no text makes it panic, and what it reads is finite.
func FuzzPolygons(f *testing.F) {
	f.Add("POLYGON((0 0,1 0,1 1,0 0))")
	f.Add("multipolygon zm (((0 0 1 2,1 0 1 2,1 1 1 2,0 0 1 2)),EMPTY)")
	f.Fuzz(func(t *testing.T, text string) {
		ps, err := polygons(text)
		if err != nil {
			require.ErrorIs(t, err, errWKT)
			return
		}
		for _, p := range ps {
			for _, r := range p {
				for _, q := range r {
					require.False(t, math.IsNaN(q[0]-q[0]) || math.IsNaN(q[1]-q[1]))
				}
			}
		}
	})
}

// Every line gets its own line of output, whatever is wrong with the others.
func TestLines(t *testing.T) {
	file := filepath.Join(t.TempDir(), "lines.wkt")
	text := "\ufeffPOLYGON((0 0,9 0,9 9,0 0))\r\n\r\n   \nb\tPOLYGON((0 0,9 0,9 9,0 0))\r\nbow\tPOLYGON((0 0,9 9,9 0,0 9,0 0))\n" +
		"open\tPOLYGON((0 0,9 0,9 9))\nempty\tPOLYGON EMPTY\nfar\tPOLYGON((0 0,1e300 0,9 9,0 0))\n\t\nlast\tmultipolygon(((0 0 1,9 0 1,9 9 1,0 0 1)))"
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	var out, errs bytes.Buffer
	assert.Equal(t, 1, run([]string{"-json", "-cutter", "2", file}, &out, &errs))
	assert.Empty(t, errs.String())
	var got []string
	for line := range strings.Lines(out.String()) {
		name := strings.Split(line, `"`)[5]
		kind := "done"
		if strings.Contains(line, `"error"`) {
			kind = "error"
		}
		got = append(got, filepath.Base(name)+" "+kind)
	}
	want := []string{"lines.wkt:1 done", "b done", "bow error", "open error", "empty error", "far error", "done", "last done"}
	want[6] = ". error"
	assert.Equal(t, want, got)
}

// Rings may touch anywhere: which one lies inside which is asked at a place where
// they do not.
func TestNesting(t *testing.T) {
	for name, tt := range map[string]struct{ text, fault string }{
		"hole at a shell's middle":  {"POLYGON((0 0,20 0,20 20,0 20,0 0),(10 0,8 2,10 4,12 2,10 0))", ""},
		"hole at its own middle":    {"POLYGON((0 0,20 0,10 20,0 0),(10 2,12 2,12 6,8 6,8 2,10 2))", ""},
		"sliver":                    {"POLYGON((0 0,30 0,30 0.000001,0 0))", ""},
		"shells that touch":         {"MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0)),((9 9,18 9,18 18,9 18,9 9)))", ""},
		"board in a cut-out":        {"MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1)),((3 3,5 3,5 5,3 5,3 3)))", ""},
		"hole outside":              {"POLYGON((0 0,9 0,9 9,0 9,0 0),(11 1,18 1,18 8,11 8,11 1))", "hole"},
		"hole in a hole":            {"POLYGON((0 0,9 0,9 9,0 9,0 0),(1 1,8 1,8 8,1 8,1 1),(3 3,5 3,5 5,3 5,3 3))", "hole"},
		"shell in a shell":          {"MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0)),((3 3,5 3,5 5,3 5,3 3)))", "shell"},
		"shells that share an edge": {"MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0)),((9 0,18 0,18 9,9 9,9 0)))", "meets"},
		"hole along the shell":      {"POLYGON((0 0,9 0,9 9,0 9,0 0),(2 0,2 2,4 2,4 0,2 0))", "meets"},
		"hole of another shell":     {"MULTIPOLYGON(((0 0,9 0,9 9,0 9,0 0),(21 1,28 1,28 8,21 8,21 1)),((20 0,29 0,29 9,20 9,20 0)))", "outside its shell"},
		"spike out and back":        {"POLYGON((0 0,9 0,15 0,9 0,9 9,0 9,0 0))", "meets"},
		"ring that touches itself":  {"POLYGON((0 0,9 0,9 9,4 0,0 9,0 0))", "meets"},
		"two points thrice":         {"POLYGON((0 0,9 0,0 0,0 0))", "no area"},
		"one point":                 {"POLYGON((1 1,1 1,1 1,1 1))", "no move"},
		"three points":              {"POLYGON((1 1,2 1,1 1))", "points"},
	} {
		_, err := region(tt.text)
		if tt.fault == "" {
			assert.NoError(t, err, name)
			continue
		}
		assert.ErrorContains(t, err, tt.fault, name)
	}
}

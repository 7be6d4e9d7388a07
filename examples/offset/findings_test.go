package main

import (
	"bytes"
	"encoding/json"
	"fmt"
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

// slot is an obround, 60 mm between the centres, its ends given as chords.
func slot(radius float64) outline {
	p := chords(nil, xy{60, 0}, radius, -math.Pi/2, math.Pi, 5e-4)
	return outline{ringOf(chords(p, xy{0, 0}, radius, math.Pi/2, math.Pi, 5e-4)...)}
}

// dee is a half disc, flat below.
func dee(radius float64) outline {
	return outline{ringOf(chords(nil, xy{0, 0}, radius, 0, math.Pi, 5e-4)...)}
}

// needled is a plate with a long needle on each side, wide in the third place.
func needled(width float64) outline {
	return outline{ringOf(xy{0, 0}, xy{60, 0}, xy{60, 20}, xy{160, 20}, xy{160, 20 + width}, xy{60, 20 + width}, xy{60, 40}, xy{0, 40})}
}

// slotted is a plate that slots cut into fingers, the ends of which are narrower than a
// tab.
func slotted(width float64) outline {
	p := []xy{{0, 0}, {40, 0}, {40, 30}}
	for x := 35.0; x > 4; x -= 5 {
		p = append(p, xy{x + width/2, 30}, xy{x + width/2, 4}, xy{x - width/2, 4}, xy{x - width/2, 30})
	}
	return outline{ringOf(append(p, xy{0, 30})...)}
}

// pieces is a plate whose edges are written as pieces of a millimetre, off the
// line by the last digit.
func pieces() outline {
	var p []xy
	at := xy{0, 0}
	for side, d := range []xy{{1, 0}, {0, 1}, {-1, 0}, {0, -1}} {
		for k := range []int{50, 30, 50, 30}[side] {
			noise := float64(k%2) * 1e-6
			p = append(p, xy{at.x + math.Abs(d.y)*noise, at.y + math.Abs(d.x)*noise})
			at = xy{at.x + d.x, at.y + d.y}
		}
	}
	p[0] = xy{0, 0}
	return outline{ringOf(p...)}
}

// What the tabs give up is told, by rule and how often, and nothing else is.
func TestFindings(t *testing.T) {
	for name, c := range map[string]struct {
		region outline
		fit    float64
		tabs   int
		want   map[string]int
	}{
		"a plate":                   {region: needled(20), tabs: 4, want: map[string]int{}},
		"tabs keep off the ends":    {region: slot(15), fit: 0.002, tabs: 6, want: map[string]int{}},
		"two tabs across":           {region: slot(15), tabs: 2, want: map[string]int{}},
		"one tab":                   {region: slot(15), tabs: 1, want: map[string]int{"tab-centroid": 1}},
		"edges in pieces":           {region: pieces(), tabs: 4, want: map[string]int{}},
		"a disc of chords":          {region: outline{ringOf(chords(nil, xy{}, 20, 0, 6.2, 5e-4)...)}, tabs: 3, want: map[string]int{"tab-bent": 3}},
		"a disc with a flat":        {region: dee(20), fit: 0.002, tabs: 3, want: map[string]int{"tab-bent": 2}},
		"two on the flat":           {region: dee(20), fit: 0.002, tabs: 2, want: map[string]int{"tab-centroid": 1}},
		"tabs keep off the needle":  {region: needled(2e-3), tabs: 4, want: map[string]int{}},
		"a needle and nothing else": {region: outline{ringOf(xy{0, 0}, xy{60, 0}, xy{60, 2e-3}, xy{0, 2e-3})}, tabs: 4, want: map[string]int{"tab-thin": 4}},
		"tabs keep out of slots":    {region: slotted(2), tabs: 4, want: map[string]int{}},
		"and out of wider ones":     {region: slotted(2.3), tabs: 4, want: map[string]int{}},
		"no room off the needle":    {region: outline{ringOf(xy{0, 0}, xy{4, 0}, xy{4, 2}, xy{40, 2}, xy{40, 2.5}, xy{4, 2.5}, xy{4, 4}, xy{0, 4})}, tabs: 3, want: map[string]int{"tab-thin": 3}},
	} {
		t.Run(name, func(t *testing.T) {
			j := job{name: name, region: c.region, cutter: 2, side: "outside", fit: c.fit, tabs: c.tabs, width: 3}
			p := try(t, t.TempDir(), []job{j})[0]
			assert.Empty(t, inspect(j, p))
			got := map[string]int{}
			for _, f := range p.Findings {
				got[f.Rule] += f.Count
			}
			assert.Empty(t, cmp.Diff(c.want, got))
		})
	}
}

// A finding says where, by how much, and what would have been needed.
func TestFindingsPrinted(t *testing.T) {
	file := filepath.Join(t.TempDir(), "strip.wkt")
	strip := outline{ringOf(xy{0, 0}, xy{60, 0}, xy{60, 0.4}, xy{0, 0.4})}
	require.NoError(t, os.WriteFile(file, []byte("strip\t"+strip.wkt()+"\n"), 0o600))
	args := []string{"-cutter", "2", "-tabs", "1", "-tab-width", "3", file}
	got, status := timeless(t, append([]string{"-json"}, args...)...)
	require.Zero(t, status)
	var r struct{ Findings json.RawMessage }
	require.NoError(t, json.Unmarshal([]byte(got), &r))
	want := `[{"rule":"tab-thin","ok":true,"detail":"the material behind a tab, or across the channel, is thin and holds little, mm","value":0.4,"limit":1,"count":1,"places":[[30,0.4]]},` +
		`{"rule":"tab-centroid","ok":true,"detail":"a part may tip: its centroid lies outside the polygon of its tabs, mm","value":0.2,"count":1,"places":[[30,0.2]]}]`
	assert.Equal(t, want, string(r.Findings))
	var text, errs bytes.Buffer
	run(args, &text, &errs)
	for _, rule := range []string{"tab-thin", "tab-centroid"} {
		assert.True(t, strings.Contains(text.String(), fmt.Sprintf("  %s: ", rule)), text.String())
	}
}

func TestOutsideHull(t *testing.T) {
	square := []orb.Point{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {5, 5}, {5, 0}}
	for _, c := range []struct {
		p    orb.Point
		of   int
		want float64
	}{
		{orb.Point{5, 4}, 6, 0}, {orb.Point{10, 4}, 6, 0}, {orb.Point{13, 14}, 6, 5}, {orb.Point{5, -2}, 6, 2},
		{orb.Point{5, 3}, 2, 3}, {orb.Point{3, 4}, 1, 5}, {orb.Point{2, 7}, 3, math.Sqrt(12.5)},
	} {
		assert.InDelta(t, c.want, outsideHull(c.p, square[:c.of]), 1e-12, "%v of %d", c.p, c.of)
	}
}

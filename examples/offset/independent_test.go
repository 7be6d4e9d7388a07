package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// printed is the part of the program's output that is checked.
type printed struct {
	Name, Error string
	Paths       []struct {
		Closed bool
		Start  [2]float64
		Moves  []struct {
			Line      *[2]float64
			Arc       *[4]float64
			Clockwise bool
		}
	}
	Length      float64 `json:"length_mm"`
	Unreachable []struct {
		At   [2]float64
		Size float64 `json:"size_mm"`
	}
	Tabs []struct {
		At    [2]float64
		Width float64 `json:"width_mm"`
	}
	Check struct {
		MinClearance *float64 `json:"min_clearance_mm"`
		Gouge        float64  `json:"gouge_mm"`
		Uncut        float64  `json:"uncut_mm"`
	}
	Findings []struct {
		Rule  string
		Count int
	}
}

// told tells how often the program says that a rule of the tabs is not kept.
func (p *printed) told(rule string) int {
	n := 0
	for _, f := range p.Findings {
		if f.Rule == rule {
			n += f.Count
		}
	}
	return n
}

// try runs the program over jobs with the same flags.
func try(t testing.TB, dir string, jobs []job) []printed {
	t.Helper()
	var text bytes.Buffer
	for _, j := range jobs {
		fmt.Fprintf(&text, "%s\t%s\n", j.name, j.region.wkt())
	}
	file := filepath.Join(dir, "regions.wkt")
	require.NoError(t, os.WriteFile(file, text.Bytes(), 0o600))
	j := jobs[0]
	f := func(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }
	args := []string{"-json", "-cutter", f(j.cutter), "-side", j.side, "-fit", f(j.fit)}
	if j.tabs > 0 {
		args = append(args, "-tabs", strconv.Itoa(j.tabs), "-tab-width", f(j.width))
	}
	var out, errs bytes.Buffer
	run(append(args, file), &out, &errs)
	require.Empty(t, errs.String())
	var got []printed
	for line := range strings.Lines(out.String()) {
		var p printed
		require.NoError(t, json.Unmarshal([]byte(line), &p))
		got = append(got, p)
	}
	require.Len(t, got, len(jobs))
	return got
}

// examine holds one random region's output to the inspection. It returns the kind, or
// nothing where the region crosses itself.
func examine(t *testing.T, dir string, seed uint64) (what string, ok bool) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 23))
	kind := kinds[int(seed)%len(kinds)]
	j := job{name: fmt.Sprintf("%s-%d", kind.name, seed), cutter: [...]float64{2.4, 2, 1.2, 0.8, 3.175}[rng.IntN(5)], side: "outside"}
	if rng.IntN(2) == 0 {
		j.side = "inside"
	}
	j.region = kind.make(rng, j.cutter)
	if rng.IntN(3) == 0 {
		j.region = dirty(rng, j.region)
	}
	if !simple(j.region) {
		return "", true
	}
	if rng.IntN(8) == 0 {
		j.fit = 0.002
	}
	if rng.IntN(4) == 0 {
		j.tabs, j.width = 1+rng.IntN(4), between(rng, 0.3, 4)
	}
	p := try(t, dir, []job{j})[0]
	if j.tabs > 0 && strings.Contains(p.Error, "do not fit the loop") {
		return "no room for tabs", true
	}
	if fault := inspect(j, p); len(fault) > 0 {
		t.Errorf("seed %d %s %s by a %g cutter, fit %g, %d tabs of %g:\n%s", seed, j.name, j.side, j.cutter, j.fit, j.tabs, j.width, strings.Join(fault, "\n"))
		return kind.name, false
	}
	return kind.name, true
}

// TestKept holds regions to the inspection that were wrong once.
func TestKept(t *testing.T) {
	for seed, what := range map[uint64]string{
		105972:  "a gap between two windings, whose nearest edge is not the one left standing",
		207970:  "tabs",
		400251:  "a tab that leaves 0.087 um of an arc",
		3002905: "tabs in a slot as wide as the cutter",
		2001814: "a corner of a needle that the cutter on its other side comes near to",
		400407:  "a gap over a neck, whose ends lie on two edges",
	} {
		if kind, ok := examine(t, t.TempDir(), seed); !ok || kind == "" || kind == "no room for tabs" {
			t.Errorf("seed %d: %s: %q", seed, what, kind)
		}
	}
}

// TestIndependent holds the program's output for random regions of many kinds to the
// brute-force inspection above. OFFSET_CASES sets how many, OFFSET_SEED where to begin.
func TestIndependent(t *testing.T) {
	count, first := 400, uint64(1)
	if testing.Short() {
		count = 100
	}
	if s := os.Getenv("OFFSET_CASES"); s != "" {
		count, _ = strconv.Atoi(s)
	}
	if s := os.Getenv("OFFSET_SEED"); s != "" {
		first, _ = strconv.ParseUint(s, 10, 64)
	}
	dir := t.TempDir()
	failed, skipped := 0, 0
	tally := map[string]int{}
	for seed := first; seed < first+uint64(count) && failed < 40; seed++ {
		switch what, ok := examine(t, dir, seed); {
		case !ok:
			failed++
		case what == "":
			skipped++
		default:
			tally[what]++
		}
	}
	t.Logf("%d regions, %d not simple, %v", count-skipped, skipped, tally)
	if skipped > count/2 {
		t.Errorf("only %d of %d regions could be used", count-skipped, count)
	}
}

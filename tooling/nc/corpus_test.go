package nc_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the expected readings of the corpus anew")

// corpusDir holds one small file for each trait.
const corpusDir = "../../testdata/nc"

// corpusReading is the expected reading of one file of the corpus.
type corpusReading struct {
	File       string       `json:"file"`
	Units      string       `json:"units,omitempty"`
	Zeros      string       `json:"zeros,omitempty"`
	Digits     string       `json:"digits,omitempty"`
	How        string       `json:"how,omitempty"`
	Tools      []corpusTool `json:"tools,omitempty"`
	Box        []float64    `json:"box_mm,omitempty"`
	Duplicates int          `json:"duplicates,omitempty"`
	Shared     int          `json:"shared,omitempty"`
	Findings   []string     `json:"findings,omitempty"`
	Made       []string     `json:"made,omitempty"`
	Error      *corpusError `json:"error,omitempty"`
}

type corpusTool struct {
	Tool     int     `json:"tool"`
	Diameter float64 `json:"diameter_mm"`
	Hits     int     `json:"hits,omitempty"`
	Slots    int     `json:"slots,omitempty"`
	Circles  int     `json:"circles,omitempty"`
	Rout     float64 `json:"rout_mm,omitempty"`
	Marking  string  `json:"marking,omitempty"`
	Feed     float64 `json:"feed_mm_min,omitempty"`
	Speed    float64 `json:"speed_rev_min,omitempty"`
}

type corpusError struct {
	Cause      string   `json:"cause"`
	Line       int      `json:"line"`
	Column     int      `json:"column"`
	Candidates []string `json:"candidates,omitempty"`
}

// readCorpus reads one file the way the golden readings are written.
func readCorpus(t *testing.T, name string, src []byte) corpusReading {
	t.Helper()
	out := corpusReading{File: name}
	p, err := nc.Parse(src, nc.ReadOptions{File: name})
	if err != nil {
		out.Error = errorOf(t, err)
		return out
	}
	s, err := p.Summary()
	require.NoError(t, err)
	out.Units, out.Zeros, out.Digits, out.How = p.Units.String(), p.Zeros.String(), p.Digits.String(), p.How().String()
	out.Duplicates, out.Shared = s.Duplicates, s.Shared
	if !s.Empty {
		out.Box = []float64{s.Box.Min[0], s.Box.Min[1], s.Box.Max[0], s.Box.Max[1]}
	}
	for _, ts := range s.Tools {
		def := p.Tool(ts.Tool)
		out.Tools = append(out.Tools, corpusTool{ts.Tool, ts.Diameter, ts.Hits, ts.Slots, ts.Circles, ts.Rout, ts.Marking, def.Feed, def.Speed})
	}
	for _, n := range p.Notes {
		f := fmt.Sprintf("%s line %d", n.Rule, n.Line)
		if n.Tool > 0 {
			f += fmt.Sprintf(" T%d", n.Tool)
		}
		if n.Count > 1 {
			f += fmt.Sprintf(" x%d", n.Count)
		}
		out.Findings = append(out.Findings, f)
	}
	out.Made = lines(t, p)
	return out
}

// errorOf renders a typed error; any other kind fails the test.
func errorOf(t *testing.T, err error) *corpusError {
	t.Helper()
	var se *nc.SyntaxError
	var ae *nc.AmbiguousError
	var le *nc.LimitError
	switch {
	case errors.As(err, &se):
		return &corpusError{Cause: se.Err.Error(), Line: se.Line, Column: se.Column}
	case errors.As(err, &le):
		return &corpusError{Cause: le.Limit, Line: le.Line, Column: le.Column}
	case errors.As(err, &ae):
		e := &corpusError{Cause: ae.Err.Error(), Line: ae.Line, Column: ae.Column}
		for _, c := range ae.Candidates {
			e.Candidates = append(e.Candidates, fmt.Sprintf("%v %v %v score %.1f", c.Units, c.Zeros, c.Digits, c.Score))
		}
		return e
	}
	t.Fatalf("an error without a place: %v", err)
	return nil
}

// corpus lists the files of the corpus with their bytes.
func corpus(t testing.TB) map[string][]byte {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(corpusDir, "*.drl"))
	require.NoError(t, err)
	out := make(map[string][]byte, len(names))
	for _, name := range names {
		b, err := os.ReadFile(name)
		require.NoError(t, err)
		out[filepath.Base(name)] = b
	}
	require.GreaterOrEqual(t, len(out), 60, "the corpus is missing")
	return out
}

func TestCorpus(t *testing.T) {
	golden := filepath.Join(corpusDir, "readings.json")
	files := corpus(t)
	if *update {
		var all []corpusReading
		names, err := filepath.Glob(filepath.Join(corpusDir, "*.drl"))
		require.NoError(t, err)
		for _, name := range names {
			base := filepath.Base(name)
			all = append(all, readCorpus(t, base, files[base]))
		}
		var b bytes.Buffer
		enc := json.NewEncoder(&b)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", " ")
		require.NoError(t, enc.Encode(all))
		require.NoError(t, os.WriteFile(golden, b.Bytes(), 0o644))
	}
	raw, err := os.ReadFile(golden)
	require.NoError(t, err)
	var want []corpusReading
	require.NoError(t, json.Unmarshal(raw, &want))
	var read []string
	for _, w := range want {
		read = append(read, w.File)
	}
	require.Empty(t, cmp.Diff(slices.Sorted(maps.Keys(files)), read), "every file has its reading (-files +readings); -update makes it")
	for _, w := range want {
		t.Run(strings.TrimSuffix(w.File, ".drl"), func(t *testing.T) {
			src, ok := files[w.File]
			require.True(t, ok, "the file is missing")
			got := readCorpus(t, w.File, src)
			if diff := cmp.Diff(w, got); diff != "" {
				t.Errorf("reading (-want +got):\n%s", diff)
			}
			assert.Equal(t, strings.HasPrefix(w.File, "refused-"), got.Error != nil, "refused files say so in their name")
			sameThroughBothDoors(t, src, nc.ReadOptions{File: w.File})
		})
	}
}

// sameThroughBothDoors checks that Parse and Scan agree on a source: the same
// operations, notes and tools, or the same error; and that the text round-trips.
func sameThroughBothDoors(t testing.TB, src []byte, o nc.ReadOptions) *nc.Program {
	t.Helper()
	p, perr := nc.Parse(src, o)
	s := nc.NewScanner(bytes.NewReader(src), o)
	var streamed []nc.Op
	var serr error
	for op, err := range s.Ops() {
		if err != nil {
			serr = err
			break
		}
		streamed = append(streamed, op)
	}
	if (perr == nil) != (serr == nil) || perr != nil && perr.Error() != serr.Error() {
		t.Fatalf("Parse says %v, Scan says %v", perr, serr)
	}
	if perr != nil {
		return nil
	}
	k := 0
	for op, err := range p.Ops() {
		if err != nil {
			t.Fatalf("a parsed program cannot be walked: %v", err)
		}
		if k >= len(streamed) || op != streamed[k] {
			t.Fatalf("operation %d: parsed %v, streamed %v", k, op, streamed[min(k, len(streamed)-1)])
		}
		k++
	}
	if k != len(streamed) {
		t.Fatalf("%d operations parsed, %d streamed", k, len(streamed))
	}
	f := s.Facts()
	if diff := cmp.Diff(p.Notes, f.Notes); diff != "" {
		t.Fatalf("notes (-parsed +streamed):\n%s", diff)
	}
	if diff := cmp.Diff(p.Tools, f.Tools); diff != "" {
		t.Fatalf("tools (-parsed +streamed):\n%s", diff)
	}
	if got := text(t, p); got != string(src) {
		t.Fatal("the text is not kept byte for byte")
	}
	return p
}

// TestConsumersMayStopAnywhere breaks out of every program of the corpus after
// each of its operations, through both doors.
func TestConsumersMayStopAnywhere(t *testing.T) {
	for name, src := range corpus(t) {
		p, err := nc.Parse(src, nc.ReadOptions{})
		if err != nil {
			continue
		}
		all := ops(t, p)
		for k := range all {
			n := 0
			for op := range p.Ops() {
				require.Equal(t, all[n], op, name)
				if n++; n > k {
					break
				}
			}
			require.Equal(t, k+1, n, name)
			n = 0
			for op := range nc.Scan(bytes.NewReader(src), nc.ReadOptions{}) {
				require.Equal(t, all[n], op, name)
				if n++; n > k {
					break
				}
			}
			require.Equal(t, k+1, n, name)
		}
	}
}

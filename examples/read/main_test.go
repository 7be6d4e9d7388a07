package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/nc"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// Every file of the corpus, accepted and refused, by its short name.
func TestCorpusIsReadAsKept(t *testing.T) {
	files, err := filepath.Glob("../../testdata/nc/*.*")
	require.NoError(t, err)
	var programs []string
	for _, f := range files {
		if ext := filepath.Ext(f); ext != ".json" && ext != ".md" {
			programs = append(programs, f)
		}
	}
	require.Greater(t, len(programs), 60)
	var out bytes.Buffer
	good, err := run(&out, programs, nc.ReadOptions{}, true)
	require.NoError(t, err)
	require.False(t, good, "the corpus holds files that must be refused")
	got := strings.ReplaceAll(out.String(), "../../testdata/nc/", "")
	if *update {
		require.NoError(t, os.WriteFile("testdata/corpus.jsonl", []byte(got), 0o644))
	}
	want, err := os.ReadFile("testdata/corpus.jsonl")
	require.NoError(t, err)
	require.Empty(t, cmp.Diff(string(want), got), "-want +got")
	for _, line := range strings.Split(strings.TrimSpace(got), "\n") {
		var r reading
		require.NoError(t, json.Unmarshal([]byte(line), &r))
		require.True(t, strings.HasPrefix(line, `{"schema":1,`), "the first key tells the form: %s", line)
		if r.Error != "" {
			require.True(t, r.Line > 0 || len(r.Candidates) > 0, "%s: an error names its place: %s", r.File, r.Error)
		}
	}
}

func TestTextAndMissingFile(t *testing.T) {
	var out bytes.Buffer
	good, err := run(&out, []string{"../../testdata/panels/pump-backplane/plated.drl", "no-such-file"}, nc.ReadOptions{}, false)
	require.NoError(t, err)
	require.False(t, good)
	require.Contains(t, out.String(), "inch TZ 2:4, stated")
	require.Contains(t, out.String(), "not read: open no-such-file")
}

func TestFlags(t *testing.T) {
	o, err := options("inch", "LZ", "2:5")
	require.NoError(t, err)
	require.Equal(t, nc.ReadOptions{Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 5}}, o)
	for _, bad := range [][3]string{{"cubit", "", ""}, {"", "XZ", ""}, {"", "", "2.4"}, {"", "", "2:4x"}, {"", "", "9:9"}} {
		_, err := options(bad[0], bad[1], bad[2])
		require.Error(t, err, "%v", bad)
	}
}

package job_test

import (
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write testdata/api anew")

// listing is what a package exports, one line a name, sorted.
func (s surface) listing() string {
	var lines []string
	for _, v := range s.values() {
		lines = append(lines, "value "+v.name+v.value)
	}
	for _, f := range s.funcs() {
		lines = append(lines, s.signature(f))
	}
	for _, t := range s.doc.Types {
		lines = append(lines, "type "+t.Name+" "+s.kind(t))
		for _, f := range s.fields(t) {
			lines = append(lines, strings.TrimSpace("field "+t.Name+"."+f.name+" "+f.typ+" "+f.tag))
		}
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n") + "\n"
}

// The exported names of every library package, with types and JSON names,
// against a listing that is kept: whoever changes one sees it in the diff, and
// says so in the CHANGELOG.
func TestExportedNamesAreAsListed(t *testing.T) {
	var files []string
	for _, s := range surfaces(t) {
		file := filepath.Join("testdata", "api", strings.ReplaceAll(s.name, "/", "_")+".txt")
		files = append(files, file)
		got := s.listing()
		if *update {
			require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
		}
		want, err := os.ReadFile(file)
		require.NoError(t, err)
		if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); diff != "" {
			t.Errorf("the exported names of %s changed (-listed +now); go test ./route/job -update writes them:\n%s", s.name, diff)
		}
	}
	kept, err := filepath.Glob(filepath.Join("testdata", "api", "*.txt"))
	require.NoError(t, err)
	slices.Sort(files)
	if diff := cmp.Diff(kept, files); diff != "" {
		t.Errorf("listings of packages (-kept +there):\n%s", diff)
	}
}

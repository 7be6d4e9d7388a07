package stack_test

import (
	"context"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

var update = flag.Bool("update", false, "write the golden files anew")

// keys collects the paths of all keys of a JSON value; elements of a list
// share a path. Values of package tooling are left to that package.
func keys(into map[string]bool, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, e := range v {
			into[path+k] = true
			if k != "tool" && k != "feed" && k != "depth" {
				keys(into, path+k+".", e)
			}
		}
	case []any:
		for _, e := range v {
			keys(into, path, e)
		}
	}
}

// TestJSONKeysStay holds the keys of a result against a golden file: other
// programs read them.
func TestJSONKeysStay(t *testing.T) {
	p := greenhouse(t)
	p.Lot = 239 // a short stack
	r, err := stack.Solve(context.Background(), p, stack.Options{Front: true})
	require.NoError(t, err)
	text, err := json.Marshal(r)
	require.NoError(t, err)
	var v any
	require.NoError(t, json.Unmarshal(text, &v))
	found := map[string]bool{}
	keys(found, "", v)
	got := strings.Join(slices.Sorted(maps.Keys(found)), "\n") + "\n"
	const golden = "testdata/result/keys.txt"
	if *update {
		require.NoError(t, os.WriteFile(golden, []byte(got), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	if diff := cmp.Diff(string(want), got); diff != "" {
		t.Errorf("keys changed (-want +got):\n%s", diff)
	}
}

package main

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// What tools made in loads before the one that came to a halt is not counted: the
// operator hears it, unless every spindle gets new ones; and that the tools of a rest
// in several loads are those of one.
func TestWhatWornLeavesOut(t *testing.T) {
	stop := []string{"-pass", "plated", "-run", "2", "-hit", "20"}
	require.Equal(t, []string{"tools of runs 3 to 8 stay for several loads, and what they made in loads before this one is not counted here: " +
		"after a stop in load 2 or later give all spindles new tools and say -fresh"}, asJSON(t, stop...).Kept, "the bits of run 2 serve one load")
	require.Empty(t, asJSON(t, append(stop, "-fresh")...).Kept)

	few := filepath.Join(t.TempDir(), "few.json")
	require.NoError(t, os.WriteFile(few, []byte(`{"spindles": 2}`), 0o600))
	dir := t.TempDir()
	text, _, err := restart(t, dir, append(stop, "-fresh", "-machine", few, "-json")...)
	require.NoError(t, err)
	var r result
	require.NoError(t, json.Unmarshal([]byte(text), &r))
	require.Equal(t, 3, r.Loads)
	require.Equal(t, []string{"the rest takes 3 loads, and its tools are counted for one: have new ones ready for each"}, r.Kept)
	for _, file := range []string{r.Program, r.Sheet, r.Page} {
		text, err := os.ReadFile(filepath.Join(dir, filepath.Base(file)))
		require.NoError(t, err)
		require.Contains(t, string(text), r.Kept[0], "%s", file)
	}
}

package main

import (
	"html"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
)

// The cautions stand in the sheet, in the README and at the head of every
// program, with every word that the trade knows to matter.
func TestCautionsStandEverywhere(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	places := plan(t, "greenhouse-sensor/job.json", false)
	delete(places, "") // the summary points at them
	places["README.md"] = string(readme)
	for name, text := range places {
		text = strings.ToLower(strings.Join(strings.Fields(html.UnescapeString(text)), " "))
		for _, word := range []string{
			"guards", "interlocks", "extraction", "compressed air", "eye", "ear protection", "gloves", "loose sleeves", "collets", "run-out",
			"magazine", "tool table", "pins tight", "stack flat and clean", "dry run", "then one stack", "never reach in for fragments", "sharps box",
			"machine maker's manual", "local codes", "trained operators come first", "the check knows the program, not the machine",
		} {
			require.Contains(t, text, word, name)
		}
		if name == "README.md" {
			continue // in its own words
		}
		for _, caution := range tooling.Cautions() {
			require.Contains(t, text, strings.ToLower(caution), name)
		}
	}
	require.Len(t, places, 5, "three programs, the sheet and the README")
}

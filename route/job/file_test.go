package job_test

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// What a job file asks of the stack planner keeps its names; zeros say nothing.
func TestStackOfAJobFile(t *testing.T) {
	for _, c := range []struct {
		ask  job.StackFile
		want string
	}{
		{job.StackFile{}, `{}`},
		{job.StackFile{Tiers: 3, Mode: stack.Spares, Policy: stack.WholeLoads}, `{"tiers":3,"bit_mode":"spares","policy":"whole-loads"}`},
		{job.StackFile{SecondPass: 0.1, StockOnly: true, Due: 3600, HourPrice: 40, Speeds: []float64{0.8, 1}},
			`{"second_pass_mm":0.1,"stock_only":true,"due_s":3600,"hour_price":40,"speeds":[0.8,1]}`},
	} {
		got, err := json.Marshal(c.ask)
		require.NoError(t, err)
		require.JSONEq(t, c.want, string(got))
	}
}

// What a job file asks of the rout planner reaches it, but for what the caller
// says himself.
func TestRoutOfAJobFile(t *testing.T) {
	ask := job.RoutFile{Rough: 0.1, CleanUp: 0.8, ClearBelow: 9, EnterBelow: 1.6, Margin: 1, NoTabs: true}
	raw, err := json.Marshal(ask)
	require.NoError(t, err)
	require.JSONEq(t, `{"rough_mm":0.1,"clean_up_mm":0.8,"clear_below_mm":9,"enter_below_mm":1.6,"margin_mm":1,"no_tabs":true}`, string(raw))
	j, err := job.Load(routed{cutOuts: box(20, 10, 40, 30), patch: `{"rout":` + string(raw) + `}`}.files(t), "job.json")
	require.NoError(t, err)
	require.Equal(t, ask, j.Rout)
	require.True(t, j.Route.NoTabs)
	cleaned := func(o job.Options) (diameters []float64) {
		p, err := job.Make(context.Background(), j, o)
		require.NoError(t, err)
		for _, r := range p.Rout[0].Runs {
			if slices.ContainsFunc(r.Paths, func(q route.Path) bool { return q.Role == route.CleanUp }) {
				diameters = append(diameters, r.Tool.Diameter)
			}
		}
		return diameters
	}
	require.Equal(t, []float64{0.8}, cleaned(job.Options{}))
	require.Equal(t, []float64{1}, cleaned(job.Options{Route: route.Options{CleanUp: 1}}))
}

// A written job file reads back as what was written, and one that Load would
// refuse is not written.
func TestEncodedJobFileReadsBack(t *testing.T) {
	for _, name := range []string{"greenhouse-sensor", "tide-logger", "pump-backplane"} {
		src, err := os.ReadFile(filepath.Join("..", "..", "testdata", "panels", name, "job.json"))
		require.NoError(t, err)
		var asked job.File
		require.NoError(t, tooling.Decode(src, "job.json", &asked))
		written, err := asked.Encode()
		require.NoError(t, err)
		var back job.File
		require.NoError(t, tooling.Decode(written, "job.json", &back))
		require.Equal(t, asked, back, name)
		for line := range strings.Lines(string(written)) {
			require.LessOrEqual(t, len(line), 400, name)
		}
	}
	var bad *tooling.InputError
	_, err := job.File{}.Encode()
	require.ErrorAs(t, err, &bad)
}

// A value of a written job file stands on one line as long as that, with its
// indent, is 150 bytes of JSON long; one more, and its members get lines of their
// own. Blanks go after commas and colons, but never into a text, whatever quotes
// and backslashes that holds.
func TestEncodedJobFileKeepsItsLines(t *testing.T) {
	board := func(n int) string {
		src, err := smallFile(t, func(f *job.File) {
			f.Boards[0].Drill[1].Waived = []string{strings.Repeat("w", n)}
		}).Encode()
		require.NoError(t, err)
		return string(src)
	}
	const wide = `        {"file": "unplated.drl", "plating": "unplated", "waived": ["%s"]}`
	const bytes = 8 + len(`{"file":"unplated.drl","plating":"unplated","waived":[""]}`)
	require.Contains(t, board(150-bytes), strings.Replace(wide, "%s", strings.Repeat("w", 150-bytes), 1)+"\n")
	require.Contains(t, board(151-bytes), "        {\n          \"file\": \"unplated.drl\",\n          \"plating\": \"unplated\",\n          \"waived\": [\""+strings.Repeat("w", 151-bytes)+"\"]\n        }\n")

	for _, note := range []string{`a,b:c`, `"a,b":c`, `a\`, `a\,b:`, `\"`, `\\,"a,b":`, `\\\",:`, `,\\\\",`} {
		quoted, err := json.Marshal(note)
		require.NoError(t, err)
		f := smallFile(t, func(f *job.File) { f.Note = note })
		src, err := f.Encode()
		require.NoError(t, err)
		require.Contains(t, string(src), `  "note": `+string(quoted)+",\n")
		require.Contains(t, string(src), "\n  \"machine\": \"ball screw\",\n  \"machine_adjust\": {\"change_at_mm\": [-20, -20]},\n", "blanks after what follows %s", note)
		var back job.File
		require.NoError(t, tooling.Decode(src, "job.json", &back))
		require.Equal(t, note, back.Note)
	}
}

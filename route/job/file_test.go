package job_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

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

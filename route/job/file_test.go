package job_test

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/job"
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

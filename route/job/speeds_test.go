package job_test

import (
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/job"
)

// A job file's tool-life curve slows bits down where time is cheap, and the
// programs say so.
func TestSpeedsAreAskedForInTheJobFile(t *testing.T) {
	speed := func(with string) (string, job.Plan) {
		files := newSmall().files()
		replace("job.json", `"machine_adjust": {`, `"machine_adjust": {"rate_per_hour": 0, `)(t, files)
		replace("job.json", `"panels": 10`, `"panels": 9000`+with)(t, files)
		j, err := job.Load(files, "job.json")
		require.NoError(t, err)
		p := plan(t, j)
		text := string(programs(t, p)[0].Text)
		found := regexp.MustCompile(`(?m)^T1C0\.\d+F\S*S(\d+)`).FindStringSubmatch(text)
		require.NotNil(t, found, "%s", text)
		return found[1], p
	}
	usual, before := speed("")
	slow, p := speed(`, "stack": {"speeds": [1, 0.8], "taylor": {"n": 0.25, "c_m_per_min": 200}}`)
	require.NotEqual(t, usual, slow)
	require.Less(t, p.Stack.Cost.Tools, before.Stack.Cost.Tools)
	require.Greater(t, p.Stack.Cost.LotTime, before.Stack.Cost.LotTime)
	share, ok := p.Stack.SetUps[0].Share("plated", 1)
	require.True(t, ok)
	require.InDelta(t, share.Feed.Speed, p.Drill[0].Runs[0].Feed.Speed, 0)
	_, due := speed(`, "stack": {"speeds": [1, 0.8], "taylor": {"n": 0.25, "c_m_per_min": 200}, "due_s": ` + dueOf(before) + `}`)
	require.LessOrEqual(t, due.Stack.Cost.LotTime, before.Stack.Cost.LotTime+time.Second)
	require.LessOrEqual(t, due.Stack.Cost.Total, before.Stack.Cost.Total)
	require.GreaterOrEqual(t, due.Stack.Cost.Total, p.Stack.Cost.Total)
}

// dueOf is a due time, in whole seconds, that a plan just keeps.
func dueOf(p job.Plan) string { return strconv.Itoa(int(p.Stack.Cost.LotTime.Seconds()) + 1) }

package stack_test

import (
	"encoding/json"
	"math"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/stack"
)

func FuzzSetUpJSON(f *testing.F) {
	f.Add([]byte(`{"number":1,"load_seconds":12.5,"cost":{"lot_seconds":0.000000001},"load_times":{"rout_seconds":3}}`))
	f.Add([]byte(`{"load_seconds":1e3}`))
	f.Add([]byte(`{"load_seconds":-0.25,"handling_seconds":9e99}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		var s stack.SetUp
		if json.Unmarshal(src, &s) != nil {
			return
		}
		text, err := json.Marshal(s)
		require.NoError(t, err)
		var back stack.SetUp
		require.NoError(t, json.Unmarshal(text, &back), "%s", text)
		assert.Empty(t, cmp.Diff(s, back))
	})
}

func TestSecondsAreExact(t *testing.T) {
	for _, d := range []time.Duration{0, 1, -1, time.Second, 90 * time.Minute, math.MaxInt64, math.MinInt64 + 1, 1_234_567_890_123_456_789} {
		text, err := json.Marshal(stack.Point{Time: d})
		require.NoError(t, err)
		var back stack.Point
		require.NoError(t, json.Unmarshal(text, &back), "%s", text)
		assert.Equal(t, d, back.Time, "%s", text)
	}
	var p stack.Point
	for _, bad := range []string{`{"seconds":"x"}`, `{"seconds":1e99}`, `{"seconds":[]}`} {
		assert.Error(t, json.Unmarshal([]byte(bad), &p), bad)
	}
}

package stack_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// crib finds tools of the default crib by name.
func crib(tb testing.TB, ids ...string) []tooling.Tool {
	tb.Helper()
	var out []tooling.Tool
	for _, id := range ids {
		for _, t := range tooling.DefaultCrib().Tools {
			if t.ID == id {
				out = append(out, t)
			}
		}
	}
	require.Len(tb, out, len(ids), "tools of the default crib")
	return out
}

// greenhouse is an invented lot: a greenhouse sensor panel of twelve boards.
func greenhouse(tb testing.TB) stack.Problem {
	tb.Helper()
	m, ok := machine.Preset("ball screw")
	require.True(tb, ok)
	t := crib(tb, "B0.35", "B0.80", "B1.00", "B3.20", "C2.000")
	return stack.Problem{
		Lot:   240,
		Panel: tooling.Panel{Width: 300, Height: 250, Thickness: 1.6, Material: tooling.FR4},
		Rules: tooling.DefaultRules(), Machine: m,
		SetUps: [][]stack.Work{
			{
				{Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Tool: t[0], Place: 1, Hits: 1800, Travel: 110 * time.Second, Changes: 1, Trip: time.Second},
				{Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Tool: t[1], Place: 2, Hits: 600, Travel: 50 * time.Second, Changes: 1, Trip: time.Second},
				{Pass: "plated", Stage: tooling.BeforePlating, Operation: tooling.Drilling, Tool: t[2], Place: 3, Hits: 480, Travel: 40 * time.Second, Changes: 1, Trip: time.Second},
			},
			{
				{Pass: "unplated", Stage: tooling.AfterPlating, Operation: tooling.Drilling, Tool: t[3], Place: 1, Hits: 48, Travel: 6 * time.Second, Changes: 1},
				{Pass: "rout", Stage: tooling.AfterPlating, Operation: tooling.Routing, Tool: t[4], Place: 2, Cut: 5200, Plunges: 60, Travel: 12 * time.Second, Changes: 1, Fixed: 320 * time.Second},
			},
		},
	}
}

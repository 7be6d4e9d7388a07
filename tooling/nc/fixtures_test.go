package nc_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// body wraps lines in a small metric header with tools T1 (0.8 mm) and T2 (1.6 mm).
func body(lines ...string) string {
	return "M48\nMETRIC\nT1C0.800\nT2C1.600\n%\n" + strings.Join(lines, "\n") + "\nM30\n"
}

// parse reads a source that must be good.
func parse(t testing.TB, src string) *nc.Program {
	t.Helper()
	p, err := nc.Parse([]byte(src), nc.ReadOptions{})
	require.NoError(t, err, "source:\n%s", src)
	return p
}

// ops lists a program's operations.
func ops(t testing.TB, p *nc.Program) []nc.Op {
	t.Helper()
	var out []nc.Op
	for op, err := range p.Ops() {
		require.NoError(t, err)
		out = append(out, op)
	}
	return out
}

// lines renders what a program makes, one line an operation, without the
// selections and the end.
func lines(t testing.TB, p *nc.Program) []string {
	t.Helper()
	var out []string
	for _, op := range ops(t, p) {
		if op.Kind != nc.OpTool && op.Kind != nc.OpEnd {
			out = append(out, op.String())
		}
	}
	return out
}

// hits lists where a program drills.
func hits(t testing.TB, p *nc.Program) []orb.Point {
	t.Helper()
	var out []orb.Point
	for _, op := range ops(t, p) {
		if op.Kind == nc.OpHit {
			out = append(out, op.To)
		}
	}
	return out
}

// rules lists the distinct rules of notes.
func rules(notes []nc.Note) []string {
	out := []string{}
	for _, n := range notes {
		out = append(out, n.Rule)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// random makes a plausible stream of operations on a grid of step mm: runs of
// hits, slots, circles and cutter paths by the tools given.
func random(rng *rand.Rand, tools []nc.ToolDef, n int, step float64) []nc.Op {
	grid := func() float64 { return float64(rng.IntN(200_000)-50_000) * step }
	pt := func() orb.Point { return orb.Point{grid(), grid()} }
	var out []nc.Op
	at := orb.Point{}
	add := func(op nc.Op) {
		op.From = at
		at = op.To
		out = append(out, op)
	}
	for len(out) < n {
		tool := tools[rng.IntN(len(tools))].Number
		out = append(out, nc.Op{Kind: nc.OpTool, Tool: tool, From: at, To: at})
		switch rng.IntN(5) {
		case 0, 1:
			for range rng.IntN(20) {
				add(nc.Op{Kind: nc.OpHit, Tool: tool, To: pt()})
			}
		case 2: // a row
			p, d := pt(), orb.Point{float64(rng.IntN(5)) * step * 1000, float64(rng.IntN(5)) * step * 1000}
			for k := range rng.IntN(12) {
				add(nc.Op{Kind: nc.OpHit, Tool: tool, To: orb.Point{p[0] + float64(k)*d[0], p[1] + float64(k)*d[1]}})
			}
		case 3:
			op := nc.Op{Kind: nc.OpSlot, Tool: tool, From: pt(), To: pt()}
			at = op.To
			out = append(out, op)
			add(nc.Op{Kind: nc.OpCircle, Tool: tool, To: pt(), Diameter: float64(rng.IntN(9000)+1000) * step, Text: "G84"})
		case 4:
			add(nc.Op{Kind: nc.OpRapid, Tool: tool, To: pt()})
			add(nc.Op{Kind: nc.OpPlunge, Tool: tool, To: at})
			for range 1 + rng.IntN(3) {
				add(nc.Op{Kind: nc.OpLine, Tool: tool, To: pt()})
				c := orb.Point{at[0] + float64(rng.IntN(9000)+1000)*step, at[1]}
				to := orb.Point{c[0], c[1] + c[0] - at[0]}
				if rng.IntN(4) == 0 {
					to = at
				}
				add(nc.Op{Kind: nc.OpArc, Tool: tool, To: to, Center: c, Clockwise: rng.IntN(2) == 0})
			}
			add(nc.Op{Kind: nc.OpRetract, Tool: tool, To: at})
		}
	}
	return out
}

// tableOf makes n tools.
func tableOf(n int) []nc.ToolDef {
	var out []nc.ToolDef
	for i := range n {
		out = append(out, nc.ToolDef{Number: i + 1, Diameter: 0.3 + 0.1*float64(i), Feed: 2500, Speed: 100_500, Retract: 15_000})
	}
	return out
}

// text returns a program's text.
func text(t testing.TB, p *nc.Program) string {
	t.Helper()
	var b strings.Builder
	n, err := p.WriteTo(&b)
	require.NoError(t, err)
	require.Equal(t, int64(b.Len()), n)
	return b.String()
}

// dialect names write options for sub-tests.
func dialect(o nc.WriteOptions) string {
	return fmt.Sprintf("%v %v %v slots=%d rows=%v", o.Units, o.Zeros, o.Digits, o.Slots, o.Rows)
}

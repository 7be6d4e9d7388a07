package nc_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func TestHeaderWordsTableAndIndex(t *testing.T) {
	tools := []nc.ToolDef{{Number: 7, Diameter: 1.2}, {Number: 3, Diameter: 0.8}, {Number: 5, Diameter: 0.8}}
	in := []nc.Op{{Kind: nc.OpTool, Tool: 7}, {Kind: nc.OpHit, Tool: 7, To: orb.Point{1, 2}}}
	head := func(o nc.WriteOptions) []string {
		p, err := nc.Build(slices.Values(in), tools, o)
		require.NoError(t, err)
		q := parse(t, text(t, p))
		require.Equal(t, []orb.Point{{1, 2}}, hits(t, q))
		require.Equal(t, 7, ops(t, q)[0].Tool, "with or without an index")
		before, _, _ := strings.Cut(text(t, p), "%")
		return strings.Split(strings.TrimSpace(before), "\n")
	}
	const bare = "; feeds and speeds are not in this program"
	for _, c := range []struct {
		name string
		o    nc.WriteOptions
		want []string
	}{
		{"as usual", nc.WriteOptions{}, []string{"M48", bare, "FMAT,2", "METRIC", "T7C1.200", "T3C0.800", "T5C0.800"}},
		{"no words", nc.WriteOptions{Words: []string{}}, []string{"M48", bare, "METRIC", "T7C1.200", "T3C0.800", "T5C0.800"}},
		{"words", nc.WriteOptions{Words: []string{"VER,1", "FMAT,2", "DETECT,ON"}, Table: nc.TableByNumber}, []string{"M48", bare, "VER,1", "FMAT,2", "DETECT,ON", "METRIC", "T3C0.800", "T5C0.800", "T7C1.200"}},
		{"by diameter", nc.WriteOptions{Table: nc.TableByDiameter, Index: true}, []string{"M48", bare, "FMAT,2", "METRIC", "T3C0.800", "T5C0.800", "T7C1.200"}},
	} {
		require.Empty(t, cmp.Diff(c.want, head(c.o)), c.name)
	}
	p, err := nc.Build(slices.Values(in), tools, nc.WriteOptions{Index: true})
	require.NoError(t, err)
	require.Contains(t, text(t, p), "\nT0707\n")
	for _, bad := range []nc.WriteOptions{
		{Words: []string{"ICI,ON"}}, {Words: []string{"FMAT,1"}}, {Words: []string{"FMAT,2\nM30"}}, {Table: 9},
		{Exchange: true, Index: true}, {Exchange: true, Words: []string{"VER,1"}}, {Incremental: true, Patterns: true},
	} {
		_, err := nc.Build(slices.Values(in), tools, bad)
		require.ErrorIs(t, err, nc.ErrWrite, "%+v", bad)
	}
	_, err = nc.Build(slices.Values([]nc.Op(nil)), []nc.ToolDef{{Number: 100, Diameter: 1}}, nc.WriteOptions{Index: true})
	require.ErrorIs(t, err, nc.ErrWrite, "no index above 99")
}

// TestNothingAddsUp writes long rows whose pitch no last digit fits, as steps,
// as repeats and plainly: every hit stays within half the last digit.
func TestNothingAddsUp(t *testing.T) {
	tools := tableOf(1)
	for seed := range uint64(40) {
		rng := rand.New(rand.NewPCG(seed, 21))
		var in []nc.Op
		in = append(in, nc.Op{Kind: nc.OpTool, Tool: 1})
		for range 3 {
			at, pitch := orb.Point{rng.Float64() * 100, rng.Float64() * 100}, orb.Point{rng.Float64(), rng.Float64() * 0.3}
			for k := range 120 {
				in = append(in, nc.Op{Kind: nc.OpHit, Tool: 1, To: orb.Point{at[0] + float64(k)*pitch[0], at[1] + float64(k)*pitch[1]}})
			}
		}
		for _, d := range []struct {
			o    nc.WriteOptions
			half float64
		}{
			{nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 3}}, 0.0127},
			{nc.WriteOptions{Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 3, Dec: 1}}, 0.05},
		} {
			for _, how := range []func(*nc.WriteOptions){
				func(*nc.WriteOptions) {},
				func(o *nc.WriteOptions) { o.Incremental = true },
				func(o *nc.WriteOptions) { o.Incremental, o.Rows = true, true },
				func(o *nc.WriteOptions) { o.Rows = true },
				func(o *nc.WriteOptions) { o.Patterns, o.Rows = true, true },
			} {
				o := d.o
				how(&o)
				p, err := nc.Build(slices.Values(in), tools, o)
				require.NoError(t, err)
				got := hits(t, parse(t, text(t, p)))
				require.Len(t, got, len(in)-1)
				for k, h := range got {
					dx, dy := math.Abs(h[0]-in[k+1].To[0]), math.Abs(h[1]-in[k+1].To[1])
					require.LessOrEqual(t, max(dx, dy), d.half+1e-6, "seed %d %+v: hit %d", seed, o, k)
				}
			}
		}
	}
}

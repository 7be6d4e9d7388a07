package job_test

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// cheapPinning is a sample in a shop where another pinning costs next to
// nothing, so that tiers pay.
func cheapPinning(t *testing.T, name string, tiers int) job.Plan {
	t.Helper()
	p := sample(t, name)
	p.Job.Stack.Tiers = tiers
	p.Job.Drill.Machine.Load = 0
	s := &p.Job.Drill.Rules.Stack
	s.EntryPrice, s.BackupPrice, s.SetUpLabour, s.StackLabour = 0, 0, 0, 0
	p, err := p.For(context.Background(), p.Job.Lot)
	require.NoError(t, err)
	return p
}

var hitLine = regexp.MustCompile(`(?m)^X[-0-9.]+Y[-0-9.]+$`)

// body counts the hits of a program text by tool diameter and place.
func body(text string) map[string]int {
	out, size := map[string]int{}, map[string]string{}
	tool := ""
	for _, line := range strings.Split(text, "\n") {
		if m := regexp.MustCompile(`^(T\d+)C([0-9.]+)`).FindStringSubmatch(line); m != nil {
			size[m[1]] = m[2]
		} else if size[line] != "" {
			tool = line
		} else if strings.HasPrefix(line, "X") || strings.HasPrefix(line, "Y") {
			out[size[tool]]++
		}
	}
	return out
}

func TestTiersMakeEveryHoleOnceOverAllOfThem(t *testing.T) {
	whole := cheapPinning(t, "greenhouse-sensor", 0)
	p := cheapPinning(t, "greenhouse-sensor", 3)
	require.Len(t, whole.Stack.SetUps, 2)
	require.Greater(t, len(p.Stack.SetUps), 3)
	require.Less(t, p.Stack.Cost.Total, whole.Stack.Cost.Total, "tiers pay here")
	heights := map[int]bool{}
	made := make([]int, len(p.Job.Drill.Holes))
	for _, d := range p.Drill {
		heights[d.SetUp.Height] = true
		for _, r := range d.Runs {
			require.Equal(t, d.SetUp.Height, int(r.Depth.Stack/p.Job.Drill.Panel.Thickness+0.5), "each run at its tier's own depth")
			for _, h := range r.Hits {
				if h.Kind == drill.Finish {
					made[h.Hole]++
				}
			}
		}
	}
	require.Greater(t, len(heights), 1, "tiers of their own height")
	for i, n := range made {
		require.Equal(t, 1, n, "hole %d", i)
	}

	written, report, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	together := slices.ContainsFunc(report, func(f tooling.Finding) bool { return f.Rule == "tiers-hole-missing" && f.OK })
	require.True(t, together, "the tiers are looked at together")
	files := map[string]bool{}
	sum := map[string]int{}
	for _, w := range written {
		require.False(t, files[w.File], "%s twice", w.File)
		files[w.File] = true
		if w.Pass == "rout" {
			require.Equal(t, len(p.Stack.SetUps), w.SetUp, "rout joins the last set-up")
			continue
		}
		u := p.Stack.SetUps[w.SetUp-1]
		if u.Tiers > 0 {
			require.Contains(t, string(w.Text), fmt.Sprintf("M47,set-up %d %s tier %d of %d, stack of %d", u.Number, w.Pass, u.Tier, u.Tiers, u.Height))
		}
		for size, n := range body(string(w.Text)) {
			sum[size] += n
		}
	}
	want := map[string]int{}
	for _, w := range programs(t, whole) {
		if w.Pass != "rout" {
			for size, n := range body(string(w.Text)) {
				want[size] += n
			}
		}
	}
	require.Equal(t, want, sum, "the same hits of each bit as in one piece")

	// The estimate of each tier is what its text takes.
	for _, d := range p.Drill {
		e, err := d.Estimate(p.Job.Drill.Machine)
		require.NoError(t, err)
		k := slices.IndexFunc(written, func(w job.Program) bool { return w.Pass == d.Name && w.SetUp == d.SetUp.Number })
		got := simulate(p.Job.Drill, d.SetUp.Height, 0).run(string(written[k].Text))
		require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "set-up %d", d.SetUp.Number)
	}

	// The next lot is planned from the whole pass again.
	again, err := p.For(context.Background(), 240)
	require.NoError(t, err)
	require.Equal(t, p.Stack.Cost, again.Stack.Cost)
	one, err := p.For(context.Background(), 1)
	require.NoError(t, err)
	require.Len(t, one.Stack.SetUps, 2, "one panel is never cut into tiers")
	require.NoError(t, func() error {
		_, r, err := one.Programs(context.Background(), job.WriteOptions{})
		require.NoError(t, err)
		return r.Err()
	}())
}

// A tier answers for its own holes: one left out, doubled, or taken from
// another tier is found.
func TestChecksOfTiersFindWhatIsWrong(t *testing.T) {
	p := cheapPinning(t, "greenhouse-sensor", 3)
	first := slices.IndexFunc(p.Drill, func(d drill.Pass) bool { return d.SetUp.Tier == 1 })
	tiers := p.Drill[first : first+p.Drill[first].SetUp.Tiers]
	texts := make([][]byte, len(tiers))
	for k, d := range tiers {
		program, err := d.Program(nc.WriteOptions{})
		require.NoError(t, err)
		var b bytes.Buffer
		_, err = program.WriteTo(&b)
		require.NoError(t, err)
		texts[k] = b.Bytes()
	}
	refused := func(t *testing.T, tier int, text []byte) map[string]bool {
		t.Helper()
		out := map[string]bool{}
		var all []*nc.Program
		for k := range tiers {
			src := texts[k]
			if k == tier {
				src = text
			}
			w, err := nc.Parse(src, nc.ReadOptions{})
			require.NoError(t, err)
			all = append(all, w)
			for _, f := range drill.Check(p.Job.Drill, tiers[k], w) {
				if !f.OK {
					out[f.Rule] = true
				}
			}
		}
		for _, f := range drill.CheckTiers(p.Job.Drill, tiers, all) {
			if !f.OK {
				out[f.Rule] = true
			}
		}
		return out
	}
	require.Empty(t, refused(t, 0, texts[0]))
	hit := hitLine.FindAllIndex(texts[0], -1)
	require.NotEmpty(t, hit)
	last := hit[len(hit)-1]
	without := slices.Concat(texts[0][:last[0]], texts[0][last[1]+1:])
	got := refused(t, 0, without)
	require.True(t, got["hole-missing"] && got["tiers-hole-missing"], "%v", got)
	line := texts[0][last[0] : last[1]+1]
	twice := slices.Concat(texts[0][:last[1]+1], line, texts[0][last[1]+1:])
	got = refused(t, 0, twice)
	require.True(t, got["hole-doubled"] && got["tiers-hole-doubled"], "%v", got)
	end := bytes.LastIndex(texts[1], []byte("M30"))
	foreign := slices.Concat(texts[1][:end], line, texts[1][end:])
	got = refused(t, 1, foreign)
	require.True(t, got["wrong-tier"], "%v", got)

	// Not all tiers, or not in their order.
	for _, passes := range [][]drill.Pass{tiers[:1], {tiers[1], tiers[0]}, nil} {
		all := make([]*nc.Program, len(passes))
		for k := range passes {
			all[k], _ = nc.Parse(texts[k], nc.ReadOptions{})
		}
		report := drill.CheckTiers(p.Job.Drill, passes, all)
		require.Error(t, report.Err())
		parts := make([][]*nc.Program, len(all))
		for k := range all {
			parts[k] = all[k : k+1]
		}
		require.Equal(t, report, drill.CheckTiersAs(p.Job.Drill, passes, parts, nc.WriteOptions{}), "each in one part")
	}
}

func TestTiersAreAskedForInTheJobFile(t *testing.T) {
	cheap := `"objective": "time", "stack": {"tiers": 3`
	files := newSmall().files()
	replace("job.json", `"machine_adjust": {`, `"machine_adjust": {"load_s": 0, "spindles": 1, `)(t, files)
	replace("job.json", `"panels": 10`, `"panels": 12, `+cheap+`}`)(t, files)
	j, err := job.Load(files, "job.json")
	require.NoError(t, err)
	require.Equal(t, 3, j.Stack.Tiers)
	p := plan(t, j)
	require.Greater(t, len(p.Stack.SetUps), 2)
	require.NotEmpty(t, programs(t, p))

	// Holes that have to lie better than two pinnings hold are not cut.
	replace("job.json", `"plating": "unplated"`, `"position_mm": 0.05, "plating": "unplated"`)(t, files)
	j, err = job.Load(files, "job.json")
	require.NoError(t, err)
	p = plan(t, j)
	for _, u := range p.Stack.SetUps {
		require.False(t, u.Stage == tooling.AfterPlating && u.Tiers > 0, "tier %d of %d", u.Tier, u.Tiers)
	}
	require.True(t, slices.ContainsFunc(p.Stack.Refused, func(r stack.Refusal) bool {
		return r.Rule == stack.RuleSecond && strings.Contains(r.Detail, "0.050 mm")
	}))
	replace("job.json", cheap, cheap+`, "second_pass_mm": 0.04`)(t, files)
	j, err = job.Load(files, "job.json")
	require.NoError(t, err)
	require.True(t, slices.ContainsFunc(plan(t, j).Stack.SetUps, func(u stack.SetUp) bool { return u.Stage == tooling.AfterPlating && u.Tiers > 1 }))
}

package job_test

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

func load(t *testing.T, s small) job.Job {
	t.Helper()
	j, err := job.Load(s.files(), "job.json")
	require.NoError(t, err)
	return j
}

func plan(t *testing.T, j job.Job) job.Plan {
	t.Helper()
	p, err := job.Make(context.Background(), j, job.Options{})
	require.NoError(t, err)
	return p
}

func programs(t *testing.T, p job.Plan) []job.Program {
	t.Helper()
	out, report, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	return out
}

func TestSmallJobFromFilesToFiles(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	dir := filepath.Join(t.TempDir(), "out")
	wrote, report, err := p.Write(context.Background(), dir, job.WriteOptions{})
	require.NoError(t, err)
	require.True(t, report.OK())
	var names []string
	for _, f := range wrote {
		names = append(names, f.File)
		got, err := os.ReadFile(filepath.Join(dir, f.File))
		require.NoError(t, err)
		require.Equal(t, string(f.Text), string(got))
		for _, want := range []string{"; job small revision A\n", "; content " + p.Job.Hash + "\n", "set-up ", "stack of ", "never reach in for fragments"} {
			require.Contains(t, string(got), want, f.File)
		}
	}
	want := []string{"small-A-1-plated.nc", "small-A-2-unplated.nc", "small-A-2-rout.nc"}
	require.Empty(t, cmp.Diff(want, names), "-want +got")
}

// Every distinct input hole gets one finishing stroke, in the right stage, by
// a bit that leaves it inside its tolerance.
func TestEveryHoleIsFinishedOnce(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	finished := make([]int, len(p.Job.Drill.Holes))
	for _, d := range p.Drill {
		for _, r := range d.Runs {
			for _, h := range r.Hits {
				if h.Kind != drill.Finish {
					continue
				}
				finished[h.Hole]++
				hole := p.Job.Drill.Holes[h.Hole]
				require.Equal(t, hole.Stage(), d.Stage)
				minus, plus := hole.Size.Tolerance()
				left := p.Job.Drill.Rules.Allowance.Result(hole.Size, r.Tool.Diameter)
				require.GreaterOrEqual(t, left, hole.Size.Diameter-minus-1e-9)
				require.LessOrEqual(t, left, hole.Size.Diameter+plus+1e-9)
			}
		}
	}
	for i, n := range finished {
		require.Equal(t, 1, n, "hole %d", i)
	}
	require.Equal(t, 2*(35+2+1+3)+2+len(p.Layout.Perforations()), len(finished))
}

func TestShuffledInputGivesTheSameBytes(t *testing.T) {
	s := newSmall()
	want := programs(t, plan(t, load(t, s)))
	for seed := range uint64(3) {
		j := load(t, s.shuffled(seed))
		j.Hash = load(t, s).Hash // the files differ, and so does what the header says they were
		got := programs(t, plan(t, j))
		require.Empty(t, cmp.Diff(want, got), "seed %d, -want +got", seed)
	}
}

func TestInchFileGivesTheSameProgram(t *testing.T) {
	files := newSmall().files()
	metric, err := job.Load(files, "job.json")
	require.NoError(t, err)
	for _, name := range []string{"plated.drl", "unplated.drl", "outline.rte"} {
		files[name].Data = inch(t, files[name].Data)
	}
	inches, err := job.Load(files, "job.json")
	require.NoError(t, err)
	inches.Hash = metric.Hash
	require.Empty(t, cmp.Diff(programs(t, plan(t, metric)), programs(t, plan(t, inches))), "-metric +inch")
}

// inch rewrites a metric file of the 2.54 mm grid in inches, by its own
// arithmetic: every X, Y and A word in tenths of a thousandth, tools with
// enough digits to come back to the same nanometre.
func inch(t *testing.T, src []byte) []byte {
	t.Helper()
	var out []string
	for _, line := range strings.Split(string(src), "\n") {
		switch {
		case line == "METRIC":
			line = "INCH"
		case line != "" && !strings.HasPrefix(line, "M"):
			line = rescale(t, line)
		}
		out = append(out, line)
	}
	return []byte(strings.Join(out, "\n"))
}

// counts is what must not change when a job is moved, mirrored or turned.
type counts struct {
	Holes, Hits int
	Bits        []string
	Height      []int
	Loads       []int
	Checks      []string
}

func count(t *testing.T, p job.Plan) counts {
	t.Helper()
	var c counts
	for _, d := range p.Drill {
		c.Holes += d.Holes()
		c.Hits += d.Hits()
		for _, r := range d.Runs {
			c.Bits = append(c.Bits, d.Name+" "+r.Tool.ID)
		}
	}
	for _, u := range p.Stack.SetUps {
		c.Height = append(c.Height, u.Height)
		c.Loads = append(c.Loads, u.Loads)
	}
	_, report, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	for _, f := range report {
		c.Checks = append(c.Checks, f.Rule)
	}
	slices.Sort(c.Checks)
	return c
}

func TestMovedAndTurnedJobsAskForTheSameWork(t *testing.T) {
	j := load(t, newSmall())
	j.Route = route.Input{} // boards are turned in package route's own tests
	want := count(t, plan(t, j))
	w, h := j.Drill.Panel.Width, j.Drill.Panel.Height
	for _, c := range []struct {
		name, reason string
		move         func(orb.Point) orb.Point
		swap         bool
	}{
		{"mirrored in x", "a flipped panel", func(p orb.Point) orb.Point { return orb.Point{w - p[0], p[1]} }, false},
		{"mirrored in y", "a tumbled panel", func(p orb.Point) orb.Point { return orb.Point{p[0], h - p[1]} }, false},
		{"axes swapped", "a panel laid across, on a machine whose axes are swapped", func(p orb.Point) orb.Point { return orb.Point{p[1], p[0]} }, true},
		{"turned by 90 degrees", "the same, without the mirror", func(p orb.Point) orb.Point { return orb.Point{h - p[1], p[0]} }, true},
		{"shifted", "a larger blank", func(p orb.Point) orb.Point { return orb.Point{p[0] + 30, p[1] + 10} }, false},
	} {
		width, height := w, h
		if c.swap {
			width, height = h, w
		}
		if c.name == "shifted" {
			width, height = w+30, h+10
		}
		k := moved(j, c.move, width, height)
		if c.swap {
			k.Drill.Machine.X, k.Drill.Machine.Y = k.Drill.Machine.Y, k.Drill.Machine.X
		}
		require.Empty(t, cmp.Diff(want, count(t, plan(t, k))), "%s (%s), -want +got", c.name, c.reason)
	}
}

func TestCancelledMakeReturnsTheContextsError(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := job.Make(ctx, load(t, newSmall()), job.Options{})
	require.ErrorIs(t, err, context.Canceled)
}

func TestNothingIsWrittenWhenACheckRefuses(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	p.Job.Drill.Machine.MaxSpeed = 10_000 // the machine was changed after planning
	dir := filepath.Join(t.TempDir(), "out")
	_, report, err := p.Write(context.Background(), dir, job.WriteOptions{})
	var refused *tooling.CheckError
	require.ErrorAs(t, err, &refused)
	require.False(t, report.OK())
	require.NoDirExists(t, dir)
}

func TestEstimatesAddUp(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	m := p.Job.Drill.Machine
	for _, d := range p.Drill {
		e, err := d.Estimate(m)
		require.NoError(t, err)
		var runs float64
		for _, r := range d.Runs {
			runs += r.Travel
		}
		require.InDelta(t, runs, (e.Travel + e.Settle).Seconds(), 1e-6, "%s: the clock's travel is the plan's", d.Name)
		require.Equal(t, e.Total(), m.Time(d.Steps(m)).Total())
	}
	for _, r := range p.Rout {
		e, err := r.Estimate(m)
		require.NoError(t, err)
		require.Positive(t, e.Rout)
		require.Equal(t, e.Total(), m.Time(r.Steps(m)).Total())
	}
	_, err := drill.Pass{}.Estimate(machine.Machine{})
	require.ErrorIs(t, err, drill.ErrUnmounted)
}

// Holes no bit makes are routed in a pass of their own stage, with boards and
// without.
func TestLargeHolesAreRouted(t *testing.T) {
	for _, outlined := range []bool{true, false} {
		files := newSmall().files()
		replace("plated.drl", "T2C1.000", "T2C8.000")(t, files)
		replace("plated.drl", "T3C0.900", "T3C3.400")(t, files) // a slot no slot bit makes, but a bit does
		replace("unplated.drl", "T2C5.000", "T2C7.500")(t, files)
		if !outlined {
			replace("job.json", `"outline": "outline.rte", `, "")(t, files)
		}
		j, err := job.Load(files, "job.json")
		require.NoError(t, err)
		p := plan(t, j)
		programs(t, p)
		paths := map[string]int{}
		for _, r := range p.Rout {
			for _, run := range r.Runs {
				paths[r.Name] += len(run.Paths)
			}
		}
		require.GreaterOrEqual(t, paths[route.PlatedRout], 4, "two plated holes on each of two boards, outlined %v", outlined)
		require.GreaterOrEqual(t, paths[route.Rout], 2, "an unplated hole on each of two boards, outlined %v", outlined)
		drilled := 0
		for _, d := range p.Drill {
			drilled += d.Holes()
		}
		require.Equal(t, len(p.Job.Drill.Holes)-6, drilled)
	}
}

package job_test

import (
	"context"
	"os"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
)

// shops are machines and depth ratios under which a plan is mounted anew.
func shops(t *testing.T) map[string]func(*job.Plan) {
	t.Helper()
	out := map[string]func(*job.Plan){
		"as planned": func(*job.Plan) {},
		"every cause": func(p *job.Plan) {
			m := &p.Job.Drill.Machine
			m.Overlap, m.Approach, m.FootDwell, m.SpinUp = 12*time.Millisecond, 1.2, 5*time.Millisecond, 2*time.Second
			m.Y.Accel = 0.7 * m.X.Accel
			m.ChangeAt[0] = -40
		},
		"jerk": func(p *job.Plan) {
			m := &p.Job.Drill.Machine
			m.X.Jerk, m.Y.Jerk, m.Z.Jerk = 200_000, 120_000, 900_000
		},
		"pecked": func(p *job.Plan) { p.Job.Drill.Rules.Stack.Ratio, p.Job.Drill.Machine.Approach = 6, 0.5 },
	}
	for _, m := range machine.Presets() {
		out[m.Name] = func(p *job.Plan) { p.Job.Drill.Machine = m }
	}
	return out
}

// The estimate of every pass of the samples is what a second clock makes of
// the written text, to a microsecond a load, on every machine.
func TestEstimateIsWhatTheTextTakes(t *testing.T) {
	names := []string{"greenhouse-sensor", "tide-logger", "pump-backplane"}
	if testing.Short() {
		names = names[:1]
	}
	arcs, pecked := 0, 0
	for _, name := range names {
		planned := sample(t, name)
		for shop, change := range shops(t) {
			p := planned
			change(&p)
			p, err := p.For(context.Background(), 60)
			require.NoError(t, err, "%s %s", name, shop)
			in := p.Job.Drill
			clock := func(program *nc.Program, err error, height int, plunge float64) time.Duration {
				require.NoError(t, err)
				var text strings.Builder
				_, err = program.WriteTo(&text)
				require.NoError(t, err)
				s := simulate(in, height, plunge)
				total := s.run(text.String())
				arcs, pecked = arcs+s.arcs, pecked+s.pecked
				return total
			}
			for _, d := range p.Drill {
				e, err := d.Estimate(in.Machine)
				require.NoError(t, err)
				program, err := d.Program(nc.WriteOptions{})
				got := clock(program, err, d.SetUp.Height, 0)
				require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "%s %s %s", name, shop, d.Name)
			}
			for _, r := range p.Rout {
				e, err := r.Estimate(in.Machine)
				require.NoError(t, err)
				program, err := r.Program(nc.WriteOptions{})
				got := clock(program, err, r.SetUp.Height, r.Runs[0].Feed.Plunge)
				require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "%s %s %s", name, shop, r.Name)
			}
		}
	}
	require.Positive(t, arcs)
	require.Positive(t, pecked)
}

// So is the time of stops at which the operator takes waste out, in every load
// and in what the stack planner was told.
func TestWasteStopsTakeTheirTime(t *testing.T) {
	s := newSmall()
	without := plan(t, load(t, s))
	s.job = strings.Replace(s.job, `"cutter_mm": 2`, `"cutter_mm": 2, "slug_stop_mm": 4`, 1)
	p := plan(t, load(t, s))
	in := p.Job.Drill
	rout := p.Rout[0]
	wrote := programs(t, p)
	text := string(wrote[len(wrote)-1].Text)
	require.Equal(t, 2, strings.Count(text, "M47,"+tooling.TakeOutWaste+"\n"), "a cut-out in each of two boards")
	e, err := rout.Estimate(in.Machine)
	require.NoError(t, err)
	require.Equal(t, 2*in.Machine.Stop, e.Pause)
	got := simulate(in, rout.SetUp.Height, rout.Runs[0].Feed.Plunge).run(text)
	require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000)
	last := len(p.Stack.SetUps) - 1
	require.Equal(t, 2*in.Machine.Stop, p.Stack.SetUps[last].LoadTime-without.Stack.SetUps[last].LoadTime)
}

// simulate is a simulator of a stack on the job's machine.
func simulate(in drill.Input, height int, plunge float64) *simulator {
	rules := in.Rules.Stack
	return &simulator{m: in.Machine, entry: rules.Entry, clear: rules.Clearance, ratio: rules.Ratio, plunge: plunge / 60,
		stack: tooling.Snap(float64(height) * in.Panel.Thickness), worn: map[string]int{}, next: map[string]int{}}
}

// samples keeps the planned sample panels: ordering them takes longest, and
// the order depends on nothing that a test changes.
var samples sync.Map

// sample is a sample panel planned as it stands.
func sample(t *testing.T, name string) job.Plan {
	t.Helper()
	if p, ok := samples.Load(name); ok {
		return p.(job.Plan)
	}
	j, err := job.Load(os.DirFS("../../testdata/panels/"+name), "job.json")
	require.NoError(t, err)
	p := plan(t, j)
	samples.Store(name, p)
	return p
}

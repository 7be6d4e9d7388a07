package job_test

import (
	"context"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

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
		j, err := job.Load(os.DirFS("../../testdata/panels/"+name), "job.json")
		require.NoError(t, err)
		planned, err := job.Make(context.Background(), j, job.Options{})
		require.NoError(t, err)
		for shop, change := range shops(t) {
			p := planned
			change(&p)
			p, err := p.For(context.Background(), 60)
			require.NoError(t, err, "%s %s", name, shop)
			rules, in := p.Job.Drill.Rules.Stack, p.Job.Drill
			clock := func(text string, height int, plunge float64) time.Duration {
				s := simulator{m: in.Machine, entry: rules.Entry, clear: rules.Clearance, ratio: rules.Ratio, plunge: plunge / 60,
					stack: tooling.Snap(float64(height) * in.Panel.Thickness)}
				total := s.run(text)
				arcs, pecked = arcs+s.arcs, pecked+s.pecked
				return total
			}
			text := map[string]string{}
			written, _, err := p.Programs(nc.WriteOptions{})
			require.NoError(t, err)
			for _, w := range written {
				text[w.Pass] = string(w.Text)
			}
			for _, d := range p.Drill {
				e, err := d.Estimate(in.Machine)
				require.NoError(t, err)
				got := clock(text[d.Name], d.SetUp.Height, 0)
				require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "%s %s %s", name, shop, d.Name)
			}
			for _, r := range p.Rout {
				e, err := r.Estimate(in.Machine)
				require.NoError(t, err)
				got := clock(text[r.Name], r.SetUp.Height, r.Runs[0].Feed.Plunge)
				require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "%s %s %s", name, shop, r.Name)
			}
		}
	}
	require.Positive(t, arcs)
	require.Positive(t, pecked)
}

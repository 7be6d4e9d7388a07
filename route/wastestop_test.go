package route_test

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// stopped is two sensors whose cut-outs leave a slug of some 15 x 5 mm.
func stopped(slug float64) route.Input {
	in := input(sensor(), panel(160, 60, orb.Point{10, 10}, orb.Point{80, 10}))
	in.Rules.Rout.SlugStop = slug
	return in
}

// refusals lists the rules that a check refuses.
func refusals(r tooling.Report) []string {
	out := []string{}
	for _, f := range r {
		if !f.OK {
			out = append(out, f.Rule)
		}
	}
	return out
}

func TestTheProgramStopsWhereWasteComesLoose(t *testing.T) {
	stop := "M47," + tooling.TakeOutWaste + "\n"
	for name, o := range map[string]route.Options{"finish": {}, "rough first": {Rough: 0.15}} {
		t.Run(name, func(t *testing.T) {
			l := lay(t, stopped(5))
			p := mounted(t, l, o)
			src := text(t, p)
			require.Equal(t, 2, strings.Count(src, stop), "one for each cut-out")
			check := func(src string) []string {
				prog, err := nc.Parse([]byte(src), nc.ReadOptions{})
				require.NoError(t, err)
				return refusals(route.Check(l, p, prog))
			}
			require.Empty(t, check(src))
			var freeing []route.Path
			for _, r := range p.Runs {
				for _, q := range r.Paths {
					if q.Frees > 0 {
						freeing = append(freeing, q)
					}
				}
			}
			require.Len(t, freeing, 2)
			for _, q := range freeing {
				require.Equal(t, 1, q.Loop, "a cut-out")
				want := route.Finish
				if o.Rough > 0 {
					want = route.Rough
				}
				require.Equal(t, want, q.Role, "the first that goes all round")
				require.Greater(t, q.Frees, 10.0)
			}
			// Both stops are asked for, at their places, by what the written paths free,
			// whatever the plan says.
			require.Equal(t, []string{"waste-stop"}, check(strings.Replace(src, stop, "", 1)))
			at := strings.Index(src, stop)
			before := strings.LastIndex(src[:at], "G00")
			require.Equal(t, []string{"waste-stop"}, check(src[:before]+stop+src[before:at]+src[at+len(stop):]))
			for i := range p.Runs {
				for k := range p.Runs[i].Paths {
					p.Runs[i].Paths[k].Frees = 0
				}
			}
			require.Equal(t, []string{"waste-stop"}, check(text(t, p)))
		})
	}
}

// The stops cost the operator's time, in the estimate and in what the stack
// planner is told.
func TestStopsForWasteTakeTime(t *testing.T) {
	with, without := mounted(t, lay(t, stopped(5)), route.Options{}), mounted(t, lay(t, stopped(0)), route.Options{})
	m := ballScrew()
	require.Positive(t, m.Stop)
	a, err := with.Estimate(m)
	require.NoError(t, err)
	b, err := without.Estimate(m)
	require.NoError(t, err)
	require.Equal(t, 2*m.Stop, a.Pause)
	require.Equal(t, 2*m.Stop, a.Total()-b.Total())
	require.Equal(t, 2*m.Stop, with.Work()[0].Fixed-without.Work()[0].Fixed)
	raw, err := json.Marshal(with)
	require.NoError(t, err)
	back, err := route.DecodePass(raw, "")
	require.NoError(t, err)
	require.Equal(t, text(t, with), text(t, back), "a saved pass keeps its stops")
	require.False(t, bytes.Contains([]byte(text(t, without)), []byte(tooling.TakeOutWaste)))
	require.Equal(t, text(t, without), text(t, mounted(t, lay(t, stopped(50)), route.Options{})), "what is smaller drops")
}

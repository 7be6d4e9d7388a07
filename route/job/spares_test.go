package job_test

import (
	"bytes"
	"context"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// counting is a sample planned for a control that counts hits.
func counting(t *testing.T, name string, lot int, policy stack.Policy) job.Plan {
	t.Helper()
	p := sample(t, name)
	p.Ordered = slices.Clone(p.Ordered)
	for i := range p.Ordered { // bounds that are none, so that a floor is known
		p.Ordered[i].Runs = slices.Clone(p.Ordered[i].Runs)
		for k := range p.Ordered[i].Runs {
			p.Ordered[i].Runs[k].Bound = p.Ordered[i].Runs[k].Travel / 2
		}
	}
	p.Job.Stack.Mode, p.Job.Stack.Policy = stack.Spares, policy
	p, err := p.For(context.Background(), lot)
	require.NoError(t, err)
	return p
}

// Every load of the lot, run from the text of its one program by a control
// that counts hits on from load to load, takes what the clock says of that
// load; the loads together take what the clock says of the lot, and eat the
// bits that the planner counted.
func TestSparesRunAsTheTextSays(t *testing.T) {
	for _, c := range []struct {
		name   string
		lot    int
		policy stack.Policy
	}{
		{"greenhouse-sensor", 240, stack.CarryOn},
		{"tide-logger", 60, stack.CarryOn},
		{"tide-logger", 60, stack.WholeLoads},
		{"tide-logger", 60, stack.Fresh},
	} {
		t.Run(c.name+" "+string(c.policy), func(t *testing.T) {
			p := counting(t, c.name, c.lot, c.policy)
			m := p.Job.Drill.Machine
			limited, carried := 0, 0
			for _, w := range programs(t, p) {
				k := slices.IndexFunc(p.Drill, func(d drill.Pass) bool { return d.Name == w.Pass && d.SetUp.Number == w.SetUp })
				if k < 0 {
					continue
				}
				d := p.Drill[k]
				u := d.SetUp
				require.Equal(t, c.policy, u.Policy)
				require.Equal(t, stack.Spares, u.Mode)
				s := simulate(p.Job.Drill, u.Height, 0)
				taken := map[string]int{} // bits on a spindle in use in every load
				var lot machine.Estimate
				read, err := nc.Parse(w.Text, nc.ReadOptions{})
				require.NoError(t, err)
				for n := 1; n <= u.Loads; n++ {
					if u.Policy != stack.CarryOn {
						s.worn = map[string]int{} // new bits, or such as last for another load whole
					}
					s.total = 0
					got := s.run(string(w.Text))
					one, err := d.Load(n)
					require.NoError(t, err)
					e, err := one.Estimate(m)
					require.NoError(t, err)
					require.InDelta(t, got.Nanoseconds(), e.Total().Nanoseconds(), 1000, "load %d", n)
					require.NoError(t, drill.Check(p.Job.Drill, one, read).Err(), "load %d", n)
					lot = lot.Add(e)
				}
				all, err := d.Lot(m)
				require.NoError(t, err)
				lot.Used = nil
				require.InDelta(t, lot.Path, all.Path, 1e-3)
				require.Positive(t, all.Floor)
				require.Equal(t, lot.Floor, all.Floor)
				all.Path = lot.Path
				require.Equal(t, lot, all)
				for number, v := range s.next {
					taken[number] = v + 1
				}
				for _, r := range d.Runs {
					share, _ := u.Share(d.Name, r.Number)
					number := strconv.Itoa(u.FirstPlace(d.Name, r.Number))
					if r.Limit == 0 {
						require.NotContains(t, taken, number)
						continue
					}
					limited++
					require.LessOrEqual(t, r.Limit, int(r.Life))
					if u.Policy == stack.CarryOn {
						// Spindles that work in the last load use as many as the one run here.
						loads, n, life := u.Loads, len(r.Hits), int(r.Life)
						require.Equal(t, (loads*n+life-1)/life, max(taken[number], 1))
						require.Equal(t, u.Last*((loads*n+life-1)/life)+(u.Spindles-u.Last)*(((loads-1)*n+life-1)/life), share.Bought)
						carried += taken[number] - 1
					}
				}
			}
			require.Positive(t, limited)
			require.Equal(t, c.policy == stack.CarryOn, carried > 0, "bits changed in mid load")
		})
	}
}

// What the program says of bits is refused when it is not what was planned.
func TestChecksOfSparesFindWhatIsWrong(t *testing.T) {
	p := counting(t, "tide-logger", 60, stack.CarryOn)
	d := p.Drill[0]
	program, err := d.Program(nc.WriteOptions{})
	require.NoError(t, err)
	var text bytes.Buffer
	_, err = program.WriteTo(&text)
	require.NoError(t, err)
	limit := regexp.MustCompile(`H(\d+)`)
	found := limit.FindStringSubmatch(text.String())
	require.NotNil(t, found, "%s", text.String()[:600])
	h, err := strconv.Atoi(found[1])
	require.NoError(t, err)
	rules := func(src string) map[string]bool {
		w, err := nc.Parse([]byte(src), nc.ReadOptions{})
		require.NoError(t, err)
		out := map[string]bool{}
		for _, f := range drill.Check(p.Job.Drill, d, w) {
			if !f.OK {
				out[f.Rule] = true
			}
		}
		return out
	}
	first := true
	change := func(with string) string {
		first = true
		return limit.ReplaceAllStringFunc(text.String(), func(s string) string {
			if first {
				first = false
				return with
			}
			return s
		})
	}
	require.Empty(t, rules(text.String()))
	require.Equal(t, map[string]bool{"hit-limit": true, "life": true}, rules(change("")), "a control that never changes the bit")
	require.Equal(t, map[string]bool{"hit-limit": true, "life": true}, rules(change("H"+strconv.Itoa(h+1))), "one hit past the life")
	got := rules(change("H" + strconv.Itoa(h/10)))
	require.True(t, got["hit-limit"] && got["spares"], "more bits a load than places: %v", got)

	// A limit where the plan has none.
	split, err := p.For(context.Background(), 60)
	require.NoError(t, err)
	split.Job.Stack.Mode, split.Job.Stack.Policy = "", ""
	split, err = split.For(context.Background(), 60)
	require.NoError(t, err)
	program, err = split.Drill[0].Program(nc.WriteOptions{})
	require.NoError(t, err)
	text.Reset()
	_, err = program.WriteTo(&text)
	require.NoError(t, err)
	require.NotRegexp(t, `(?m)^T\d+C.*H\d`, text.String(), "bits selected by their own T have no hit limit")
	d = split.Drill[0]
	src := regexp.MustCompile(`(?m)^(T\d+C.*)Z`).ReplaceAllString(text.String(), "${1}H100Z")
	require.True(t, rules(src)["hit-limit"])
}

func TestLoadsOfAPass(t *testing.T) {
	p := counting(t, "greenhouse-sensor", 240, stack.CarryOn)
	d := p.Drill[0]
	for _, n := range []int{0, -1, d.SetUp.Loads + 1} {
		_, err := d.Load(n)
		require.ErrorIs(t, err, drill.ErrSetUp)
	}
	_, err := p.Ordered[0].Load(1)
	require.ErrorIs(t, err, drill.ErrUnmounted)
	_, err = p.Ordered[0].Lot(p.Job.Drill.Machine)
	require.ErrorIs(t, err, drill.ErrUnmounted)
	first, err := d.Load(1)
	require.NoError(t, err)
	require.Equal(t, d, first)
}

func TestSparesAreAskedForInTheJobFile(t *testing.T) {
	files := newSmall().files()
	replace("job.json", `"panels": 10`, `"panels": 900, "stack": {"bit_mode": "spares", "policy": "carry-on"}`)(t, files)
	j, err := job.Load(files, "job.json")
	require.NoError(t, err)
	p := plan(t, j)
	written := programs(t, p)
	require.Regexp(t, `(?m)^T1C.*H\d+`, string(written[0].Text))
	require.Contains(t, string(written[0].Text), "counted on from load to load")

	for _, c := range []struct{ with, path string }{
		{`"bit_mode": "swap"`, "stack.bit_mode"},
		{`"policy": "carry-on"`, "stack.policy"},
		{`"policy": "lazy", "bit_mode": "spares"`, "stack.policy"},
		{`"tiers": -1`, "stack.tiers"},
		{`"second_pass_mm": -1`, "stack.second_pass_mm"},
		{`"due_s": -1`, "stack.due_s"},
		{`"due_s": 1e300`, "stack.due_s"},
		{`"hour_price": -1`, "stack.hour_price"},
		{`"speeds": [0.7, 2]`, "stack.speeds[1]"},
		{`"speeds": [0.7]`, "stack.taylor.n"},
	} {
		files := newSmall().files()
		replace("job.json", `"panels": 10`, `"panels": 10, "stack": {`+c.with+`}`)(t, files)
		_, err := job.Load(files, "job.json")
		var list tooling.InputErrors
		require.ErrorAs(t, err, &list, c.with)
		require.Equal(t, c.path, list[0].Source.Path, c.with)
		require.Equal(t, "job.json", list[0].Source.File)
	}
}

// The rest after a stop, in any load of bits carried on and in a tier, is a
// pass whose text passes every check.
func TestRestsOfSparesAndTiers(t *testing.T) {
	spares := counting(t, "tide-logger", 60, stack.CarryOn)
	third, err := spares.Drill[0].Load(3)
	require.NoError(t, err)
	tiered := cheapPinning(t, "greenhouse-sensor", 3)
	for _, c := range []struct {
		name string
		in   drill.Input
		p    drill.Pass
	}{
		{"third load", spares.Job.Drill, third},
		{"first load", spares.Job.Drill, spares.Drill[0]},
		{"tier", tiered.Job.Drill, tiered.Drill[1]},
	} {
		for _, r := range c.p.Runs {
			if len(r.Hits) < 20 {
				continue
			}
			for _, spindles := range [][]int{nil, {1}} {
				at := drill.Stop{Run: r.Number, Hit: len(r.Hits) / 2, Last: len(r.Hits)/2 + 3, Spindles: spindles}
				rest, err := drill.Resume(context.Background(), c.in, c.p, at, drill.Options{Tour: tour.Options{Kicks: 1}})
				require.NoError(t, err, "%s run %d", c.name, r.Number)
				program, err := rest.Program(nc.WriteOptions{})
				require.NoError(t, err)
				var text bytes.Buffer
				_, err = program.WriteTo(&text)
				require.NoError(t, err)
				w, err := nc.Parse(text.Bytes(), nc.ReadOptions{})
				require.NoError(t, err)
				require.NoError(t, drill.Check(c.in, rest, w).Err(), "%s run %d", c.name, r.Number)
				e, err := rest.Estimate(c.in.Machine)
				require.NoError(t, err)
				lot, err := rest.Lot(c.in.Machine)
				require.NoError(t, err)
				require.GreaterOrEqual(t, lot.Total(), e.Total())
				_, err = rest.Load(2)
				require.ErrorIs(t, err, drill.ErrSetUp)
			}
			break
		}
	}
}

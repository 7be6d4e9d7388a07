package calibrate_test

import (
	"context"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/machine/calibrate"
)

// truth is the machine that made a synthetic log.
func truth(rng *rand.Rand) machine.Machine {
	axis := func() machine.Axis {
		return machine.Axis{Speed: 300 + 1000*rng.Float64(), Accel: 3000 + 17_000*rng.Float64()}
	}
	m, _ := machine.Preset("ball screw")
	m.X, m.Y = axis(), axis()
	m.Z = machine.Axis{Speed: 200 + 200*rng.Float64(), Accel: 8000 + 12_000*rng.Float64()}
	m.Settle = time.Duration(8+30*rng.Float64()) * time.Millisecond
	m.FootDwell = time.Duration(10+20*rng.Float64()) * time.Millisecond
	m.Change = time.Duration(5+20*rng.Float64()) * time.Second
	m.Load = time.Duration(100+300*rng.Float64()) * time.Second
	return m
}

// legs is the trade's formula for a rest to rest move over d mm, in s; with a
// jerk limit the seven phases, in closed form.
func legs(d float64, a machine.Axis) float64 {
	if d == 0 {
		return 0
	}
	if a.Jerk == 0 {
		if d >= a.Speed*a.Speed/a.Accel {
			return d/a.Speed + a.Speed/a.Accel
		}
		return 2 * math.Sqrt(d/a.Accel)
	}
	c := a.Accel / a.Jerk
	ramp := a.Speed/a.Accel + c
	switch {
	case a.Speed <= a.Accel*c: // the acceleration limit is never reached
		ramp = 2 * math.Sqrt(a.Speed/a.Jerk)
		if d < a.Speed*ramp {
			return 4 * math.Cbrt(d/(2*a.Jerk))
		}
	case d < 2*a.Accel*c*c:
		return 4 * math.Cbrt(d/(2*a.Jerk))
	case d < a.Speed*ramp:
		return c + math.Sqrt(c*c+4*d/a.Accel)
	}
	return d/a.Speed + ramp
}

// measure is the time of a row on a machine, from the formulas alone.
func measure(m machine.Machine, r calibrate.Row) float64 {
	n := float64(max(r.Count, 1))
	move, stroke := 0.0, 0.0
	if r.DX != 0 || r.DY != 0 {
		move = max(legs(math.Abs(r.DX), m.X), legs(math.Abs(r.DY), m.Y)) + m.Settle.Seconds()
	}
	if r.Depth > 0 {
		z := func(feed float64) float64 {
			return legs(r.Depth, machine.Axis{Speed: min(feed/60, m.Z.Speed), Accel: m.Z.Accel})
		}
		stroke = m.FootDwell.Seconds() + z(r.Feed) + z(r.Retract)
	}
	switch r.Kind {
	case calibrate.Change:
		return n * m.Change.Seconds()
	case calibrate.Load:
		return n * m.Load.Seconds()
	}
	return n*(move+stroke) + float64(r.Changes)*m.Change.Seconds() + float64(r.Loads)*m.Load.Seconds()
}

// spread is log-uniform.
func spread(rng *rand.Rand, lo, hi float64) float64 {
	return lo * math.Pow(hi/lo, rng.Float64())
}

// shopLog makes a log of n rows with noise and a share of outliers.
func shopLog(rng *rand.Rand, m machine.Machine, n int, noise, outliers float64) []calibrate.Row {
	var rows []calibrate.Row
	for i := range n {
		var r calibrate.Row
		switch k := i % 20; {
		case k < 7:
			r = calibrate.Row{Kind: calibrate.Move, DX: spread(rng, 0.05, 500)}
		case k < 14:
			r = calibrate.Row{Kind: calibrate.Move, DY: -spread(rng, 0.05, 500)}
		case k < 16: // strokes of drilling
			r = calibrate.Row{Kind: calibrate.Stroke, Depth: spread(rng, 2, 10), Feed: spread(rng, 600, 4000), Retract: spread(rng, 5000, 40_000)}
		case k < 18: // test strokes in air: ramps and the axis' own speed
			r = calibrate.Row{Kind: calibrate.Stroke, Depth: spread(rng, 0.1, 40), Feed: 40_000, Retract: 40_000}
		case k == 18:
			r = calibrate.Row{Kind: calibrate.Change}
		default:
			r = calibrate.Row{Kind: calibrate.Load}
		}
		r.Seconds = measure(m, r) * math.Exp(noise*rng.NormFloat64())
		if rng.Float64() < outliers {
			r.Seconds *= spread(rng, 1.5, 20)
		}
		rows = append(rows, r)
	}
	return rows
}

// truths returns the parameters of a machine under the names of a result.
func truths(m machine.Machine) map[string]float64 {
	return map[string]float64{
		"x.speed": m.X.Speed, "x.accel": m.X.Accel, "x.jerk": m.X.Jerk, "y.speed": m.Y.Speed, "y.accel": m.Y.Accel, "y.jerk": m.Y.Jerk,
		"z.speed": m.Z.Speed, "z.accel": m.Z.Accel, "settle_s": m.Settle.Seconds(), "foot_dwell_s": m.FootDwell.Seconds(),
		"change_s": (m.Change + m.SpinUp).Seconds(), "load_s": m.Load.Seconds(),
	}
}

// On synthetic logs of 500 rows with 2 % noise, with and without 5 % of
// outliers: every parameter called known comes back within 3 %, the standard
// errors are those of the errors made, nothing is called a misfit.
func TestFitRecovers(t *testing.T) {
	machines := 16
	if testing.Short() {
		machines = 2
	}
	for _, outliers := range []float64{0, 0.05} {
		known, all, squares, judged := 0, 0, 0.0, 0
		for seed := range uint64(machines) {
			rng := rand.New(rand.NewPCG(seed, 77))
			m := truth(rng)
			rows := shopLog(rng, m, 500, 0.02, outliers)
			r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
			if err != nil {
				t.Fatalf("seed %d: %v", seed, err)
			}
			if err := r.Report.Err(); err != nil || !r.Machine.Calibrated {
				t.Errorf("seed %d, outliers %v: a false misfit: %v", seed, outliers, err)
			}
			want := truths(m)
			for _, p := range r.Parameters {
				all++
				off := math.Abs(p.Value/want[p.Name] - 1)
				if p.Status == calibrate.Known {
					known++
					if off > 0.03 {
						t.Errorf("seed %d, outliers %v: %s is %.5g, want %.5g: %.1f %% off, said to be known to %.2f %%", seed, outliers, p.Name, p.Value, want[p.Name], 100*off, 100*p.StdErr/p.Value)
					}
				}
				if p.Status == calibrate.Unknown {
					continue
				}
				judged++
				z := (p.Value - want[p.Name]) / p.StdErr
				squares += z * z
				if math.Abs(z) > 5 {
					t.Errorf("seed %d, outliers %v: %s is %.5g +- %.2g, want %.5g", seed, outliers, p.Name, p.Value, p.StdErr, want[p.Name])
				}
			}
			if r.Noise < 0.015 || r.Noise > 0.025 {
				t.Errorf("seed %d: noise %v, want about 0.02", seed, r.Noise)
			}
			if share := float64(r.Outliers) / 500; share < outliers*0.5 || share > outliers*1.6+0.005 {
				t.Errorf("seed %d: %d outliers, want about %.0f", seed, r.Outliers, 500*outliers)
			}
		}
		rms := math.Sqrt(squares / float64(judged))
		t.Logf("outliers %v: %d of %d parameters known, errors %.2f of the standard errors", outliers, known, all, rms)
		if known < all/2 || rms < 0.7 || rms > 1.3 {
			t.Errorf("outliers %v: %d of %d parameters known, errors %.2f of the standard errors", outliers, known, all, rms)
		}
	}
}

// A machine with jerk-limited ramps: the trapezoid reports the misfit, the
// S-curve fits.
func TestFitSCurve(t *testing.T) {
	for seed := range seeds(4) {
		rng := rand.New(rand.NewPCG(seed, 5))
		m := truth(rng)
		m.X.Jerk, m.Y.Jerk = m.X.Accel/0.030, m.Y.Accel/0.045
		rows := shopLog(rng, m, 500, 0.02, 0.02)
		r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
		if err != nil {
			t.Fatal(err)
		}
		if !refused(r, calibrate.RuleShape) || r.Machine.Calibrated {
			t.Errorf("seed %d: a trapezoid fits S-curves: %v", seed, r.Report)
		}
		r, err = calibrate.Fit(context.Background(), rows, calibrate.Options{SCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		if err := r.Report.Err(); err != nil {
			t.Errorf("seed %d: S-curves do not fit S-curves: %v", seed, err)
		}
		want := truths(m)
		for _, p := range r.Parameters {
			if off := math.Abs(p.Value/want[p.Name] - 1); p.Status == calibrate.Known && off > 0.03 {
				t.Errorf("seed %d: %s is %.5g, want %.5g", seed, p.Name, p.Value, want[p.Name])
			}
		}
		if j, ok := r.Parameter("x.jerk"); !ok || j.Status == calibrate.Unknown || math.Abs(j.Value/m.X.Jerk-1) > 0.3 {
			t.Errorf("seed %d: got jerk %+v, want %.4g", seed, j, m.X.Jerk)
		}
	}
}

// seeds is how many logs to try; one in short runs.
func seeds(n uint64) uint64 {
	if testing.Short() {
		return 1
	}
	return n
}

func refused(r calibrate.Result, rules ...string) bool {
	for _, f := range r.Report {
		if !f.OK && slices.Contains(rules, f.Rule) {
			return true
		}
	}
	return false
}

// A log in another unit is told apart from a shop's.
func TestFitWrongUnit(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*calibrate.Row)
	}{
		{"inches", func(r *calibrate.Row) { r.DX, r.DY, r.Depth = r.DX/25.4, r.DY/25.4, r.Depth/25.4 }},
		{"moves in inches", func(r *calibrate.Row) { r.DX, r.DY = r.DX/25.4, r.DY/25.4 }},
		{"depths in inches", func(r *calibrate.Row) { r.Depth /= 25.4 }},
		{"micrometres", func(r *calibrate.Row) { r.DX, r.DY = r.DX*1000, r.DY*1000 }},
		{"milliseconds", func(r *calibrate.Row) { r.Seconds *= 1000 }},
		{"minutes", func(r *calibrate.Row) { r.Seconds /= 60 }},
		{"feeds in metres", func(r *calibrate.Row) { r.Feed, r.Retract = r.Feed/1000, r.Retract/1000 }},
		{"feeds in mm/s", func(r *calibrate.Row) { r.Feed, r.Retract = r.Feed/60, r.Retract/60 }},
		{"half of it in inches", func(r *calibrate.Row) {
			if int(r.Seconds*1e6)%2 == 0 {
				r.DX, r.DY = r.DX/25.4, r.DY/25.4
			}
		}},
	} {
		for seed := range seeds(3) {
			rng := rand.New(rand.NewPCG(seed, 9))
			rows := shopLog(rng, truth(rng), 500, 0.02, 0.02)
			for i := range rows {
				row.change(&rows[i])
			}
			// Rows beyond 10 m are refused outright: see what the others say.
			rows = slices.DeleteFunc(rows, func(r calibrate.Row) bool { return max(r.DX, -r.DY) > 10_000 })
			r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
			if err != nil {
				t.Fatalf("%s: %v", row.name, err)
			}
			if r.Report.OK() || r.Machine.Calibrated {
				t.Errorf("%s, seed %d: not noticed: %+v", row.name, seed, r.Parameters)
			}
			if row.name == "milliseconds" && !refused(r, calibrate.RuleImplausible) {
				t.Errorf("seed %d: a thousandth of every speed is taken for a machine's: %v", seed, r.Report)
			}
		}
	}
}

func TestFitTooLittle(t *testing.T) {
	rng := rand.New(rand.NewPCG(2, 2))
	m := truth(rng)
	whole := shopLog(rng, m, 500, 0.02, 0)
	only := func(n int, kinds ...calibrate.Kind) []calibrate.Row {
		var rows []calibrate.Row
		for _, r := range whole {
			if slices.Contains(kinds, r.Kind) && len(rows) < n {
				rows = append(rows, r)
			}
		}
		return rows
	}
	for _, row := range []struct {
		name string
		rows []calibrate.Row
		want calibrate.DataError
	}{
		{"none", nil, calibrate.DataError{What: "rows", Got: 0, Need: 20}},
		{"few", only(19, calibrate.Change), calibrate.DataError{What: "rows", Got: 19, Need: 20}},
		{"few moves", append(only(25, calibrate.Change), only(11, calibrate.Move)...), calibrate.DataError{What: "rows with a move in X", Got: 7, Need: 12}},
		{"few strokes", append(only(25, calibrate.Change), only(7, calibrate.Stroke)...), calibrate.DataError{What: "rows with a stroke", Got: 7, Need: 8}},
		{"few changes", append(only(25, calibrate.Load), only(2, calibrate.Change)...), calibrate.DataError{What: "rows with a change", Got: 2, Need: 3}},
	} {
		_, err := calibrate.Fit(context.Background(), row.rows, calibrate.Options{})
		var e *calibrate.DataError
		if !errors.As(err, &e) || !errors.Is(err, calibrate.ErrTooFew) {
			t.Fatalf("%s: got %v", row.name, err)
		}
		if diff := cmp.Diff(row.want, *e); diff != "" {
			t.Errorf("%s (-want +got):\n%s", row.name, diff)
		}
	}
	// What the log does not hold at all keeps the base's figures.
	r, err := calibrate.Fit(context.Background(), only(25, calibrate.Change), calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	base, _ := machine.Preset("ball screw")
	got := r.Machine
	got.Change, got.Calibrated = base.Change, base.Calibrated
	if diff := cmp.Diff(base, got); diff != "" {
		t.Errorf("changes alone (-want +got):\n%s", diff)
	}
	if p, ok := r.Parameter("change_s"); !ok || len(r.Parameters) != 1 || math.Abs(p.Value/m.Change.Seconds()-1) > 0.03 {
		t.Errorf("got %+v, want a change of %v", r.Parameters, m.Change)
	}
	if _, ok := r.Parameter("x.speed"); ok {
		t.Error("no move was logged")
	}
	bad := base
	bad.Spindles = 0
	if _, err := calibrate.Fit(context.Background(), only(25, calibrate.Change), calibrate.Options{Base: bad}); !errors.Is(err, tooling.ErrValue) {
		t.Errorf("a base that is none: got %v", err)
	}
}

// Strokes of one depth and feed tell one number: ramp and foot dwell are
// named as what cannot be told apart. Moves too short for the top speed leave
// it unknown, at the base's figure.
func TestFitSaysWhatItCannotTell(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 4))
	m := truth(rng)
	var rows []calibrate.Row
	add := func(r calibrate.Row) {
		r.Seconds = measure(m, r) * math.Exp(0.02*rng.NormFloat64())
		rows = append(rows, r)
	}
	for range 100 {
		add(calibrate.Row{Kind: calibrate.Move, DX: spread(rng, 0.1, 5)})
		add(calibrate.Row{Kind: calibrate.Move, DY: spread(rng, 0.1, 500)})
		add(calibrate.Row{Kind: calibrate.Stroke, Depth: 5.35, Feed: 2500, Retract: 10_000})
	}
	r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	base, _ := machine.Preset("ball screw")
	if p, _ := r.Parameter("x.speed"); p.Status != calibrate.Unknown || p.Value != 833.333 || p.Reason == "" {
		t.Errorf("short moves: got %+v, want unknown at the base's %v", p, base.X.Speed)
	}
	if p, _ := r.Parameter("y.speed"); p.Status == calibrate.Unknown {
		t.Errorf("long moves: got %+v", p)
	}
	together := false
	for _, g := range r.Confounded {
		together = together || slices.Contains(g, "z.accel") && slices.Contains(g, "foot_dwell_s")
	}
	if !together {
		t.Errorf("one stroke cannot tell ramp from dwell: got %v, %+v", r.Confounded, r.Parameters)
	}
	for _, name := range []string{"z.accel", "foot_dwell_s"} {
		if p, _ := r.Parameter(name); p.Status != calibrate.Unknown || !strings.Contains(p.Reason, "combination") {
			t.Errorf("got %+v", p)
		}
	}
	// The stroke itself is right all the same.
	want := measure(m, calibrate.Row{Kind: calibrate.Stroke, Depth: 5.35, Feed: 2500, Retract: 10_000})
	if got := r.Machine.StrokeTime(5.35, 2500, 10_000, 1).Seconds(); math.Abs(got/want-1) > 0.01 {
		t.Errorf("stroke: got %v s, want %v", got, want)
	}
}

// Rows of two machines in one log are noticed, and a log of noise.
func TestFitNotices(t *testing.T) {
	rng := rand.New(rand.NewPCG(6, 6))
	m := truth(rng)
	rows := shopLog(rng, m, 500, 0.02, 0.25)
	r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if !refused(r, calibrate.RuleOutliers) {
		t.Errorf("a quarter of outliers: got %v", r.Report)
	}
	rows = shopLog(rng, m, 500, 0.30, 0)
	if r, err = calibrate.Fit(context.Background(), rows, calibrate.Options{}); err != nil {
		t.Fatal(err)
	}
	if !refused(r, calibrate.RuleNoise) {
		t.Errorf("30 %% of noise: got %v", r.Report)
	}
}

// Whole passes tell the figures too, together with moves: a log of mixed rows.
func TestFitPasses(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 8))
	m := truth(rng)
	var rows []calibrate.Row
	for range 300 {
		r := calibrate.Row{Kind: calibrate.Pass, DX: spread(rng, 0.5, 300), DY: spread(rng, 0.5, 300), Depth: spread(rng, 0.2, 30), Feed: spread(rng, 600, 40_000),
			Retract: 40_000, Count: 100 + rng.IntN(1000), Changes: rng.IntN(5), Loads: rng.IntN(2)}
		r.Seconds = measure(m, r) * math.Exp(0.01*rng.NormFloat64())
		rows = append(rows, r)
	}
	r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	if err != nil || !r.Report.OK() {
		t.Fatal(err, r.Report)
	}
	for name, want := range truths(m) {
		p, ok := r.Parameter(name)
		if ok && p.Status != calibrate.Unknown && math.Abs(p.Value-want) > 4*p.StdErr {
			t.Errorf("%s: got %.5g +- %.2g, want %.5g", name, p.Value, p.StdErr, want)
		}
	}
	if p, _ := r.Parameter("x.speed"); p.Status == calibrate.Unknown {
		t.Errorf("got %+v", p)
	}
}

// A base with jerk limits and a Z without ramps is a start like any other.
func TestFitFromAnotherBase(t *testing.T) {
	rng := rand.New(rand.NewPCG(10, 10))
	m := truth(rng)
	base, _ := machine.Preset("worked")
	base.X.Jerk, base.Y.Jerk, base.SpinUp = 1e6, 1e6, time.Second
	r, err := calibrate.Fit(context.Background(), shopLog(rng, m, 500, 0.02, 0.05), calibrate.Options{Base: base})
	if err != nil || !r.Report.OK() {
		t.Fatal(err, r.Report)
	}
	if got := r.Machine.Change + r.Machine.SpinUp; r.Machine.SpinUp != time.Second || math.Abs(got.Seconds()/m.Change.Seconds()-1) > 0.03 {
		t.Errorf("change and spin-up: got %v, want %v", got, m.Change)
	}
	if r.Machine.X.Jerk != 0 {
		t.Errorf("a fit of trapezoids has no jerk limit: got %v", r.Machine.X.Jerk)
	}
	if math.Abs(r.Machine.X.Accel/m.X.Accel-1) > 0.05 || math.Abs(r.Machine.Z.Accel/m.Z.Accel-1) > 0.15 {
		t.Errorf("got %+v %+v, want %+v %+v", r.Machine.X, r.Machine.Z, m.X, m.Z)
	}
}

func TestFitIsReproducible(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	rows := shopLog(rng, truth(rng), 200, 0.02, 0.05)
	a, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	b, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(a, b); diff != "" {
		t.Errorf("twice (-first +second):\n%s", diff)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := calibrate.Fit(ctx, rows, calibrate.Options{}); !errors.Is(err, context.Canceled) {
		t.Errorf("cancelled: got %v", err)
	}
}

func ExampleFit() {
	// An invented log: moves of a machine with 600 mm/s, 5000 mm/s2 and 20 ms.
	var rows []calibrate.Row
	for _, d := range []float64{0.5, 1, 2.5, 5, 10, 25, 50, 100, 150, 200, 300, 400} {
		seconds := 2*math.Sqrt(d/5000) + 0.020
		if d >= 72 {
			seconds = d/600 + 0.120 + 0.020
		}
		rows = append(rows, calibrate.Row{Kind: calibrate.Move, DX: d, Seconds: seconds}, calibrate.Row{Kind: calibrate.Move, DY: d, Seconds: seconds})
	}
	r, err := calibrate.Fit(context.Background(), rows, calibrate.Options{})
	fmt.Println(err, r.Report.Err())
	for _, p := range r.Parameters {
		fmt.Printf("%s %.4g %s %s\n", p.Name, p.Value, p.Unit, p.Status)
	}
	fmt.Println(r.Machine.Settle.Round(time.Millisecond), r.Machine.Calibrated)
	// Output:
	// <nil> <nil>
	// x.speed 600 mm/s known
	// x.accel 5000 mm/s2 known
	// y.speed 600 mm/s known
	// y.accel 5000 mm/s2 known
	// settle_s 0.02 s known
	// 20ms true
}

// Two hands with a stopwatch: figures that scatter are rough, not known.
func TestFitSaysRoughWhatScatters(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	r, err := calibrate.Fit(context.Background(), shopLog(rng, truth(rng), 60, 0.05, 0), calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	rough := 0
	for _, p := range r.Parameters {
		if p.Status == calibrate.Rough {
			rough++
			if p.StdErr <= 0.01*p.Value || p.Reason != "" {
				t.Errorf("rough: %+v", p)
			}
		}
	}
	if rough == 0 {
		t.Errorf("60 rows with 5 %% of noise tell everything: %+v", r.Parameters)
	}
}

package route

import (
	"fmt"
	"log/slog"
	"math"

	"example.org/pinstack/tooling"
)

// Options steer [Plan]. The zero value is the default.
type Options struct {
	// Rough is what a first path leaves for the finishing one, mm a side; 0:
	// no rough path. 0.1 to 0.2 is usual where the tolerance is tight (common
	// practice).
	Rough float64
	// ClearBelow is the size of a slug, the longer side of its box in mm, up to
	// which a cut-out or routed hole is cleared completely, so that no loose
	// piece jams the spindle; 0: 6 mm [assumption]; negative: never.
	ClearBelow float64
	// CleanUp is the diameter in mm of the smaller cutter that goes into the
	// inside corners the first one leaves; 0: corners are left and listed.
	CleanUp float64
	// EnterBelow is the diameter in mm up to which cutters must not plunge into
	// the solid waste of a cut-out or routed hole: they enter in a hole that joins
	// the drill pass, see [Layout.Entries]. 0: every cutter plunges.
	EnterBelow float64
	// Margin is what tool and foot keep from pins and keep-outs beyond their
	// radius, mm; 0: 0.5 mm [assumption]; negative: nothing.
	Margin float64
	// Kicks is the effort of the order's search: tries per path; 0: 15, fewer
	// where a run has more than some 125 paths, so that it ends in seconds;
	// negative: none beyond the first descent.
	Kicks int
	// Seed of the search: same seed, same answer.
	Seed uint64
	// Progress is called after each run with the runs done of the pass and the
	// paths ordered so far; nil: never. Of a rest, [Resume], nothing is ordered.
	Progress func(pass string, done, of int, n int64)
	// Log is told of every run and plan; nil: silent.
	Log *slog.Logger
	// Stats gets what planning took; nil: nowhere.
	Stats *tooling.Statistics
}

// The defaults of [Options].
const (
	defaultClear  = 6.0
	defaultMargin = 0.5
	defaultKicks  = 15
	mostEffort    = 30_000_000 // bounds kicks x paths squared of the default: some seconds
)

// Validate refuses what no plan can follow, as [tooling.InputErrors].
func (o Options) Validate() error {
	var v tooling.Validation
	v.Within("options.rough_mm", o.Rough, 0, 2, "mm")
	v.Within("options.clean_up_mm", o.CleanUp, 0, 50, "mm")
	v.Within("options.enter_below_mm", o.EnterBelow, 0, 50, "mm")
	for _, f := range []struct {
		path string
		x    float64
	}{{"options.clear_below_mm", o.ClearBelow}, {"options.margin_mm", o.Margin}} {
		if math.IsNaN(f.x) || f.x > tooling.MaxLength {
			v.Add(f.path, tooling.ErrValue, fmt.Sprint(f.x), "a length in mm")
		}
	}
	return v.Err()
}

func orDefault(v, zero float64) float64 {
	switch {
	case v == 0:
		return zero
	case v < 0:
		return 0
	}
	return v
}

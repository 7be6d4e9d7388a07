package calibrate

import (
	"context"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Status says how well the log tells a parameter.
type Status string

// The states of a parameter.
const (
	Known   Status = "known"   // standard error at most 1 %
	Rough   Status = "rough"   // at most 30 %, or 2 ms for settle and foot dwell
	Unknown Status = "unknown" // not told; Reason says why
)

const (
	knownTo  = 0.01
	roughTo  = 0.30
	roughSec = 0.002
)

// Parameter is one figure of the machine.
type Parameter struct {
	Name   string  `json:"name"` // as in the machine's JSON
	Unit   string  `json:"unit"`
	Value  float64 `json:"value"`   // in Unit
	StdErr float64 `json:"std_err"` // standard error, same unit; 0 where Unknown
	Status Status  `json:"status"`
	Reason string  `json:"reason,omitempty"` // of Unknown
}

// Residual is how far one row is from the fit.
type Residual struct {
	Source    tooling.Source `json:"source,omitzero"`
	Seconds   float64        `json:"seconds"`
	Predicted float64        `json:"predicted"` // seconds by the fit
	Relative  float64        `json:"relative"`  // ln(seconds / predicted)
	Outlier   bool           `json:"outlier,omitempty"`
}

// Result is a fit.
type Result struct {
	Machine    machine.Machine `json:"machine"` // the base with what was fitted; Calibrated when Report is OK
	Parameters []Parameter     `json:"parameters"`
	Confounded [][]string      `json:"confounded,omitempty"` // parameters of which only a combination is known
	Residuals  []Residual      `json:"residuals"`            // one a row, in order
	Outliers   int             `json:"outliers"`
	Noise      float64         `json:"noise"`  // relative standard deviation, a share of the time measured, outliers left out of account
	Report     tooling.Report  `json:"report"` // what cannot be right
}

// Parameter returns the parameter of a name and whether it was fitted.
func (r Result) Parameter(name string) (Parameter, bool) {
	for _, p := range r.Parameters {
		if p.Name == name {
			return p, true
		}
	}
	return Parameter{}, false
}

// minRows is the least a log must hold, and of each thing it holds.
const (
	minRows    = 20
	minMoves   = 12
	minStrokes = 8
	minOthers  = 3
)

// Fit fits a machine to a log. A misfit is not an error: see [Result.Report].
//
// Errors: [tooling.InputErrors] for rows or a base that are not valid,
// [*DataError] for a log that holds too little, and the context's with no
// result. Equal input gives an equal result. Cost O(rows x parameters) for
// each of some tens of steps.
func Fit(ctx context.Context, rows []Row, o Options) (Result, error) {
	base, err := o.base()
	if err != nil {
		return Result{}, err
	}
	if err := validate(rows); err != nil {
		return Result{}, err
	}
	p := problem{samples: samplesOf(rows), base: base, sCurve: o.SCurve}
	if p.free, err = told(p.samples, o.SCurve); err != nil {
		return Result{}, err
	}
	p.index()
	best, err := p.run(ctx, of(base))
	if err != nil {
		return Result{}, err
	}
	if other, err := p.run(ctx, p.guess()); err != nil {
		return Result{}, err
	} else if s := min(best.scale, other.scale); loss(other.resid, s) < loss(best.resid, s) {
		best = other
	}
	return p.result(rows, best), nil
}

// told returns the parameters that the rows can tell anything of, or what
// there is too little of.
func told(samples []sample, sCurve bool) ([]int, error) {
	var x, y, strokes, changes, loads int
	for _, s := range samples {
		var mx, my, st bool
		for _, h := range s.hops {
			mx, my, st = mx || h.DX != 0, my || h.DY != 0, st || h.Depth > 0
		}
		for _, c := range []struct {
			is bool
			n  *int
		}{{mx, &x}, {my, &y}, {st, &strokes}, {s.changes > 0, &changes}, {s.loads > 0, &loads}} {
			if c.is {
				*c.n++
			}
		}
	}
	var free []int
	for _, g := range []struct {
		what      string
		got, need int
		tells     []int
	}{
		{"rows with a move in X", x, minMoves, []int{xSpeed, xAccel, xJerk}},
		{"rows with a move in Y", y, minMoves, []int{ySpeed, yAccel, yJerk}},
		{"rows with a move", max(x, y), minMoves, []int{settle}},
		{"rows with a stroke", strokes, minStrokes, []int{zSpeed, zAccel, footDwell}},
		{"rows with a change", changes, minOthers, []int{change}},
		{"rows with a load", loads, minOthers, []int{load}},
	} {
		switch {
		case g.got == 0:
		case g.got < g.need:
			return nil, &DataError{What: g.what, Got: g.got, Need: g.need}
		default:
			for _, k := range g.tells {
				if sCurve || (k != xJerk && k != yJerk) {
					free = append(free, k)
				}
			}
		}
	}
	if len(samples) < minRows {
		return nil, &DataError{What: "rows", Got: len(samples), Need: minRows}
	}
	slices.Sort(free)
	return free, nil
}

// result judges a fit.
func (p *problem) result(rows []Row, s state) Result {
	p.rebase(&s)
	r := Result{Noise: round(s.scale), Residuals: make([]Residual, len(rows))}
	for i, row := range rows {
		r.Residuals[i] = Residual{
			Source: row.Source, Seconds: row.Seconds, Predicted: round(row.Seconds / math.Exp(s.resid[i])),
			Relative: round(s.resid[i]), Outlier: s.weight[i] == 0,
		}
		if s.weight[i] == 0 {
			r.Outliers++
		}
	}
	errs, confounded := p.errors(s)
	for c, k := range p.free {
		q := Parameter{Name: traits[k].name, Unit: traits[k].unit, Value: round(s.at[k]), StdErr: round(errs[c])}
		switch {
		case q.StdErr <= knownTo*q.Value:
			q.Status = Known
		case q.StdErr <= roughTo*q.Value || (traits[k].linear && q.StdErr <= roughSec):
			q.Status = Rough
		default:
			q.Status, q.StdErr, q.Reason = Unknown, 0, "no row of the log depends enough on it"
			for _, g := range confounded {
				if slices.Contains(g, q.Name) {
					q.Reason = "only a combination of " + strings.Join(g, ", ") + " shows in the log"
				}
			}
		}
		s.at[k] = q.Value
		r.Parameters = append(r.Parameters, q)
	}
	r.Confounded = confounded
	p.judge(&r, s)
	r.Machine = s.at.onto(p.base, p.sCurve)
	r.Machine.Calibrated = r.Report.OK()
	return r
}

// rebase puts parameters that no row depends on back to the base's figure,
// wherever the search left them.
func (p *problem) rebase(s *state) {
	start := of(p.base)
	before, trial := loss(s.resid, s.scale), make([]float64, len(s.resid))
	for _, k := range p.free {
		v := s.at
		v[k] = start[k]
		p.residuals(trial, v, p.all)
		if loss(trial, s.scale) <= before+1e-9*float64(len(trial)) {
			s.at = v
			copy(s.resid, trial)
		}
	}
}

// round keeps six significant digits: processors differ far below them.
func round(x float64) float64 {
	y, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 6, 64), 64)
	if err != nil { // infinite
		return x
	}
	return y
}

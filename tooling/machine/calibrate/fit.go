package calibrate

import (
	"context"
	"math"

	"gonum.org/v1/gonum/mat"

	"example.org/pinstack/tooling/machine"
)

// Options of [Fit]. The zero value is ready for use.
type Options struct {
	// Base gives what the log does not tell, and one of the two starts. The
	// zero machine stands for the preset `ball screw`.
	Base machine.Machine
	// SCurve fits jerk-limited ramps of X and Y too; otherwise they are
	// trapezoids.
	SCurve bool
}

func (o Options) base() (machine.Machine, error) {
	if o.Base == (machine.Machine{}) {
		o.Base, _ = machine.Preset("ball screw")
	}
	return o.Base, o.Base.Validate()
}

// Constants of the robust weights: 95 % efficiency for normal errors (Huber
// and Ronchetti). The scale never falls below what rounding leaves.
const (
	huber    = 1.345
	tukey    = 4.685
	leastDev = 1e-7
	rounds   = 60 // far more than the ten to twenty that fits need
	soft     = 12 // rounds with Huber's weights before Tukey's
)

// problem is a log with the parameters it is fitted by.
type problem struct {
	samples []sample
	base    machine.Machine
	sCurve  bool
	free    []int // parameters fitted, ascending
}

// state is a point of the search.
type state struct {
	at      values
	resid   []float64 // ln(seconds / predicted)
	weight  []float64
	scale   float64 // robust standard deviation of resid
	settled bool
}

// residuals fills dst with ln(seconds / predicted) for a set of parameters.
func (p *problem) residuals(dst []float64, v values) {
	predict(dst, p.samples, v.onto(p.base, p.sCurve))
	for i, s := range p.samples {
		dst[i] = math.Log(s.seconds / max(dst[i], 1e-9))
	}
}

// step changes one parameter: by a factor, or by a share of itself and at
// least of a millisecond where it may be zero.
func step(v values, k int, by float64) values {
	if traits[k].linear {
		v[k] = max(v[k]+float64(by*unit(v, k)), 0)
	} else {
		v[k] *= math.Exp(max(min(by, 1.5), -1.5)) // no leap beyond a factor of 4.5
	}
	return v
}

// unit is the size by which a linear parameter is scaled, in s.
func unit(v values, k int) float64 { return max(v[k], 1e-3) }

// jacobian returns d(residual)/d(relative step), by columns of p.free.
func (p *problem) jacobian(v values) *mat.Dense {
	const h = 1e-4 // large against the clock's nanoseconds, small against curvature
	n := len(p.samples)
	j := mat.NewDense(n, len(p.free), nil)
	up, down := make([]float64, n), make([]float64, n)
	for c, k := range p.free {
		// A parameter at its lower end of zero has no step down.
		width := 2 * h
		lower := step(v, k, -h)
		if traits[k].linear {
			width = (step(v, k, h)[k] - lower[k]) / unit(v, k)
		}
		p.residuals(up, step(v, k, h))
		p.residuals(down, lower)
		for i := range n {
			j.Set(i, c, (up[i]-down[i])/width)
		}
	}
	return j
}

// run searches from a start until the steps vanish.
func (p *problem) run(ctx context.Context, start values) (state, error) {
	n := len(p.samples)
	s := state{at: start, resid: make([]float64, n), weight: make([]float64, n)}
	p.residuals(s.resid, s.at)
	damping := 1e-3
	next := make([]float64, n)
	for round := range rounds {
		if err := ctx.Err(); err != nil {
			return s, err
		}
		s.scale = scale(s.resid)
		weights(s.weight, s.resid, s.scale, round < soft)
		j := p.jacobian(s.at)
		normal, gradient := normalEquations(j, s.resid, s.weight)
		cost := weighted(s.resid, s.weight)
		moved := 0.0
		for range 12 {
			delta, ok := solve(normal, gradient, damping)
			if !ok {
				damping *= 10
				continue
			}
			v := s.at
			for c, k := range p.free {
				v = step(v, k, -delta[c])
			}
			p.residuals(next, v)
			if weighted(next, s.weight) <= cost {
				for c := range delta {
					moved = max(moved, abs(delta[c]))
				}
				s.at, damping = v, max(damping/10, 1e-12)
				copy(s.resid, next)
				break
			}
			damping *= 10
		}
		if moved < 1e-7 && round >= soft {
			s.settled = true
			break
		}
		damping = min(damping, 1)
	}
	s.scale = scale(s.resid)
	weights(s.weight, s.resid, s.scale, false)
	return s, nil
}

// normalEquations returns J'WJ and J'Wr.
func normalEquations(j *mat.Dense, resid, weight []float64) (*mat.SymDense, []float64) {
	n, m := j.Dims()
	a, g := mat.NewSymDense(m, nil), make([]float64, m)
	for c := range m {
		for d := c; d < m; d++ {
			sum := 0.0
			for i := range n {
				sum += weight[i] * j.At(i, c) * j.At(i, d)
			}
			a.SetSym(c, d, sum)
		}
		for i := range n {
			g[c] += weight[i] * j.At(i, c) * resid[i]
		}
	}
	return a, g
}

// solve returns the damped step; a parameter that no row depends on stays.
func solve(a *mat.SymDense, g []float64, damping float64) ([]float64, bool) {
	m := len(g)
	b := mat.NewSymDense(m, nil)
	b.CopySym(a)
	for c := range m {
		b.SetSym(c, c, float64(a.At(c, c)*(1+damping))+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(b) {
		return nil, false
	}
	var x mat.VecDense
	if chol.SolveVecTo(&x, mat.NewVecDense(m, g)) != nil {
		return nil, false
	}
	return x.RawVector().Data, true
}

func weighted(resid, weight []float64) float64 {
	sum := 0.0
	for i, r := range resid {
		sum += weight[i] * r * r
	}
	return sum
}

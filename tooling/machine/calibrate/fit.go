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
	free    []int             // parameters fitted, ascending
	tells   [parameters][]int // samples that depend on a parameter
	all     []int             // every sample
}

// index notes which samples depend on what, so that a derivative looks at
// those only.
func (p *problem) index() {
	for i, s := range p.samples {
		p.all = append(p.all, i)
		var on [parameters]bool
		for _, h := range s.hops {
			if h.DX != 0 {
				on[xSpeed], on[settle] = true, true
			}
			if h.DY != 0 {
				on[ySpeed], on[settle] = true, true
			}
			if h.Depth > 0 {
				on[zSpeed], on[zAccel], on[footDwell] = true, true, true
			}
		}
		on[xAccel], on[xJerk], on[yAccel], on[yJerk] = on[xSpeed], on[xSpeed], on[ySpeed], on[ySpeed]
		on[change], on[load] = s.changes > 0, s.loads > 0
		for k, is := range on {
			if is {
				p.tells[k] = append(p.tells[k], i)
			}
		}
	}
}

// state is a point of the search.
type state struct {
	at      values
	resid   []float64 // ln(seconds / predicted)
	weight  []float64
	scale   float64 // robust standard deviation of resid
	settled bool
}

// residuals fills dst with ln(seconds / predicted) of the given samples for a
// set of parameters; the others keep what dst holds.
func (p *problem) residuals(dst []float64, v values, which []int) {
	predict(dst, p.samples, which, v.onto(p.base, p.sCurve))
	for _, i := range which {
		dst[i] = math.Log(p.samples[i].seconds / max(dst[i], 1e-9))
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

// jacobian returns d(residual)/d(relative step), a column for each of p.free.
func (p *problem) jacobian(v values) [][]float64 {
	const h = 1e-4 // large against the clock's nanoseconds, small against curvature
	n := len(p.samples)
	j := make([][]float64, len(p.free))
	down := make([]float64, n)
	for c, k := range p.free {
		j[c] = make([]float64, n)
		// A parameter at its lower end of zero has no step down.
		upper, lower, width := step(v, k, h), step(v, k, -h), 2*h
		if traits[k].linear {
			width = (upper[k] - lower[k]) / unit(v, k)
		}
		p.residuals(j[c], upper, p.tells[k])
		p.residuals(down, lower, p.tells[k])
		for _, i := range p.tells[k] {
			j[c][i] = (j[c][i] - down[i]) / width
		}
	}
	return j
}

// run searches from a start until the steps vanish.
func (p *problem) run(ctx context.Context, start values) (state, error) {
	n := len(p.samples)
	s := state{at: start, resid: make([]float64, n), weight: make([]float64, n)}
	p.residuals(s.resid, s.at, p.all)
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
			p.residuals(next, v, p.all)
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
func normalEquations(j [][]float64, resid, weight []float64) (*mat.SymDense, []float64) {
	m := len(j)
	a, g := mat.NewSymDense(m, nil), make([]float64, m)
	for c := range m {
		for d := c; d < m; d++ {
			sum := 0.0
			for i, w := range weight {
				sum += w * j[c][i] * j[d][i]
			}
			a.SetSym(c, d, sum)
		}
		for i, w := range weight {
			g[c] += w * j[c][i] * resid[i]
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

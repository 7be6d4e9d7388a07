package stack

import (
	"errors"
	"fmt"
)

// ErrInfeasible is wrapped by an [*InfeasibleError].
var ErrInfeasible = errors.New("stack: no height is feasible")

// InfeasibleError says that a set-up has no height it could run at, or that
// no plan meets the constraints, with the reason for each height.
type InfeasibleError struct {
	SetUp   int       // 1-based set-up of the problem; 0: all together
	Refused []Refusal // by height; at least one
}

// Error names the set-up and the first reason.
func (e *InfeasibleError) Error() string {
	s := ErrInfeasible.Error()
	if e.SetUp > 0 {
		s += fmt.Sprintf(" in set-up %d", e.SetUp)
	}
	if len(e.Refused) > 0 {
		s += ": " + e.Refused[0].Detail
	}
	return s
}

// Unwrap gives ErrInfeasible.
func (e *InfeasibleError) Unwrap() error { return ErrInfeasible }

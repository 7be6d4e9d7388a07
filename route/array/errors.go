package array

import (
	"errors"
	"fmt"

	"example.org/pinstack/tooling"
)

// Sentinels that the errors of this package wrap; test with errors.Is.
var (
	ErrNoFit = errors.New("array: no panel takes the board")
	ErrInput = errors.New("array: the input cannot be used")
)

// Refusal is an array, or a group of them, that cannot be made, and why.
type Refusal struct {
	What   string `json:"what"` // the stock size, turn, ways of parting, counts where they matter
	Reason string `json:"reason"`
	Err    error  `json:"-"` // the cause, where a planner refused
}

// FitError says that no array can be made, and what did not fit. It wraps
// [ErrNoFit] and the causes of the refusals.
type FitError struct {
	Refused []Refusal // at least one
}

// Error names the first refusal and the count of the rest.
func (e *FitError) Error() string {
	if len(e.Refused) == 0 {
		return ErrNoFit.Error()
	}
	s := fmt.Sprintf("%v: %s: %s", ErrNoFit, e.Refused[0].What, e.Refused[0].Reason)
	if n := len(e.Refused); n > 1 {
		s += fmt.Sprintf(" (and %d more)", n-1)
	}
	return s
}

// Unwrap gives ErrNoFit and the causes.
func (e *FitError) Unwrap() []error {
	out := []error{ErrNoFit}
	for _, r := range e.Refused {
		if r.Err != nil {
			out = append(out, r.Err)
		}
	}
	return out
}

// bad is the error of an input that cannot be used.
func bad(path, found, expected string) error {
	return &tooling.InputError{Source: tooling.Source{Path: path}, Found: found, Expected: expected, Err: ErrInput}
}

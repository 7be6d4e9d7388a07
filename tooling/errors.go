package tooling

import (
	"errors"
	"fmt"
)

// Sentinels that an [*InputError] wraps; test for them with errors.Is.
var (
	ErrValue     = errors.New("tooling: value out of range")
	ErrMissing   = errors.New("tooling: value missing")
	ErrDuplicate = errors.New("tooling: given twice")
	ErrConflict  = errors.New("tooling: values contradict each other")
	ErrNoTool    = errors.New("tooling: no tool in the crib fits")
	ErrNoRow     = errors.New("tooling: no table row covers this")
	ErrDepth     = errors.New("tooling: the stack is too deep for the tool")
	ErrPlaces    = errors.New("tooling: more tools than places")
	ErrSchema    = errors.New("tooling: made for another version")
	ErrSyntax    = errors.New("tooling: not valid JSON or table for this file")
)

// InputError is what bad input gets: where it stands, what was found there
// and what was expected. It wraps one of the package's sentinels.
type InputError struct {
	Source          Source
	Found, Expected string
	Err             error
	Rule            string // of a stack too deep for a tool, what refuses it: RuleFlute, RuleRatio or RuleBackup
}

// Error prints source, cause, what was found and what was expected.
func (e *InputError) Error() string {
	s := "tooling: bad input"
	if e.Err != nil {
		s = e.Err.Error()
	}
	if at := e.Source.String(); at != "" {
		s = at + ": " + s
	}
	if e.Found != "" {
		s += ": found " + e.Found
	}
	if e.Expected != "" {
		s += ", expected " + e.Expected
	}
	return s
}

// Unwrap gives the sentinel.
func (e *InputError) Unwrap() error { return e.Err }

// InputErrors lists everything wrong with one input in the order found. The
// zero value is ready for use.
type InputErrors []*InputError

// Error prints the first error and the count of the rest.
func (l InputErrors) Error() string {
	switch len(l) {
	case 0:
		return "tooling: no errors"
	case 1:
		return l[0].Error()
	}
	return fmt.Sprintf("%v (and %d more)", l[0], len(l)-1)
}

// Unwrap gives all of them to errors.Is and errors.As.
func (l InputErrors) Unwrap() []error {
	out := make([]error, len(l))
	for i, e := range l {
		out[i] = e
	}
	return out
}

// Err is nil for an empty list and the list itself otherwise.
func (l InputErrors) Err() error {
	if len(l) == 0 {
		return nil
	}
	return l
}

package array

import (
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
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
	Source  tooling.Source // of the board, where it has one
	Refused []Refusal      // at least one
}

// Error names the refusals, up to three that differ in their reasons, and the count
// of the rest.
func (e *FitError) Error() string {
	s := ErrNoFit.Error()
	told := map[string]bool{}
	for _, r := range e.Refused {
		if len(told) < 3 && !told[r.Reason] {
			told[r.Reason] = true
			s += fmt.Sprintf("%s %s: %s", map[bool]string{true: ":", false: ";"}[len(told) == 1], r.What, r.Reason)
		}
	}
	if n := len(e.Refused) - len(told); n > 0 {
		s += fmt.Sprintf(" (and %d more)", n)
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

// onBoard brings the place of a board's error from the panel that it was tried on
// to the board's own coordinates, and names the board's file where no other is named.
func (in Input) onBoard(err error, tried tooling.Panel) error {
	b, ok := err.(*route.BoardError)
	if !ok || len(tried.Boards) != 1 {
		return err
	}
	moved, by := *b, tried.Boards[0].Offset
	if moved.Source == (tooling.Source{}) {
		moved.Source = in.Board.Source
	}
	moved.At = tooling.SnapPoint(orb.Point{b.At[0] - by[0], b.At[1] - by[1]})
	return &moved
}

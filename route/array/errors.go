package array

import (
	"errors"
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// Sentinels that the errors of this package wrap; test with errors.Is.
var (
	ErrNoFit = errors.New("array: no panel takes the board")
	ErrInput = errors.New("array: the input cannot be used")
	// ErrBorder: a pin or a hole of the panel itself finds no place.
	ErrBorder = errors.New("array: no room in the panel's border")
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
	if len(e.Refused) == 0 {
		return ErrNoFit.Error()
	}
	var told []string
	reasons := map[string]bool{}
	for _, r := range e.Refused {
		if len(told) < 3 && !reasons[r.Reason] {
			reasons[r.Reason] = true
			told = append(told, r.What+": "+r.Reason)
		}
	}
	s := ErrNoFit.Error() + ": " + strings.Join(told, "; ")
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

// onBoard brings the place of an error of a hole or a board from the panel that it was
// tried on, of boards that are not turned, to the board's own coordinates, and names the
// board's file where no other is named.
func (in Input) onBoard(err error, tried tooling.Panel) error {
	on := func(k int, p orb.Point) orb.Point {
		by := tried.Boards[k].Offset
		return tooling.SnapPoint(orb.Point{p[0] - by[0], p[1] - by[1]})
	}
	switch e := err.(type) {
	case *drill.HoleError:
		if len(tried.Boards) == 1 {
			moved := *e
			moved.At = on(0, e.At)
			return &moved
		}
	case *route.BoardError:
		if len(tried.Boards) == 1 || e.Board >= 0 && e.Board < len(tried.Boards) {
			moved := *e
			if moved.Source == (tooling.Source{}) {
				moved.Source = in.Board.Source
			}
			moved.At = on(max(e.Board, 0), e.At)
			return &moved
		}
	}
	return err
}

package main

import (
	"errors"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// where finds the place that an error tells of.
func where(err error) (*orb.Point, tooling.Source) {
	var (
		layer     *artwork.ReadError
		open      *artwork.OpenError
		ambiguous *artwork.AmbiguousError
		syntax    *nc.SyntaxError
		doubt     *nc.AmbiguousError
		limit     *nc.LimitError
		marking   *drill.ReadError
		hole      *drill.HoleError
		files     *drill.RegistrationError
		fit       *array.FitError
		board     *route.BoardError
		input     *tooling.InputError
	)
	switch {
	case errors.As(err, &layer):
		return nil, layer.Source
	case errors.As(err, &open):
		return &open.From, open.Source
	case errors.As(err, &ambiguous):
		return nil, ambiguous.Source
	case errors.As(err, &syntax):
		return nil, tooling.Source{File: syntax.File, Line: syntax.Line, Column: syntax.Column}
	case errors.As(err, &doubt):
		return nil, tooling.Source{File: doubt.File, Line: doubt.Line, Column: doubt.Column}
	case errors.As(err, &limit):
		return nil, tooling.Source{File: limit.File, Line: limit.Line}
	case errors.As(err, &marking):
		return nil, marking.Source
	case errors.As(err, &hole):
		return &hole.At, hole.Source
	case errors.As(err, &files):
		return nil, tooling.Source{File: files.File}
	case errors.As(err, &fit): // of several reasons none is the place
		return nil, fit.Source
	case errors.As(err, &board):
		return &board.At, board.Source
	case errors.As(err, &input):
		return nil, input.Source
	}
	return nil, tooling.Source{}
}

package array

import (
	"slices"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

// Outline is the board's outline and cut-outs as a rout program, which a job file
// may name.
func (in Input) Outline(comments ...string) []byte {
	return route.Outlines(slices.Concat([]contour.Contour{in.Board.Outline}, in.Board.CutOuts), comments...)
}

// written is the board as a job reads it back from [Input.Outline], so that tabs
// and paths are tried on the very contours that will be planned.
func (in Input) written() (route.Board, error) {
	name := in.Board.Source.File
	p, err := nc.Parse(in.Outline(), nc.ReadOptions{File: name})
	if err != nil {
		return in.Board, err
	}
	all, _, err := route.Read(p, name)
	if err != nil {
		return in.Board, err
	}
	b := in.Board
	b.Outline, b.CutOuts = all[0], all[1:]
	return b, nil
}

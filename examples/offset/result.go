package main

import (
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// schema is the number of the form of a result.
const schema = 1

// A result is what is printed for one geometry.
type result struct {
	Schema int    `json:"schema"`
	Name   string `json:"name"`
	Error  string `json:"error,omitempty"`
	*figures
}

// figures are what there is to say of a geometry that could be done; one that could not
// has its error alone.
type figures struct {
	Cutter      fixed   `json:"cutter_mm"`
	Side        string  `json:"side"`
	Paths       []path  `json:"paths"`
	Length      fixed   `json:"length_mm"`
	Unreachable []place `json:"unreachable"`
	Tabs        []tab   `json:"tabs"`
	Check       check   `json:"check"`
	// Findings tell what the places of the tabs leave to be wished.
	Findings tooling.Report `json:"findings"`
	Seconds  fixed          `json:"seconds"`
}

// A path is closed, or open between two tabs.
type path struct {
	Closed bool   `json:"closed"`
	Start  point  `json:"start"`
	Moves  []move `json:"moves"`
}

// A move has a line's end, or an arc's end and centre.
type move struct {
	Line      *point    `json:"line,omitempty"`
	Arc       *[4]fixed `json:"arc,omitempty"`
	Clockwise *bool     `json:"clockwise,omitempty"`
}

// A place is a stretch of edge out of the cutter's reach.
type place struct {
	At   point `json:"at"`
	Size fixed `json:"size_mm"`
}

// A tab is told by its place on the edge and the width between the swept ends.
type tab struct {
	At    point `json:"at"`
	Width fixed `json:"width_mm"`
}

// A check tells what was measured of the paths, see [ruling].
type check struct {
	// MinClearance is null where there is no path.
	MinClearance *fixed `json:"min_clearance_mm"`
	Gouge        fixed  `json:"gouge_mm"`
	Uncut        fixed  `json:"uncut_mm"`
}

// toPath is a contour as it is printed.
func toPath(c contour.Contour) path {
	p := path{Closed: c.Closed(), Start: toPoint(c.Start), Moves: make([]move, 0, len(c.Moves))}
	for _, m := range c.Moves {
		to := toPoint(m.To)
		if m.Turn == 0 {
			p.Moves = append(p.Moves, move{Line: &to})
			continue
		}
		at := toPoint(m.Center)
		clockwise := m.Turn < 0
		p.Moves = append(p.Moves, move{Arc: &[4]fixed{to[0], to[1], at[0], at[1]}, Clockwise: &clockwise})
	}
	return p
}

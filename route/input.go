package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Board is one board as its owner drew it, in its own coordinates.
type Board struct {
	Name    string            `json:"name,omitempty"`
	Outline contour.Contour   `json:"outline_mm"`
	CutOuts []contour.Contour `json:"cut_outs_mm,omitempty"`
	Open    []OpenPath        `json:"open_paths,omitempty"`
	Tabs    []Tab             `json:"tabs,omitempty"` // by hand; none: placed by the rules
	Source  tooling.Source    `json:"source,omitzero"`
}

// Tab is a web that the cutter leaves between a board and what lies across
// the channel.
type Tab struct {
	Board      int       `json:"board"` // index into Panel.Boards; ignored in Board.Tabs
	Loop       int       `json:"loop"`  // 0 the outline, k the cut-out k-1
	At         orb.Point `json:"at_mm"` // middle of the tab, on the edge
	Out        orb.Point `json:"out"`   // unit normal of the edge, away from the material; found by Lay
	Width      float64   `json:"width_mm"`
	Perforated bool      `json:"perforated,omitempty"`
	Radius     float64   `json:"radius_mm,omitempty"` // of the outward arc it stands on; 0: a straight edge; found by Lay
	Across     float64   `json:"across_mm,omitempty"` // to the board on the other side of the channel, which the tab holds too; 0: scrap; found by Lay
}

// Input is everything a rout plan is made from.
type Input struct {
	Boards  []Board
	Panel   tooling.Panel // its Boards say which board lies where
	Crib    tooling.Crib
	Rules   tooling.Rules
	Machine machine.Machine
	// Holes are all holes of the panel in panel coordinates. Those that no bit
	// makes (see [Routed]) become routed paths; the others are what small
	// cutters may enter in and what the checks know of.
	Holes []drill.Hole
	// NoTabs leaves boards without tabs by hand to drop, or to be held by
	// score lines and pins alone.
	NoTabs bool
}

// maxBoards bounds the boards and placements of one panel.
const maxBoards = 10_000

// Validate reports the first fault: [tooling.InputErrors] of panel, crib,
// rules or machine with JSON paths, or a [*BoardError] for a board that has no
// usable outline and for a placement without a board.
func (in Input) Validate() error {
	for _, v := range []interface{ Validate() error }{in.Panel, in.Crib, in.Rules, in.Machine} {
		if err := v.Validate(); err != nil {
			return err
		}
	}
	if len(in.Boards) > maxBoards || len(in.Panel.Boards) > maxBoards {
		return &BoardError{Board: -1, Other: -1, Err: ErrBoard,
			Found: fmt.Sprintf("%d boards in %d places", len(in.Boards), len(in.Panel.Boards)), Expected: fmt.Sprintf("at most %d", maxBoards)}
	}
	for i, b := range in.Boards {
		if err := b.validate(i); err != nil {
			return err
		}
	}
	for i, p := range in.Panel.Boards {
		if p.Board >= len(in.Boards) {
			return &BoardError{Board: i, Other: -1, Err: ErrBoard, Source: tooling.Source{Path: fmt.Sprintf("boards[%d].board", i)},
				Found: fmt.Sprintf("board %d", p.Board), Expected: fmt.Sprintf("one of the %d boards", len(in.Boards))}
		}
	}
	for i, h := range in.Holes {
		for _, p := range [2]orb.Point{h.At, h.To} {
			if !tooling.InRange(p[0]) || !tooling.InRange(p[1]) {
				return &BoardError{Board: -1, Other: -1, Source: h.Source, Err: ErrHole,
					Found: fmt.Sprintf("hole %d at X%g Y%g", i, p[0], p[1]), Expected: "finite coordinates within 10 m"}
			}
		}
	}
	return nil
}

package route

import (
	"example.org/pinstack/tooling"
)

// Layout is a panel whose boards are placed and examined and whose tabs are
// fixed. It is decided before drilling, since perforated tabs add holes. Make
// one with [Lay]: [Plan] and [Check] refuse one that was put together otherwise.
type Layout struct {
	Input  Input          `json:"-"`
	Cutter tooling.Tool   `json:"cutter"` // for the outlines
	Tabs   []Tab          `json:"tabs"`   // on the panel, by board
	Report tooling.Report `json:"report,omitempty"`

	loops     []loop // outlines and cut-outs of every placement, then routed holes
	openLines []openLine
	holes     *edges  // centre lines of Input.Holes
	widest    float64 // mm, radius of the largest of them
	laid      bool    // Lay made it
}

// Lay puts the boards on the panel, examines how they lie, chooses the cutter
// for their outlines and fixes their tabs.
//
// Every outline must lie on the panel with room for the cutter, apart from
// the others by at least the cutter's diameter, or flush with them on a score
// line; no score line may cross a board; pins and keep-outs must stand clear of
// the boards and of the channels round them. The cutter is that of Rules.Rout.Cutter, or
// the largest of the crib that fits every gap and the outlines' inside arcs.
//
// A board with tabs of its own keeps those. Boards that score lines hold to the
// panel's frame, directly or through other boards, get none by the rules. Every other
// one gets tabs by [tooling.TabRules] unless NoTabs is set: the least number that
// is at least PerBoard, has PerSide on each side with room, and brings the largest
// gap along the outline under Spacing, and of that number the places with the
// least largest gap whose polygon holds the board's centroid. That is exact over
// places 1 mm apart (farther on outlines of more than 120 mm of straight edge). A
// neighbour's tab over a shared channel and a scored edge count as tabs that stand
// already. Tabs keep off corners, scored edges, keep-outs, open paths, half holes
// and, where perforated, off other holes; they stand on outward arcs only where the
// straight edges do not hold a board.
//
// Errors are those of [Input.Validate], or a [*BoardError] wrapping
// [ErrOffPanel], [ErrOverlap], [ErrGap], [ErrNoCutter], [ErrScore],
// [ErrObstacle], [ErrTabLong], [ErrTabPlace], [ErrHole] or [ErrOpenPath].
func Lay(in Input) (Layout, error) {
	if err := in.Validate(); err != nil {
		return Layout{}, err
	}
	l := Layout{Input: in, laid: true}
	l.loops = placed(in)
	if err := l.examine(); err != nil {
		return Layout{}, err
	}
	holes, err := routedLoops(in, l.loops)
	if err != nil {
		return Layout{}, err
	}
	l.loops = append(l.loops, holes...)
	if err := l.layOpen(); err != nil {
		return Layout{}, err
	}
	if err := l.placeTabs(); err != nil {
		return Layout{}, err
	}
	if err := l.clearHoles(); err != nil {
		return Layout{}, err
	}
	return l, nil
}

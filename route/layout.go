package route

import (
	"example.org/pinstack/tooling"
)

// Layout is a panel whose boards are placed and examined and whose tabs are
// fixed. It is decided before drilling, since perforated tabs add holes. Make
// one with [Lay].
type Layout struct {
	Input  Input          `json:"-"`
	Cutter tooling.Tool   `json:"cutter"` // for the outlines
	Tabs   []Tab          `json:"tabs"`   // on the panel, by board
	Report tooling.Report `json:"report,omitempty"`

	loops []loop // outlines and cut-outs of every placement, then routed holes
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
// A board with tabs of its own keeps those. A board with an edge on a score
// line is held by it and gets none by the rules. Every other one gets tabs by
// the rules unless NoTabs is set: see [tooling.TabRules] and the package
// comment for how they are placed.
//
// Errors are those of [Input.Validate], or a [*BoardError] wrapping
// [ErrOffPanel], [ErrOverlap], [ErrGap], [ErrNoCutter], [ErrScore],
// [ErrObstacle], [ErrTabLong], [ErrTabPlace] or [ErrHole].
func Lay(in Input) (Layout, error) {
	if err := in.Validate(); err != nil {
		return Layout{}, err
	}
	l := Layout{Input: in}
	l.loops = placed(in)
	if err := l.examine(); err != nil {
		return Layout{}, err
	}
	if err := l.clearHoles(); err != nil {
		return Layout{}, err
	}
	holes, err := routedLoops(in, l.loops)
	if err != nil {
		return Layout{}, err
	}
	l.loops = append(l.loops, holes...)
	if err := l.placeTabs(); err != nil {
		return Layout{}, err
	}
	return l, nil
}

package artwork

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.org/pinstack/tooling"
)

// Shares of an area, and counts, that tell a frame or a mark from a board.
const (
	// boardShare is the part of a loop's area from which a loop in it may be the board.
	boardShare = 0.05
	// frameShare is the part from which it is taken for one: no board is a rim that thin.
	frameShare = 0.85
	// windowShare is the part from which a cut-out is worth telling of.
	windowShare = 0.25
	// boardLeast is the area in mm2 from which a loop may be a board however large
	// the frame around it.
	boardLeast = 100
	// markShare is the part of the largest board's area below which a loop beside
	// it is a mark.
	markShare = 0.02
	// boardHoles is how many holes make a loop of boardLeast a board.
	boardHoles = 3
	// captions is how many letters or loose strokes between two loops make the outer a
	// drawing's frame.
	captions = 3
)

// choose says which loops are outlines.
func (m *maker) choose() ([]int, error) {
	var roots []int
	for i, p := range m.tree.parent {
		if p < 0 {
			roots = append(roots, i)
		}
	}
	if len(roots) == 0 {
		return nil, nil
	}
	held := 0
	for _, r := range roots {
		held += m.tree.holds[r]
	}
	switch m.options.Pick {
	case PickLargest:
		best := roots[0]
		for _, r := range roots[1:] {
			if larger(m.loops, r, best) {
				best = r
			}
		}
		m.leave(roots, []int{best}, "a closed contour beside the largest one is left out, as asked")
		return []int{best}, nil
	case PickIndex:
		c := m.candidates()
		if m.options.Index < 0 || m.options.Index >= len(c) {
			return nil, m.ambiguous(fmt.Sprintf("no candidate %d", m.options.Index))
		}
		best := c[m.options.Index].loop
		m.leave(roots, []int{best}, "a closed contour beside or around the chosen one is left out, as asked")
		return []int{best}, nil
	case PickHoles:
		if held == 0 {
			return nil, m.ambiguous("none of the holes lies in any contour")
		}
	}
	var boards []int
	for _, r := range roots {
		b, err := m.descend(r)
		if err != nil {
			return nil, err
		}
		boards = append(boards, b...)
	}
	return m.islands(m.sift(boards, held > 0)), nil
}

// leave lists roots that are not among the boards.
func (m *maker) leave(roots, boards []int, detail string) {
	for _, r := range roots {
		if slices.Contains(boards, r) {
			continue
		}
		l := &m.loops[r]
		kind := KindMark
		for _, b := range boards {
			if l.box.holds(m.loops[b].box) {
				kind = KindFrame
			}
		}
		m.item(Item{Kind: kind, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(l)}, "left-out", detail)
	}
}

// descend gives the boards at or in a loop: itself, or those within where it is a frame.
func (m *maker) descend(i int) ([]int, error) {
	kids := m.tree.kids[i]
	if m.options.Pick == PickOuter || len(kids) == 0 {
		return []int{i}, nil
	}
	var inner []int
	if m.tree.holds[i] > 0 {
		rest := m.tree.holds[i]
		for _, k := range kids {
			if m.holdsAsBoard(k, i) {
				inner = append(inner, k)
				rest -= m.tree.holds[k]
			}
		}
		if len(inner) == 0 || 10*rest > m.tree.holds[i] {
			return []int{i}, nil
		}
		l := &m.loops[i]
		m.item(Item{Kind: KindFrame, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(l)},
			"frame", "a closed contour around what holds the holes is a frame")
		for _, k := range kids {
			if !slices.Contains(inner, k) {
				m.mark(k)
			}
		}
		var out []int
		for _, k := range inner {
			b, err := m.descend(k)
			if err != nil {
				return nil, err
			}
			out = append(out, b...)
		}
		return out, nil
	}
	if len(m.options.Holes) == 0 || m.tree.strays == len(m.options.Holes) {
		if err := m.suspect(i); err != nil {
			return nil, err
		}
	}
	return []int{i}, nil
}

// holdsAsBoard reports whether a loop holds holes as a board in a frame does: a hole
// or two in a cut-out of their size, or the hits along a slot, are no board; twice as
// many holes do for half the area.
func (m *maker) holdsAsBoard(k, frame int) bool {
	h, a := m.tree.holds[k], m.loops[k].area
	return h >= boardHoles && a >= boardLeast || h >= 2*boardHoles && a >= boardLeast/2 || h > 1 && a > boardShare*m.loops[frame].area
}

// suspect refuses a loop that without holes to tell may be a frame as well as a board.
func (m *maker) suspect(i int) error {
	l := &m.loops[i]
	biggest := -1
	for _, k := range m.tree.kids[i] {
		if biggest < 0 || larger(m.loops, k, biggest) {
			biggest = k
		}
		if m.loops[k].area < min(boardShare*l.area, boardLeast) {
			continue
		}
		if len(m.tree.kids[k]) > 0 {
			return m.ambiguous("a contour in a contour in a contour: a board with cut-outs in a frame, or boards in a cut-out")
		}
		if m.loops[k].area >= frameShare*l.area {
			return m.ambiguous("a contour close around another: a frame or a second line around the board")
		}
	}
	words := 0
	for p := range m.pieces {
		b := m.pieces[p].box
		if l.box.holds(b) && !m.within(b, m.tree.kids[i]) {
			words++
		}
	}
	k := &m.loops[biggest]
	if words >= captions && !k.circle && k.area >= boardLeast {
		return m.ambiguous("text or loose strokes between two contours: a drawing's frame around the board, or a board with a cut-out")
	}
	if k.area >= windowShare*l.area || k.area >= 4*boardLeast && !k.circle && l.plain() {
		m.note("window", "a large cut-out: the outline may be a frame and this the board; the value is its share of the area", m.loopSource(k), k.area/l.area, windowShare, k.line.Start)
	}
	return nil
}

func (m *maker) within(b rect, kids []int) bool {
	for _, k := range kids {
		if m.loops[k].box.holds(b) {
			return true
		}
	}
	return false
}

// mark lists a loop as no board.
func (m *maker) mark(i int) {
	l := &m.loops[i]
	m.item(Item{Kind: KindMark, Box: l.box.bound(), Strokes: len(l.edges), Source: m.loopSource(l)}, "mark", "a closed contour beside the boards, or loose in a cut-out, is no board")
}

// sift drops outlines that are marks: without holes where others hold some, else
// those far smaller than the largest.
func (m *maker) sift(boards []int, held bool) []int {
	largest := 0.0
	for _, b := range boards {
		largest = max(largest, m.loops[b].area)
	}
	var out []int
	for _, b := range boards {
		if held && m.tree.holds[b] == 0 || !held && m.loops[b].area < markShare*largest {
			m.mark(b)
			continue
		}
		out = append(out, b)
	}
	return out
}

// islands adds the boards that lie in cut-outs of boards.
func (m *maker) islands(boards []int) []int {
	out := slices.Clone(boards)
	for k := 0; k < len(out); k++ {
		b := out[k]
		for _, c := range m.tree.kids[b] {
			for _, i := range m.tree.kids[c] {
				if m.tree.holds[i] >= boardHoles && m.loops[i].area >= boardLeast || len(m.options.Holes) == 0 && m.loops[i].area >= 0.1*m.loops[b].area {
					l := &m.loops[i]
					m.note("island", "a closed contour in a cut-out is a board of its own", m.loopSource(l), l.area, 0, l.line.Start)
					out = append(out, i)
				} else {
					m.mark(i)
				}
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

type choice struct {
	Candidate
	loop int
}

// maxCandidates bounds the list of an AmbiguousError.
const maxCandidates = 16

// candidates are the largest loops, the largest first.
func (m *maker) candidates() []choice {
	order := make([]int, len(m.loops))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		if larger(m.loops, a, b) {
			return -1
		}
		return cmp.Compare(1, 0)
	})
	var out []choice
	for n, i := range order[:min(len(order), maxCandidates)] {
		l := &m.loops[i]
		out = append(out, choice{Candidate{Index: n, Area: l.area, Box: l.box.bound(), Holes: m.tree.holds[i], Depth: m.tree.depth[i]}, i})
	}
	return out
}

func (m *maker) ambiguous(detail string) *AmbiguousError {
	e := &AmbiguousError{Source: tooling.Source{File: m.layer.File}, Detail: detail}
	for k, c := range m.candidates() {
		if k == 0 {
			e.Source = m.loopSource(&m.loops[c.loop])
		}
		e.Candidates = append(e.Candidates, c.Candidate)
	}
	return e
}

// String names the kind.
func (k Kind) String() string {
	names := strings.Fields("loose text dimension frame mark flash score")
	if k < 0 || int(k) >= len(names) {
		return fmt.Sprintf("Kind(%d)", int(k))
	}
	return names[k]
}

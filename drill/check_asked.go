package drill

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// slot takes a written slot for the hits that the plan makes of it: it must
// run from end to end of a slot of the input, either way.
func (c *checker) slot(op nc.Op, diameter float64) {
	from, to := c.pass.Fit.Undo(c.pass.Frame.Undo(op.From)), c.pass.Fit.Undo(c.pass.Frame.Undo(op.To))
	best := -1
	for i, h := range c.in.Holes {
		if !h.IsSlot() || c.bits[i].Diameter == 0 {
			continue
		}
		forth := max(toSegment(from, h.At, h.At), toSegment(to, h.To, h.To))
		back := max(toSegment(from, h.To, h.To), toSegment(to, h.At, h.At))
		if min(forth, back) > c.tolerance {
			continue
		}
		if best = i; tooling.Nanometres(c.bits[i].Diameter) == tooling.Nanometres(diameter) {
			break
		}
	}
	if best < 0 {
		c.report.Refuse("slot-unknown", tool(op.Tool), fmt.Sprintf("line %d: a slot where the plan has none from end to end", op.Line), 0, 0, op.To)
		return
	}
	h := c.in.Holes[best]
	a, b := h.At, h.To
	if toSegment(from, b, b) <= c.tolerance {
		a, b = b, a
	}
	for _, at := range Nibble(a, b, diameter, c.in.Rules.Bump) {
		c.hits = append(c.hits, writtenHit{at, c.pass.place(at), op.Tool, diameter})
	}
}

// slotCut follows the rout moves of one slot: rapid, down, one line, up.
type slotCut struct {
	stage int // 0 none, 1 above the start, 2 down, 3 at the end
	from  nc.Op
	line  nc.Op
}

// take tells whether an operation is part of a slot written as rout moves.
func (s *slotCut) take(c *checker, op nc.Op, diameter float64) bool {
	switch {
	case s.stage == 0 && op.Kind == nc.OpRapid:
		s.from = op
	case s.stage == 1 && op.Kind == nc.OpPlunge:
	case s.stage == 2 && op.Kind == nc.OpLine:
		s.line = op
	case s.stage == 3 && op.Kind == nc.OpRetract:
		s.stage = 0
		c.slot(nc.Op{Kind: nc.OpSlot, Tool: op.Tool, From: s.from.To, To: s.line.To, Line: op.Line}, diameter)
		return true
	case s.stage > 0:
		c.report.Refuse("rout-move", tool(op.Tool), fmt.Sprintf("line %d: %v within a slot of rout moves", op.Line, op.Kind), float64(op.Line), 0, op.To)
		s.stage = 0
		return false
	default:
		return false
	}
	s.stage++
	return true
}

// checkPart wants every further program of a split pass to have the tool table
// of the first.
func (c *checker) checkPart(k int, first, part *nc.Program) {
	same := len(first.Tools) == len(part.Tools)
	for i := 0; same && i < len(part.Tools); i++ {
		a, b := first.Tools[i], part.Tools[i]
		a.Line, b.Line = 0, 0
		same = a == b
	}
	if !same {
		c.report.Refuse("parts-differ", "", fmt.Sprintf("program %d has another tool table than the first", k+1), 0, 0)
	}
}

// checkOpening wants the message before the first tool, and in it what was
// asked for beside the usual.
func (c *checker) checkOpening() {
	want := c.pass.opening(c.asked)
	if len(c.messages) == 0 || c.messages[0].hit != 0 || !strings.Contains(c.messages[0].text, want) {
		var at orb.Point
		if len(c.hits) > 0 {
			at = c.hits[0].at
		}
		c.report.Refuse("opening-missing", "", "no opening message: "+want, 0, 0, at)
	}
}

// checkNoFeeds wants no tool to have a feed or speed.
func (c *checker) checkNoFeeds(t nc.ToolDef) {
	if t.Feed != 0 || t.Speed != 0 || t.Retract != 0 {
		c.report.Refuse("feed-mixed", tool(t.Number), "a feed or speed in a program that is to have none", max(t.Feed, t.Speed, t.Retract), 0)
	}
}

// askedRules are the rules about what was asked for.
func (c *checker) askedRules() []rule {
	out := []rule{{"opening-missing", "the opening message says what must be there"}}
	if c.asked.NoFeeds {
		out = append(out, rule{"feed-mixed", "no tool has a feed or speed, as asked, and the opening message says so"})
	}
	if c.asked.Slots != nc.SlotAsPlanned {
		out = append(out, rule{"slot-unknown", "every written slot is one of the plan from end to end"})
	}
	if c.asked.MaxBytes > 0 {
		out = append(out, rule{"parts-differ", "all programs of the pass have the same tools"})
	}
	return out
}

package route

import (
	"fmt"
	"math"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

// read collects the written cuts and refuses what a rout program must not
// hold. It is false when nothing more can be said of the program.
func (c *checker) read(written *nc.Program) bool {
	c.diameter = map[int]float64{}
	for _, t := range written.Tools {
		c.diameter[t.Number] = t.Diameter
	}
	r := writtenReader{c: c, at: newPiece(c.l.Input.Machine.ChangeAt, contour.Move{To: c.l.Input.Machine.ChangeAt})}
	for op, err := range written.Ops() {
		if err != nil {
			c.report.Refuse("unreadable", "", err.Error(), 0, 0)
			return false
		}
		r.take(c.pass.nominal(op))
	}
	r.lift()
	c.home = append(c.home, r.rapids...)
	if r.side != 0 {
		c.report.Refuse("compensation", "", "the program ends with compensation on", 0, 0)
	}
	if !r.ended {
		c.report.Refuse("end-missing", "", "the program has no end word", 0, 0)
	}
	for _, n := range written.Notes { // the reader stops at the end, a control may not
		if n.Rule == "after-end" {
			c.report.Refuse("end-missing", "", fmt.Sprintf("line %d: %s", n.Line, n.Detail), 0, 0)
		}
	}
	if r.down {
		c.report.Refuse("tool-down", "", "the program ends with the cutter down", 0, 0)
	}
	return true
}

// writtenReader turns operations into chains.
type writtenReader struct {
	c      *checker
	at     piece // where the tool stands: a piece of no length
	down   bool
	ended  bool
	side   float64 // of the edge on which the control runs the cutter: -1 right (G42), +1 left (G41), 0 none
	open   chain
	rapids []piece
}

func (r *writtenReader) take(op nc.Op) {
	report := &r.c.report
	switch op.Kind {
	case nc.OpTool:
		r.uncancelled(op, "a tool change")
		r.forbidden(op, "a tool change")
		r.rapid(op, true)
	case nc.OpRapid:
		r.uncancelled(op, "a rapid move")
		r.forbidden(op, "a rapid move")
		r.rapid(op, false)
	case nc.OpPlunge:
		r.forbidden(op, "a second plunge")
		r.down = true
		r.open = chain{tool: op.Tool, line: op.Line, radius: r.c.diameter[op.Tool] / 2, rapids: r.rapids}
		r.rapids = nil
	case nc.OpLine, nc.OpArc:
		r.cut(op)
	case nc.OpRetract:
		r.down = false
		r.lift()
	case nc.OpEnd:
		r.uncancelled(op, "the end")
		r.forbidden(op, "the end")
		r.rapid(op, true)
		r.ended = true
	case nc.OpCompensation:
		r.compensate(op)
	case nc.OpMessage:
		r.c.messages = append(r.c.messages, message{len(r.c.chains), op.Text})
	case nc.OpHit, nc.OpSlot, nc.OpCircle:
		report.Refuse("motion-word", toolName(op.Tool), fmt.Sprintf("line %d: %v in a rout program", op.Line, op.Kind), 0, 0, op.To)
	case nc.OpUnknown:
		if op.Motion {
			report.Refuse("motion-word", toolName(op.Tool), fmt.Sprintf("line %d: %q could make holes or motion", op.Line, op.Text), 0, 0, op.To)
		}
	}
}

// forbidden refuses what must not happen with the cutter down.
func (r *writtenReader) forbidden(op nc.Op, what string) {
	if r.down {
		r.c.report.Refuse("tool-down", toolName(op.Tool), fmt.Sprintf("line %d: %s with the cutter down", op.Line, what), 0, 0, op.From)
		r.down = false
		r.lift()
	}
}

// rapid notes a move with the tool up; home is a trip to the change position.
func (r *writtenReader) rapid(op nc.Op, home bool) {
	to := op.To
	if home {
		to = r.c.l.Input.Machine.ChangeAt
	}
	if to != r.at.b {
		q := newPiece(r.at.b, contour.Move{To: to})
		r.rapids = append(r.rapids, q)
		r.at = newPiece(to, contour.Move{To: to})
	}
}

func (r *writtenReader) cut(op nc.Op) {
	m := contour.Move{To: op.To}
	if op.Kind == nc.OpArc {
		m.Center, m.Turn = op.Center, 1
		if op.Clockwise {
			m.Turn = -1
		}
	}
	q := newPiece(op.From, m)
	if q.turn != 0 && float64((q.sweep-math.Pi/2)*q.r) > tight {
		r.c.report.Refuse("arc-block", toolName(op.Tool), fmt.Sprintf("line %d: an arc block over 90 degrees", op.Line), q.sweep*180/math.Pi, 90, op.To)
	}
	if !r.down {
		r.c.report.Refuse("tool-down", toolName(op.Tool), fmt.Sprintf("line %d: a cut without a plunge", op.Line), 0, 0, op.From)
		r.rapids = append(r.rapids, q)
		r.at = newPiece(op.To, contour.Move{To: op.To})
		return
	}
	if q.length > 0 {
		r.open.ps = append(r.open.ps, q)
	}
	r.at = newPiece(op.To, contour.Move{To: op.To})
}

func (r *writtenReader) lift() {
	if len(r.open.ps) > 0 {
		r.run()
		r.c.chains = append(r.c.chains, r.open)
	}
	r.open = chain{}
}

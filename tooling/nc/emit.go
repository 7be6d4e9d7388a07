package nc

// step is an [Op] in whole nanometres, before it is handed out.
type step struct {
	kind             OpKind
	clockwise        bool
	motion           bool
	tool             int
	from, to, center point
	diameter         int64
	line             int
	text             string
}

// hit drills at the programmed position.
func (it *interp) hit() error {
	it.lastHit = true
	if it.ops < it.maxOps() && !it.patterns.active() && !it.cut {
		// The same as emit, without a step in between: this is the inner loop.
		it.ops++
		op := Op{Kind: OpHit, Tool: it.tool, Line: it.line}
		op.From[0], op.From[1] = millimetres(it.last.x), millimetres(it.last.y)
		op.To[0], op.To[1] = millimetres(it.at.x), millimetres(it.at.y)
		it.last = it.at
		it.cut = !it.yield(op)
		return nil
	}
	return it.emit(&step{kind: OpHit, tool: it.tool, to: it.at, line: it.line})
}

func (it *interp) maxOps() int { return limit(it.o.MaxOps, DefaultMaxOps) }

// limit resolves a limit option.
func limit(n, byDefault int) int {
	if n == 0 {
		return byDefault
	}
	return max(n, 0)
}

// over builds a limit error at the current line.
func (it *interp) over(col int, what string, most, found int) error {
	return &LimitError{File: it.o.File, Line: it.line, Column: col + 1, Limit: what, Max: most, Found: found}
}

// emit hands an operation out and keeps it while a pattern is open. From is
// filled in here except for slots, whose two ends are both their own.
func (it *interp) emit(s *step) error {
	if it.ops >= it.maxOps() {
		return it.over(0, "operations", it.maxOps(), it.ops+1)
	}
	it.ops++
	if s.kind != OpSlot {
		s.from = it.last
	}
	if !s.moves() {
		s.to = it.last
	}
	it.last = s.to
	if s.kind == OpTool {
		it.spindle = s.tool
	}
	if s.kind != OpComment && !it.patterns.keep(s) {
		return it.over(0, "operations in a pattern", maxKept, maxKept+1)
	}
	if it.cut {
		return nil
	}
	op := Op{Kind: s.kind, Clockwise: s.clockwise, Motion: s.motion, Tool: s.tool, Line: s.line, Text: s.text,
		Diameter: millimetres(s.diameter)}
	op.From[0], op.From[1] = millimetres(s.from.x), millimetres(s.from.y)
	op.To[0], op.To[1] = millimetres(s.to.x), millimetres(s.to.y)
	if s.kind == OpArc {
		op.Center[0], op.Center[1] = millimetres(s.center.x), millimetres(s.center.y)
	}
	it.cut = !it.yield(op)
	return nil
}

// moves tells whether the operation has a place of its own.
func (s *step) moves() bool {
	switch s.kind {
	case OpHit, OpSlot, OpCircle, OpRapid, OpLine, OpArc:
		return true
	}
	return false
}

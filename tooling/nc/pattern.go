package nc

import "fmt"

// patterns holds the steps of open step-and-repeat patterns: M25 opens one,
// M01 ends it, M02 copies it, M08 ends the repeating.
type patterns struct {
	steps   []step
	starts  []patternStart // open, outermost first
	current bool           // a pattern has ended and can be copied
	from    int            // its steps
	to      int
	offset  point // of the last copy
	dropped bool  // copies were not kept, so no second level can be made
}

type patternStart struct{ step, line int }

// active tells whether steps must be kept.
func (p *patterns) active() bool { return len(p.starts) > 0 || p.current }

// open tells whether a pattern has begun and not ended.
func (p *patterns) open() bool { return len(p.starts) > 0 }

// openedAt returns the line of the innermost open pattern.
func (p *patterns) openedAt() int { return p.starts[len(p.starts)-1].line }

// maxKept bounds the steps kept for copying: about 80 MB.
const maxKept = 1 << 19

// keep records a step while a pattern is open or may be extended; false when
// an open pattern grows too long.
func (p *patterns) keep(s *step) bool {
	switch {
	case !p.active():
	case len(p.steps) < maxKept:
		p.steps = append(p.steps, *s)
	case p.open():
		return false
	default:
		p.dropped = true
	}
	return true
}

// begin handles M25.
func (it *interp) beginPattern(col int) error {
	p := &it.patterns
	if it.down {
		return it.fail(col, ErrRepeat, "M25 with the tool down", "M16 or M17 first")
	}
	if most := limit(it.o.MaxNesting, DefaultMaxNesting); len(p.starts) >= most {
		return it.over(col, "nesting", most, len(p.starts)+1)
	}
	if !p.open() {
		p.steps, p.dropped = p.steps[:0], false
	}
	p.current = false
	p.starts = append(p.starts, patternStart{len(p.steps), it.line})
	return nil
}

// endPattern handles M01. With no pattern open, but one being repeated, it
// takes everything since that one began: a second level.
func (it *interp) endPattern(col int) error {
	p := &it.patterns
	if it.down {
		return it.fail(col, ErrRepeat, "M01 with the tool down", "M16 or M17 first")
	}
	switch {
	case p.open():
		p.from = p.starts[len(p.starts)-1].step
		p.starts = p.starts[:len(p.starts)-1]
	case p.current:
		it.note("pattern-level", col, 0, "M01 again without M25: the pattern with its copies is the next pattern")
	default:
		return it.fail(col, ErrRepeat, "M01", "M25 before it")
	}
	if p.dropped {
		return it.over(col, "operations in a pattern", maxKept, maxKept+1)
	}
	p.to, p.offset, p.current = len(p.steps), point{}, true
	return nil
}

// copyPattern handles M02 with its offset, R repeats of it, and swap and
// mirror words. Mirrors turn about the program zero.
func (it *interp) copyPattern(col int, d point, times int, swap, mirrorX, mirrorY bool) error {
	p := &it.patterns
	if !p.current {
		return it.fail(col, ErrRepeat, "M02 with an offset", "a pattern ended by M01")
	}
	if it.down {
		return it.fail(col, ErrRepeat, "M02 with the tool down", "M16 or M17 first")
	}
	if most := it.maxOps(); p.to > p.from && times > (most-it.ops)/(p.to-p.from) {
		return it.over(col, "operations", most, saturate(times, p.to-p.from, it.ops))
	}
	if swap || mirrorX || mirrorY {
		it.note("mirrored-copy", col, 0, "swap and mirror are taken about the program zero, then moved")
	}
	if p.to == p.from {
		it.note("empty-pattern", col, 0, "a pattern without operations is copied")
		return nil
	}
	for range times {
		p.offset.x += d.x
		p.offset.y += d.y
		for k := p.from; k < p.to; k++ {
			s := p.steps[k]
			for _, pt := range [3]*point{&s.from, &s.to, &s.center} {
				if swap {
					pt.x, pt.y = pt.y, pt.x
				}
				if mirrorX {
					pt.x = -pt.x
				}
				if mirrorY {
					pt.y = -pt.y
				}
				pt.x += p.offset.x
				pt.y += p.offset.y
				if it.beyond(*pt) {
					return it.fail(col, ErrRange, fmt.Sprintf("a copy at %.3f, %.3f mm", millimetres(pt.x), millimetres(pt.y)), it.within())
				}
			}
			if (swap != mirrorX) != mirrorY {
				s.clockwise = !s.clockwise
			}
			s.line = it.line
			if s.moves() && s.tool != it.spindle {
				// The pattern began with a tool chosen before it.
				t := step{kind: OpTool, tool: s.tool, line: it.line}
				if n, ok := it.tools[s.tool]; ok {
					t.diameter = it.nanos[n]
				}
				if err := it.emit(&t); err != nil {
					return err
				}
			}
			if err := it.emit(&s); err != nil {
				return err
			}
			if it.cut {
				return nil
			}
		}
	}
	it.lost = true
	if it.spindle != it.tool {
		t := step{kind: OpTool, tool: it.tool, diameter: it.drilling, line: it.line}
		return it.emit(&t)
	}
	return nil
}

// endRepeat handles M08.
func (it *interp) endRepeat(col int) error {
	p := &it.patterns
	if p.open() {
		return it.fail(col, ErrRepeat, "M08", fmt.Sprintf("M01 for the pattern of line %d", p.openedAt()))
	}
	if !p.current {
		it.note("stray-word", col, 0, "M08 without a pattern")
	}
	*p = patterns{steps: p.steps[:0]}
	return nil
}

// saturate returns times*each+base without overflow.
func saturate(times, each, base int) int {
	const most = int(^uint(0) >> 1)
	if each > 0 && times > (most-base)/each {
		return most
	}
	return times*each + base
}

// repeatHit handles R#X#Y#: further hits, each moved by the offset.
func (it *interp) repeatHit(col int, d point, times int) error {
	if !it.lastHit || it.routing {
		return it.fail(col, ErrRepeat, "a repeat", "a hit before it")
	}
	if it.lost {
		return it.fail(col, ErrPosition, "a repeat after copies", "a hit with both coordinates")
	}
	if most := it.maxOps(); times > most-it.ops {
		return it.over(col, "operations", most, saturate(times, 1, it.ops))
	}
	for range times {
		p := point{it.at.x + d.x, it.at.y + d.y}
		if it.beyond(p) {
			return it.fail(col, ErrRange, fmt.Sprintf("a repeat at %.3f, %.3f mm", millimetres(p.x), millimetres(p.y)), it.within())
		}
		it.at = p
		if err := it.hit(); err != nil {
			return err
		}
		if it.cut {
			return nil
		}
	}
	return nil
}

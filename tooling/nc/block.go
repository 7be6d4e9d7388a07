package nc

import (
	"bytes"
	"fmt"
)

// block does what the words of the current line say: tool, modes, motion,
// machine words, in that order.
func (it *interp) block() error {
	w := &it.w
	for _, c := range w.comments[:w.ncomment] {
		if err := it.comment(w.src[c.from:c.to], c.from); err != nil {
			return err
		}
	}
	if w.open {
		it.note("open-comment", w.comments[max(w.ncomment-1, 0)].from, 0, "a comment in brackets runs to the end of the line")
	}
	if w.percent {
		it.percent()
		return nil
	}
	if w.deleted {
		if it.o.SkipDeleted {
			it.note("block-delete", 0, 0, "blocks that begin with / are left out, as asked")
			return nil
		}
		it.note("block-delete", 0, 0, "blocks that begin with / are run")
	}
	if w.ident != nil {
		it.putAway = false
		return it.headerWord(w.ident, w.identCol)
	}
	if w.seen == 0 && w.ng == 0 && w.nm == 0 && w.canned.num == 0 {
		return nil
	}
	it.putAway = false
	if err := it.headerMarks(); err != nil {
		return err
	}
	if w.has('T') {
		if err := it.toolWord(); err != nil {
			return err
		}
	}
	if it.header {
		return it.headerBlock()
	}
	if foreign, col := it.foreign(); foreign {
		return it.unknown(col, true)
	}
	if c := w.lookAlike(); c != 0 {
		return it.fail(w.col[c-'A'], ErrSyntax, fmt.Sprintf("the letter %c beside coordinates", c), "a word of a drill program, or a digit")
	}
	for _, g := range w.g[:w.ng] {
		if err := it.mode(g); err != nil {
			return err
		}
	}
	if err := it.motionWords(); err != nil {
		return err
	}
	for i, m := range w.m[:w.nm] {
		if it.ended {
			it.note("after-end", m.col, 0, "words after the end of the program are not read")
			break
		}
		if err := it.machineWord(m, i); err != nil {
			return err
		}
	}
	return it.loose()
}

// foreign tells whether the block has a G or M word whose meaning is not
// known: then its coordinates cannot be taken for a hit.
func (it *interp) foreign() (bool, int) {
	w := &it.w
	for _, g := range w.g[:w.ng] {
		switch g.num {
		case 0, 1, 2, 3, 4, 5, 32, 33, 40, 41, 42, 81, 90, 91, 93:
		default:
			return true, g.col
		}
	}
	if w.text != nil && w.m[w.nm-1].num != 47 {
		return true, w.m[w.nm-1].col
	}
	for _, m := range w.m[:w.nm] {
		switch m.num {
		case 0, 2, 6, 8, 9, 15, 16, 17, 25, 30, 47, 48, 71, 72, 95:
		case 1, 70:
			if it.format1 {
				return true, m.col
			}
			if m.num == 70 && !w.hasM(2) {
				return true, m.col
			}
		case 80, 90:
			if !w.hasM(2) {
				return true, m.col
			}
		default:
			return true, m.col
		}
	}
	return false, 0
}

// hasM tells whether the block has the M word.
func (w *words) hasM(num int) bool {
	for _, m := range w.m[:w.nm] {
		if m.num == num {
			return true
		}
	}
	return false
}

// hasG tells whether the block has the G word.
func (w *words) hasG(num int) bool {
	for _, g := range w.g[:w.ng] {
		if g.num == num {
			return true
		}
	}
	return false
}

// lookAlike returns a letter that no control uses beside coordinates and that
// looks like a digit or the sign of a power: a slip of the keyboard.
func (w *words) lookAlike() byte {
	if w.seen&xy != 0 {
		for _, c := range [3]byte{'E', 'L', 'O'} {
			if w.has(c) {
				return c
			}
		}
	}
	return 0
}

// unknown keeps the whole block as it stands. A block that could move leaves
// the position unknown unless it gives both coordinates.
func (it *interp) unknown(col int, motion bool) error {
	w := &it.w
	text := string(bytes.TrimSpace(w.src))
	it.note("unknown-word", col, it.tool, fmt.Sprintf("%q is kept and not understood", clip(bytes.TrimSpace(w.src))))
	if motion && (w.has('X') || w.has('Y')) {
		it.lost = true
	}
	if motion {
		it.lastHit = false
	}
	return it.emit(&step{kind: OpUnknown, motion: motion, tool: it.tool, line: it.line, text: text})
}

// looseLetters are letters that change how a hit or cut is made. Z limits the
// depth, so it counts as a word that makes something.
const looseLetters = "BCDEFHIJKLOPQSUVWZA"

// loose keeps letters that belong to nothing in the block.
func (it *interp) loose() error {
	w := &it.w
	for i := range len(looseLetters) {
		c := looseLetters[i]
		if !w.has(c) || w.has('T') && bytes.IndexByte([]byte("CFSHBZ"), c) >= 0 {
			continue
		}
		if bytes.IndexByte([]byte("AIJ"), c) >= 0 && (it.routing && it.motion >= 2 || w.hasG(32) || w.hasG(33)) {
			continue
		}
		motion := bytes.IndexByte([]byte("FSHB"), c) < 0
		it.note("unknown-word", w.col[c-'A'], it.tool, fmt.Sprintf("%c in %q is kept and not understood", c, clip(w.src)))
		if err := it.emit(&step{kind: OpUnknown, motion: motion, tool: it.tool, line: it.line, text: string(bytes.TrimSpace(w.src))}); err != nil {
			return err
		}
		break
	}
	return nil
}

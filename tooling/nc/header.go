package nc

import (
	"bytes"
	"fmt"
	"strings"
)

// headerMarks does M48 and M95 and leaves a header that never ended when a
// block belongs to the body.
func (it *interp) headerMarks() error {
	w := &it.w
	if w.hasM(48) {
		if it.moved {
			return it.fail(w.m[0].col, ErrSyntax, "a second header", "the end of the program before it")
		}
		it.header, it.headered = true, true
	}
	if w.hasM(95) {
		it.header = false
	}
	if !it.header {
		return nil
	}
	selects := w.has('T') && w.seen == 1<<('T'-'A') && it.known(w.get('T'))
	if w.seen&xy != 0 || w.canned.num != 0 || selects || w.hasM(15) || w.hasM(25) {
		it.note("open-header", 0, 0, "the header has no % or M95, the body begins here")
		it.header = false
	}
	return nil
}

// percent does "%": the end of the header, or a tape mark.
func (it *interp) percent() {
	switch {
	case it.header:
		it.header = false
	case it.moved:
		it.note("tape-mark", 0, 0, "% in the body")
		it.putAway = true
	}
}

// headerBlock does what a block of words may do in the header besides tools.
func (it *interp) headerBlock() error {
	w := &it.w
	for _, g := range w.g[:w.ng] {
		switch g.num {
		case 5, 81, 90, 91:
			if err := it.mode(g); err != nil {
				return err
			}
		default:
			return it.unknown(g.col, true)
		}
	}
	for _, m := range w.m[:w.nm] {
		switch m.num {
		case 48, 71, 72, 95:
		case 30:
			return it.end(m.col)
		case 0, 47:
			if err := it.machineWord(m, 0); err != nil {
				return err
			}
		default:
			return it.unknown(m.col, true)
		}
	}
	if !w.has('T') && w.seen != 0 {
		return it.unknown(0, false)
	}
	return nil
}

// headerWord does a word of letters: INCH, METRIC, FMAT, ICI and what is
// known to do nothing to the holes. Others are kept.
func (it *interp) headerWord(b []byte, col int) error {
	name, rest, _ := strings.Cut(string(b), ",")
	name = strings.ToUpper(strings.TrimSpace(name))
	rest = strings.ToUpper(strings.TrimSpace(rest))
	switch name {
	case "INCH", "METRIC":
		return it.unitsWord(b, col)
	case "FMAT":
		switch rest {
		case "1":
			it.format1 = true
			it.note("format-1", col, 0, "format 1: M00, M01, M02 and M70 mean other things")
		case "2":
			it.format1 = false
		default:
			return it.fail(col, ErrSyntax, fmt.Sprintf("%q", clip(b)), "FMAT,1 or FMAT,2")
		}
		return nil
	case "ICI":
		switch rest {
		case "ON":
			it.incremental(col)
		case "OFF", "":
			it.relative = false
		default:
			return it.fail(col, ErrSyntax, fmt.Sprintf("%q", clip(b)), "ICI,ON or ICI,OFF")
		}
		return nil
	case "VER", "DETECT", "ATC":
		return nil // version, break detection, tool changer: nothing to do with the holes
	}
	return it.unknown(col, !it.header)
}

// unitsWord does INCH and METRIC with what hangs on them. Before the first
// coordinate they are part of the form; parts that mean nothing are refused.
func (it *interp) unitsWord(b []byte, col int) error {
	u, z, d := UnitsUnknown, it.sc.zeros, it.sc.digits
	at := col
	for i, part := range bytes.Split(b, []byte(",")) {
		pu, pz, pd := formWord(bytes.TrimSpace(part))
		switch {
		case i == 0:
			u = pu
		case pz != ZerosUnknown:
			z = pz
		case pd != (Digits{}):
			d = pd
		default:
			return it.fail(at, ErrSyntax, fmt.Sprintf("%q", clip(part)), "LZ, TZ or a number form such as 000.000")
		}
		at += len(part) + 1
	}
	if !it.moved || it.o.Force {
		return nil
	}
	if u != it.sc.units || z != it.sc.zeros || d != it.sc.digits {
		if u != it.sc.units && d == it.sc.digits && d != (Digits{}) {
			d = usualDigits(u)
		}
		it.note("unit-change", col, 0, fmt.Sprintf("from here on in %v, zeros %v, digits %v", u, z, d))
		it.useScale(u, z, d)
	}
	return nil
}

package nc

import "fmt"

// diameterNano converts a C word. With a point it is in the file's unit.
// Without one it is either whole units or coded like a coordinate: whole units
// when it has at most two digits and gives a size from 0.05 to 25 mm, else the
// code when that does.
func diameterNano(n number, sc *scale) (nano int64, ok bool) {
	if n.frac >= 0 {
		return sc.nano(n)
	}
	usable := func(v int64) bool { return v >= 50_000 && v <= 25_000_000 }
	whole, ok := sc.point[0].apply(n.mant)
	if ok && usable(whole) && n.digits <= 2 {
		return whole, true
	}
	if sc.known && sc.zeros != DecimalPoint {
		if coded, fits := sc.nano(n); fits && usable(coded) {
			return coded, true
		}
	}
	return whole, ok
}

// parameters reads F, S, B, H and Z. F00 and S00 are the same as none.
func (it *interp) parameters(t *ToolDef) error {
	w := &it.w
	set := func(letter byte, into *float64, factor float64) error {
		if !w.has(letter) {
			return nil
		}
		n := w.get(letter)
		if n.neg && n.mant != 0 {
			at := w.col[letter-'A']
			return it.fail(at, ErrTool, fmt.Sprintf("%q", clip(w.src[at:])), fmt.Sprintf("%c of 0 or more", letter))
		}
		v := float64(n.value() * factor)
		if v == 0 {
			return nil
		}
		if *into != 0 && *into != v {
			it.note("tool-changed", w.col[letter-'A'], t.Number, fmt.Sprintf("%c of T%d is said twice, the later holds", letter, t.Number))
		}
		*into = v
		return nil
	}
	if err := set('F', &t.Feed, it.feed); err != nil {
		return err
	}
	if err := set('S', &t.Speed, 1000); err != nil {
		return err
	}
	if err := set('B', &t.Retract, it.feed); err != nil {
		return err
	}
	if t.Feed > oddFeed || t.Retract > oddFeed || t.Speed > oddSpeed {
		it.note("odd-feed", w.col['T'-'A'], t.Number, fmt.Sprintf("%.0f mm/min at %.0f rev/min, retract %.0f mm/min: is the unit of F, S or B another one?", t.Feed, t.Speed, t.Retract))
	}
	if w.has('H') {
		n := w.get('H')
		if n.frac >= 0 || n.neg || n.mant > 1<<31-1 {
			at := w.col['H'-'A']
			return it.fail(at, ErrTool, fmt.Sprintf("%q", clip(w.src[at:])), "H with a whole number of hits")
		}
		t.HitLimit = int(n.mant)
	}
	if w.has('Z') {
		v, err := it.length(w.get('Z'), w.col['Z'-'A'])
		if err != nil {
			return err
		}
		t.Z, t.HasZ = millimetres(v), v != 0 // 0 stands for no offset
	}
	return nil
}

// Feeds and speeds beyond these are probably in another unit.
const (
	oddFeed  = 60_000  // mm/min
	oddSpeed = 400_000 // rev/min
)

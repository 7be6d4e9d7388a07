package nc

import (
	"fmt"
)

// repeatWord does R#X#Y#.
func (it *interp) repeatWord() error {
	w := &it.w
	col := w.col['R'-'A']
	times, err := it.times()
	if err != nil {
		return err
	}
	if w.seen&xy == 0 {
		return it.fail(col, ErrRepeat, "R alone", "X or Y with the step, or M02")
	}
	d, err := it.delta()
	if err != nil {
		return err
	}
	return it.repeatHit(col, d, times)
}

// times reads R.
func (it *interp) times() (int, error) {
	w := &it.w
	if !w.has('R') {
		return 1, nil
	}
	n := w.get('R')
	if n.frac >= 0 || n.neg || n.mant == 0 {
		return 0, it.fail(w.col['R'-'A'], ErrRepeat, fmt.Sprintf("%q", clip(w.src[w.col['R'-'A']:])), "R with a whole number above 0")
	}
	return int(min(n.mant, 1<<31-1)), nil
}

// delta reads X and Y as a step, whatever the mode.
func (it *interp) delta() (point, error) {
	w := &it.w
	var d point
	var err error
	if w.has('X') {
		if d.x, err = it.length(w.get('X'), w.col['X'-'A']); err != nil {
			return d, err
		}
	}
	if w.has('Y') {
		d.y, err = it.length(w.get('Y'), w.col['Y'-'A'])
	}
	return d, err
}

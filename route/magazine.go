package route

import (
	"fmt"
	"slices"

	"example.org/pinstack/tooling/machine"
)

// InMagazine returns the mounted pass with its cutters in the places of a
// shop's magazine, which become the T numbers of the program: each cutter takes
// the next free place of its tool. Passes of one set-up share one loading.
//
// The error is [ErrUnmounted] or a [*machine.MagazineError]. The pass itself is
// not changed.
func (p Pass) InMagazine(l *machine.Loading) (Pass, error) {
	if !p.Mounted() {
		return Pass{}, ErrUnmounted
	}
	out := p
	out.Runs = slices.Clone(p.Runs)
	for i := range out.Runs {
		r := &out.Runs[i]
		places, err := l.Take(r.Tool.ID, len(r.Cutters), false)
		if err != nil {
			return Pass{}, fmt.Errorf("pass %s run %d: %w", p.Name, r.Number, err)
		}
		r.Cutters = slices.Clone(r.Cutters)
		for k := range r.Cutters {
			r.Cutters[k].Place = places[k]
		}
	}
	return out, nil
}

package drill

import (
	"fmt"
	"slices"

	"example.org/pinstack/tooling/machine"
)

// InMagazine returns the mounted pass with its bits in the places of a shop's
// magazine, which become the T numbers of the program: each bit takes the next
// free place of its tool, bits that the control takes by itself a row of them.
// Passes of one set-up share one loading. The rest after a stop is numbered
// anew, since places may be empty then.
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
		places, err := l.Take(r.Tool.ID, len(p.places(*r)), r.Limit > 0)
		if err != nil {
			return Pass{}, fmt.Errorf("pass %s run %d: %w", p.Name, r.Number, err)
		}
		r.Bits = slices.Clone(r.Bits)
		for k := range r.Bits {
			r.Bits[k].Place = places[k]
		}
	}
	return out, nil
}

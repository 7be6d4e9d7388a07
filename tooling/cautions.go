package tooling

import "slices"

// Cautions returns the safety lines that job sheet, README and programs
// carry. They are the usual ones of a drill room (common practice) and defer
// to the machine maker's manual, local codes and trained operators.
func Cautions() []string {
	return []string{
		"The machine maker's manual, local codes and trained operators come first; this sheet replaces none of them.",
		"The check knows the program, not the machine: collets, pins, magazine and vacuum are the operator's to check.",
		"Guards closed and interlocks working before any spindle turns.",
		"Dust extraction on; never clean with compressed air: glass and carbide dust harm lungs and eyes.",
		"Eye and ear protection; no gloves, loose sleeves or hair near a spindle.",
		"Collets clean, run-out within the maker's limit; every place of the magazine compared with the tool table.",
		"Pins tight, stack flat and clean, entry and backup sheets in place as listed.",
		"Dry run above the work first, then one stack, inspected, before the lot.",
		"A broken bit: stop, wait for the spindle, never reach in for fragments by hand; count the pieces.",
		"Used bits and cutters go into the sharps box.",
	}
}

// WithCautions returns the lines of a program's header with the cautions after
// them, those left out that it has already. No program is written without them.
func WithCautions(header []string) []string {
	out := slices.Clone(header)
	for _, caution := range Cautions() {
		if !slices.Contains(header, caution) {
			out = append(out, caution)
		}
	}
	return out
}

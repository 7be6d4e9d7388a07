package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"

	"example.org/pinstack/tooling"
)

func (r *result) json(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}

// print writes the sheet for the operator.
func (r *result) print(w io.Writer) error {
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	line("AFTER A STOP: job %s, pass %s, %s, on %s", r.Job, r.Pass, r.where(), r.Machine)
	line("")
	line("The program begins with: %s", r.Opening)
	line("%s", r.work())
	if r.Parked {
		line("What is made again is made with the other spindles parked: the program stops for that, and to take them back.")
	}
	line("%.1f s of machine time; without the stop %.1f s were left", r.Seconds, r.Uninterrupted)
	if r.Counter != "" {
		line("NOTE: %s", r.Counter)
	}
	for _, text := range r.Kept {
		line("NOTE: %s", text)
	}
	line("")
	line("TOOLS (worn: made before the stop, where the tool was kept)")
	for _, t := range r.Tools {
		amount := fmt.Sprintf("%6d hits", t.Hits)
		if t.Cut > 0 {
			amount = fmt.Sprintf("%8.1f mm", t.Cut)
		}
		line("  T%-3d %-8s %6.3f mm  %s  worn %6.0f  life %6.0f", t.Place, t.Kind, t.Diameter, amount, t.Worn, t.Life)
	}
	line("")
	line("LEFT OUT (%d), for you to deal with", len(r.LeftOut))
	for _, l := range r.LeftOut {
		line("  X%.3f Y%.3f  %s", l.At[0], l.At[1], l.Why)
	}
	if len(r.Later) > 0 {
		line("")
		line("COMES TO A PLACE LEFT OUT (%d)", len(r.Later))
		for _, f := range r.Later {
			line("  %s", f.Detail)
		}
	}
	line("")
	line("CAUTIONS")
	for _, c := range tooling.Cautions() {
		line("  %s", c)
	}
	line("")
	line("%d checks passed; %s", len(r.Checks), written(r.Program))
	_, err := io.WriteString(w, b.String())
	return err
}

func written(program string) string {
	if program == "" {
		return "nothing written"
	}
	return "written to " + program
}

// where says after what the pass came to a halt, and in which pass that is counted.
func (r *result) where() string {
	if r.Rest > 1 {
		return fmt.Sprintf("after %s of rest %d of it", r.after, r.Rest-1)
	}
	return "after " + r.after
}

// work says what there is to do.
func (r *result) work() string {
	what, again := count(r.RemainingHits, "hit"), r.RepeatedHits
	if r.RemainingPaths > 0 {
		what, again = count(r.RemainingPaths, "path"), r.RepeatedPaths
	}
	loads := "in one load"
	if r.Loads > 1 {
		loads = fmt.Sprintf("in %d loads", r.Loads)
	}
	return fmt.Sprintf("%s to make, %d of them again, on %s %s", what, again, count(r.Spindles, "spindle"), loads)
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return fmt.Sprintf("%d %s", n, noun)
}

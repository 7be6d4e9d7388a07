package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"time"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
)

// after is the machine time in seconds that steps take after so many of a
// kind.
func after(m machine.Machine, steps iter.Seq[machine.Step], kind machine.StepKind, count int) float64 {
	var at, end time.Duration
	for t, s := range m.Timed(steps) {
		if s.Kind == kind && count > 0 {
			count--
			at = t
		}
		end = t
	}
	return tooling.Snap((end - at).Seconds())
}

// opening is the message with which a written program begins.
func opening(text []byte) (string, error) {
	p, err := nc.Parse(text, nc.ReadOptions{})
	if err != nil {
		return "", err
	}
	for op, err := range p.Ops() {
		if err != nil {
			return "", err
		}
		if op.Kind == nc.OpMessage {
			return op.Text, nil
		}
	}
	return "", nil
}

// keep writes the sheet, as text and as a page, and the saved pass beside the
// programs: the pass is what -from goes on from when this rest is stopped in turn.
func (r *result) keep(rest job.Plan, programs []job.Program, checks tooling.Report, dir string) error {
	r.Program = filepath.Join(dir, programs[0].File)
	base := strings.TrimSuffix(r.Program, ".nc")
	r.Sheet, r.Page, r.Saved = base+".txt", base+".html", base+".json"
	var pass any
	if len(rest.Drill) > 0 {
		pass = rest.Drill[0]
	} else {
		pass = rest.Rout[0]
	}
	saved, err := json.MarshalIndent(pass, "", " ")
	if err != nil {
		return err
	}
	if err := os.WriteFile(r.Saved, append(saved, '\n'), 0o644); err != nil {
		return err
	}
	if err := r.page(rest, programs, checks); err != nil {
		return err
	}
	var sheet bytes.Buffer
	if err := r.print(&sheet); err != nil {
		return err
	}
	return os.WriteFile(r.Sheet, sheet.Bytes(), 0o644)
}

func (r *result) json(w io.Writer) error {
	enc := json.NewEncoder(w)
	enc.SetIndent("", "  ")
	return enc.Encode(r)
}

// print writes the sheet for the operator.
func (r *result) print(w io.Writer) error {
	var b strings.Builder
	line := func(format string, a ...any) { fmt.Fprintf(&b, format+"\n", a...) }
	line("AFTER A STOP: job %s, pass %s, run %d, on %s", r.Job, r.Pass, r.Run, r.Machine)
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

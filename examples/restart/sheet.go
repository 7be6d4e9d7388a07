package main

import (
	"bytes"
	"fmt"
	"os"

	"example.org/pinstack/drill"
	"example.org/pinstack/examples/internal/report"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// page writes the job sheet of the rest: as that of a fresh pass, but for one
// load, without loading and without a price, and with what is made again and what
// is left out among its findings, so that both are marked in the picture.
func (r *result) page(rest job.Plan, programs []job.Program, checks tooling.Report) error {
	u := rest.Stack.SetUps[0]
	rest.Job.Note = fmt.Sprintf("rest of pass %s %s: %s", r.Pass, r.where(), r.work())
	rest.Job.Lot = r.stacks * u.Height
	rest.Report = append(r.findings(), rest.Report...)
	s, err := report.Sheet(rest, programs, checks)
	if err != nil {
		return err
	}
	s.Rest, s.FirstArticle = true, nil // it counts holes of a whole panel
	var page bytes.Buffer
	if err := s.WriteHTML(&page, report.Scene(rest)); err != nil {
		return err
	}
	return os.WriteFile(r.Page, page.Bytes(), 0o644)
}

// findings say where something is made again or left out, and what else an
// operator must know of this rest.
func (r *result) findings() tooling.Report {
	var out tooling.Report
	detail := "made again, as asked, by all spindles"
	if r.Parked {
		detail = "made again, as asked, with the other spindles parked"
	}
	for _, at := range r.again {
		out.Note("made-again", r.Pass, detail, 0, 0, at)
	}
	for _, l := range r.LeftOut {
		detail := "left out, in an area given up"
		if l.Why != drill.Scrapped { // each by itself: somebody must deal with it
			detail = fmt.Sprintf("left out for you to deal with: %s at X%.3f Y%.3f", l.Why, l.At[0], l.At[1])
		}
		out.Note("left-out", r.Pass, detail, 0, 0, l.At)
	}
	out = append(out, r.meets...)
	if r.Counter != "" {
		out.Note("hit-counter", r.Pass, r.Counter, 0, 0)
	}
	for _, text := range r.Kept {
		out.Note("tools-kept", r.Pass, text, 0, 0)
	}
	return out
}

// comesTo takes in what of later passes comes to a place left out.
func (r *result) comesTo(found tooling.Report) {
	r.meets = found
	for _, f := range found {
		r.Later = append(r.Later, check{f.Rule, f.OK, f.Detail})
	}
}

// alone is a set-up as the sheet of a rest shows it: what it costs and what loads
// it takes was told before the stop.
func alone(u stack.SetUp) stack.Result {
	u.Tools, u.Handling, u.Cost = nil, 0, stack.Cost{}
	return stack.Result{SetUps: []stack.SetUp{u}}
}

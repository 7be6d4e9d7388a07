package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"os"
	"path/filepath"
	"strings"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// write writes program, saved pass and sheet, and prints what was done: nothing before
// every check has passed.
func (r *result) write(ctx context.Context, w io.Writer, rest job.Plan, o options) error {
	writing := job.WriteOptions{Program: rest.Job.Writing}
	var programs []job.Program
	var checks tooling.Report
	var err error
	if o.out == "" {
		programs, checks, err = rest.Programs(ctx, writing)
	} else {
		programs, checks, err = rest.Write(ctx, o.out, writing)
	}
	if err != nil {
		return err
	}
	for _, f := range checks {
		r.Checks = append(r.Checks, check{f.Rule, f.OK, f.Detail})
	}
	if err := checks.Err(); err != nil {
		return err
	}
	if r.Opening, err = opening(programs[0].Text); err != nil {
		return err
	}
	if o.out != "" {
		if err := r.keep(rest, programs, checks, o.out); err != nil {
			return err
		}
	}
	if o.json {
		return r.json(w)
	}
	return r.print(w)
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

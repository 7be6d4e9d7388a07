package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
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
	for _, f := range r.Later {
		writing.Program.Header = append(writing.Program.Header, f.Detail)
	}
	writing.Program.Header = append(writing.Program.Header, r.Kept...)
	programs, checks, err := rest.Programs(ctx, writing)
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
		if err := r.keep(ctx, rest, programs, checks, o, writing); err != nil {
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

// errKept is the cause of a refusal to write over a saved pass that is another: the
// files of a rest are all that tells what lies behind it.
var errKept = errors.New("the saved pass of another rest is kept")

// keep writes the programs, and beside them the sheet, as text and as a page, and the
// saved pass: it is what -from goes on from when this rest is stopped in turn.
func (r *result) keep(ctx context.Context, rest job.Plan, programs []job.Program, checks tooling.Report, o options, writing job.WriteOptions) error {
	r.Program = filepath.Join(o.out, programs[0].File)
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
	saved = append(saved, '\n')
	if err := free(r.Saved, o.from, saved); err != nil {
		return err
	}
	if _, _, err := rest.Write(ctx, o.out, writing); err != nil {
		return err
	}
	if err := os.WriteFile(r.Saved, saved, 0o644); err != nil {
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

// free tells whether a pass may be saved under a name: nothing is there, or the same.
func free(name, from string, saved []byte) error {
	there, err := os.ReadFile(name)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case bytes.Equal(there, saved):
		return nil
	}
	found := "a rest that differs"
	if a, err := os.Stat(name); err == nil && from != "" {
		if b, err := os.Stat(from); err == nil && os.SameFile(a, b) {
			found = "the pass that -from goes on from"
		}
	}
	return fmt.Errorf("%w: %s: found %s, expected no file, or another directory in -out", errKept, name, found)
}

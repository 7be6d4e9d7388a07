package job

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"slices"
	"time"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// Program is one written program.
type Program struct {
	Pass  string // name of the pass
	SetUp int    // number of its set-up: a pass in tiers has a program in each
	File  string // its file name
	Text  []byte
}

// WriteOptions steer [Plan.Programs] and [Plan.Write]. The zero value is the
// default.
type WriteOptions struct {
	Program  nc.WriteOptions                          // how every program is written; what the job file asks for is [Job].Writing
	Progress func(pass string, done, of int, n int64) // called after each pass is written and checked, with the passes done and the programs so far; nil: never
	Log      *slog.Logger                             // told of the stages "write" and "check", of each pass and together; nil: silent
	Stats    *tooling.Statistics                      // gets what they took; nil: nowhere
}

// Programs writes every pass of the plan, in memory, reads each text back and
// checks it as asked for by the options. With Program.MaxBytes a pass may take
// several programs, checked together. The report has the findings of every check,
// OK or not; its Err tells whether the programs may be used. A plan whose passes
// were replaced by the rest of one after a stop is written in the same way, with
// the stop in the file's name; that of a rest of a rest has them all, the first one
// first. The error is that of a program that cannot be built
// or read back, or of the context, which is looked at between passes.
func (p Plan) Programs(ctx context.Context, w WriteOptions) ([]Program, tooling.Report, error) {
	o := w.Program
	watch := writeWatch{o: w, of: len(p.Drill) + len(p.Rout)}
	var out []Program
	var report tooling.Report
	add := func(pass, rest string, s stack.SetUp, build func(nc.WriteOptions) ([]*nc.Program, error), check func([]*nc.Program) tooling.Report) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		began := time.Now()
		programs, err := build(o)
		var written []*nc.Program
		base := fmt.Sprintf("%s-%s-%d-%s%s", p.Job.Name, p.Job.Revision, s.Number, pass, rest)
		for k, program := range programs {
			var text bytes.Buffer
			if _, err := program.WriteTo(&text); err != nil {
				return err
			}
			file := base + ".nc"
			if len(programs) > 1 {
				file = fmt.Sprintf("%s-part%d.nc", base, k+1)
			}
			for _, n := range program.Notes { // what writing had to say
				report = append(report, tooling.Finding{Rule: n.Rule, OK: true, Source: tooling.Source{File: file}, Tool: pass, Detail: n.Detail, Count: n.Count})
			}
			back, err := nc.Parse(text.Bytes(), nc.ReadOptions{File: file, FeedUnit: o.FeedUnit})
			if err != nil {
				return fmt.Errorf("pass %s: %w", pass, err)
			}
			written = append(written, back)
			out = append(out, Program{Pass: pass, SetUp: s.Number, File: file, Text: text.Bytes()})
		}
		if err != nil {
			return fmt.Errorf("pass %s: %w", pass, err)
		}
		wrote := time.Now()
		found := check(written)
		watch.pass(ctx, pass, wrote.Sub(began), time.Since(wrote), len(written), len(found))
		for _, f := range found {
			f.Source.File = base + ".nc"
			report = append(report, f)
		}
		return nil
	}
	o.Header = append(append([]string(nil), o.Header...), p.header()...)
	var tiers []drill.Pass
	var texts [][]*nc.Program // of the tiers
	for _, d := range p.Drill {
		rest := ""
		if d.Rest != nil {
			for _, s := range append(slices.Clone(d.Rest.Earlier), d.Rest.Stop) {
				rest += fmt.Sprintf("-rest-%d-%d", s.Run, s.Hit)
			}
		}
		err := add(d.Name, rest, d.SetUp, d.Programs, func(w []*nc.Program) tooling.Report {
			tiers, texts = append(tiers, d), append(texts, w)
			return drill.CheckAs(p.Job.Drill, d, w, o)
		})
		if err != nil {
			return nil, nil, err
		}
		if d.SetUp.Tier == d.SetUp.Tiers { // the last, or the only one
			if d.SetUp.Tiers > 1 && d.Rest == nil { // a rest is of one tier
				began := time.Now()
				found := drill.CheckTiersAs(p.Job.Drill, tiers, texts, o)
				watch.tell(ctx, &watch.check, tooling.Spent{Stage: "check/tiers", Time: time.Since(began), Items: len(found)})
				report = append(report, found...)
			}
			tiers, texts = nil, nil
		}
	}
	for _, r := range p.Rout {
		rest := ""
		if r.Rest != nil {
			for _, s := range append(slices.Clone(r.Rest.Earlier), r.Rest.Stop) {
				rest += fmt.Sprintf("-rest-%d-%d", s.Run, s.Path)
			}
		}
		err := add(r.Name, rest, r.SetUp, r.Programs, func(w []*nc.Program) tooling.Report { return route.CheckAs(p.Layout, r, w, o) })
		if err != nil {
			return nil, nil, err
		}
	}
	watch.end(ctx)
	return out, report, nil
}

// header is what every program says first, before the cautions: the job, and what
// it was made from.
func (p Plan) header() []string {
	return []string{
		fmt.Sprintf("job %s revision %s", p.Job.Name, p.Job.Revision),
		"content " + p.Job.Hash,
	}
}

// Write checks every program of the plan and, only if all findings are OK,
// writes the files into dir, which is made if need be. The report has all
// findings. The error is a [*tooling.CheckError] when a check refuses, with
// nothing written.
func (p Plan) Write(ctx context.Context, dir string, o WriteOptions) ([]Program, tooling.Report, error) {
	programs, report, err := p.Programs(ctx, o)
	if err != nil {
		return nil, report, err
	}
	if err := append(append(tooling.Report(nil), p.Report...), report...).Err(); err != nil {
		return nil, report, err
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return nil, report, err
	}
	for i, f := range programs {
		if err := os.WriteFile(filepath.Join(dir, f.File), f.Text, 0o644); err != nil {
			for _, done := range programs[:i+1] { // half a set of programs is worse than none
				err = errors.Join(err, os.Remove(filepath.Join(dir, done.File)))
			}
			return nil, report, err
		}
	}
	return programs, report, nil
}

package main

import (
	"errors"
	"os"
	"path/filepath"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// board is what the files of one board say.
type board struct {
	files   []file // copies for the job
	profile *artwork.Profile
	drawn   *artwork.Profile // without arcs fitted
	which   int              // of the profile's boards
	drills  []drillFile
	holes   []drill.Hole
	scores  *artwork.Profile // what draws score lines
	layers  int              // of copper, 0 where no file says
	report  tooling.Report
}

// file is an input as it was read.
type file struct {
	name string // in the job's directory
	text []byte
}

// drillFile is a drill file and what the job must say about it.
type drillFile struct {
	text    []byte
	program *nc.Program
	job     job.DrillFile
}

// read reads the files of a board: the drill files once on their own, for the
// places of their holes, which tell the board from frames around it; then the
// profile; then the drill files again with the board's box as evidence of what
// their numbers mean.
func read(o options) (*board, error) {
	b := &board{}
	profile, err := b.open(o.outline)
	if err != nil {
		return nil, err
	}
	for _, d := range []struct {
		path    string
		plating drill.Plating
	}{{o.plated, drill.Plated}, {o.unplated, drill.Unplated}, {o.mixed, drill.Stated}} {
		if d.path == "" {
			continue
		}
		f, err := b.open(d.path)
		if err != nil {
			return nil, err
		}
		b.drills = append(b.drills, drillFile{text: f.text, job: job.DrillFile{File: f.name, Plating: d.plating, Sizes: tooling.Basis(o.sizes)}})
	}
	for i := range b.drills {
		var doubt *nc.AmbiguousError
		if b.drills[i].program, err = b.drills[i].parse(orb.Bound{}); err != nil && !errors.As(err, &doubt) {
			return nil, err
		}
	}
	if err := b.outline(profile, o.fit); err != nil {
		return nil, err
	}
	if len(b.profile.Boards) == 0 {
		return nil, &artwork.ReadError{Source: tooling.Source{File: profile.name}, Err: artwork.ErrNoProfile, Found: "a layer of score lines", Expected: "the board's outline"}
	}
	for i := range b.drills {
		if err := b.drill(&b.drills[i]); err != nil {
			return nil, err
		}
	}
	if err := b.choose(); err != nil {
		return nil, err
	}
	b.halfHoles()
	if o.score == "" {
		b.scores = b.profile
		return b, nil
	}
	f, err := b.open(o.score)
	if err != nil {
		return nil, err
	}
	return b, b.scoreLayer(f)
}

// open reads a file and keeps it for the job, under its own name where that is
// free.
func (b *board) open(path string) (file, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return file{}, misuse(path, err.Error(), "a readable file")
	}
	f := file{name: filepath.Base(path), text: text}
	taken := map[string]bool{"job.json": true, "crib.json": true, "outline.rte": true, "array.svg": true, bored: true}
	for _, g := range b.files {
		taken[g.name] = true
	}
	for taken[f.name] {
		f.name = "input-" + f.name
	}
	b.files = append(b.files, f)
	return f, nil
}

// parse reads a drill file; where leaves room for what its text leaves open.
func (d drillFile) parse(where orb.Bound) (*nc.Program, error) {
	return nc.Parse(d.text, nc.ReadOptions{File: d.job.File, Panel: where})
}

// marking is what the job says about a drill file, as its reader wants it.
func marking(d job.DrillFile) drill.Marking {
	m := drill.Marking{Plating: d.Plating, Sizes: d.Sizes}
	for _, t := range d.Tools {
		m.Tools = append(m.Tools, drill.ToolMarking(t))
	}
	return m
}

// misuse is the error of a flag that cannot be followed.
func misuse(flag, found, expected string) error {
	return &tooling.InputError{Source: tooling.Source{Path: flag}, Err: tooling.ErrValue, Found: found, Expected: expected}
}

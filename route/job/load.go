package job

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io/fs"
	"math"
	"path"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// Job is a job as read: what the planners need, and what is known about it.
type Job struct {
	Name, Revision, Note string
	Hash                 string // SHA-256 of every file read, hexadecimal: what the programs were made from
	Lot                  int    // panels
	Drill                drill.Input
	Route                route.Input // no boards: nothing is routed but holes too large to drill
	Stack                stack.Options
	Rout                 RoutFile         // what the job file asks of the rout planner
	Magazine             machine.Magazine // empty: tools are numbered in the order of use
	Writing              nc.WriteOptions  // how the job file wants the programs written: for [WriteOptions]
	Frames               []SetUpFrame     // set-ups written in other coordinates than the panel's
	Report               tooling.Report   // what reading had to say
}

// Load reads a job file and all files it names, relative to it. Errors carry
// the file and line or JSON path: [*tooling.InputError] (wrapping [tooling.ErrSchema] for a
// job file of another version) and [tooling.InputErrors], [*drill.ReadError], [*drill.HoleError], [*drill.RegistrationError], and those of
// packages nc and route.
func Load(fsys fs.FS, name string) (Job, error) {
	l := loader{fsys: fsys, dir: path.Dir(name), hash: sha256.New()}
	src, err := l.read(path.Base(name))
	if err != nil {
		return Job{}, err
	}
	var f File
	if err := tooling.DecodeSchema(src, name, Schema, &f); err != nil {
		return Job{}, err
	}
	if err := f.validate(name); err != nil {
		return Job{}, err
	}
	j := Job{Name: f.Job, Revision: f.Revision, Note: f.Note, Lot: f.Panels, Stack: f.options(), Rout: f.Rout}
	in := drill.Input{Panel: f.panel(), Crib: tooling.DefaultCrib()}
	j.Writing, j.Frames = f.Writing.options(), f.Writing.frames(in.Panel)
	preset, _ := machine.Preset(f.Machine) // validate knows that it is there
	if f.Fitted != "" {
		src, err := l.read(f.Fitted)
		if err == nil {
			preset, err = machine.Decode(src, f.Fitted, preset)
		}
		if err != nil {
			return Job{}, err
		}
	}
	if in.Machine, err = machine.Decode(object(f.Adjust), name+" machine_adjust", preset); err != nil {
		return Job{}, err
	}
	if in.Rules, err = tooling.LoadRules(object(f.Rules), name+" rules"); err != nil {
		return Job{}, err
	}
	if f.Crib != "" {
		src, err := l.read(f.Crib)
		if err == nil {
			in.Crib, err = tooling.LoadCrib(src, f.Crib)
		}
		if err != nil {
			return Job{}, err
		}
	}
	if err := f.Rout.inCrib(in.Crib, name); err != nil {
		return Job{}, err
	}
	j.Magazine = f.Magazine
	if err := j.Magazine.Validate(name, in.Machine.Places); err != nil {
		return Job{}, err
	}
	boards := make([][]drill.Hole, len(f.Boards))
	var outlines []route.Board
	for i, b := range f.Boards {
		if boards[i], err = l.holes(b, in.Panel.Bound()); err != nil {
			return Job{}, err
		}
		o, err := l.outline(b)
		if err != nil {
			return Job{}, err
		}
		box := orb.Bound{}
		if b.Outline != "" { // its outline says more than the files of a board against each other
			box = o.Outline.Bound()
			if err := route.Agree(o, boards[i]); err != nil {
				return Job{}, err
			}
		}
		agreed, err := drill.Agree(boards[i], box)
		if err != nil {
			return Job{}, err
		}
		l.report = append(l.report, agreed...)
		outlines = append(outlines, o)
	}
	distinct, report, err := drill.Distinct(drill.Place(boards, in.Panel), f.Larger)
	if err != nil {
		return Job{}, err
	}
	in.Holes = distinct
	if err := in.Validate(); err != nil {
		return Job{}, err
	}
	j.Drill = in
	j.Route = route.Input{Panel: in.Panel, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine, Holes: in.Holes, NoTabs: f.Rout.NoTabs}
	if f.outlined() {
		j.Route.Boards = outlines
	} else {
		j.Route.Panel.Boards = nil // nothing to rout but holes too large to drill
	}
	j.Report = append(l.report, report...)
	j.Hash = hex.EncodeToString(l.hash.Sum(nil))
	return j, nil
}

// loader reads the files of one job and keeps what they had to say.
type loader struct {
	fsys   fs.FS
	dir    string
	hash   hash.Hash
	report tooling.Report
}

func (l *loader) read(name string) ([]byte, error) {
	src, err := fs.ReadFile(l.fsys, path.Join(l.dir, name))
	if err != nil {
		return nil, &tooling.InputError{Source: tooling.Source{File: name}, Err: tooling.ErrMissing, Found: err.Error(), Expected: "a readable file"}
	}
	fmt.Fprintf(l.hash, "%s %d\n", name, len(src))
	l.hash.Write(src)
	return src, nil
}

// program reads and parses the file that the options name.
func (l *loader) program(o nc.ReadOptions) (*nc.Program, error) {
	src, err := l.read(o.File)
	if err != nil {
		return nil, err
	}
	return nc.Parse(src, o)
}

// holes reads the drill files of one board.
func (l *loader) holes(b BoardFile, panel orb.Bound) ([]drill.Hole, error) {
	var out []drill.Hole
	for _, d := range b.Drill {
		size := max(panel.Max[0], panel.Max[1])
		o := nc.ReadOptions{File: d.File, Panel: orb.Bound{Min: orb.Point{-size, -size}, Max: orb.Point{size, size}}}
		o.Units, o.Zeros, o.Digits = d.format()
		p, err := l.program(o)
		if err != nil {
			return nil, err
		}
		holes, report, err := drill.Read(p, d.File, d.marking())
		if err != nil {
			return nil, err
		}
		out = append(out, holes...)
		l.report = append(l.report, report...)
	}
	return out, nil
}

// outline reads the contours of one board: the one with the largest area is
// its outline, the others are cut-outs.
func (l *loader) outline(b BoardFile) (route.Board, error) {
	if b.Outline == "" {
		return route.Board{Name: b.Name}, nil
	}
	p, err := l.program(nc.ReadOptions{File: b.Outline})
	if err != nil {
		return route.Board{}, err
	}
	contours, report, err := route.Read(p, b.Outline)
	if err != nil {
		return route.Board{}, err
	}
	l.report = append(l.report, report...)
	open, err := l.open(b)
	if err != nil {
		return route.Board{}, err
	}
	outer := 0
	for i, c := range contours {
		if math.Abs(c.Area()) > math.Abs(contours[outer].Area()) {
			outer = i
		}
	}
	return route.Board{
		Name: b.Name, Outline: contours[outer], CutOuts: slices.Delete(append([]contour.Contour(nil), contours...), outer, outer+1),
		Open: open, Tabs: b.Tabs, Source: tooling.Source{File: b.Outline},
	}, nil
}

// open reads the open paths of one board.
func (l *loader) open(b BoardFile) ([]route.OpenPath, error) {
	var out []route.OpenPath
	for _, f := range b.Open {
		p, err := l.program(nc.ReadOptions{File: f.File})
		if err != nil {
			return nil, err
		}
		paths, report, err := route.ReadOpen(p, f.File)
		if err != nil {
			return nil, err
		}
		for i := range paths {
			paths[i].Plated = f.Plated
		}
		out = append(out, paths...)
		l.report = append(l.report, report...)
	}
	return out, nil
}

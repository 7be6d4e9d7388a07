package report

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

// Scene draws the panel of a plan: blank, boards, keep-outs, score lines,
// pins and features, then every pass in the order it runs. Hits and paths
// carry the place in the files that they come from.
func Scene(p job.Plan) *picture.Scene {
	in := p.Job.Drill
	s := &picture.Scene{
		Title: fmt.Sprintf("%s, revision %s: %s", p.Job.Name, p.Job.Revision, p.Job.Note),
		Width: in.Panel.Width, Height: in.Panel.Height,
	}
	add := func(name string, kind picture.Kind, marks ...picture.Mark) *picture.Layer {
		l := s.Layer(name, kind)
		l.Marks = append(l.Marks, marks...)
		return l
	}
	add("panel", picture.Panel, picture.Mark{Shape: picture.Box, Points: []orb.Point{{0, 0}, {in.Panel.Width, in.Panel.Height}}})
	p.Layout.Draw(s)
	for _, k := range in.Panel.KeepOuts {
		add("keep-outs", picture.KeepOut, picture.Mark{Shape: picture.Box, Points: []orb.Point{k.Min, k.Max}, Label: k.Name})
	}
	scoreLabels(s, p)
	m := in.Machine
	for _, u := range p.Stack.SetUps {
		for _, f := range in.Panel.Pins(pinning(u.Stage)) {
			l := add(fmt.Sprintf("pins of set-up %d", u.Number), picture.Pin, picture.Mark{Shape: picture.Peg, Points: []orb.Point{f.At}, Width: f.Diameter})
			l.SetUp = u.Number
		}
		for _, d := range p.Drill {
			if d.SetUp.Number == u.Number {
				d.Draw(s, &m)
				hitSources(s, d, in.Holes)
			}
		}
		for _, r := range p.Rout {
			if r.SetUp.Number == u.Number {
				r.Draw(s, &m)
				pathSources(s, r, p.Layout)
			}
		}
	}
	for i, f := range p.Report {
		for _, at := range f.Places { // numbered as the sheet lists them
			add("findings", picture.Finding, picture.Mark{Shape: picture.Cross, Points: []orb.Point{at}, Label: fmt.Sprint(i + 1)})
		}
	}
	return s
}

// scoreLabels writes on each score line what the scoring machine is set to.
func scoreLabels(s *picture.Scene, p job.Plan) {
	for _, l := range s.Layers {
		if l.Kind != picture.Score {
			continue
		}
		for i, line := range scores(p) {
			l.Marks[i].Label = fmt.Sprintf("S%d: %.2f mm each face, web %.2f mm, %g°", i+1, line.Depth, line.Web, line.Angle)
		}
	}
}

// pinning is the number by which a panel's pins name the set-up of a stage.
func pinning(stage tooling.Stage) int {
	if stage == tooling.AfterPlating {
		return 2
	}
	return 1
}

// runLayer returns the layer of a run, nil where it is not drawn.
func runLayer(s *picture.Scene, kind picture.Kind, pass string, setUp, run int) *picture.Layer {
	for _, l := range s.Layers {
		if l.Kind == kind && l.Pass == pass && l.SetUp == setUp && l.Run == run {
			return l
		}
	}
	return nil
}

// hitSources says of every hit where its hole is given.
func hitSources(s *picture.Scene, d drill.Pass, holes []drill.Hole) {
	for _, r := range d.Runs {
		l := runLayer(s, picture.Hits, d.Name, d.SetUp.Number, r.Number)
		for k, h := range r.Hits {
			l.Marks[k].Source = place(holes[h.Hole].Source)
		}
	}
}

// pathSources says of every path where its outline, hole or line is given.
func pathSources(s *picture.Scene, r route.Pass, l route.Layout) {
	for _, run := range r.Runs {
		layer := runLayer(s, picture.Path, r.Name, r.SetUp.Number, run.Number)
		for k := range layer.Marks {
			switch path := run.Paths[layer.Marks[k].Number-1]; {
			case path.Hole:
				layer.Marks[k].Source = place(l.Input.Holes[path.Loop].Source)
			case path.Open != "":
				layer.Marks[k].Source = place(l.Input.Boards[l.Input.Panel.Boards[path.Board].Board].Open[path.Loop].Source)
			case path.Board >= 0:
				layer.Marks[k].Source = place(l.Input.Boards[l.Input.Panel.Boards[path.Board].Board].Source)
			}
		}
	}
}

// place is a source as file and line, or as what it is called where it comes
// from no file.
func place(s tooling.Source) string {
	if s.File == "" {
		return s.String()
	}
	return tooling.Source{File: s.File, Line: s.Line}.String()
}

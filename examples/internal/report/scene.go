package report

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

// Scene draws the panel of a plan: blank, boards, keep-outs, score lines,
// pins and features, then every pass in the order it runs.
func Scene(p job.Plan) *picture.Scene {
	in := p.Job.Drill
	s := &picture.Scene{
		Title: fmt.Sprintf("%s, revision %s: %s", p.Job.Name, p.Job.Revision, p.Job.Note),
		Width: in.Panel.Width, Height: in.Panel.Height,
	}
	add := func(name string, kind picture.Kind, marks ...picture.Mark) {
		l := s.Layer(name, kind)
		l.Marks = append(l.Marks, marks...)
	}
	add("panel", picture.Panel, picture.Mark{Shape: picture.Box, Points: []orb.Point{{0, 0}, {in.Panel.Width, in.Panel.Height}}})
	p.Layout.Draw(s)
	for _, k := range in.Panel.KeepOuts {
		add("keep-outs", picture.KeepOut, picture.Mark{Shape: picture.Box, Points: []orb.Point{k.Min, k.Max}, Label: k.Name})
	}
	m := in.Machine
	for _, u := range p.Stack.SetUps {
		for _, d := range p.Drill {
			if d.SetUp.Number == u.Number {
				d.Draw(s, &m)
			}
		}
		for _, r := range p.Rout {
			if r.SetUp.Number == u.Number {
				r.Draw(s, &m)
			}
		}
	}
	for _, f := range in.Panel.Features {
		if f.Role == tooling.Pin {
			add(pinLayer(f.SetUp), picture.Pin, picture.Mark{Shape: picture.Peg, Points: []orb.Point{f.At}, Width: f.Diameter})
		}
	}
	for i, f := range p.Report {
		for _, at := range f.Places { // numbered as the sheet lists them
			add("findings", picture.Finding, picture.Mark{Shape: picture.Cross, Points: []orb.Point{at}, Label: fmt.Sprint(i + 1)})
		}
	}
	return s
}

func pinLayer(setUp int) string {
	if setUp == 0 {
		return "pins"
	}
	return fmt.Sprintf("pins of set-up %d", setUp)
}

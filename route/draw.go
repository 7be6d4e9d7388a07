package route

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/picture"
)

// Draw adds a layer of paths for each run to the scene, in the order they are
// cut, with the rapids between them in a layer of travel. With a machine the
// marks of a mounted pass carry the machine time at their end, counted from
// the start of the load; a nil machine leaves them at 0. A run lasts from the
// change position and back to it: the next one starts there.
func (p Pass) Draw(s *picture.Scene, m *machine.Machine) {
	var clock *machine.Clock
	at := orb.Point{}
	if m != nil {
		at = m.ChangeAt
		if p.Mounted() {
			clock = m.Clock()
		}
	}
	tick := func(step machine.Step) float64 {
		if clock == nil {
			return 0
		}
		clock.Tick(step)
		return clock.Sum().Total().Seconds()
	}
	name := p.Name
	if p.SetUp.Number > 0 { // a pass may be made in several
		name = fmt.Sprintf("set-up %d %s", p.SetUp.Number, p.Name)
	}
	for _, r := range p.Runs {
		cuts := s.Layer(fmt.Sprintf("%s run %d, %.3f mm", name, r.Number, r.Tool.Diameter), picture.Path)
		cuts.Pass, cuts.SetUp, cuts.Run, cuts.Diameter = p.Name, p.SetUp.Number, r.Number, r.Tool.Diameter
		cuts.Start = tick(machine.Step{Kind: machine.Move, To: home(m)})
		travel := s.Layer(fmt.Sprintf("%s run %d, travel", name, r.Number), picture.Travel)
		travel.Pass, travel.SetUp, travel.Run, travel.Start = p.Name, p.SetUp.Number, r.Number, cuts.Start
		if len(r.Cutters) > 0 {
			cuts.Place = r.Cutters[0].Place
		}
		for k, path := range r.Paths {
			for _, c := range r.Cutters {
				if c.First == k {
					tick(machine.Step{Kind: machine.Change, To: home(m), Tool: c.Place})
					at = home(m)
				}
			}
			if r.Again > 0 && k == 0 {
				tick(machine.Step{Kind: machine.Pause})
			}
			for step := range r.steps(k, 0) {
				seconds := tick(step)
				switch step.Kind {
				case machine.Move:
					travel.Marks = append(travel.Marks, picture.Mark{Shape: picture.Line, Points: []orb.Point{at, step.To}, Number: k + 1, Seconds: seconds})
				case machine.Line:
					cuts.Marks = append(cuts.Marks, picture.Mark{Shape: picture.Line, Points: []orb.Point{at, step.To}, Width: r.Tool.Diameter, Role: string(path.Role), Number: k + 1, Seconds: seconds})
				case machine.Arc:
					cuts.Marks = append(cuts.Marks, picture.Mark{Shape: picture.Arc, Points: []orb.Point{at, step.To}, Center: step.Center, Clockwise: step.Clockwise, Width: r.Tool.Diameter, Role: string(path.Role), Number: k + 1, Seconds: seconds})
				}
				at = step.To
			}
			if path.Frees > 0 {
				tick(machine.Step{Kind: machine.Pause})
			}
			if k == r.Again-1 {
				tick(machine.Step{Kind: machine.Pause})
			}
		}
	}
}

// home is the change position of a machine that may be missing.
func home(m *machine.Machine) orb.Point {
	if m == nil {
		return orb.Point{}
	}
	return m.ChangeAt
}

// Draw adds the boards, the tabs and the score lines of the layout to the
// scene: what the paths are meant to leave.
func (l Layout) Draw(s *picture.Scene) {
	boards := s.Layer("boards", picture.Board)
	for i := range l.loops {
		if l.loops[i].hole {
			continue
		}
		for _, q := range l.loops[i].ps {
			m := picture.Mark{Shape: picture.Line, Points: []orb.Point{q.a, q.b}, Number: l.loops[i].board + 1}
			if q.turn != 0 {
				m.Shape, m.Center, m.Clockwise = picture.Arc, q.c, q.turn < 0
			}
			boards.Marks = append(boards.Marks, m)
		}
	}
	if len(l.Input.Panel.Scores) > 0 {
		scores := s.Layer("score lines", picture.Score)
		for _, sc := range l.Input.Panel.Scores {
			scores.Marks = append(scores.Marks, picture.Mark{Shape: picture.Line, Points: []orb.Point{sc[0], sc[1]}})
		}
	}
	if holes := l.Perforations(); len(holes) > 0 {
		perforations := s.Layer("perforations", picture.Perforation)
		for _, h := range holes {
			perforations.Marks = append(perforations.Marks, picture.Hit(h.At, h.Size.Diameter))
		}
	}
	if len(l.Tabs) > 0 {
		tabs := s.Layer("tabs", picture.Tab)
		for _, t := range l.Tabs {
			depth := l.Cutter.Diameter
			if t.Across > 0 {
				depth = t.Across
			}
			tabs.Marks = append(tabs.Marks, picture.Mark{Shape: picture.Line, Points: []orb.Point{t.At, along(t.At, t.Out, depth)}, Width: t.Width})
		}
	}
}

package array

import (
	"fmt"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

// Draw adds the panel, its usable area, boards, tabs, score lines, holes and
// pins to a scene.
func (l Layout) Draw(s *picture.Scene) {
	p, border := l.Panel, l.Result.Choice.Panel.Border
	s.Layer("panel", picture.Panel).Marks = []picture.Mark{
		{Shape: picture.Box, Points: []orb.Point{{0, 0}, {p.Width, p.Height}}},
		{Shape: picture.Box, Points: []orb.Point{{border, border}, {p.Width - border, p.Height - border}}},
	}
	l.Laid.Draw(s)
	for _, h := range l.Laid.Input.Holes {
		kind := "unplated holes"
		if h.Size.Plated {
			kind = "plated holes"
		}
		layer := s.Layer(kind, picture.Hits)
		d := l.Prepared.Input.Rules.Allowance.Target(h.Size)
		if h.IsSlot() {
			layer.Marks = append(layer.Marks, picture.Mark{Shape: picture.Slot, Points: []orb.Point{h.At, h.To}, Width: d})
		} else {
			layer.Marks = append(layer.Marks, picture.Hit(h.At, d))
		}
	}
	for _, f := range p.Features {
		if f.Role == tooling.Pin {
			layer := s.Layer(fmt.Sprintf("pins of set-up %d", f.SetUp), picture.Pin)
			layer.Marks = append(layer.Marks, picture.Mark{Shape: picture.Peg, Points: []orb.Point{f.At}, Width: f.Diameter})
		}
	}
}

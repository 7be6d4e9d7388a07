package picture_test

import (
	"math/rand/v2"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
)

// sample is an invented panel of two boards with a mark of every shape in a
// layer of every kind.
func sample() *picture.Scene {
	s := &picture.Scene{Title: "tide-gauge, revision B (invented)", Width: 160, Height: 100}
	add := func(name string, kind picture.Kind, marks ...picture.Mark) *picture.Layer {
		l := s.Layer(name, kind)
		l.Marks = append(l.Marks, marks...)
		return l
	}
	pts := func(xy ...float64) (p []orb.Point) {
		for i := 0; i < len(xy); i += 2 {
			p = append(p, orb.Point{xy[i], xy[i+1]})
		}
		return p
	}
	run := 0
	hits := func(name, pass string, diameter float64, role string, xy ...float64) {
		run++
		l := s.Layer(name, picture.Hits)
		l.Pass, l.Run, l.Place, l.Diameter = pass, run, run, diameter
		for i, p := range pts(xy...) {
			m := picture.Hit(p, diameter)
			m.Role, m.Number, m.Seconds = role, i+1, 0.2*float64(i+1)
			l.Marks = append(l.Marks, m)
		}
	}
	for x := 20.0; x < 150; x += 70 {
		add("boards", picture.Board,
			picture.Mark{Shape: picture.Line, Points: pts(x, 22, x+50, 22)},
			picture.Mark{Shape: picture.Arc, Points: pts(x+50, 22, x+54, 26), Center: orb.Point{x + 50, 26}},
			picture.Mark{Shape: picture.Line, Points: pts(x+54, 26, x+54, 78, x, 78, x, 22)},
			picture.Mark{Shape: picture.Arc, Points: pts(x+30, 50, x+30, 50), Center: orb.Point{x + 26, 50}})
		add("rout T9 2.00 mm", picture.Path,
			picture.Mark{Shape: picture.Line, Points: pts(x+50, 21, x, 21), Width: 2},
			picture.Mark{Shape: picture.Arc, Points: pts(x, 21, x-1, 22), Center: orb.Point{x, 22}, Clockwise: true, Width: 2},
			picture.Mark{Shape: picture.Line, Points: pts(x-1, 22, x-1, 60), Width: 2},
			picture.Mark{Shape: picture.Arc, Points: pts(x+29, 50, x+29, 50), Center: orb.Point{x + 26, 50}, Clockwise: true, Width: 2})
		add("tabs", picture.Tab, picture.Mark{Shape: picture.Line, Points: pts(x-1, 60, x-1, 65), Width: 2})
	}
	add("score lines", picture.Score, picture.Mark{Shape: picture.Line, Points: pts(82, 0, 82, 100), Label: "S1"})
	add("perforations", picture.Perforation, picture.Hit(orb.Point{19.9, 61}, 0.5), picture.Hit(orb.Point{19.9, 61.8}, 0.5))
	add("keep-outs", picture.KeepOut,
		picture.Mark{Shape: picture.Box, Points: pts(140, 84, 158, 98), Label: "clamp"},
		picture.Mark{Shape: picture.Circle, Points: pts(8, 92), Width: 10})
	add("pins", picture.Pin,
		picture.Mark{Shape: picture.Peg, Points: pts(80, 8), Width: 3.175, Label: "round"},
		picture.Mark{Shape: picture.Peg, Points: pts(84, 93), Width: 3.175, Label: "slot"})
	hits("plated T1 0.40 mm", "plated", 0.4, "", 25, 30, 27, 30, 29, 30, 31, 30, 95, 30, 97, 30)
	hits("plated T2 0.90 mm", "plated", 0.9, "", 25, 70, 28, 70, 31, 70, 34, 70, 95, 70, 98, 70)
	hits("plated T3 1.20 mm pilots", "plated", 1.2, "pilot", 60, 70, 130, 70)
	hits("unplated T4 3.20 mm", "unplated", 3.2, "finish", 60, 30, 130, 30)
	add("plated T5 1.00 mm slots", picture.Hits, picture.Mark{Shape: picture.Slot, Points: pts(60, 60, 63, 60), Width: 1})
	add("plated moves", picture.Travel, picture.Mark{Shape: picture.Line, Points: pts(0, 0, 25, 30, 31, 30, 95, 30, 97, 30, 0, 0)})
	add("findings", picture.Finding, picture.Mark{Shape: picture.Cross, Points: pts(60, 70), Label: "1"})
	add("panel marks", picture.Panel,
		picture.Mark{Shape: picture.Text, Points: pts(88, 3), Label: "tide-gauge B", Width: 4},
		picture.Mark{Shape: picture.Cross, Points: pts(4, 4), Width: 3})
	return s
}

// field is a scene of n hits in dense connector fields, as on a backplane.
func field(n int, seed uint64) *picture.Scene {
	r := rand.New(rand.NewPCG(seed, 7))
	s := &picture.Scene{Title: "backplane", Width: 440, Height: 340}
	for run := 1; len(s.Layers) < 8; run++ {
		d := 0.25 + 0.1*float64(run)
		l := s.Layer("plated T"+string(rune('0'+run)), picture.Hits)
		l.Pass, l.Run, l.Place, l.Diameter = "plated", run, run, d
		at := orb.Point{20 + 40*float64(run), 20}
		for i := range n / 8 {
			if i%100 == 99 {
				at = orb.Point{20 + 400*r.Float64(), 20 + 280*r.Float64()}
			}
			at[0] += 1.8
			if i%10 == 9 {
				at[0] -= 18
				at[1] += 1.8
			}
			m := picture.Hit(at, d)
			m.Seconds = float64(i)
			l.Marks = append(l.Marks, m)
		}
	}
	return s
}

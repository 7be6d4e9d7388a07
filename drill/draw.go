package drill

import (
	"fmt"

	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/picture"
)

// Draw adds a layer of hits for each run to the scene, in the order they are
// made, each named after the set-up, the pass and the run. With a machine the
// marks of a mounted pass carry the machine time at their end, counted from the
// start of the load; a nil machine leaves them at 0. A run lasts from the change
// position and back to it: the next one starts there.
func (p Pass) Draw(s *picture.Scene, m *machine.Machine) {
	var clock *machine.Clock
	if m != nil && p.Mounted() {
		clock = m.Clock()
	}
	for _, r := range p.Runs {
		l := s.Layer(fmt.Sprintf("%s%s run %d, %.3f mm", p.setUpWords(), p.Name, r.Number, r.Tool.Diameter), picture.Hits)
		l.Pass, l.SetUp, l.Run, l.Diameter = p.Name, p.SetUp.Number, r.Number, r.Tool.Diameter
		if clock != nil {
			clock.Tick(machine.Step{Kind: machine.Move, To: m.ChangeAt})
			l.Start = clock.Sum().Total().Seconds()
		}
		bits := r.Bits
		if len(bits) == 0 {
			bits = []Bit{{Hits: len(r.Hits)}}
		}
		l.Place = bits[0].Place
		for _, b := range bits {
			if clock != nil {
				clock.Tick(machine.Step{Kind: machine.Change, To: m.ChangeAt, Tool: b.Place})
			}
			for k := b.First; k < b.First+b.Hits; k++ {
				h := r.Hits[k]
				mark := picture.Hit(h.At, r.Tool.Diameter)
				mark.Number = k + 1
				if h.Kind != Finish {
					mark.Role = string(h.Kind)
				}
				if clock != nil {
					if r.Again > 0 && k == 0 {
						clock.Tick(machine.Step{Kind: machine.Pause})
					}
					clock.Tick(machine.Step{Kind: machine.Move, To: h.At})
					clock.Tick(r.stroke(b, h))
					mark.Seconds = clock.Sum().Total().Seconds()
					if k == r.Again-1 {
						clock.Tick(machine.Step{Kind: machine.Pause})
					}
				}
				l.Marks = append(l.Marks, mark)
			}
		}
	}
}

// setUpWords tells apart the layers of a pass that is made in several set-ups.
func (p Pass) setUpWords() string {
	if p.SetUp.Number == 0 {
		return ""
	}
	return fmt.Sprintf("set-up %d ", p.SetUp.Number)
}

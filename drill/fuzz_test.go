package drill_test

import (
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// FuzzRead: no program makes reading, placing or taking out duplicates panic,
// and what is read lies within the module's range.
func FuzzRead(f *testing.F) {
	for _, name := range sampleNames {
		src := readSample(f, name, "unplated.drl")
		f.Add(src)
	}
	f.Add([]byte(program("", plain, one)))
	f.Add([]byte(program(";TYPE=PLATED\n", plain, "T1\nX1.0Y1.0G85X3.0Y1.0\nR3X1.0\nX5.0Y5.0G84X3.0\n")))
	f.Add([]byte(program("; #@! TF.FileFunction,Plated,1,2,Blind\n", "T1C0.3Z0.1\n", one)))
	f.Add([]byte(program("", plain, "T1\nM25\nX1.0Y1.0\nM01\nM02X5.0\nM08\nG00X1.0Y1.0\nM15\nG01X4.0Y1.0\nM16\n")))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := nc.Parse(src, nc.ReadOptions{MaxOps: 20_000, MaxBytes: 1 << 20})
		if err != nil {
			return
		}
		for _, m := range []drill.Marking{{}, {Plating: drill.Plated, Sizes: tooling.Finished}, {Plating: drill.Unplated, Tented: true, Waived: []string{"G99"}}} {
			holes, _, err := drill.Read(p, "f.drl", m)
			if err != nil {
				continue
			}
			for _, h := range holes {
				for _, v := range []float64{h.At[0], h.At[1], h.To[0], h.To[1], h.Size.Diameter} {
					if !tooling.InRange(v) {
						t.Fatalf("%v is out of range", h)
					}
				}
				if h.Source.Line < 1 {
					t.Fatalf("%v comes from nowhere", h)
				}
			}
			distinct, _, err := drill.Distinct(holes, true)
			if err == nil {
				again, report, err := drill.Distinct(distinct, false)
				if err != nil || len(again) != len(distinct) || len(report) != 0 {
					t.Fatalf("distinct holes are not distinct: %v %v", report, err)
				}
			}
			drill.Place([][]drill.Hole{holes}, tooling.Panel{Boards: []tooling.Placement{{Offset: orb.Point{1, 1}, Quarters: 3}}})
		}
	})
}

// FuzzNibble: every slot is covered from end to end whatever its size.
func FuzzNibble(f *testing.F) {
	f.Add(0.0, 0.0, 5.0, 0.0, 1.0, 0.0127)
	f.Add(0.0, 0.0, 0.6, 0.3, 0.95, 0.0127)
	f.Add(-3.0, 4.0, 1e300, 0.0, 1.0, 0.0)
	f.Add(0.0, 0.0, 1e-9, 0.0, -1.0, -1.0)
	f.Fuzz(func(t *testing.T, ax, ay, bx, by, d, h float64) {
		hits := drill.Nibble(orb.Point{ax, ay}, orb.Point{bx, by}, d, h)
		if len(hits) == 0 || len(hits) > 1<<20+1 {
			t.Fatalf("%d hits", len(hits))
		}
	})
}

package nc

import (
	"cmp"
	"math"
	"slices"

	"github.com/paulmach/orb"
)

// Summary counts what a program makes, tool by tool.
type Summary struct {
	Tools      []ToolSummary // in the order of the table, then of first use
	Box        orb.Bound     // mm, of hits, slot ends and cut paths (centre lines); zero when there are none
	Empty      bool          // nothing is made, so Box means nothing
	Duplicates int           // hits on a spot that the same tool has hit before
	Shared     int           // spots hit by two tools or more
	Unknown    int           // words not understood that could make something
}

// ToolSummary counts what one tool makes.
type ToolSummary struct {
	Tool     int
	Diameter float64 // mm, 0 not known
	Hits     int     // repeats and patterns expanded
	Slots    int     // canned slots
	Circles  int     // canned circles
	Rout     float64 // mm of cut path, whole micrometres
	Marking  string  // "plated", "unplated" or ""
}

// Summary walks the program once and counts. Cost: O(n log n) operations.
func (p *Program) Summary() (Summary, error) {
	var s Summary
	index := make(map[int]int, len(p.Tools))
	for _, t := range p.Tools {
		index[t.Number] = len(s.Tools)
		s.Tools = append(s.Tools, ToolSummary{Tool: t.Number, Diameter: t.Diameter, Marking: t.Marking})
	}
	s.Empty = true
	extend := func(pt orb.Point) {
		if s.Empty {
			s.Box, s.Empty = orb.Bound{Min: pt, Max: pt}, false
		}
		s.Box = s.Box.Extend(pt)
	}
	var spots []spot
	for op, err := range p.Ops() {
		if err != nil {
			return s, err
		}
		switch op.Kind {
		case OpHit, OpSlot, OpCircle, OpLine, OpArc:
		case OpUnknown:
			if op.Motion {
				s.Unknown++
			}
			continue
		default:
			continue
		}
		k, ok := index[op.Tool]
		if !ok {
			k = len(s.Tools)
			index[op.Tool] = k
			s.Tools = append(s.Tools, ToolSummary{Tool: op.Tool})
		}
		t := &s.Tools[k]
		switch op.Kind {
		case OpHit:
			t.Hits++
			spots = append(spots, spot{op.To, op.Tool})
		case OpSlot:
			t.Slots++
			extend(op.From)
		case OpCircle:
			t.Circles++
			r := math.Max(0, (op.Diameter-t.Diameter)/2) // of the tool's centre
			extend(orb.Point{op.To[0] - r, op.To[1] - r})
			extend(orb.Point{op.To[0] + r, op.To[1] + r})
			if op.Text != "G84" { // that one is made of hits
				t.Rout += microns(2 * math.Pi * r)
			}
		case OpLine:
			t.Rout += microns(hypotenuse(op.To[0]-op.From[0], op.To[1]-op.From[1]))
			extend(op.From)
		case OpArc:
			t.Rout += microns(float64(sweep(&op) * hypotenuse(op.From[0]-op.Center[0], op.From[1]-op.Center[1])))
			extend(op.From)
			extendArc(&op, extend)
		}
		extend(op.To)
	}
	for i := range s.Tools {
		s.Tools[i].Rout /= 1000
	}
	s.count(spots)
	return s, nil
}

// microns rounds a length in mm to whole micrometres, so that sums are exact.
func microns(mm float64) float64 { return math.Round(mm * 1000) }

// extendArc adds the places where an arc is widest.
func extendArc(op *Op, extend func(orb.Point)) {
	c := op.Center
	r := hypotenuse(op.From[0]-c[0], op.From[1]-c[1])
	total := sweep(op)
	for _, d := range [4]orb.Point{{r, 0}, {0, r}, {-r, 0}, {0, -r}} {
		pt := orb.Point{c[0] + d[0], c[1] + d[1]}
		part := *op
		part.To = pt
		if pt != op.From && sweep(&part) < total {
			extend(pt)
		}
	}
}

// spot is a hit with its tool.
type spot struct {
	at   orb.Point
	tool int
}

// count finds duplicates and shared spots.
func (s *Summary) count(spots []spot) {
	slices.SortFunc(spots, func(a, b spot) int {
		return cmp.Or(cmp.Compare(a.at[0], b.at[0]), cmp.Compare(a.at[1], b.at[1]), cmp.Compare(a.tool, b.tool))
	})
	shared := false
	for i := 1; i < len(spots); i++ {
		switch {
		case spots[i].at != spots[i-1].at:
			shared = false
		case spots[i].tool == spots[i-1].tool:
			s.Duplicates++
		case !shared:
			shared = true
			s.Shared++
		}
	}
}

// How tells how the form as a whole came to be known: judged when any part of
// it was, else given when any part was, else stated.
func (p *Program) How() How {
	all := HowUnknown
	for _, h := range [3]How{p.UnitsHow, p.ZerosHow, p.DigitsHow} {
		switch {
		case h == Judged:
			return Judged
		case h == Given || all == HowUnknown:
			all = h
		}
	}
	return all
}

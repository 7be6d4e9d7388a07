package main

import (
	"math"
	"strconv"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// fixed prints with six decimals, a nanometre, and never a minus zero.
type fixed float64

// MarshalJSON prints the number.
func (f fixed) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, grid(float64(f)), 'f', 6, 64), nil
}

// grid rounds to what is printed.
func grid(v float64) float64 { return math.Round(v*1e6)/1e6 + 0 }

type point [2]fixed

func toPoint(p orb.Point) point { return point{fixed(grid(p[0])), fixed(grid(p[1]))} }

// A result is what is printed for one geometry.
type result struct {
	Name  string `json:"name"`
	Error string `json:"error,omitempty"`
	*figures
}

type figures struct {
	Cutter      fixed   `json:"cutter_mm"`
	Side        string  `json:"side"`
	Paths       []path  `json:"paths"`
	Length      fixed   `json:"length_mm"`
	Unreachable []place `json:"unreachable"`
	Tabs        []tab   `json:"tabs"`
	Check       check   `json:"check"`
	// Findings tell what the places of the tabs leave to be wished.
	Findings tooling.Report `json:"findings"`
	Seconds  fixed          `json:"seconds"`
}

type path struct {
	Closed bool   `json:"closed"`
	Start  point  `json:"start"`
	Moves  []move `json:"moves"`
}

// A move has a line's end, or an arc's end and centre.
type move struct {
	Line      *point    `json:"line,omitempty"`
	Arc       *[4]fixed `json:"arc,omitempty"`
	Clockwise *bool     `json:"clockwise,omitempty"`
}

type place struct {
	At   point `json:"at"`
	Size fixed `json:"size_mm"`
}

type tab struct {
	At    point `json:"at"`
	Width fixed `json:"width_mm"`
}

type check struct {
	// MinClearance is null where there is no path.
	MinClearance *fixed `json:"min_clearance_mm"`
	Gouge        fixed  `json:"gouge_mm"`
	Uncut        fixed  `json:"uncut_mm"`
}

// offset works out one geometry.
func (s *settings) offset(name, text string) (*result, error) {
	given, err := region(text)
	if err != nil {
		return nil, err
	}
	begin := s.now()
	source, err := s.fitted(given)
	if err != nil {
		return nil, err
	}
	r := s.cutter / 2
	distance := r
	if s.side == "inside" {
		distance = -r
	}
	o, err := contour.Offset(source, distance)
	if err != nil {
		return nil, err
	}
	held := &tabbed{paths: o.Loops}
	if s.tabs > 0 {
		if held, err = leaveTabs(source, o.Loops, s.side == "inside", s.tabs, s.web, s.cutter); err != nil {
			return nil, err
		}
	}
	f := &figures{
		Cutter: fixed(s.cutter), Side: s.side, Paths: []path{}, Unreachable: []place{}, Tabs: []tab{},
		Findings: held.findings(s.web + s.cutter), Seconds: fixed(s.now().Sub(begin).Seconds()),
	}
	m := ruling{given: given, source: source, r: r, inside: s.side == "inside"}
	for _, c := range held.paths {
		if c = rounded(c); len(c.Moves) == 0 {
			continue
		}
		m.paths = append(m.paths, c)
		f.Length += fixed(c.Length())
		f.Paths = append(f.Paths, toPath(c))
	}
	for _, u := range o.Unreachable {
		f.Unreachable = append(f.Unreachable, place{toPoint(u.At), fixed(u.Size)})
	}
	for _, b := range held.tabs {
		f.Tabs = append(f.Tabs, tab{toPoint(b.at), fixed(b.width)})
	}
	f.Check = m.measure(o.Unreachable, held.tabs)
	return &result{Name: name, figures: f}, nil
}

// fitted finds the arcs of the rings. Rings that only just clear each other may meet
// once fitted; then a smaller tolerance is taken, which keeps to the one asked for
// as well.
func (s *settings) fitted(given []contour.Contour) ([]contour.Contour, error) {
	const halvings = 12
	source := make([]contour.Contour, len(given))
	for k := range halvings {
		if s.fit == 0 {
			break
		}
		for i := range given {
			var err error
			if source[i], err = contour.FitArcs(given[i], s.fit/float64(int(1)<<k)); err != nil {
				return nil, err
			}
		}
		if contour.ValidateRegion(source) == nil {
			return source, nil
		}
	}
	return given, nil
}

// shortest is the shortest arc that a control runs, mm.
const shortest = 1e-4

// rounded puts a contour on the grid that is printed. A move that ends where it
// starts once rounded goes, so that no short arc turns into a full circle; what a tab
// leaves of an arc, where it is shorter than the shortest, becomes a line.
func rounded(c contour.Contour) contour.Contour {
	on := func(p orb.Point) orb.Point { return orb.Point{grid(p[0]), grid(p[1])} }
	out := contour.Contour{Start: on(c.Start), Moves: make([]contour.Move, 0, len(c.Moves))}
	for _, m := range c.Moves {
		to := on(m.To)
		if to == out.End() && len(c.Moves) > 1 {
			continue
		}
		m.To = to
		if m.Turn != 0 {
			m.Center = on(m.Center)
			if (contour.Contour{Start: out.End(), Moves: []contour.Move{m}}).Length() < shortest {
				m = contour.Move{To: to}
			}
		}
		out.Moves = append(out.Moves, m)
	}
	return out
}

// toPath is a contour as it is printed.
func toPath(c contour.Contour) path {
	p := path{Closed: c.Closed(), Start: toPoint(c.Start), Moves: make([]move, 0, len(c.Moves))}
	for _, m := range c.Moves {
		to := toPoint(m.To)
		if m.Turn == 0 {
			p.Moves = append(p.Moves, move{Line: &to})
			continue
		}
		at := toPoint(m.Center)
		clockwise := m.Turn < 0
		p.Moves = append(p.Moves, move{Arc: &[4]fixed{to[0], to[1], at[0], at[1]}, Clockwise: &clockwise})
	}
	return p
}

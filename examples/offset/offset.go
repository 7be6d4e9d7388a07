package main

import (
	"example.org/pinstack/route/contour"
)

// offset works out one geometry: arcs are found, the edges moved, tabs left, and what
// came of it is put on the grid and measured.
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
	m := ruling{given: given, source: source, r: s.cutter / 2, inside: s.inside()}
	distance := m.r
	if m.inside {
		distance = -distance
	}
	o, err := contour.Offset(source, distance)
	if err != nil {
		return nil, err
	}
	held := &tabbed{paths: o.Loops}
	if s.tabs > 0 {
		if held, err = leaveTabs(source, o.Loops, m.inside, s.tabs, s.web, s.cutter); err != nil {
			return nil, err
		}
	}
	f := &figures{
		Cutter: fixed(s.cutter), Side: s.side, Paths: []path{}, Unreachable: []place{}, Tabs: []tab{},
		Findings: held.findings(s.web + s.cutter), Seconds: fixed(s.now().Sub(begin).Seconds()),
	}
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
	return &result{Schema: schema, Name: name, figures: f}, nil
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

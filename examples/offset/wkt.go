package main

import (
	"errors"
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// errWKT is the kind of fault that makes a line no geometry.
var errWKT = errors.New("bad WKT")

// pointNumbers are how many numbers a point has, by the tag behind the geometry's name;
// without one, 0, the first point tells.
var pointNumbers = map[string]int{"": 0, "Z": 3, "M": 3, "ZM": 4}

// polygons reads a POLYGON or MULTIPOLYGON of OGC Simple Feature Access (06-103r4,
// clause 7): words in any case, white space anywhere, exponents, EMPTY. Heights and
// measures, with or without Z, M or ZM, are read over, since an outline is flat. Errors
// name the column, counted from 1 in bytes: that is what the wkt package of orb does
// not tell.
func polygons(text string) (orb.MultiPolygon, error) {
	r := wktReader{text: text}
	name, empty, err := r.head()
	if err != nil {
		return nil, err
	}
	var out orb.MultiPolygon
	member := func() error {
		p, err := r.polygon()
		out = append(out, p)
		return err
	}
	switch {
	case empty:
	case name == "POLYGON":
		err = member()
	default:
		err = r.list(func() error {
			if r.empty() {
				return nil
			}
			return member()
		})
	}
	if err != nil {
		return nil, err
	}
	if r.space(); r.at < len(r.text) {
		return nil, r.fault("the end of the line")
	}
	return out, nil
}

// head reads the name of the geometry, its tag, joined to the name or not, and EMPTY.
func (r *wktReader) head() (name string, empty bool, err error) {
	const want = "POLYGON or MULTIPOLYGON"
	word := r.word()
	name = strings.TrimRight(word, "ZM")
	tag := word[len(name):]
	switch {
	case word == "":
		return "", false, r.fault(want)
	case name != "POLYGON" && name != "MULTIPOLYGON":
		return "", false, r.misplaced(word, want)
	}
	next := r.word()
	if empty = next == "EMPTY"; !empty && next != "" {
		if _, known := pointNumbers[next]; !known || tag != "" {
			return "", false, r.misplaced(next, "( or EMPTY")
		}
		tag = next
		empty = r.empty()
	}
	numbers, known := pointNumbers[tag]
	if !known {
		return "", false, fmt.Errorf("%w: %.40q, want %s", errWKT, word, want)
	}
	r.numbers = numbers
	return name, empty, nil
}

// polygon reads the rings of one polygon.
func (r *wktReader) polygon() (p orb.Polygon, err error) {
	err = r.list(func() error {
		var ring orb.Ring
		err := r.list(func() error {
			q, err := r.point()
			ring = append(ring, q)
			return err
		})
		p = append(p, ring)
		return err
	})
	return p, err
}

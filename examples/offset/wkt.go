package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// errWKT is the kind of fault that makes a line no geometry.
var errWKT = errors.New("bad WKT")

// maxNumber is the longest number read, bytes.
const maxNumber = 400

// polygons reads a POLYGON or MULTIPOLYGON of OGC Simple Feature Access (06-103r4,
// clause 7): words in any case, white space anywhere, exponents, EMPTY. Heights and
// measures, with or without Z, M or ZM, are read over, since an outline is flat. Errors
// name the column, counted from 1 in bytes.
func polygons(text string) (orb.MultiPolygon, error) {
	r := wktReader{text: text}
	word := r.word()
	multi := false
	base := strings.TrimRight(word, "ZM")
	switch {
	case base == "POLYGON":
	case base == "MULTIPOLYGON":
		multi = true
	case word == "":
		return nil, r.fault("POLYGON or MULTIPOLYGON")
	default:
		return nil, fmt.Errorf("%w: %.40q at column %d, want POLYGON or MULTIPOLYGON", errWKT, word, r.at-len(word)+1)
	}
	tag := word[len(base):]
	empty := false
	if next := r.word(); next == "EMPTY" {
		empty = true
	} else if next != "" {
		if tag != "" || !tags[next] {
			return nil, fmt.Errorf("%w: %.40q at column %d, want ( or EMPTY", errWKT, next, r.at-len(next)+1)
		}
		tag = next
		empty = r.word() == "EMPTY"
	}
	if tag != "" && !tags[tag] {
		return nil, fmt.Errorf("%w: %.40q, want POLYGON or MULTIPOLYGON", errWKT, word)
	}
	r.numbers = map[string]int{"Z": 3, "M": 3, "ZM": 4}[tag]
	var out orb.MultiPolygon
	var err error
	switch {
	case empty:
	case multi:
		err = r.list(func() error {
			if at := r.at; r.word() == "EMPTY" {
				return nil
			} else {
				r.at = at
			}
			p, err := r.polygon()
			out = append(out, p)
			return err
		})
	default:
		out = make(orb.MultiPolygon, 1)
		out[0], err = r.polygon()
	}
	if err != nil {
		return nil, err
	}
	if r.space(); r.at < len(r.text) {
		return nil, r.fault("the end of the line")
	}
	return out, nil
}

var tags = map[string]bool{"Z": true, "M": true, "ZM": true}

// wktReader walks through one line.
type wktReader struct {
	text    string
	at      int // bytes read
	numbers int // of each point, 0 until the first one tells
}

func (r *wktReader) fault(want string) error {
	found := "the end"
	if r.at < len(r.text) {
		found = fmt.Sprintf("%.20q", r.text[r.at:])
	}
	return fmt.Errorf("%w: %s at column %d, want %s", errWKT, found, r.at+1, want)
}

func (r *wktReader) space() {
	for r.at < len(r.text) && strings.IndexByte(" \t\r\n\v\f", r.text[r.at]) >= 0 {
		r.at++
	}
}

// word reads letters, as capitals; "" where there are none.
func (r *wktReader) word() string {
	r.space()
	from := r.at
	for r.at < len(r.text) && (r.text[r.at]|0x20) >= 'a' && (r.text[r.at]|0x20) <= 'z' {
		r.at++
	}
	return strings.ToUpper(r.text[from:r.at])
}

// mark reads one of the bytes given.
func (r *wktReader) mark(any, want string) (byte, error) {
	r.space()
	if r.at < len(r.text) && strings.IndexByte(any, r.text[r.at]) >= 0 {
		r.at++
		return r.text[r.at-1], nil
	}
	return 0, r.fault(want)
}

// list reads a bracketed list, each member by member.
func (r *wktReader) list(member func() error) error {
	if _, err := r.mark("(", "("); err != nil {
		return err
	}
	for {
		if err := member(); err != nil {
			return err
		}
		if b, err := r.mark(",)", ", or )"); err != nil || b == ')' {
			return err
		}
	}
}

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

// point reads two to four numbers, as many as the first point had.
func (r *wktReader) point() (p orb.Point, err error) {
	n := 0
	for ; ; n++ {
		r.space()
		if n >= 2 && (n == r.numbers || r.at == len(r.text) || r.text[r.at] == ',' || r.text[r.at] == ')') {
			break
		}
		if n == 4 {
			return p, r.fault(", or )")
		}
		v, err := r.number()
		if err != nil {
			return p, err
		}
		if n < 2 {
			p[n] = v
		}
	}
	if r.numbers == 0 {
		r.numbers = n
	}
	if n != r.numbers {
		return p, r.fault(fmt.Sprintf("%d numbers a point", r.numbers))
	}
	return p, nil
}

func (r *wktReader) number() (float64, error) {
	from := r.at
	for r.at < len(r.text) && r.at-from < maxNumber && strings.IndexByte("+-.0123456789eE", r.text[r.at]) >= 0 {
		r.at++
	}
	v, err := strconv.ParseFloat(r.text[from:r.at], 64)
	if err != nil {
		r.at = from
		return 0, r.fault("a number")
	}
	return v, nil
}

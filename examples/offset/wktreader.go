package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// maxNumber is the longest number read, bytes.
const maxNumber = 400

// A wktReader walks through one line: the words, marks and numbers that geometries are
// made of.
type wktReader struct {
	text    string
	at      int // bytes read
	numbers int // of each point, 0 until the first one tells
}

// fault says what is found where the reader stands, and what was expected.
func (r *wktReader) fault(want string) error {
	found := "the end"
	if r.at < len(r.text) {
		found = fmt.Sprintf("%.20q", r.text[r.at:])
	}
	return fmt.Errorf("%w: %s at column %d, want %s", errWKT, found, r.at+1, want)
}

// misplaced is the fault of a word that has been read.
func (r *wktReader) misplaced(word, want string) error {
	return fmt.Errorf("%w: %.40q at column %d, want %s", errWKT, word, r.at-len(word)+1, want)
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

// empty reads EMPTY, or nothing.
func (r *wktReader) empty() bool {
	at := r.at
	if r.word() == "EMPTY" {
		return true
	}
	r.at = at
	return false
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

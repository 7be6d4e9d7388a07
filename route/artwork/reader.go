package artwork

import (
	"bytes"
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// point is a place in whole nanometres.
type point [2]int64

func (p point) orb() orb.Point { return orb.Point{float64(p[0]) / 1e6, float64(p[1]) / 1e6} }

func toPoint(p orb.Point) point { return point{tooling.Nanometres(p[0]), tooling.Nanometres(p[1])} }

// quadrant is how I and J are to be read.
type quadrant int

const (
	quadrantUnset  quadrant = iota
	quadrantSingle          // G74: unsigned, the arc stays within a quarter
	quadrantMulti           // G75: signed
)

// reader is the state of the format while a file is read.
type reader struct {
	scan    scanner
	options Options
	layer   *Layer

	formatSet bool // FS seen
	unitsSet  bool
	unitsBy   string // the word that set them
	used      bool   // a coordinate has been read

	incremental bool // coordinates count from the point before

	at        [2]int64 // current point, raw
	known     bool     // the file has given it
	turn      int8     // interpolation: 0 straight, -1 G02, +1 G03
	modeSet   bool
	quadrant  quadrant
	operation int // modal: 1, 2, 3; 0 none
	aperture  int // index of the selected one, -1 none
	clear     bool
	load      transform         // LM, LR, LS
	codes     map[int]int       // index of the aperture that a code stands for now
	blocks    map[int]*sink     // by index of the block aperture
	unscaled  []int             // apertures defined before the units
	macros    map[string]bool   // names that are defined
	attribute map[string]string // current aperture attributes

	region  *region
	sinks   []*sink // the image, then open blocks and repeats
	objects int     // made so far, for the limit
	done    bool    // the end word was read
	macro   bool    // inside the definition of one
	digits  [40]byte
}

func newReader(src []byte, file string, o Options) *reader {
	return &reader{
		scan: newScanner(src), options: o.filled(), layer: &Layer{File: file}, aperture: -1,
		load: transform{scale: 1}, codes: map[int]int{}, blocks: map[int]*sink{}, macros: map[string]bool{}, attribute: map[string]string{}, sinks: []*sink{{}},
	}
}

func (r *reader) read() (*Layer, error) {
	if n := len(r.scan.src); n > r.options.MaxBytes {
		return nil, r.fail(0, ErrLimit, fmt.Sprintf("%d bytes", n), fmt.Sprintf("at most %d", r.options.MaxBytes))
	}
	if bytes.IndexByte(r.scan.src, '*') < 0 {
		return nil, r.fail(0, ErrNotArtwork, "no '*' in the file", "blocks that end in '*'")
	}
	for !r.done {
		switch r.scan.next() {
		case tokenEnd:
			return r.finish()
		case tokenOpen:
		case tokenClose:
			r.macro = false
		case tokenTooLong:
			return nil, r.failHere(0, ErrNotArtwork, "a block without an end", fmt.Sprintf("'*' within %d bytes", maxBlock))
		case tokenBlock:
			if err := r.take(); err != nil {
				return nil, err
			}
		}
	}
	return r.finish()
}

// take does what one block says.
func (r *reader) take() error {
	text := r.scan.text
	if !r.formatSet && looksForeign(text) {
		return r.failHere(0, ErrNotArtwork, excerpt(text), "artwork, which begins with words or % commands")
	}
	if r.scan.cut == '%' && !r.macro {
		r.note("star-missing", "a block ends without '*'", 0)
	}
	if r.macro {
		return nil
	}
	if !r.scan.extended && startsWord(text) {
		return r.words()
	}
	command := extendedName(text)
	switch {
	case r.scan.extended && command != "":
		return r.extended(command)
	case !r.scan.extended && command != "":
		r.note("percent-missing", "a format command stands outside of '%'", 0)
		return r.extended(command)
	case r.scan.extended && !startsWord(text):
		return r.unknown()
	}
	return r.words()
}

// looksForeign spots the first bytes of files that are often taken for artwork.
func looksForeign(b []byte) bool {
	for _, magic := range []string{"M48", "%PDF", "PDF-", "PK\x03\x04", "(kicad", "<?xml", "<svg"} {
		if len(b) >= len(magic) && string(b[:len(magic)]) == magic {
			return true
		}
	}
	return false
}

// startsWord reports whether a block begins as a word does: a code letter and a
// number.
func startsWord(b []byte) bool {
	if len(b) < 2 {
		return false
	}
	switch b[0] {
	case 'G', 'D', 'M', 'N', 'X', 'Y', 'I', 'J', 'g', 'd', 'm', 'n', 'x', 'y', 'i', 'j':
		return digit(b[1]) || b[1] == '-' || b[1] == '+' || b[1] == '.' || blank(b[1])
	}
	return false
}

// finish closes what is open and hands the layer over.
func (r *reader) finish() (*Layer, error) {
	end := len(r.scan.src)
	if !r.done {
		r.noteAt("end-missing", "the file ends without M02", end)
		if r.scan.extended {
			r.noteAt("percent-missing", "the file ends within a '%' command", end)
		}
	} else if r.more() {
		r.noteAt("after-end", "what follows the end word is not read", r.scan.pos)
	}
	if r.region != nil {
		r.noteAt("region-open", "the file ends within a region", end)
		if err := r.endRegion(); err != nil {
			return nil, err
		}
	}
	for len(r.sinks) > 1 {
		r.noteAt("block-open", "the file ends within a block or a repeat", end)
		if err := r.closeSink(); err != nil {
			return nil, err
		}
	}
	if !r.formatSet && !r.used && !r.unitsSet && len(r.layer.Apertures) == 0 {
		return nil, r.fail(0, ErrNotArtwork, "neither a format statement nor a coordinate", "artwork")
	}
	image := r.sinks[0]
	r.layer.Strokes, r.layer.Flashes, r.layer.Regions = image.strokes, image.flashes, image.regions
	r.layer.Function = functionOf(r.layer.Attributes)
	return r.layer, nil
}

// more reports whether anything but blanks, '*' and '%' is left.
func (r *reader) more() bool {
	for _, c := range r.scan.src[r.scan.pos:] {
		if !blank(c) && c != '*' && c != '%' && c != 0x1A {
			return true
		}
	}
	return false
}

func (r *reader) source(offset int) tooling.Source {
	line, column := r.scan.position(offset)
	return tooling.Source{File: r.layer.File, Line: line, Column: column}
}

func (r *reader) fail(offset int, err error, found, expected string) error {
	return &ReadError{Source: r.source(offset), Err: err, Found: found, Expected: expected}
}

// failHere fails at byte i of the block.
func (r *reader) failHere(i int, err error, found, expected string) error {
	return r.fail(r.scan.offset(i), err, found, expected)
}

// note adds a finding about byte i of the block. Its detail is the same at each
// occurrence, so that they group.
func (r *reader) note(rule, detail string, i int, places ...orb.Point) {
	r.noteAt(rule, detail, r.scan.offset(i), places...)
}

func (r *reader) noteAt(rule, detail string, offset int, places ...orb.Point) {
	r.noteValue(rule, detail, offset, 0, 0, places...)
}

func (r *reader) noteValue(rule, detail string, offset int, value, limit float64, places ...orb.Point) {
	r.layer.Report.Add(tooling.Finding{
		Rule: rule, OK: true, Source: r.source(offset), Detail: detail, Value: value, Limit: limit, Places: places,
	})
}

// excerpt quotes the front of a text.
func excerpt(b []byte) string {
	if len(b) > 40 {
		return fmt.Sprintf("%q...", b[:40])
	}
	return fmt.Sprintf("%q", b)
}

// inRange reports whether a length in nanometres is within 10 m.
func inRange(nm int64) bool { return math.Abs(float64(nm)) <= tooling.MaxLength*1e6 }

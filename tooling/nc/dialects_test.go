package nc_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// spelling is one way to write a board down, with as much or as little said
// about its numbers.
type spelling struct {
	units   nc.Units
	zeros   nc.Zeros // DecimalPoint: points in every number
	digits  nc.Digits
	padded  bool   // every number with all its digits
	plus    bool   // + before numbers
	modal   bool   // X or Y left out where it stays
	steps   bool   // coordinates as steps, by ICI or G91
	says    int    // bits: 1 units, 2 zeros, 4 digits
	digitsB bool   // digits in a comment, not in the units word
	unitsM  bool   // units by M71 or M72
	header  string // "M48", "%M48", "none"
	lineEnd string
	lower   bool
	index   bool // tools as T0101
	slots   int  // 0 G85, 1 rout moves
	repeat  bool // rows by R#
	points  bool // points are written without zeros that can be left out
}

// board is what is true: hits and slots in micrometres by tool.
type board struct {
	sizes [3]int
	hits  [3][][2]int
	slots [][4]int // by the last tool
}

func newBoard(rng *rand.Rand, grid int) board {
	b := board{sizes: [3]int{300, 900, 1200}}
	snap := func(v int) int { return v / grid * grid }
	for k := range 2 {
		for range 4 + rng.IntN(4) {
			x, y := snap(8000+rng.IntN(60_000)), snap(8000+rng.IntN(70_000))
			for n := range 3 + rng.IntN(8) {
				b.hits[k] = append(b.hits[k], [2]int{x + 2540*n, y})
			}
		}
	}
	b.hits[2] = [][2]int{{snap(3810), snap(3810)}, {snap(96_520), snap(3810)}, {snap(3810), snap(86_360)}}
	for range 2 {
		x, y := snap(20_000+rng.IntN(40_000)), snap(20_000+rng.IntN(40_000))
		b.slots = append(b.slots, [4]int{x, y, x + 2540, y})
	}
	return b
}

func (d spelling) number(um int) string {
	unit := 1000.0
	if d.units == nc.Inches {
		unit = 25_400
	}
	sign := ""
	if d.plus {
		sign = "+"
	}
	if um < 0 {
		sign, um = "-", -um
	}
	if d.zeros == nc.DecimalPoint {
		s := fmt.Sprintf("%.*f", d.digits.Dec, float64(um)/unit)
		if d.points {
			s = strings.TrimRight(s, "0")
			if strings.HasPrefix(s, "0.") && len(s) > 2 {
				s = s[1:]
			}
		}
		return sign + s
	}
	scale := 1.0
	for range d.digits.Dec {
		scale *= 10
	}
	s := fmt.Sprintf("%0*.0f", d.digits.Int+d.digits.Dec, float64(um)/unit*scale)
	if !d.padded {
		if d.zeros == nc.TrailingZeros {
			s = strings.TrimLeft(s, "0")
		} else {
			s = strings.TrimRight(s, "0")
		}
	}
	if s == "" {
		s = "0"
	}
	return sign + s
}

// write puts the board down.
func (d spelling) write(b board) string {
	var out []string
	line := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if d.header == "%M48" {
		line("%%")
	}
	if d.header != "none" {
		line("M48")
	}
	word := "METRIC"
	if d.units == nc.Inches {
		word = "INCH"
	}
	if d.says&2 != 0 && d.zeros != nc.DecimalPoint {
		word += "," + d.zeros.String()
	}
	form := strings.Repeat("0", d.digits.Int) + "." + strings.Repeat("0", d.digits.Dec)
	if d.says&4 != 0 && !d.digitsB && d.says&1 != 0 && d.zeros != nc.DecimalPoint {
		word += "," + form
	}
	if d.says&4 != 0 && d.digitsB {
		line(";FILE_FORMAT=%v", d.digits)
	}
	switch {
	case d.says&1 == 0:
	case d.unitsM:
		if d.units == nc.Inches {
			line("M72")
		} else {
			line("M71")
		}
	default:
		line("%s", word)
	}
	for k, um := range b.sizes {
		if d.units == nc.Inches {
			line("T%dC%.4f", k+1, float64(um)/25_400)
		} else {
			line("T%dC%.3f", k+1, float64(um)/1000)
		}
	}
	line("%%")
	if d.steps {
		line("G91")
	}
	at, first := [2]int{}, true
	xy := func(p [2]int) string {
		q := p
		if d.steps {
			q = [2]int{p[0] - at[0], p[1] - at[1]}
		}
		x, y := "X"+d.number(q[0]), "Y"+d.number(q[1])
		if d.modal && !first {
			if p[0] == at[0] && p[1] != at[1] {
				x = ""
			} else if p[1] == at[1] {
				y = ""
			}
		}
		at, first = p, false
		return x + y
	}
	for k := range b.sizes {
		if d.index {
			line("T%02d%02d", k+1, k+1)
		} else {
			line("T%d", k+1)
		}
		line("G05")
		for i := 0; i < len(b.hits[k]); i++ {
			h := b.hits[k][i]
			line("%s", xy(h))
			n := 0
			for d.repeat && i+n+1 < len(b.hits[k]) && b.hits[k][i+n+1] == [2]int{h[0] + 2540*(n+1), h[1]} {
				n++
			}
			if n > 0 {
				line("R%dX%s", n, d.number(2540))
				at, first = b.hits[k][i+n], false
				i += n
			}
		}
		if k < 2 {
			continue
		}
		for _, s := range b.slots {
			if d.slots == 0 {
				from := xy([2]int{s[0], s[1]})
				line("%sG85%s", from, xy([2]int{s[2], s[3]}))
				continue
			}
			line("G00%s", xy([2]int{s[0], s[1]}))
			line("M15")
			line("G01%s", xy([2]int{s[2], s[3]}))
			line("M16")
			line("G05")
		}
	}
	line("T0")
	line("M30")
	text := strings.Join(out, d.lineEnd) + d.lineEnd
	if d.lower {
		text = strings.ToLower(text)
	}
	return text
}

// resolution is the last digit in mm.
func (d spelling) resolution() float64 {
	u := 1.0
	if d.units == nc.Inches {
		u = 25.4
	}
	for range d.digits.Dec {
		u /= 10
	}
	return u
}

// same tells whether a program makes the board, places within a last digit
// and steps within as many as were summed.
func (b board) same(p *nc.Program, tol float64) string {
	var hits [3][]orb.Point
	var slots [][2]orb.Point
	for op, err := range p.Ops() {
		switch {
		case err != nil:
			return err.Error()
		case op.Kind == nc.OpHit && op.Tool >= 1 && op.Tool <= 3:
			hits[op.Tool-1] = append(hits[op.Tool-1], op.To)
		case op.Kind == nc.OpSlot || op.Kind == nc.OpLine:
			slots = append(slots, [2]orb.Point{op.From, op.To})
		case op.Kind == nc.OpHit:
			return fmt.Sprintf("a hit by T%d", op.Tool)
		}
	}
	near := func(p orb.Point, x, y int) bool {
		dx, dy := p[0]-float64(x)/1000, p[1]-float64(y)/1000
		return dx <= tol && dx >= -tol && dy <= tol && dy >= -tol
	}
	for k := range b.hits {
		if len(hits[k]) != len(b.hits[k]) {
			return fmt.Sprintf("T%d: %d hits of %d", k+1, len(hits[k]), len(b.hits[k]))
		}
		for i, h := range b.hits[k] {
			if !near(hits[k][i], h[0], h[1]) {
				return fmt.Sprintf("T%d hit %d at %v, wanted %v", k+1, i, hits[k][i], h)
			}
		}
		d := p.Tool(k + 1).Diameter
		if off := d - float64(b.sizes[k])/1000; off > 0.002 || off < -0.002 {
			return fmt.Sprintf("T%d is %.4f mm", k+1, d)
		}
	}
	if len(slots) != len(b.slots) {
		return fmt.Sprintf("%d slots of %d", len(slots), len(b.slots))
	}
	for i, s := range b.slots {
		if !near(slots[i][0], s[0], s[1]) || !near(slots[i][1], s[2], s[3]) {
			return fmt.Sprintf("slot %d %v, wanted %v", i, slots[i], s)
		}
	}
	return ""
}

// TestEveryDialectIsReadOrRefused writes random boards in every combination of
// what the reader claims to read. What says everything must be read to the
// truth; what leaves something out is read to the truth, with a finding, or
// refused with its candidates: never to anything else.
func TestEveryDialectIsReadOrRefused(t *testing.T) {
	forms := map[nc.Units][]nc.Digits{
		nc.Inches:      {{Int: 2, Dec: 3}, {Int: 2, Dec: 4}, {Int: 2, Dec: 5}, {Int: 3, Dec: 4}, {Int: 3, Dec: 5}},
		nc.Millimetres: {{Int: 2, Dec: 4}, {Int: 3, Dec: 2}, {Int: 3, Dec: 3}, {Int: 4, Dec: 2}, {Int: 4, Dec: 3}, {Int: 4, Dec: 4}},
	}
	rounds := uint64(4)
	if testing.Short() {
		rounds = 1
	}
	read, refused, complete := 0, 0, 0
	for seed := range rounds {
		rng := rand.New(rand.NewPCG(seed, 0xD1A1))
		for _, u := range []nc.Units{nc.Millimetres, nc.Inches} {
			for _, digits := range forms[u] {
				for _, zeros := range []nc.Zeros{nc.LeadingZeros, nc.TrailingZeros, nc.DecimalPoint} {
					for says := range 8 {
						for range 6 {
							grid := 1270
							if u == nc.Millimetres && rng.IntN(2) == 0 {
								grid = 500
							}
							b := newBoard(rng, grid)
							coin := func() bool { return rng.IntN(2) == 0 }
							d := spelling{units: u, zeros: zeros, digits: digits, says: says, padded: coin(), plus: coin(), modal: coin(),
								steps: rng.IntN(6) == 0, digitsB: coin(), unitsM: coin(), lower: coin(), index: coin(), slots: rng.IntN(2),
								repeat: rng.IntN(4) == 0, points: coin(),
								header: []string{"M48", "%M48", "none"}[rng.IntN(3)], lineEnd: []string{"\n", "\r\n", "\r"}[rng.IntN(3)]}
							text := d.write(b)
							all := says == 7 && !(d.unitsM && zeros != nc.DecimalPoint) || zeros == nc.DecimalPoint && says&1 != 0
							p, err := nc.Parse([]byte(text), nc.ReadOptions{})
							if err != nil {
								var ae *nc.AmbiguousError
								require.ErrorAs(t, err, &ae, "seed %d %+v\n%s", seed, d, text)
								require.False(t, all, "seed %d: refused though all is said: %+v: %v\n%s", seed, d, err, text)
								require.NotEmpty(t, ae.Candidates)
								refused++
								continue
							}
							tol := d.resolution()*0.51 + 1e-6
							if d.steps || d.repeat {
								tol = d.resolution() * 40 // every step is rounded by itself
							}
							if diff := b.same(p, tol); diff != "" {
								t.Fatalf("seed %d: misread: %s\n%+v\nread as %v %v %v %v\n%v\n%s", seed, diff, d, p.Units, p.Zeros, p.Digits, p.How(), p.Notes, text)
							}
							read++
							if all {
								complete++
							} else if p.How() == nc.Judged {
								require.Contains(t, rules(p.Notes), "judged-form")
							}
						}
					}
				}
			}
		}
	}
	t.Logf("%d read, %d of them with everything said, %d refused as ambiguous", read, complete, refused)
	require.Greater(t, read, 2*refused, "judging must be worth its while")
}

package nc_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// connectors draws a board of about 100 x 80 mm: rows of pins 2.54 mm apart
// and four corner holes, as whole micrometres.
func connectors(rng *rand.Rand) (pins, corners [][2]int) {
	for range 6 {
		x, y := 10_000+rng.IntN(50_000), 10_000+rng.IntN(60_000)
		for k := range 12 {
			pins = append(pins, [2]int{x + 2540*k, y})
		}
	}
	return pins, [][2]int{{3500, 3500}, {96_500, 3500}, {3500, 76_500}, {96_500, 76_500}}
}

// number renders micrometres in a form without a point.
func number(um int, u nc.Units, z nc.Zeros, d nc.Digits) string {
	unit := 1000.0
	if u == nc.Inches {
		unit = 25_400
	}
	scale := 1.0
	for range d.Dec {
		scale *= 10
	}
	s := fmt.Sprintf("%0*d", d.Int+d.Dec, int(float64(um)/unit*scale+0.5))
	if z == nc.TrailingZeros {
		s = strings.TrimLeft(s, "0")
	} else {
		s = strings.TrimRight(s, "0")
	}
	if s == "" {
		s = "0"
	}
	return s
}

// TestJudgementIsNeverWrong writes boards in every form met in the trade, with
// all, some or none of it stated: each is read right or refused, and refused
// only when something was left out.
func TestJudgementIsNeverWrong(t *testing.T) {
	forms := map[nc.Units][]nc.Digits{
		nc.Inches:      {{Int: 2, Dec: 3}, {Int: 2, Dec: 4}, {Int: 2, Dec: 5}, {Int: 3, Dec: 4}, {Int: 3, Dec: 5}},
		nc.Millimetres: {{Int: 3, Dec: 2}, {Int: 3, Dec: 3}, {Int: 4, Dec: 2}, {Int: 4, Dec: 3}, {Int: 4, Dec: 4}},
	}
	read, refused := 0, 0
	for _, u := range []nc.Units{nc.Millimetres, nc.Inches} {
		for _, d := range forms[u] {
			for _, z := range []nc.Zeros{nc.LeadingZeros, nc.TrailingZeros} {
				for stated := range 8 {
					for seed := range uint64(4) {
						pins, corners := connectors(rand.New(rand.NewPCG(seed, 6)))
						var b strings.Builder
						b.WriteString("M48\n")
						word, sizes := "METRIC", [2]string{"0.900", "3.200"}
						if u == nc.Inches {
							word, sizes = "INCH", [2]string{"0.0354", "0.1260"}
						}
						if stated&1 != 0 {
							b.WriteString(word)
							if stated&2 != 0 {
								b.WriteString("," + z.String())
							}
							b.WriteString("\n")
						}
						if stated&4 != 0 {
							fmt.Fprintf(&b, ";FILE_FORMAT=%v\n", d)
						}
						fmt.Fprintf(&b, "T1C%s\nT2C%s\n%%\nT1\n", sizes[0], sizes[1])
						for _, p := range pins {
							fmt.Fprintf(&b, "X%sY%s\n", number(p[0], u, z, d), number(p[1], u, z, d))
						}
						b.WriteString("T2\n")
						for _, p := range corners {
							fmt.Fprintf(&b, "X%sY%s\n", number(p[0], u, z, d), number(p[1], u, z, d))
						}
						b.WriteString("M30\n")
						p, err := nc.Parse([]byte(b.String()), nc.ReadOptions{})
						name := fmt.Sprintf("%v %v %v, stated %03b, seed %d", u, z, d, stated, seed)
						if err != nil {
							var ae *nc.AmbiguousError
							require.ErrorAs(t, err, &ae, name)
							require.NotEqual(t, 7, stated, name)
							refused++
							continue
						}
						s, err := p.Summary()
						require.NoError(t, err)
						tol := 0.02 // the coarsest form, 3:2 in mm or 2:3 in inch
						if !within(s.Box, orb.Bound{Min: orb.Point{3.5, 3.5}, Max: orb.Point{96.5, 76.5}}, tol) {
							t.Errorf("%s: misread as %v %v %v, box %v: %v", name, p.Units, p.Zeros, p.Digits, s.Box, p.Notes)
						}
						read++
					}
				}
			}
		}
	}
	t.Logf("%d read, %d refused", read, refused)
	assert.Greater(t, read, 5*refused/2, "judging must be worth its while")
}

// A reading that is worse than none does not win for being the least bad: where
// the word for the units makes every tool odd and the other unit none, or all
// holes overlap, somebody has to say so.
func TestNoReadingWinsByDefault(t *testing.T) {
	file := func(word string, tools, hits []string) string {
		return "M48\n" + word + "\n" + strings.Join(tools, "\n") + "\n%\nT1\n" + strings.Join(hits, "\n") + "\nM30\n"
	}
	far := []string{"X010000Y010000", "X090000Y010000", "X090000Y060000", "X010000Y060000"}
	packed := []string{"X010100Y010100", "X010200Y010100", "X010300Y010100", "X010400Y010100"}
	for name, c := range map[string]struct {
		src   string
		units nc.Units
		given nc.Digits // that settle it
	}{
		"inch and tools in mm":    {file("INCH,TZ", []string{"T1C0.8", "T2C1.0"}, far), nc.Inches, nc.Digits{Int: 2, Dec: 4}},
		"mm and tools in inch":    {file("METRIC,TZ", []string{"T1C0.0315", "T2C0.0394"}, far), nc.Millimetres, nc.Digits{Int: 3, Dec: 3}},
		"one hole over the other": {file("METRIC,TZ", []string{"T1C3.0"}, packed), nc.Millimetres, nc.Digits{Int: 3, Dec: 3}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := nc.Parse([]byte(c.src), nc.ReadOptions{})
			var ae *nc.AmbiguousError
			require.ErrorAs(t, err, &ae)
			require.Equal(t, c.units, ae.Candidates[0].Units)
			require.ErrorContains(t, err, "none is likely")
			p, err := nc.Parse([]byte(c.src), nc.ReadOptions{Digits: c.given})
			require.NoError(t, err, "the caller may say so")
			require.Equal(t, "odd-form", p.Notes[0].Rule)
		})
	}
	// Large mounting holes alone are odd in every reading and tell nothing.
	p := parse(t, file("METRIC,TZ", []string{"T1C7.000"}, far))
	require.Equal(t, nc.Digits{Int: 3, Dec: 3}, p.Digits)
}

// within tells whether two boxes agree.
func within(a, b orb.Bound, tol float64) bool {
	for i := range 2 {
		if a.Min[i] < b.Min[i]-tol || a.Min[i] > b.Min[i]+tol || a.Max[i] < b.Max[i]-tol || a.Max[i] > b.Max[i]+tol {
			return false
		}
	}
	return true
}

func TestTheCallersWord(t *testing.T) {
	open := "M48\nMETRIC\nT1C0.800\n%\nT1\nX1111Y2222\nX3333Y1111\nM30\n"
	_, err := nc.Parse([]byte(open), nc.ReadOptions{})
	require.ErrorIs(t, err, nc.ErrZeros)
	p, err := nc.Parse([]byte(open), nc.ReadOptions{Zeros: nc.TrailingZeros})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{1.111, 2.222}, hits(t, p)[0])
	assert.Equal(t, []nc.How{nc.Stated, nc.Given, nc.Judged, nc.Judged}, []nc.How{p.UnitsHow, p.ZerosHow, p.DigitsHow, p.How()})
	p, err = nc.Parse([]byte(open), nc.ReadOptions{Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 4}})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{11.11, 22.22}, hits(t, p)[0])
	assert.Equal(t, nc.Given, p.How())

	stated := "M48\nMETRIC,TZ,000.000\nT1C0.800\n%\nT1\nX10000Y20000\nX60000Y20000\nM30\n"
	p, err = nc.Parse([]byte(stated), nc.ReadOptions{Units: nc.Inches, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 2, Dec: 4}})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{10, 20}, hits(t, p)[0], "the file is followed")
	assert.Equal(t, []string{"contradiction"}, rules(p.Notes))
	p, err = nc.Parse([]byte(stated), nc.ReadOptions{Digits: nc.Digits{Int: 4, Dec: 2}, Force: true})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{100, 200}, hits(t, p)[0], "unless forced")
	assert.Equal(t, nc.Given, p.DigitsHow)

	two := "M48\nMETRIC\nINCH\nT1C0.0315\n%\nT1\nX1.0Y2.0\nM30\n"
	p, err = nc.Parse([]byte(two), nc.ReadOptions{Units: nc.Inches, Force: true})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{25.4, 50.8}, hits(t, p)[0], "a forced unit settles a contradiction")

	_, err = nc.Parse([]byte(open), nc.ReadOptions{Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 30, Dec: 4}})
	require.ErrorIs(t, err, nc.ErrDigits)
}

// A word on zeros that some numbers do not heed: others that could be read by it
// may as well lack a point that would be followed by nothing.
func TestMixedPointsAgainstTheHeader(t *testing.T) {
	for _, word := range []string{"METRIC,TZ", "METRIC,LZ", "METRIC"} {
		p, err := nc.Parse([]byte("M48\n"+word+"\nT1C0.8\n%\nT1\nX10Y12.54\nX20Y12.54\nX30.5Y10\nM30\n"), nc.ReadOptions{})
		require.NoError(t, err, word)
		assert.Equal(t, nc.DecimalPoint, p.Zeros, word)
		assert.Equal(t, []orb.Point{{10, 12.54}, {20, 12.54}, {30.5, 10}}, hits(t, p), word)
		require.Contains(t, rules(p.Notes), "judged-form", word)
	}
	p, err := nc.Parse([]byte("M48\nMETRIC,TZ,000.000\nT1C0.8\n%\nT1\nX10Y12.54\nX20Y12.54\nX30.5Y10\nM30\n"), nc.ReadOptions{})
	require.NoError(t, err)
	assert.Equal(t, orb.Point{0.01, 12.54}, hits(t, p)[0], "the digits are stated")
}

func TestThePanelSettlesIt(t *testing.T) {
	open := "M48\nMETRIC\nT1C0.800\n%\nT1\nX1111Y2222\nX3333Y1111\nM30\n"
	panel := orb.Bound{Max: orb.Point{10, 10}}
	p, err := nc.Parse([]byte(open), nc.ReadOptions{Panel: panel})
	require.NoError(t, err)
	assert.Equal(t, nc.TrailingZeros, p.Zeros)
	require.Len(t, p.Notes, 1)
	assert.Equal(t, "judged-form", p.Notes[0].Rule)
	assert.Contains(t, p.Notes[0].Detail, "usual form")
	_, err = nc.Parse([]byte(open), nc.ReadOptions{Panel: orb.Bound{Min: orb.Point{5000, 5000}, Max: orb.Point{5001, 5001}}})
	var ae *nc.AmbiguousError
	require.ErrorAs(t, err, &ae)
	assert.Contains(t, ae.Candidates[0].Why, "leaves the panel")
	assert.Contains(t, err.Error(), "readings none is likely")
	assert.Contains(t, err.Error(), "...", "a long list is cut")
}

// TestFormsOfOneEffectStandTogether: numbers of five digits read alike as LZ
// 2:4 and TZ 3:3 in mm; the usual form must speak for both, or inch would win.
func TestFormsOfOneEffectStandTogether(t *testing.T) {
	src := "M48\nT1C0.1\n%\nT1\nX10000Y20000\nX15000Y25000\nM30\n"
	_, err := nc.Parse([]byte(src), nc.ReadOptions{Panel: orb.Bound{Max: orb.Point{120, 100}}})
	require.ErrorIs(t, err, nc.ErrUnits)
	var ae *nc.AmbiguousError
	require.ErrorAs(t, err, &ae)
	got := map[string]bool{}
	for _, c := range ae.Candidates[:2] {
		got[fmt.Sprintf("%v %v %v", c.Units, c.Zeros, c.Digits)] = true
	}
	assert.Equal(t, map[string]bool{"mm TZ 3:3": true, "inch TZ 2:4": true}, got)
}

func TestOddFormsAreRemarked(t *testing.T) {
	lines := func(n, step int) string {
		var b strings.Builder
		for k := range n {
			fmt.Fprintf(&b, "X%dY%d\n", k*step+1, 3*step)
		}
		return b.String()
	}
	for name, src := range map[string]string{
		"tools of 20 mm":   "M48\nINCH,TZ,00.0000\nT1C0.800\nT2C1.600\n%\nT1\nX10000Y10000\nX20000Y10000\nM30\n",
		"a board of 9 m":   "M48\nMETRIC,TZ,000.0\nT1C0.800\n%\nT1\nX10000Y10000\nX20000Y10000\nX30000Y10000\nX90000Y10000\nM30\n",
		"a board of 2 mm":  "M48\nMETRIC,TZ,000.0000\nT1C0.100\n%\nT1\n" + lines(12, 2000) + "M30\n",
		"overlapping hits": "M48\nMETRIC,TZ,000.000\nT1C2.000\n%\nT1\n" + lines(50, 1000) + "M30\n",
		"zeros under LZ":   "M48\nMETRIC,LZ,000.000\nT1C0.800\n%\nT1\nX9000Y8000\nX7000Y6000\nX110000Y8000\nM30\n",
	} {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, rules(parse(t, src).Notes), "odd-form")
		})
	}
}

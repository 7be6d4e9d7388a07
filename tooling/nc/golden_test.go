package nc_test

import (
	"errors"
	"fmt"
	"hash/fnv"
	"maps"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// golden holds a list to what it was.
func golden(t *testing.T, name string, list []string) {
	t.Helper()
	file := filepath.Join("testdata", "golden", name)
	got := strings.Join(list, "\n") + "\n"
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(got), 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if d := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(got, "\n")); d != "" {
		t.Error(d)
	}
}

func digest(parts ...string) string {
	h := fnv.New32a()
	for _, p := range parts {
		fmt.Fprintf(h, "%s\n", p)
	}
	return fmt.Sprintf("%08x", h.Sum32())
}

// noted is every field of notes.
func noted(notes []nc.Note) string {
	var short, long []string
	for _, n := range notes {
		short = append(short, fmt.Sprintf("%s@%d:%d", n.Rule, n.Line, n.Column))
		long = append(long, fmt.Sprintf("%+v", n))
	}
	if short == nil {
		return "-"
	}
	return strings.Join(short, " ") + " " + digest(long...)
}

// readingOf is all that reading a text gives, on one line.
func readingOf(src []byte, o nc.ReadOptions) string {
	p, err := nc.Parse(src, o)
	var open *nc.AmbiguousError
	if errors.As(err, &open) {
		var all []string
		for _, c := range open.Candidates {
			all = append(all, c.String())
		}
		return fmt.Sprintf("%d:%d %v: %d readings %s", open.Line, open.Column, open.Err, len(all), digest(all...))
	}
	if err != nil {
		return err.Error()
	}
	s, err := p.Summary()
	if err != nil {
		return err.Error()
	}
	var made []string
	for op, err := range p.Ops() {
		if err != nil {
			return err.Error()
		}
		made = append(made, fmt.Sprintf("%+v", op))
	}
	var tools []string
	for _, d := range p.Tools {
		tools = append(tools, fmt.Sprintf("%+v", d))
	}
	for _, d := range s.Tools {
		tools = append(tools, fmt.Sprintf("%+v", d))
	}
	return fmt.Sprintf("%v %v %v %v %v; %d tools %s; %d made %s; box %.3f; %d twice, %d shared; attributes %s; %s", p.Units, p.Zeros, p.Digits, p.How(), p.FeedUnit,
		len(p.Tools), digest(tools...), len(made), digest(made...), s.Box, s.Duplicates, s.Shared, digest(fmt.Sprintf("%+v %+v", p.Attributes, p.Function)), noted(p.Notes))
}

// spoil changes a text in one way.
func spoil(rng *rand.Rand, src string) (string, string) {
	lines := strings.SplitAfter(src, "\n")
	k := rng.IntN(len(lines))
	switch rng.IntN(12) {
	case 0:
		return fmt.Sprintf("less line %d", k+1), strings.Join(slices.Delete(lines, k, k+1), "")
	case 1:
		return fmt.Sprintf("line %d twice", k+1), strings.Join(slices.Insert(lines, k, lines[k]), "")
	case 2:
		j := rng.IntN(len(lines))
		lines[j], lines[k] = lines[k], lines[j]
		return fmt.Sprintf("lines %d and %d changed about", j+1, k+1), strings.Join(lines, "")
	case 3:
		return "without points", strings.ReplaceAll(src, ".", "")
	case 4:
		return "of the other unit", strings.NewReplacer("METRIC", "INCH", "INCH", "METRIC", "M71", "M72", "M72", "M71").Replace(src)
	case 5:
		return "of the other zeros", strings.NewReplacer("LZ", "TZ", "TZ", "LZ").Replace(src)
	case 6:
		return "without a word on zeros", strings.NewReplacer(",LZ", "", ",TZ", "").Replace(src)
	case 7:
		return "without units", strings.NewReplacer("METRIC", "", "INCH", "", "M71", "", "M72", "").Replace(src)
	case 8:
		n := rng.IntN(len(src) + 1)
		return fmt.Sprintf("cut off after %d bytes", n), src[:n]
	case 9:
		n := rng.IntN(len(src) + 1)
		c := "0123456789XYTGMRABIJFSCHZ.-+;,%/ "[rng.IntN(33)]
		return fmt.Sprintf("%q at byte %d", c, n), src[:n] + string(c) + src[n:]
	case 10:
		n := rng.IntN(len(src))
		return fmt.Sprintf("less byte %d", n), src[:n] + src[n+1:]
	}
	n, c := rng.IntN(len(src)), "0123456789"[rng.IntN(10)]
	return fmt.Sprintf("%q for byte %d", c, n), src[:n] + string(c) + src[n+1:]
}

// The corpus, and each of its files spoilt in some ways, is read or refused as it
// was: place, words and form, on every machine and in every version.
func TestReadingsAreWhatTheyWere(t *testing.T) {
	files := corpus(t)
	asked := []nc.ReadOptions{
		{Units: nc.Inches, Zeros: nc.TrailingZeros, Digits: nc.Digits{Int: 2, Dec: 5}},
		{Units: nc.Millimetres, Zeros: nc.LeadingZeros, Digits: nc.Digits{Int: 4, Dec: 3}, Force: true},
		{Panel: orb.Bound{Min: orb.Point{-60, -60}, Max: orb.Point{60, 60}}, AllowMissingEnd: true, SkipDeleted: true, FeedUnit: nc.MillimetresPerSecond},
	}
	var list []string
	for i, name := range slices.Sorted(maps.Keys(files)) {
		src := string(files[name])
		list = append(list, name+": "+readingOf([]byte(src), nc.ReadOptions{}))
		for k, o := range asked {
			list = append(list, fmt.Sprintf("   asked %d: %s", k, readingOf([]byte(src), o)))
		}
		rng := rand.New(rand.NewPCG(uint64(i), 43))
		for range min(6, len(src)) {
			how, text := spoil(rng, src)
			list = append(list, "   "+how+": "+readingOf([]byte(text), nc.ReadOptions{File: "f"}))
		}
	}
	golden(t, "readings.txt", list)
}

// unstated writes hits of a board in some form that the header does not tell, or
// tells in part.
func unstated(rng *rand.Rand) string {
	var b strings.Builder
	inch := rng.IntN(2) == 0
	dec, whole := 3, 3
	if inch {
		dec, whole = 4, 2
	}
	if rng.IntN(3) == 0 {
		dec = 2 + rng.IntN(4)
	}
	trailing, padded, pointed := rng.IntN(2) == 0, rng.IntN(4) == 0, rng.IntN(8)
	b.WriteString("M48\n")
	word := map[bool]string{true: "INCH", false: "METRIC"}[inch]
	switch rng.IntN(5) {
	case 0, 1:
		b.WriteString(word + "\n")
	case 2:
		b.WriteString(word + map[bool]string{true: ",LZ\n", false: ",TZ\n"}[trailing])
	case 3:
		fmt.Fprintf(&b, ";FORMAT={-:-/ absolute / %s / suppress %s zeros}\n", map[bool]string{true: "inch", false: "metric"}[inch], map[bool]string{true: "trailing", false: "leading"}[trailing])
	}
	grid := []float64{2.54, 1.27, 1, 0.5, 0.317}[rng.IntN(5)]
	size := []float64{3, 40, 160, 600, 2000}[rng.IntN(5)]
	scale := 1.0
	if inch {
		scale = 25.4
	}
	tools := 1 + rng.IntN(4)
	for k := range tools {
		d := []float64{0.3, 0.8, 1.0, 3.175, 7, 0.05}[rng.IntN(6)] / scale
		fmt.Fprintf(&b, "T%dC%.*f\n", k+1, 2+rng.IntN(3)+map[bool]int{true: 1}[inch], d)
	}
	b.WriteString("%\nT1\n")
	number := func(v float64) string {
		v /= scale
		if pointed == 0 || pointed == 1 && rng.IntN(3) == 0 {
			return fmt.Sprintf("%.*f", dec, v)
		}
		n := int64(math.Round(v * math.Pow10(dec)))
		sign := ""
		if n < 0 {
			sign, n = "-", -n
		}
		full := fmt.Sprintf("%0*d", whole+dec, n)
		switch {
		case padded:
			return sign + full
		case trailing && n > 0:
			return sign + strings.TrimRight(full, "0")
		}
		return sign + fmt.Sprint(n)
	}
	at := orb.Point{}
	for k := range 1 + rng.IntN(40) {
		if k%9 == 8 {
			fmt.Fprintf(&b, "T%d\n", 1+rng.IntN(tools))
		}
		if k == 0 || rng.IntN(2) == 0 {
			at = orb.Point{grid * math.Round(rng.Float64()*size/grid), grid * math.Round(rng.Float64()*size/grid)}
		} else {
			at[rng.IntN(2)] += grid
		}
		switch rng.IntN(8) {
		case 0:
			fmt.Fprintf(&b, "X%s\n", number(at[0]))
		case 1:
			fmt.Fprintf(&b, "Y%s\n", number(at[1]))
		case 2:
			fmt.Fprintf(&b, "R%dX%s\n", 1+rng.IntN(4), number(grid))
		default:
			fmt.Fprintf(&b, "X%sY%s\n", number(at[0]), number(at[1]))
		}
	}
	b.WriteString("M30\n")
	return b.String()
}

// Files that do not tell their form are judged as they were, down to the tenth of a
// point of every reading, or left open.
func TestJudgementsAreWhatTheyWere(t *testing.T) {
	var list []string
	for seed := range uint64(240) {
		src := unstated(rand.New(rand.NewPCG(seed, 47)))
		o := nc.ReadOptions{}
		if seed%5 == 4 {
			o.Panel = orb.Bound{Min: orb.Point{-1, -1}, Max: orb.Point{200, 200}}
		}
		list = append(list, fmt.Sprintf("%d: %s", seed, readingOf([]byte(src), o)))
		var open *nc.AmbiguousError
		if _, err := nc.Parse([]byte(src), o); errors.As(err, &open) {
			list = append(list, fmt.Sprintf("   %v", err))
		}
	}
	golden(t, "judged.txt", list)
}

// dialects by lot: every option of the writer.
func someOptions(rng *rand.Rand) nc.WriteOptions {
	yes := func() bool { return rng.IntN(3) == 0 }
	o := nc.WriteOptions{
		Units: nc.Units(rng.IntN(3)), Zeros: nc.Zeros(rng.IntN(4)), FeedUnit: nc.FeedUnit(rng.IntN(5)), NoFeeds: yes(), Slots: nc.SlotForm(rng.IntN(3)), CRLF: yes(),
		Table: nc.TableOrder(rng.IntN(3)), Index: yes(), Incremental: yes(), Rows: yes(), Attributes: yes(), Header: [][]string{nil, {"sensor, invented"}, {"a", "b"}}[rng.IntN(3)],
		End: []string{"", "M30", "M00"}[rng.IntN(3)], Words: [][]string{nil, {}, {"VER,1", "FMAT,2"}, {"ATC,ON", "DETECT,OFF", "ICI,OFF"}}[rng.IntN(4)],
	}
	o.Patterns = !o.Incremental && yes()
	o.Exchange = rng.IntN(9) == 0
	if rng.IntN(2) == 0 {
		o.Digits = nc.Digits{Int: 2 + rng.IntN(5), Dec: 1 + rng.IntN(6)}
	}
	return o
}

// Programs are written byte for byte as they were, whole and in parts, or refused
// with the same words.
func TestWrittenProgramsAreWhatTheyWere(t *testing.T) {
	var list []string
	for seed := range uint64(220) {
		rng := rand.New(rand.NewPCG(seed, 53))
		tools := tableOf(1 + rng.IntN(4))
		for k := range tools {
			tools[k].Marking = []string{"", "plated", "unplated"}[rng.IntN(3)]
			tools[k].Function = []string{"", "via", "component", "mechanical"}[rng.IntN(4)]
			tools[k].HitLimit = rng.IntN(3) * 500
			tools[k].Number += rng.IntN(2) * 20 * (k + 1)
		}
		in := random(rng, tools, 60, []float64{0.001, 0.001, 0.0001, 0.01}[rng.IntN(4)])
		if rng.IntN(2) == 0 { // a field, for rows and patterns
			tool := tools[0].Number
			at := orb.Point{}
			in = append(in, nc.Op{Kind: nc.OpTool, Tool: tool})
			for row := range 2 + rng.IntN(4) {
				for k := range 1 + rng.IntN(7) {
					to := orb.Point{float64(k) * 2.5, float64(row) * 5}
					in = append(in, nc.Op{Kind: nc.OpHit, Tool: tool, From: at, To: to})
					at = to
				}
			}
		}
		if rng.IntN(3) == 0 {
			in = append(in, nc.Op{Kind: nc.OpMessage, Text: "look"}, nc.Op{Kind: nc.OpStop}, nc.Op{Kind: nc.OpComment, Text: "a remark"}, nc.Op{Kind: nc.OpDwell, Text: "G04X2.0"})
		}
		o := someOptions(rng)
		line := fmt.Sprintf("%d: %v %v %v", seed, o.Units, o.Zeros, o.Digits)
		p, err := nc.Build(slices.Values(in), tools, o)
		if err != nil {
			list = append(list, line+": "+err.Error())
			continue
		}
		src := text(t, p)
		line += fmt.Sprintf(": %d lines, %d bytes %s; %s", p.Lines(), len(src), digest(src), noted(p.Notes))
		o.Continued = []string{"", "goes on"}[rng.IntN(2)]
		parts, err := nc.Split(slices.Values(in), tools, o, 300+rng.IntN(1200))
		if err != nil {
			line += "; in parts: " + err.Error()
		}
		for _, q := range parts {
			line += fmt.Sprintf("; part of %d bytes %s", len(text(t, q)), digest(text(t, q)))
		}
		list = append(list, line)
	}
	golden(t, "written.txt", list)
}

// Programs that differ a little are found to differ as they were: by some more or
// less than the tolerance, by direction, by blocks, by start.
func TestComparisonsAreWhatTheyWere(t *testing.T) {
	var list []string
	for seed := range uint64(160) {
		rng := rand.New(rand.NewPCG(seed, 59))
		tools := tableOf(2)
		in := random(rng, tools, 40, 0.001)
		for k := range in { // some close together, in cells side by side
			if in[k].Kind == nc.OpHit && rng.IntN(2) == 0 {
				in[k].To = orb.Point{float64(rng.IntN(60)-30) * 0.01, float64(rng.IntN(60)-30) * 0.01}
			}
		}
		tol := []float64{0, 0.001, 0.01, 0.05}[rng.IntN(4)]
		var out []nc.Op
		for _, op := range in {
			by := tol * []float64{0, 0.3, 0.69, 0.72, 0.99, 1.01, 1.5}[rng.IntN(7)]
			moved := func(p orb.Point) orb.Point {
				if rng.IntN(2) == 0 {
					return orb.Point{p[0] + by, p[1]}
				}
				return orb.Point{p[0] - float64(by*0.6), p[1] + float64(by*0.8)}
			}
			switch op.Kind {
			case nc.OpHit, nc.OpCircle:
				op.To = moved(op.To)
				if op.Kind == nc.OpCircle {
					op.Diameter += 2 * by
				}
			case nc.OpSlot:
				op.To = moved(op.To)
				if rng.IntN(2) == 0 {
					op.From, op.To = op.To, op.From
				}
			case nc.OpLine:
				if rng.IntN(2) == 0 { // in two blocks, the joint a little off
					half := op
					half.To = moved(orb.Point{(op.From[0] + op.To[0]) / 2, (op.From[1] + op.To[1]) / 2})
					out = append(out, half)
					op.From = half.To
				}
			case nc.OpArc:
				if op.To != op.From && rng.IntN(4) == 0 {
					op.Clockwise = !op.Clockwise
				}
			}
			if op.Kind == nc.OpHit && rng.IntN(30) == 0 {
				continue
			}
			out = append(out, op)
		}
		write := func(ops []nc.Op, o nc.WriteOptions) *nc.Program {
			p, err := nc.Build(slices.Values(ops), tools, o)
			require.NoError(t, err, "seed %d", seed)
			return p
		}
		a, b := write(in, nc.WriteOptions{Digits: nc.Digits{Int: 4, Dec: 6}}), write(out, nc.WriteOptions{Digits: nc.Digits{Int: 4, Dec: 6}})
		for _, pair := range [][2]*nc.Program{{a, b}, {b, a}} {
			notes, err := nc.Compare(pair[0], pair[1], tol)
			require.NoError(t, err)
			var found []string
			for _, n := range notes {
				found = append(found, fmt.Sprintf("%s T%d x%d %s %v", n.Rule, n.Tool, n.Count, n.Detail, n.Lines))
			}
			list = append(list, fmt.Sprintf("%d, within %g: %s", seed, tol, strings.Join(found, "; ")))
		}
	}
	golden(t, "compared.txt", list)
}

// byLot makes a program of words of the format taken by chance, most of them where
// they may stand.
func byLot(rng *rand.Rand) string {
	n := func() string { return fmt.Sprintf("%d.%03d", rng.IntN(60)-10, rng.IntN(1000)) }
	x := func() string { return "X" + n() + "Y" + n() }
	pick := func(of ...string) string { return of[rng.IntN(len(of))] }
	var b strings.Builder
	fmt.Fprintf(&b, "M48\n%s\n%s", pick("METRIC", "METRIC,TZ", "INCH,LZ", "M71\nFMAT,2", "METRIC\nFMAT,1"), pick("", ";TYPE=PLATED\n", "; #@! TF.FileFunction,NonPlated,1,2,NPTH\n", "ICI,OFF\nATC,ON\n", "; NON-PLATED HOLES START AT T2\n"))
	for k := range 3 {
		fmt.Fprintf(&b, "T%dC%d.%d%s%s\n", k+1, rng.IntN(3), 1+rng.IntN(9), pick("", "F2.5", "S60", "F2.500S60.5B10.0", "H500", "Z-0.5"), pick("", " ; via", "\n; #@! TA.AperFunction,Plated,PTH,ViaDrill", "\n;TYPE=NON_PLATED"))
	}
	b.WriteString("%\nT1\n")
	for range 8 + rng.IntN(20) {
		switch rng.IntN(14) {
		case 0, 1, 2, 3:
			b.WriteString(pick(x(), "X"+n(), "Y"+n()))
		case 4:
			b.WriteString(pick("R", "R", "M02R") + pick("1", "2", "3", "0", "12") + pick("X"+n(), "Y"+n(), x(), "M02"+x()))
		case 5:
			b.WriteString("M25\n" + x() + "\n" + pick(x(), x()+"G85"+x(), "R2X1.0") + "\nM01\n" + pick("", "R2") + "M02" + x() + pick("", "", "M70", "M80", "M90", "M80M90", "M70M80") + pick("\nM08", "\nM01\nM02X50.0\nM08", ""))
		case 6:
			b.WriteString(x() + pick("G85"+x(), "G84X"+n(), "G87"+x(), "G82"))
		case 7:
			b.WriteString("G00" + x() + "\nM15\n" + pick("G01"+x(), "G02"+x()+"A9.5", "G03"+x()+"A70.0", "G03X5.0I2.0J-1.0", "G02X1.0Y1.0I1.0J1.0", "G41\nG01"+x()) + "\n" + pick("M16", "M17", "M16\nG40", "") + "\n" + pick("G05", "G81", "G05", ""))
		case 8:
			b.WriteString(pick("T2", "T3", "T1", "T0", "T0203", "T4", "T5C0.9", "T2C1.1"))
		case 9:
			b.WriteString(pick("G90", "G91", "G93"+x(), "G92X0.0Y0.0", "ICI,ON", "ICI,OFF", "M71", "M72"))
		case 10:
			b.WriteString(pick("; a remark", "(a remark)", "M47,LOOK", "M06", "M09", "G04X1.5", "N120"+x(), "/"+x(), "M97,TEXT", "VER,1"))
		case 11:
			b.WriteString(pick("G32"+x()+"A2.0", "G33"+x()+"A1.5", "G32"+x(), "G33"+x()+"A0.0"))
		case 12:
			b.WriteString(strings.ToLower(x()))
		case 13:
			b.WriteString("G85" + x())
		}
		b.WriteString(pick("\n", "\n", "\n", "\r\n"))
	}
	b.WriteString(pick("M30\n", "M30\n", "M30\n", "M00\n", "T0\nM30\n", ""))
	return b.String()
}

// Programs of words by lot are read as they were, less the lines that are refused:
// what they make, what is noted, and what is refused and where.
func TestProgramsByLotAreReadAsTheyWere(t *testing.T) {
	var list []string
	for seed := range uint64(220) {
		lines := strings.SplitAfter(byLot(rand.New(rand.NewPCG(seed, 67))), "\n")
		o := nc.ReadOptions{MaxReach: []float64{0, 0, 0, 60}[seed%4], AllowMissingEnd: seed%2 == 0, SkipDeleted: seed%3 == 0}
		for {
			src := []byte(strings.Join(lines, ""))
			list = append(list, fmt.Sprintf("%d: %s", seed, readingOf(src, o)))
			_, err := nc.Parse(src, o)
			var refused *nc.SyntaxError
			if !errors.As(err, &refused) || refused.Line < 1 || refused.Line > len(lines) || len(lines) < 5 {
				break
			}
			k := refused.Line
			if _, err := fmt.Sscanf(refused.Expected, "M01 for the pattern of line %d", &k); err != nil {
				k = refused.Line
			}
			lines = slices.Delete(lines, k-1, k)
		}
	}
	golden(t, "bylot.txt", list)
}

package nc_test

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/stretchr/testify/require"
)

var mutations = flag.Int("mutations", 1500, "how many mutations of a program to try, of structure and of content each")

// mutant is a program of everything the format has, about 300 mm wide, all of
// its form stated, numbers of different widths that end in zeros.
func mutant(rng *rand.Rand) []string {
	src := strings.Split(strings.TrimSpace(`
M48
; tide-gauge, invented
;TYPE=PLATED
FMAT,2
METRIC,TZ,000.000
T1C0.800F2.500S60.5
T2C1.100F2.000S45
;TYPE=NON_PLATED
T3C2.400F1.100S22.5
%
G90
M47,THREE HIGH
G05`), "\n")
	pt := func() string { return fmt.Sprintf("X%dY%d", 10*(100+rng.IntN(29_000)), 10*(100+rng.IntN(19_000))) }
	src = append(src, "T1")
	for range 12 {
		src = append(src, pt())
	}
	src = append(src, "X5000Y5000", "R9X2540", "T2", "M25")
	for range 3 {
		src = append(src, pt())
	}
	src = append(src, "M01", "M02X1000Y500", "R3M02X2000", "M08")
	for range 4 {
		src = append(src, pt())
	}
	for range 3 {
		src = append(src, pt()+"G85"+pt())
	}
	src = append(src, "M09", "T3", "G40", "G00X20000Y20000", "M15", "G01X50000Y20000", "G03X60000Y30000A10000", "G01X60000Y50000", "M16", "G05", "X1000Y1000", "X300000Y1000", "T0", "M30")
	if rng.IntN(2) == 0 {
		return src
	}
	// Every other program has decimal points.
	for i, line := range src {
		if line == "METRIC,TZ,000.000" {
			src[i] = "METRIC"
		} else if strings.ContainsAny(line, "XY") && line[0] != ';' && line[0] != 'M' || strings.Contains(line, "M02X") {
			src[i] = coordinate.ReplaceAllStringFunc(line, func(s string) string {
				var v int
				if _, err := fmt.Sscanf(s[1:], "%d", &v); err != nil {
					panic(err)
				}
				return fmt.Sprintf("%c%d.%03d", s[0], v/1000, v%1000)
			})
		}
	}
	return src
}

var coordinate = regexp.MustCompile(`[XYA][0-9]+`)

// trace is what a program makes, for comparing operation by operation.
func trace(t *testing.T, src string) ([]nc.Op, []nc.Note, error) {
	t.Helper()
	p, err := nc.Parse([]byte(src), fuzzLimits)
	if err != nil {
		var se *nc.SyntaxError
		var ae *nc.AmbiguousError
		var le *nc.LimitError
		if !errors.As(err, &se) && !errors.As(err, &ae) && !errors.As(err, &le) {
			t.Fatalf("an untyped error: %v", err)
		}
		return nil, nil, err
	}
	var out []nc.Op
	for op, err := range p.Ops() {
		require.NoError(t, err)
		switch op.Kind {
		case nc.OpHit, nc.OpSlot, nc.OpCircle, nc.OpLine, nc.OpArc, nc.OpPlunge:
			op.Text = ""
			out = append(out, op)
		}
	}
	return out, p.Notes, nil
}

// sameMade tells whether two traces are alike but for source lines and places
// the tool came from.
func sameMade(a, b []nc.Op) bool {
	return slices.EqualFunc(a, b, func(x, y nc.Op) bool {
		x.Line, y.Line = 0, 0
		if x.Kind != nc.OpSlot {
			x.From, y.From = x.To, y.To
		}
		return x == y
	})
}

// TestMutationsOfStructure damages tool table, units, zeros, modes, M words,
// repeat counts and the end of programs: what is read is the same, or there is
// a finding, or a typed error. A changed repeat count changes only its hits.
func TestMutationsOfStructure(t *testing.T) {
	// Moves, selections and copies are content: leaving one out is another program.
	isMove := regexp.MustCompile(`^(G0[0-3])?[XY]|^T[0-9]+$|M02X`)
	isRepeat := regexp.MustCompile(`^R`)
	alphabet := "0123456789.,;%/-+ XYTMGRCFSLZI"
	same, noted, refused, content := 0, 0, 0, 0
	n := *mutations
	if testing.Short() {
		n = min(n, 300)
	}
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 8))
		src := mutant(rng)
		base, baseNotes, err := trace(t, strings.Join(src, "\n")+"\n")
		require.NoError(t, err)
		k := rng.IntN(len(src))
		for isMove.MatchString(src[k]) {
			k = rng.IntN(len(src))
		}
		cut := slices.Clone(src)
		what := ""
		end := "\n"
		line := cut[k]
		kind := rng.IntN(7)
		if isRepeat.MatchString(line) {
			kind = 0
		}
		switch kind {
		case 0, 1: // another byte
			i := rng.IntN(len(line))
			cut[k] = line[:i] + string(alphabet[rng.IntN(len(alphabet))]) + line[i+1:]
			what = "byte"
		case 2: // a byte less
			i := rng.IntN(len(line))
			cut[k] = line[:i] + line[i+1:]
			what = "byte lost"
		case 3: // a byte more
			i := rng.IntN(len(line) + 1)
			cut[k] = line[:i] + string(alphabet[rng.IntN(len(alphabet))]) + line[i:]
			what = "byte more"
		case 4:
			cut = slices.Delete(cut, k, k+1)
			what = "line lost"
		case 5:
			cut = slices.Insert(cut, k, line)
			what = "line doubled"
		case 6: // cut off
			all := strings.Join(src, "\n") + "\n"
			cut = strings.Split(all[:rng.IntN(len(all))], "\n")
			end = ""
			what = "cut off"
		}
		got, notes, err := trace(t, strings.Join(cut, "\n")+end)
		switch {
		case err != nil:
			refused++
		case len(notes) > len(baseNotes) || !slices.Equal(rules(notes), rules(baseNotes)) || counted(notes) != counted(baseNotes):
			noted++
		case sameMade(base, got):
			same++
		case sameMade(without(base, k+1), without(got, k+1)):
			content++ // the line itself became, or was, something that makes a hit
		default:
			t.Fatalf("seed %d: %s in line %d, %q, now %q: operations change without a word:\n%v\n%v", seed, what, k+1, line, cut[min(k, len(cut)-1)], unlike(base, got), unlike(got, base))
		}
	}
	t.Logf("%d the same, %d with a finding, %d refused, %d changed in the line itself", same, noted, refused, content)
}

// unlike returns the first operation of a that b does not have in its place.
func unlike(a, b []nc.Op) string {
	for i := range a {
		if i >= len(b) || !sameMade(a[i:i+1], b[i:i+1]) {
			return a[i].String()
		}
	}
	return "the end"
}

// counted sums the counts of notes.
func counted(notes []nc.Note) int {
	n := 0
	for _, note := range notes {
		n += note.Count
	}
	return n
}

// without drops the operations of a line.
func without(ops []nc.Op, line int) []nc.Op {
	return slices.DeleteFunc(slices.Clone(ops), func(op nc.Op) bool { return op.Line == line })
}

// TestMutationsOfContent changes a digit of a hit, drops a hit or doubles one:
// exactly that operation changes.
func TestMutationsOfContent(t *testing.T) {
	isHit := regexp.MustCompile(`^X[0-9.]+Y[0-9.]+$`)
	n := *mutations
	if testing.Short() {
		n = min(n, 300)
	}
	for seed := range uint64(n) {
		rng := rand.New(rand.NewPCG(seed, 9))
		src := mutant(rng)
		base, _, err := trace(t, strings.Join(src, "\n")+"\n")
		require.NoError(t, err)
		first, last := slices.Index(src, "M25"), slices.Index(src, "M08")
		k := rng.IntN(len(src))
		for !isHit.MatchString(src[k]) || k > first && k < last || src[k+1][0] == 'R' {
			k = rng.IntN(len(src))
		}
		at := slices.IndexFunc(base, func(op nc.Op) bool { return op.Line == k+1 })
		require.GreaterOrEqual(t, at, 0)
		cut := slices.Clone(src)
		want := slices.Clone(base)
		switch rng.IntN(3) {
		case 0:
			b := []byte(cut[k])
			i := rng.IntN(len(b))
			for b[i] < '0' || b[i] > '9' {
				i = rng.IntN(len(b))
			}
			old := b[i]
			for b[i] == old {
				b[i] = byte('0' + rng.IntN(10))
			}
			cut[k] = string(b)
			var x, y float64
			_, err := fmt.Sscanf(cut[k], "X%fY%f", &x, &y)
			require.NoError(t, err)
			if !strings.Contains(cut[k], ".") {
				x, y = x/1000, y/1000
			}
			want[at].To[0], want[at].To[1] = x, y
		case 1:
			cut = slices.Delete(cut, k, k+1)
			want = slices.Delete(want, at, at+1)
		case 2:
			cut = slices.Insert(cut, k, cut[k])
			want = slices.Insert(want, at, want[at])
		}
		got, _, err := trace(t, strings.Join(cut, "\n")+"\n")
		require.NoError(t, err, "seed %d", seed)
		if !sameMade(want, got) {
			t.Fatalf("seed %d: line %d changed from %q: another operation changed as well", seed, k+1, src[k])
		}
	}
}

package nc

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"strings"
	"testing"
)

// exactNano is the oracle: the value of a number as a fraction, rounded half
// away from zero to nanometres.
func exactNano(text string, u Units, z Zeros, d Digits) *big.Int {
	neg := strings.HasPrefix(text, "-")
	s := strings.TrimLeft(text, "+-")
	whole, frac, point := strings.Cut(s, ".")
	dec := len(frac)
	digits := whole + frac
	if !point {
		switch z {
		case LeadingZeros:
			dec = len(whole) - d.Int
		case TrailingZeros:
			dec = d.Dec
		default:
			dec = 0
		}
	}
	m, _ := new(big.Int).SetString(digits, 10)
	r := new(big.Rat).SetInt(m)
	ten := big.NewRat(10, 1)
	for ; dec > 0; dec-- {
		r.Quo(r, ten)
	}
	for ; dec < 0; dec++ {
		r.Mul(r, ten)
	}
	unit := int64(1_000_000)
	if u == Inches {
		unit = 25_400_000
	}
	r.Mul(r, big.NewRat(unit, 1))
	r.Add(r, big.NewRat(1, 2))
	n := new(big.Int).Div(r.Num(), r.Denom()) // floor, the number is not negative
	if neg {
		n.Neg(n)
	}
	return n
}

// TestNumbersAgainstFractions reads random numbers in every form and compares
// them with exact fractions; beyond 10 m they are refused.
func TestNumbersAgainstFractions(t *testing.T) {
	forms := []Digits{{2, 3}, {2, 4}, {2, 5}, {3, 2}, {3, 3}, {3, 5}, {4, 4}, {6, 6}}
	limit := big.NewInt(maxNano)
	refused := 0
	for seed := range uint64(20_000) {
		rng := rand.New(rand.NewPCG(seed, 12))
		var b strings.Builder
		b.WriteString([]string{"", "-", "+"}[rng.IntN(3)])
		n := 1 + rng.IntN(12)
		point := -1
		if rng.IntN(2) == 0 {
			point = rng.IntN(n + 1)
		}
		for i := range n {
			if i == point {
				b.WriteByte('.')
			}
			b.WriteByte(byte('0' + rng.IntN(10)))
		}
		if point == n {
			b.WriteByte('.')
		}
		text := b.String()
		u := []Units{Millimetres, Inches}[rng.IntN(2)]
		z := []Zeros{LeadingZeros, TrailingZeros, DecimalPoint}[rng.IntN(3)]
		d := forms[rng.IntN(len(forms))]
		num, end, ok := parseNumber([]byte(text), 0)
		if !ok || end != len(text) {
			t.Fatalf("seed %d: %q is not read", seed, text)
		}
		sc := newScale(u, z, d)
		got, ok := sc.nano(num)
		want := exactNano(text, u, z, d)
		if new(big.Int).Abs(want).Cmp(limit) > 0 {
			refused++
			if ok {
				t.Fatalf("seed %d: %q in %v %v %v is %v nm and must be refused", seed, text, u, z, d, want)
			}
			continue
		}
		if !ok || want.Cmp(big.NewInt(got)) != 0 {
			t.Fatalf("seed %d: %q in %v %v %v: got %d %v, want %v nm", seed, text, u, z, d, got, ok, want)
		}
	}
	if refused == 0 {
		t.Error("no number was large enough to be refused")
	}
}

// TestParseNumberStops lists what is and is not a number.
func TestParseNumberStops(t *testing.T) {
	for _, c := range []struct {
		text string
		end  int
		ok   bool
	}{
		{"", 0, false}, {"-", 1, false}, {".", 1, false}, {"+.", 2, false}, {"--1", 1, false}, {"Y1", 0, false},
		{"1", 1, true}, {"1.", 2, true}, {".5", 2, true}, {"-.5", 3, true}, {"+007", 4, true}, {"1.2.3", 3, true}, {"1Y2", 1, true}, {" \t4", 3, true},
		{strings.Repeat("9", 18), 18, true}, {strings.Repeat("9", 19), 19, false}, {"." + strings.Repeat("0", 300), 301, false},
	} {
		_, end, ok := parseNumber([]byte(c.text), 0)
		if got, want := fmt.Sprint(end, ok), fmt.Sprint(c.end, c.ok); got != want {
			t.Errorf("%q: got %s, want %s", c.text, got, want)
		}
	}
}

// TestWriterNumbers writes whole last digits in every form and reads them back.
func TestWriterNumbers(t *testing.T) {
	for seed := range uint64(5000) {
		rng := rand.New(rand.NewPCG(seed, 13))
		o := WriteOptions{Units: Units(1 + rng.IntN(2)), Zeros: Zeros(1 + rng.IntN(3)), Digits: Digits{1 + rng.IntN(6), 1 + rng.IntN(6)}}
		w, err := newWriter(nil, o)
		if err != nil {
			t.Fatal(err)
		}
		most := w.largest
		if most == 0 || most > 300_000_000 {
			most = 300_000_000
		}
		v := rng.Int64N(2*most+1) - most
		if rng.IntN(4) == 0 {
			v %= 200
		}
		text := w.number(nil, v)
		n, end, ok := parseNumber(text, 0)
		if !ok || end != len(text) {
			t.Fatalf("seed %d: %q is not read", seed, text)
		}
		sc := newScale(w.o.Units, w.o.Zeros, w.o.Digits)
		nano, ok := sc.nano(n)
		if _, fits := w.back.apply(uint64(max(v, -v))); ok != fits || ok && w.digits(nano) != v {
			t.Fatalf("seed %d: %d in %v %v %v is written %q and read %d nm", seed, v, w.o.Units, w.o.Zeros, w.o.Digits, text, nano)
		}
	}
}

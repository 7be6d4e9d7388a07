package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

func lifeRow(d, depth, life float64) tooling.LifeRow {
	return tooling.LifeRow{Material: "m", Kind: tooling.Bit, Diameter: d, Depth: depth, Life: life}
}

func TestLifeAt(t *testing.T) {
	fall := tooling.Fall{Factor: 0.85, Step: 1.6}
	rows := []tooling.LifeRow{lifeRow(1, 3.2, 3000), lifeRow(1, 6.4, 2000), lifeRow(0.5, 3.2, 1000)}
	filled := tooling.LifeFactors{Materials: []tooling.MaterialFactor{{Material: "filled", Like: "m", Factor: 0.7}}}
	for _, row := range []struct {
		name, reason    string
		fall            tooling.Fall
		material        string
		kind            tooling.ToolKind
		diameter, depth float64
		want            float64
		err             error
	}{
		{"shallow", "up to the first row its life", fall, "m", tooling.Bit, 1, 1.6, 3000, nil},
		{"on a row", "the row's own", fall, "m", tooling.Bit, 1, 6.4, 2000, nil},
		{"between depths", "linear", fall, "m", tooling.Bit, 1, 4.8, 2500, nil},
		{"between diameters", "linear", fall, "m", tooling.Bit, 0.75, 3.2, 2000, nil},
		{"past the last", "2000 x 6.4/8 x 0.85", fall, "m", tooling.Bit, 1, 8.0, 1360, nil},
		{"rounded down", "1000 x 3.2/4 x 0.85^0.5 is 737.56", fall, "m", tooling.Bit, 0.5, 4.0, 737, nil},
		{"slot bit", "uses the rows of bits", fall, "m", tooling.SlotBit, 1, 3.2, 3000, nil},
		{"like another", "70 % of its rows", fall, "filled", tooling.Bit, 1, 3.2, 2100, nil},
		{"slot bit like another", "70 % of the rows of bits", fall, "filled", tooling.SlotBit, 1, 3.2, 2100, nil},
		{"no fall", "nothing is extrapolated silently", tooling.Fall{}, "m", tooling.Bit, 1, 6.5, 0, tooling.ErrNoRow},
		{"no fall, upper diameter", "either neighbour may end", tooling.Fall{}, "m", tooling.Bit, 0.9, 6.5, 0, tooling.ErrNoRow},
		{"no fall, lower diameter", "either neighbour may end", tooling.Fall{}, "m", tooling.Bit, 0.6, 3.3, 0, tooling.ErrNoRow},
		{"thin", "outside the diameters", fall, "m", tooling.Bit, 0.4, 3.2, 0, tooling.ErrNoRow},
		{"other material", "no rows", fall, "PTFE", tooling.Bit, 1, 3.2, 0, tooling.ErrNoRow},
		{"other kind", "no rows", fall, "m", tooling.Cutter, 1, 3.2, 0, tooling.ErrNoRow},
		{"worn out", "not one hit left", fall, "m", tooling.Bit, 1, 100, 0, tooling.ErrDepth},
		{"NaN depth", "refused", fall, "m", tooling.Bit, 1, math.NaN(), 0, tooling.ErrValue},
		{"1e300 depth", "refused", fall, "m", tooling.Bit, 1, 1e300, 0, tooling.ErrValue},
		{"negative depth", "refused", fall, "m", tooling.Bit, 1, -1, 0, tooling.ErrValue},
		{"NaN diameter", "refused", fall, "m", tooling.Bit, math.NaN(), 1, 0, tooling.ErrNoRow},
	} {
		t.Run(row.name, func(t *testing.T) {
			table := tooling.LifeTable{Rows: rows, Fall: row.fall, Factors: filled}
			got, err := table.At(row.material, row.kind, row.diameter, row.depth)
			if !errors.Is(err, row.err) {
				t.Fatalf("%s: got error %v, want %v", row.reason, err, row.err)
			}
			if got != row.want {
				t.Errorf("%s: got %v, want %v", row.reason, got, row.want)
			}
		})
	}
}

// Random tables that Validate accepts: more depth never means more life, for
// any diameter inside them.
func TestLifeMonotoneInDepth(t *testing.T) {
	const seed = 11
	rng := rand.New(rand.NewPCG(seed, 2))
	for i := range 200 {
		table := tooling.LifeTable{Fall: tooling.Fall{Factor: 0.5 + 0.5*rng.Float64(), Step: 0.5 + 2*rng.Float64()}}
		for d := 0.2; d < 2; d += 0.3 {
			depth, life := 0.5+rng.Float64(), 5000*rng.Float64()+500
			for range 1 + rng.IntN(4) {
				table.Rows = append(table.Rows, lifeRow(d, depth, life))
				depth += 0.1 + 2*rng.Float64()
				life *= 0.3 + 0.7*rng.Float64()
			}
		}
		rng.Shuffle(len(table.Rows), func(a, b int) { table.Rows[a], table.Rows[b] = table.Rows[b], table.Rows[a] })
		if err := (tooling.Rules{Life: table}).Validate(); errors.Is(err, tooling.ErrConflict) {
			t.Fatalf("seed %d, table %d: %v", seed, i, err)
		}
		diameter := 0.2 + 1.5*rng.Float64()
		last := math.Inf(1)
		for depth := 0.1; depth < 12; depth += 0.05 {
			life, err := table.At("m", tooling.Bit, diameter, depth)
			if errors.Is(err, tooling.ErrDepth) {
				life = 0
			} else if err != nil {
				t.Fatalf("seed %d, table %d: %v", seed, i, err)
			}
			if life > last {
				t.Fatalf("seed %d, table %d, %.3f mm: %v at %.2f mm depth after %v", seed, i, diameter, life, depth, last)
			}
			last = life
		}
	}
}

func TestLives(t *testing.T) {
	table := tooling.LifeTable{
		Rows:    []tooling.LifeRow{lifeRow(1, 3.2, 1000)},
		Factors: tooling.DefaultLifeFactors(),
	}
	bit := tooling.Tool{Kind: tooling.Bit, Diameter: 1, Repoints: 2}
	for _, row := range []struct {
		name, reason string
		laminate     tooling.Laminate
		tool         tooling.Tool
		want         []float64
		err          error
	}{
		{"ordinary", "15 % off a repoint", tooling.Laminate{Material: "m"}, bit, []float64{1000, 850, 722}, nil},
		{"light copper", "below the threshold", tooling.Laminate{Material: "m", Copper: 70, Layers: 10}, bit, []float64{1000, 850, 722}, nil},
		{"heavy copper", "half", tooling.Laminate{Material: "m", Copper: 105}, bit, []float64{500, 425, 361}, nil},
		{"many layers", "half", tooling.Laminate{Material: "m", Layers: 11}, bit, []float64{500, 425, 361}, nil},
		{"both", "the harder counts, not the product", tooling.Laminate{Material: "m", Copper: 140, Layers: 20}, bit, []float64{500, 425, 361}, nil},
		{"no repoint", "one life", tooling.Laminate{Material: "m"}, tooling.Tool{Kind: tooling.Bit, Diameter: 1}, []float64{1000}, nil},
		{"no row", "refused", tooling.Laminate{Material: "x"}, bit, nil, tooling.ErrNoRow},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := table.Lives(row.laminate, row.tool, 3.2)
			if !errors.Is(err, row.err) {
				t.Fatalf("%s: got %v, want %v", row.reason, err, row.err)
			}
			if diff := cmp.Diff(row.want, got); diff != "" {
				t.Errorf("%s (-want +got):\n%s", row.reason, diff)
			}
		})
	}
	// Nearly worn out: repoints that leave no hit end the list. Without a
	// repoint factor every life is the first one's.
	short := tooling.LifeTable{Rows: []tooling.LifeRow{lifeRow(1, 3.2, 2)}, Factors: tooling.LifeFactors{Repoint: 0.6}}
	if got, err := short.Lives(tooling.Laminate{Material: "m"}, bit, 3.2); err != nil || !cmp.Equal(got, []float64{2, 1}) {
		t.Errorf("worn out: got %v, %v", got, err)
	}
	short.Factors = tooling.LifeFactors{}
	if got, err := short.Lives(tooling.Laminate{Material: "m"}, bit, 3.2); err != nil || !cmp.Equal(got, []float64{2, 2, 2}) {
		t.Errorf("no factor: got %v, %v", got, err)
	}
}

func TestTaylorRefuses(t *testing.T) {
	for _, row := range []struct {
		name   string
		v1     float64
		t1     time.Duration
		v2     float64
		t2     time.Duration
		err    error
		reason string
	}{
		{"more life when faster", 160, time.Hour, 100, time.Minute, tooling.ErrConflict, "contradicts the law"},
		{"steeper than speed", 160, 4 * time.Minute, 100, 5 * time.Minute, tooling.ErrConflict, "n above 1"},
		{"same twice", 160, time.Minute, 160, time.Minute, tooling.ErrConflict, "one point is no line"},
		{"NaN", math.NaN(), time.Minute, 160, time.Minute, tooling.ErrValue, "refused"},
		{"no time", 100, 0, 160, time.Minute, tooling.ErrValue, "refused"},
	} {
		if _, err := tooling.FitTaylor(row.v1, row.t1, row.v2, row.t2); !errors.Is(err, row.err) {
			t.Errorf("%s (%s): got %v, want %v", row.name, row.reason, err, row.err)
		}
	}
	law := tooling.Taylor{N: 0.25, C: 200}
	if err := law.Validate(); err != nil {
		t.Error(err)
	}
	for name, got := range map[string]float64{
		"no speed": law.Life(0).Seconds(), "NaN speed": law.Life(math.NaN()).Seconds(), "no life": law.Speed(0), "no depth": law.Hits(100, 1000, 0),
		"no infeed": law.Hits(100, 0, 1), "no ratio": law.Scale(0), "NaN ratio": law.Scale(math.NaN()),
	} {
		if got != 0 {
			t.Errorf("%s: got %v, want 0", name, got)
		}
	}
	if got := law.Scale(1); got != 1 {
		t.Errorf("at the measured speed: got %v, want 1", got)
	}
}

// Scale agrees with the law itself: hits at a speed over hits at another, the
// infeed following the speed.
func TestTaylorScale(t *testing.T) {
	law := tooling.Taylor{N: 0.25, C: 400}
	base := law.Life(100).Minutes() * 1000 / 3.2
	fast := law.Life(120).Minutes() * 1200 / 3.2
	if got, want := law.Scale(1.2), fast/base; math.Abs(got-want) > 1e-9 {
		t.Errorf("got %v, want %v", got, want)
	}
	if got := law.Hits(100, 1000, 3.2); got != math.Floor(base) {
		t.Errorf("got %v hits, want %v", got, math.Floor(base))
	}
}

func ExampleLifeTable_At() {
	life := tooling.DefaultLife()
	for _, panels := range []float64{2, 3, 4} {
		hits, err := life.At(tooling.FR4, tooling.Bit, 0.30, panels*1.6)
		fmt.Println(panels, hits, err)
	}
	// Output:
	// 2 1500 <nil>
	// 3 850 <nil>
	// 4 541 <nil>
}

func ExampleLifeTable_Lives() {
	panel := tooling.Laminate{Material: tooling.FR4, Copper: 105}
	bit := tooling.Tool{Kind: tooling.Bit, Diameter: 1, Repoints: 3}
	lives, err := tooling.DefaultLife().Lives(panel, bit, 4.8)
	fmt.Println(lives, err)
	// Output: [1500 1275 1083 921] <nil>
}

func ExampleFitTaylor() {
	// A worked example of a manufacturing text (from memory).
	law, err := tooling.FitTaylor(160, 5*time.Minute, 100, 41*time.Minute)
	fmt.Printf("V T^%.3f = %.0f, %v\n", law.N, law.C, err)
	fmt.Printf("10 %% slower: %.2f times the hits\n", law.Scale(0.9))
	// Output:
	// V T^0.223 = 229, <nil>
	// 10 % slower: 1.44 times the hits
}

package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

func bits(diameters ...float64) tooling.Crib {
	c := tooling.Crib{Tools: []tooling.Tool{{ID: "C", Kind: tooling.Cutter, Diameter: 1}, {ID: "S", Kind: tooling.SlotBit, Diameter: 1}}}
	for i, d := range diameters {
		c.Tools = append(c.Tools, tooling.Tool{ID: fmt.Sprintf("B%d", i), Kind: tooling.Bit, Diameter: d, Flute: 10, Price: 1})
	}
	return c
}

func ids(tools []tooling.Tool) []string {
	var out []string
	for _, t := range tools {
		out = append(out, t.ID)
	}
	return out
}

func TestChoose(t *testing.T) {
	plated := func(d float64, c tooling.Class) tooling.Size {
		return tooling.Size{Diameter: d, Basis: tooling.Finished, Class: c, Plated: true}
	}
	drilled := func(d float64, p bool) tooling.Size {
		return tooling.Size{Diameter: d, Basis: tooling.Drilled, Plated: p}
	}
	for _, row := range []struct {
		name, reason string
		crib         tooling.Crib
		sizes        []tooling.Size
		share        bool
		places       int
		want         []string
		err          error
		path         string
	}{
		{"allowance", "component 1.00 asks for 1.15, a via for 1.10", bits(1.0, 1.1, 1.15), []tooling.Size{plated(1, tooling.Component), plated(1, tooling.Via)}, false, 0, []string{"B2", "B1"}, nil, ""},
		{"drilled", "no allowance twice", bits(1.0, 1.15), []tooling.Size{drilled(1, true)}, false, 0, []string{"B0"}, nil, ""},
		{"unplated", "no allowance", bits(1.0, 1.15), []tooling.Size{{Diameter: 1}}, false, 0, []string{"B0"}, nil, ""},
		{"tie plated", "the larger of two as near", bits(1.0, 1.1), []tooling.Size{drilled(1.05, true)}, false, 0, []string{"B1"}, nil, ""},
		{"tie unplated", "the smaller of two as near", bits(1.1, 1.0), []tooling.Size{drilled(1.05, false)}, false, 0, []string{"B1"}, nil, ""},
		{"same diameter", "the earlier in the crib", bits(1.0, 1.0), []tooling.Size{drilled(1, true)}, false, 0, []string{"B0"}, nil, ""},
		{"nearest is outside", "a via is open below: 0.3 will do where 0.7 is too wide", bits(0.3, 0.7), []tooling.Size{plated(0.45, tooling.Via)}, false, 0, []string{"B0"}, nil, ""},
		{"own tolerance", "wider than its class", bits(1.3), []tooling.Size{{Diameter: 1, Plus: 0.3}}, false, 0, []string{"B0"}, nil, ""},
		{"out of tolerance", "0.2 off", bits(1.2), []tooling.Size{{Diameter: 1}}, false, 0, nil, tooling.ErrNoTool, "sizes[0]"},
		{"press-fit is tight", "0.06 off", bits(1.21), []tooling.Size{plated(1, tooling.PressFit)}, false, 0, nil, tooling.ErrNoTool, "sizes[0]"},
		{"no bits", "cutters and slot bits are not chosen", bits(), []tooling.Size{{Diameter: 1}}, false, 0, nil, tooling.ErrNoTool, "sizes[0]"},
		{"places", "two tools in one place", bits(1, 2), []tooling.Size{{Diameter: 1}, {Diameter: 2}}, false, 1, nil, tooling.ErrPlaces, "sizes"},
		{"places suffice", "the same tool twice is one", bits(1, 2), []tooling.Size{{Diameter: 1}, {Diameter: 1}}, false, 1, []string{"B0", "B0"}, nil, ""},
		{"NaN", "refused where it enters", bits(1), []tooling.Size{{Diameter: math.NaN()}}, false, 0, nil, tooling.ErrValue, "sizes[0].diameter_mm"},
		{"1e300", "refused where it enters", bits(1), []tooling.Size{{Diameter: 1}, {Diameter: 1e300}}, false, 0, nil, tooling.ErrValue, "sizes[1].diameter_mm"},
		{"class", "unknown", bits(1), []tooling.Size{{Diameter: 1, Class: "snug"}}, false, 0, nil, tooling.ErrValue, "sizes[0].class"},
		{"basis", "unknown", bits(1), []tooling.Size{{Diameter: 1, Basis: "guessed"}}, false, 0, nil, tooling.ErrValue, "sizes[0].basis"},
		{"not asked", "sizes keep their own bits", bits(1, 1.03), []tooling.Size{{Diameter: 1}, {Diameter: 1.03}}, false, 0, []string{"B0", "B1"}, nil, ""},
		{"share", "0.03 is inside 0.08 less 0.05", bits(1, 1.03), []tooling.Size{{Diameter: 1}, {Diameter: 1.03}}, true, 0, []string{"B0", "B0"}, nil, ""},
		{"share too far", "0.04 is not", bits(1, 1.04), []tooling.Size{{Diameter: 1}, {Diameter: 1.04}}, true, 0, []string{"B0", "B1"}, nil, ""},
		{"share keeps the nearer", "1.03 has its own bit in use: no need for another's", bits(1, 1.03), []tooling.Size{{Diameter: 1}, {Diameter: 1.03, Minus: 0.05, Plus: 0.05}, {Diameter: 1.03}}, true, 0, []string{"B0", "B1", "B1"}, nil, ""},
		{"never plated with unplated", "1.15 plated is 1.00 finished", bits(1.15, 1.16), []tooling.Size{plated(1, tooling.Component), {Diameter: 1.16}}, true, 0, []string{"B0", "B1"}, nil, ""},
		{"never press-fit", "neither gives nor takes", bits(1.15, 1.16), []tooling.Size{plated(1, tooling.PressFit), plated(1.01, tooling.Component)}, true, 0, []string{"B0", "B1"}, nil, ""},
		{"via open below does not fall", "all vias would end on the smallest bit", bits(0.3, 0.6), []tooling.Size{plated(0.2, tooling.Via), plated(0.5, tooling.Via)}, true, 0, []string{"B0", "B1"}, nil, ""},
		{"vias share as components do", "0.05 is 0.10 less 0.05", bits(0.5, 0.55), []tooling.Size{plated(0.4, tooling.Via), plated(0.45, tooling.Via)}, true, 0, []string{"B0", "B0"}, nil, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			rules := tooling.DefaultRules()
			rules.ShareBits = row.share
			got, err := row.crib.Choose(row.sizes, rules, row.places)
			if !errors.Is(err, row.err) {
				t.Fatalf("%s: got %v, want %v", row.reason, err, row.err)
			}
			var e *tooling.InputError
			if row.err != nil && (!errors.As(err, &e) || e.Source.Path != row.path) {
				t.Errorf("%s: got path of %v, want %s", row.reason, err, row.path)
			}
			if diff := cmp.Diff(row.want, ids(got)); diff != "" {
				t.Errorf("%s (-want +got):\n%s", row.reason, diff)
			}
		})
	}
}

func randomSizes(rng *rand.Rand, n int) []tooling.Size {
	classes := []tooling.Class{"", tooling.Via, tooling.Component, tooling.PressFit, tooling.Mechanical}
	sizes := make([]tooling.Size, n)
	for i := range sizes {
		sizes[i] = tooling.Size{
			Diameter: math.Round((0.2+3*rng.Float64())*100) / 100, Basis: tooling.Finished, Class: classes[rng.IntN(len(classes))], Plated: rng.IntN(2) == 0,
		}
		if rng.IntN(4) == 0 {
			sizes[i].Basis = tooling.Drilled
		}
		if rng.IntN(4) == 0 {
			sizes[i].Minus, sizes[i].Plus = 0.2*rng.Float64(), 0.2*rng.Float64()
		}
	}
	return sizes
}

// Brute force over the crib, written from the trade's rule alone: the nearest
// bit inside the tolerance.
func TestChooseNearest(t *testing.T) {
	const seed = 3
	rng := rand.New(rand.NewPCG(seed, 4))
	crib, rules := tooling.DefaultCrib(), tooling.DefaultRules()
	rng.Shuffle(len(crib.Tools), func(a, b int) { crib.Tools[a], crib.Tools[b] = crib.Tools[b], crib.Tools[a] })
	add := func(s tooling.Size) float64 {
		switch {
		case s.Basis == tooling.Drilled || !s.Plated:
			return 0
		case s.Class == tooling.Via:
			return 0.10
		}
		return 0.15
	}
	nm := func(mm float64) int { return int(math.Round(mm * 1e6)) }
	none := 0
	for i, s := range randomSizes(rng, 4000) {
		minus, plus := s.Tolerance()
		best := math.MaxInt
		for _, b := range crib.Tools {
			finished := nm(b.Diameter - add(s))
			if b.Kind != tooling.Bit || finished < nm(s.Diameter-minus) || finished > nm(s.Diameter+plus) {
				continue
			}
			best = min(best, max(nm(b.Diameter-s.Diameter-add(s)), -nm(b.Diameter-s.Diameter-add(s))))
		}
		got, err := crib.Choose([]tooling.Size{s}, rules, 0)
		if best == math.MaxInt {
			none++
			if !errors.Is(err, tooling.ErrNoTool) {
				t.Fatalf("seed %d, size %d %+v: got %v, %v, want no tool", seed, i, s, ids(got), err)
			}
			continue
		}
		if err != nil {
			t.Fatalf("seed %d, size %d %+v: %v", seed, i, s, err)
		}
		if off := nm(got[0].Diameter - s.Diameter - add(s)); max(off, -off) != best {
			t.Fatalf("seed %d, size %d %+v: %s is %d nm off, the nearest %d", seed, i, s, got[0].ID, off, best)
		}
	}
	if none == 0 || none > 2000 {
		t.Errorf("%d sizes without a bit: the test sees one side only", none)
	}
}

// Shared bits stay in tolerance, press-fit holes keep their own, no bit that
// was given up serves plated for unplated sizes, and there are never more
// tools than without.
func TestShareBits(t *testing.T) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, 6))
	crib := tooling.DefaultCrib()
	alone, shared := tooling.DefaultRules(), tooling.DefaultRules()
	shared.ShareBits = true
	saved, solved := 0, 0
	for i := range 400 {
		sizes := randomSizes(rng, 2+rng.IntN(12))
		own, err := crib.Choose(sizes, alone, 0)
		if errors.Is(err, tooling.ErrNoTool) {
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		got, err := crib.Choose(sizes, shared, 0)
		if err != nil {
			t.Fatalf("seed %d, case %d: %v", seed, i, err)
		}
		solved++
		for k, s := range sizes {
			if got[k].ID == own[k].ID {
				continue
			}
			if s.Class == tooling.PressFit {
				t.Fatalf("seed %d, case %d: press-fit size %d moved from %s to %s", seed, i, k, own[k].ID, got[k].ID)
			}
			minus, plus := s.Tolerance()
			finished := shared.Allowance.Result(s, got[k].Diameter)
			if finished < s.Diameter-minus+shared.Spread-1e-9 || finished > s.Diameter+plus-shared.Spread+1e-9 {
				t.Fatalf("seed %d, case %d: %+v shares %s and comes out at %v", seed, i, s, got[k].ID, finished)
			}
			partner := false
			for j, o := range sizes {
				partner = partner || j != k && o.Plated == s.Plated && o.Class != tooling.PressFit && got[j].ID == got[k].ID && own[j].ID == got[k].ID
			}
			if !partner {
				t.Fatalf("seed %d, case %d: size %d took %s, which no size of its plating had", seed, i, k, got[k].ID)
			}
		}
		before, after := count(own), count(got)
		if after > before {
			t.Fatalf("seed %d, case %d: %d tools became %d", seed, i, before, after)
		}
		saved += before - after
	}
	if saved == 0 || solved < 50 {
		t.Errorf("%d tools saved in %d cases: the test shows nothing", saved, solved)
	}
}

func count(tools []tooling.Tool) int {
	seen := map[string]bool{}
	for _, t := range tools {
		seen[t.ID] = true
	}
	return len(seen)
}

func TestChooseKeepsItsInput(t *testing.T) {
	crib, sizes, rules := tooling.DefaultCrib(), randomSizes(rand.New(rand.NewPCG(1, 1)), 5), tooling.DefaultRules()
	rules.ShareBits = true
	before := fmt.Sprint(crib, sizes, rules)
	if _, err := crib.Choose(sizes, rules, 3); err != nil {
		t.Log(err)
	}
	if fmt.Sprint(crib, sizes, rules) != before {
		t.Error("inputs were changed")
	}
}

func TestCribValidate(t *testing.T) {
	good := tooling.Tool{ID: "B", Kind: tooling.Bit, Diameter: 1, Flute: 10, Price: 1}
	with := func(change func(*tooling.Tool)) tooling.Tool {
		tool := good
		change(&tool)
		return tool
	}
	for _, row := range []struct {
		path string
		tool tooling.Tool
		want error
	}{
		{"tools[1].id", with(func(t *tooling.Tool) { t.ID = "" }), tooling.ErrMissing},
		{"tools[1].id", good, tooling.ErrDuplicate},
		{"tools[1].kind", with(func(t *tooling.Tool) { t.ID, t.Kind = "X", "drill" }), tooling.ErrValue},
		{"tools[1].diameter_mm", with(func(t *tooling.Tool) { t.ID, t.Diameter = "X", 0 }), tooling.ErrValue},
		{"tools[1].diameter_mm", with(func(t *tooling.Tool) { t.ID, t.Diameter = "X", math.NaN() }), tooling.ErrValue},
		{"tools[1].flute_mm", with(func(t *tooling.Tool) { t.ID, t.Flute = "X", -1 }), tooling.ErrValue},
		{"tools[1].point_deg", with(func(t *tooling.Tool) { t.ID, t.PointAngle = "X", 190 }), tooling.ErrValue},
		{"tools[1].min_rev_per_min", with(func(t *tooling.Tool) { t.ID, t.MinSpeed = "X", -1 }), tooling.ErrValue},
		{"tools[1].max_rev_per_min", with(func(t *tooling.Tool) { t.ID, t.MinSpeed, t.MaxSpeed = "X", 100, 50 }), tooling.ErrConflict},
		{"tools[1].price", with(func(t *tooling.Tool) { t.ID, t.Price = "X", 1e300 }), tooling.ErrValue},
		{"tools[1].repoint_price", with(func(t *tooling.Tool) { t.ID, t.RepointPrice = "X", math.Inf(1) }), tooling.ErrValue},
		{"tools[1].repoints", with(func(t *tooling.Tool) { t.ID, t.Repoints = "X", -1 }), tooling.ErrValue},
		{"tools[1].stock", with(func(t *tooling.Tool) { t.ID, t.Stock = "X", -1 }), tooling.ErrValue},
	} {
		err := tooling.Crib{Tools: []tooling.Tool{good, row.tool}}.Validate()
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.Path != row.path || !errors.Is(err, row.want) {
			t.Errorf("%s: got %v, want %v", row.path, err, row.want)
		}
	}
	if err := tooling.DefaultCrib().Validate(); err != nil {
		t.Errorf("default crib: %v", err)
	}
}

func ExampleCrib_Choose() {
	sizes := []tooling.Size{
		{Diameter: 0.20, Basis: tooling.Finished, Class: tooling.Via, Plated: true},
		{Diameter: 0.90, Basis: tooling.Finished, Class: tooling.Component, Plated: true},
		{Diameter: 3.20, Basis: tooling.Finished},
	}
	tools, err := tooling.DefaultCrib().Choose(sizes, tooling.DefaultRules(), 200)
	for i, t := range tools {
		fmt.Printf("%.2f finished: %s\n", sizes[i].Diameter, t.ID)
	}
	fmt.Println(err)
	// Output:
	// 0.20 finished: B0.30
	// 0.90 finished: B1.05
	// 3.20 finished: B3.20
	// <nil>
}

func ExampleAllowance_Target() {
	a := tooling.DefaultAllowance()
	hole := tooling.Size{Diameter: 1.0, Basis: tooling.Finished, Class: tooling.Component, Plated: true}
	fmt.Println(a.Target(hole), a.Result(hole, 1.20))
	// Output: 1.15 1.05
}

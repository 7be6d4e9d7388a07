package tooling_test

import (
	"encoding/json"
	"errors"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"example.org/pinstack/tooling"
)

// typed fails unless an error is one of the package's.
func typed(t *testing.T, err error) {
	t.Helper()
	var e *tooling.InputError
	if err != nil && !errors.As(err, &e) {
		t.Fatalf("untyped error %T: %v", err, err)
	}
}

// again writes an accepted value and reads it back: the same value.
func again[V any](t *testing.T, v V, load func([]byte, string) (V, error)) {
	t.Helper()
	src, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	got, err := load(src, "again.json")
	if err != nil {
		t.Fatalf("%s: %v", src, err)
	}
	if diff := cmp.Diff(v, got, cmpopts.EquateEmpty()); diff != "" {
		t.Fatalf("(-want +got):\n%s", diff)
	}
}

func FuzzDecode(f *testing.F) {
	for _, s := range []string{`{"inner": 1, "raw": [{"a": null}], "named": {"x": 1}}`, `{"ptr": 1e300`, `{"small": 300}`, `{"Plain": "x", "Plain": "y"}`, `[]`, `{"quoted": "7"}`, "{\"Plain\": \"\xff\"}"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		var dst anything
		err := tooling.Decode(src, "f.json", &dst)
		typed(t, err)
		// What the strict reader takes the plain one takes too, to the same value.
		var plain anything
		if err == nil {
			if err := json.Unmarshal(src, &plain); err != nil {
				t.Fatalf("strict took %q, plain did not: %v", src, err)
			}
			if diff := cmp.Diff(plain, dst); diff != "" {
				t.Fatal(diff)
			}
		}
	})
}

func FuzzLoadCrib(f *testing.F) {
	f.Add([]byte(`{"tools": [` + goodTool + `]}`))
	f.Add([]byte(`{"tools": [` + goodTool + `,` + goodTool + `]}`))
	f.Add([]byte(`{"tools": [{"diameter_mm": 1e300}]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		c, err := tooling.LoadCrib(src, "crib.json")
		typed(t, err)
		if err == nil {
			again(t, c, tooling.LoadCrib)
			_, err := c.Choose([]tooling.Size{{Diameter: 1}}, tooling.DefaultRules(), 1)
			typed(t, err)
		}
	})
}

func FuzzLoadRules(f *testing.F) {
	f.Add([]byte(`{}`))
	f.Add([]byte(`{"life": {"rows": [], "fall": {"factor": 0.5}}, "feeds": null}`))
	f.Add([]byte(`{"stack": {"backup_mm": 1}, "tabs": {"perforated": false}, "rout": {"direction": "climb"}}`))
	f.Add([]byte(`{"life": {"rows": [{"material": "FR-4", "kind": "bit", "diameter_mm": 1, "depth_mm": 3.2, "life": 800}]}, "feeds": {"rows": [{"material": "FR-4", "kind": "bit", "diameter_mm": 1, "surface_m_per_min": 150, "chip_load_mm": 0.05, "retract_mm_per_min": 20000}]}}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		r, err := tooling.LoadRules(src, "rules.json")
		typed(t, err)
		if err == nil {
			again(t, r, tooling.LoadRules)
			_, err := r.Feed(tooling.Tool{Kind: tooling.Bit, Diameter: 1}, tooling.FR4, tooling.SpeedLimits{Max: 1e5})
			typed(t, err)
			_, err = r.Life.At(tooling.FR4, tooling.Bit, 1, 8)
			typed(t, err)
			_, err = r.Stack.Drill(tooling.Tool{Kind: tooling.Bit, Diameter: 1, Flute: 10}, 2, 1.6)
			typed(t, err)
		}
	})
}

func FuzzLoadPanel(f *testing.F) {
	f.Add([]byte(`{"width_mm": 300, "height_mm": 200, "thickness_mm": 1.6, "material": "FR-4", "features": [{"role": "pin", "at_mm": [5, 100], "diameter_mm": 3.175}]}`))
	f.Add([]byte(`{"width_mm": 300, "scores": [[[0, 1], [300, 1]]], "keep_outs": [{"min_mm": [1]}]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := tooling.LoadPanel(src, "panel.json")
		typed(t, err)
		if err == nil {
			again(t, p, tooling.LoadPanel)
			p.Pins(1)
		}
	})
}

func FuzzLoadLifeCSV(f *testing.F) {
	f.Add([]byte("material,kind,diameter_mm,depth_mm,life\nFR-4,bit,1,3.2,800\n"))
	f.Add([]byte("life,kind\n1,\"b\nit\"\n"))
	f.Add([]byte("material\n\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		table, err := tooling.LoadLifeCSV(src, "life.csv")
		typed(t, err)
		if err == nil {
			back, err := tooling.LoadLifeCSV(table.CSV(), "again.csv")
			if err != nil {
				t.Fatalf("%q: %v", table.CSV(), err)
			}
			if diff := cmp.Diff(table, back); diff != "" {
				t.Fatal(diff)
			}
		}
	})
}

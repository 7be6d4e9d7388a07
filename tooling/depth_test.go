package tooling_test

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

func TestDrillDepth(t *testing.T) {
	rules := tooling.DefaultRules().Stack
	bit := func(d, flute float64) tooling.Tool {
		return tooling.Tool{ID: "B", Kind: tooling.Bit, Diameter: d, Flute: flute}
	}
	for _, row := range []struct {
		name, reason string
		tool         tooling.Tool
		height       int
		thickness    float64
		want         tooling.Depth
		err          error
		says         string
	}{
		{"two high", "0.15 + 3.2 + 0.27", bit(0.3, 5), 2, 1.6, tooling.Depth{IntoBackup: 0.27, AboveTable: 2.23, Stack: 3.2, Down: 3.62, Clearance: 1.5, Pecks: 1}, nil, ""},
		{"least depth", "a flat point still goes 0.25 in", tooling.Tool{Kind: tooling.Bit, Diameter: 1, Flute: 10, PointAngle: 180}, 1, 1.6, tooling.Depth{IntoBackup: 0.25, AboveTable: 2.25, Stack: 1.6, Down: 2.0, Clearance: 1.5, Pecks: 1}, nil, ""},
		{"on the limit", "4.8 / 0.4 is 12: one stroke", bit(0.4, 6.5), 3, 1.6, tooling.Depth{IntoBackup: 0.294, AboveTable: 2.206, Stack: 4.8, Down: 5.244, Clearance: 1.5, Pecks: 1}, nil, ""},
		{"pecked", "12.8 diameters", bit(0.25, 5), 2, 1.6, tooling.Depth{IntoBackup: 0.259, AboveTable: 2.241, Stack: 3.2, Down: 3.609, Clearance: 1.5, Pecks: 2}, nil, ""},
		{"too slender", "16 diameters", bit(0.1, 5), 1, 1.6, tooling.Depth{}, tooling.ErrDepth, "12 in one stroke, 15 pecked"},
		{"short flute", "chips could not leave", bit(1, 5), 3, 1.6, tooling.Depth{}, tooling.ErrDepth, "flute of 5.00 mm less 1.00 mm"},
		{"through the backup", "0.5 must be left", tooling.Tool{Kind: tooling.Bit, Diameter: 6.5, Flute: 50, PointAngle: 60}, 1, 1.6, tooling.Depth{}, tooling.ErrDepth, "0.50 mm left"},
		{"no panel", "height 0", bit(1, 10), 0, 1.6, tooling.Depth{}, tooling.ErrValue, "at least one panel"},
		{"NaN panel", "refused", bit(1, 10), 1, math.NaN(), tooling.Depth{}, tooling.ErrValue, "at least one panel"},
		{"1e300 panel", "refused", bit(1, 10), 1, 1e300, tooling.Depth{}, tooling.ErrValue, "at least one panel"},
		{"NaN bit", "refused", bit(math.NaN(), 10), 1, 1.6, tooling.Depth{}, tooling.ErrDepth, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			got, err := rules.Drill(row.tool, row.height, row.thickness)
			if !errors.Is(err, row.err) {
				t.Fatalf("%s: got %v, want %v", row.reason, err, row.err)
			}
			if err != nil && !strings.Contains(err.Error(), row.says) {
				t.Errorf("%s: got %v, want it to say %q", row.reason, err, row.says)
			}
			if diff := cmp.Diff(row.want, got); diff != "" {
				t.Errorf("%s (-want +got):\n%s", row.reason, diff)
			}
		})
	}
}

func TestRoutDepth(t *testing.T) {
	r := tooling.DefaultRules()
	cutter := tooling.Tool{ID: "C", Kind: tooling.Cutter, Diameter: 2.4, Flute: 9.5}
	got, err := r.Stack.Rout(cutter, r.Rout, 4, 1.6)
	want := tooling.Depth{IntoBackup: 0.7, AboveTable: 1.8, Stack: 6.4, Down: 7.25, Clearance: 1.5, Pecks: 1}
	if diff := cmp.Diff(want, got); diff != "" || err != nil {
		t.Errorf("(-want +got):\n%s%v", diff, err)
	}
	if _, err := r.Stack.Rout(cutter, r.Rout, 6, 1.6); !errors.Is(err, tooling.ErrDepth) {
		t.Errorf("short flute: got %v", err)
	}
	if _, err := r.Stack.Rout(cutter, r.Rout, 0, 1.6); !errors.Is(err, tooling.ErrValue) {
		t.Errorf("no panel: got %v", err)
	}
	if got := want.Travel(); got != 8.75 {
		t.Errorf("from the clearance: got %v mm, want 8.75", got)
	}
	if cutter.PointLength() != 0 || cutter.Point() != 180 {
		t.Errorf("a cutter's end is flat: got %v mm, %v deg", cutter.PointLength(), cutter.Point())
	}
	deep := r.Rout
	deep.Depth = 2.2
	if _, err := r.Stack.Rout(cutter, deep, 1, 1.6); !errors.Is(err, tooling.ErrDepth) {
		t.Errorf("through the backup: got %v", err)
	}
}

// A stack that can be drilled can be drilled one panel lower, and every
// accepted depth keeps the rules, computed here from the trade's formulas.
func TestDrillDepthRules(t *testing.T) {
	rules := tooling.DefaultRules().Stack
	accepted := 0
	for _, tool := range tooling.DefaultCrib().Tools {
		if tool.Kind != tooling.Bit {
			continue
		}
		fits := true
		for height := 1; height <= 12; height++ {
			for _, thickness := range []float64{0.4, 0.8, 1.0, 1.6, 2.4, 3.2} {
				d, err := rules.Drill(tool, height, thickness)
				if thickness == 1.6 {
					if err == nil && !fits {
						t.Errorf("%s: %d high fits, %d did not", tool.ID, height, height-1)
					}
					fits = err == nil
				}
				if err != nil {
					continue
				}
				accepted++
				stack := float64(height) * thickness
				angle := 130.0
				if tool.Diameter >= 3.2 {
					angle = 165
				}
				penetration := max(0.25, tool.Diameter/2/math.Tan(angle/2*math.Pi/180)+0.20)
				down := 0.15 + stack + penetration
				// Depths are planned up to the next um, the grid of programs.
				if d.Down < down-1e-9 || d.Down > down+0.001 || down > tool.Flute-max(0.5, tool.Diameter)+2e-6 || 2.5-penetration < 0.5 || stack/tool.Diameter > 15+1e-9 {
					t.Errorf("%s, %d x %v mm: %+v breaks a rule (down %v, flute %v)", tool.ID, height, thickness, d, down, tool.Flute)
				}
				if pecked := stack/tool.Diameter > 12+1e-9; pecked != (d.Pecks == 2) {
					t.Errorf("%s, %d x %v mm: %d pecks at %.1f diameters", tool.ID, height, thickness, d.Pecks, stack/tool.Diameter)
				}
			}
		}
	}
	if accepted < 300 {
		t.Errorf("only %d stacks accepted", accepted)
	}
}

func ExampleStackRules_Drill() {
	rules := tooling.DefaultRules().Stack
	bit := tooling.Tool{ID: "B0.30", Kind: tooling.Bit, Diameter: 0.30, Flute: 5}
	d, err := rules.Drill(bit, 2, 1.6)
	fmt.Printf("%.2f mm into the backup, %.2f mm over the table, %d stroke, %v\n", d.IntoBackup, d.AboveTable, d.Pecks, err)
	_, err = rules.Drill(bit, 3, 1.6)
	fmt.Println(err)
	// Output:
	// 0.27 mm into the backup, 2.23 mm over the table, 1 stroke, <nil>
	// B0.30: tooling: the stack is too deep for the tool: found 5.22 mm down at 3 high, expected at most the flute of 5.00 mm less 0.50 mm for chips
}

func ExampleStackRules_Rout() {
	r := tooling.DefaultRules()
	cutter := tooling.Tool{ID: "C2.400", Kind: tooling.Cutter, Diameter: 2.4, Flute: 9.5}
	d, err := r.Stack.Rout(cutter, r.Rout, 3, 1.6)
	fmt.Printf("%.2f mm down, %v\n", d.Down, err)
	// Output: 5.65 mm down, <nil>
}

package route_test

import (
	"errors"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

const head = "M48\nMETRIC\nT1C1.0\n%\nG90\nT1\n"

func read(t *testing.T, src string) ([]contour.Contour, error) {
	t.Helper()
	p, err := nc.Parse([]byte(src), nc.ReadOptions{File: "edge.rou"})
	if err != nil {
		return nil, err
	}
	got, _, err := route.Read(p, "edge.rou")
	return got, err
}

func TestRead(t *testing.T) {
	round := "G00X3.0Y0\nM15\nG01X57.0\nG03X60.0Y3.0A3.0\nG01Y37.0\nG03X57.0Y40.0A3.0\nG01X3.0\nG03X0Y37.0A3.0\nG01Y3.0\nG03X3.0Y0A3.0\nM16\n"
	tests := []struct {
		name, reason string
		src          string
		want         []contour.Contour
	}{
		{"rounded rectangle", "true arcs stay arcs", head + round + "M30\n", []contour.Contour{rounded(60, 40, 3)}},
		{"two outlines", "in the order of the file", head + round + "G00X100.0Y0\nM15\nG01X110.0\nG01Y10.0\nG01X100.0Y0\nM16\nM30\n",
			[]contour.Contour{rounded(60, 40, 3), contour.FromRing(orb.Ring{{100, 0}, {110, 0}, {110, 10}, {100, 0}})}},
		{"in pieces", "ends that meet are joined, one of them run backwards",
			head + "G00X0Y0\nM15\nG01X10.0\nM16\nG00X0Y10.0\nM15\nG01X10.0Y10.0\nG01X10.0Y0\nM16\nG00X0Y10.0\nM15\nG01X0Y0\nM16\nM30\n",
			[]contour.Contour{contour.FromRing(orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 10}, {0, 0}})}},
		{"ends 4 um apart", "within 5 um they are one corner",
			head + "G00X0Y0\nM15\nG01X10.0\nG01X10.0Y10.0\nG01X0.004Y0\nM16\nM30\n",
			[]contour.Contour{contour.FromRing(orb.Ring{{0, 0}, {10, 0}, {10, 10}, {0, 0}})}},
		{"an arc that ends 4 um off", "the arc is led to the corner, its centre moves",
			head + "G00X0Y0\nM15\nG01X10.0\nG03X0.004Y0A4.999\nM16\nM30\n", nil},
		{"compensation off", "G40 says that the moves are the edge", head + "G40\n" + round + "M30\n", []contour.Contour{rounded(60, 40, 3)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := read(t, tt.src)
			if err != nil {
				t.Fatal(err)
			}
			if tt.want == nil {
				if len(got) != 1 || !got[0].Closed() || len(got[0].Moves) != 2 {
					t.Errorf("got %v: %s", got, tt.reason)
				}
				return
			}
			near := cmp.Comparer(func(a, b float64) bool { return math.Abs(a-b) < 1e-5 })
			if d := cmp.Diff(tt.want, got, near); d != "" {
				t.Errorf("%s (-want +got):\n%s", tt.reason, d)
			}
		})
	}
}

func TestReadRefuses(t *testing.T) {
	tests := []struct {
		name, src string
		want      error
		says      []string
	}{
		{"open", head + "G00X0Y0\nM15\nG01X10.0\nG01Y10.0\nG01X0.006Y0\nM16\nM30\n", route.ErrOpen, []string{"edge.rou:9", "X0.0000 Y0.0000", "X0.0060 Y0.0000", "0.0060 mm apart"}},
		{"open between two cuts", head + "G00X0Y0\nM15\nG01X10.0\nM16\nG00X10.01Y0\nM15\nG01X10.0Y10.0\nG01X0Y0\nM16\nM30\n", route.ErrOpen, []string{"X10.0000 Y0.0000", "X10.0100 Y0.0000"}},
		{"crossing", head + "G00X0Y0\nM15\nG01X10.0Y10.0\nG01X10.0Y0\nG01X0Y10.0\nG01X0Y0\nM16\nM30\n", route.ErrCrossing, []string{"edge.rou:9", "(5.0"}},
		{"no rout moves", head + "M30\n", route.ErrBoard, []string{"edge.rou"}},
		{"a hole", head + "G05\nX1.0Y1.0\nM30\n", route.ErrWord, []string{"edge.rou:8", "drill file"}},
		{"compensated", head + "G41\nG00X0Y0\nM15\nG01X10.0\nM16\nM30\n", route.ErrWord, []string{"edge.rou:7", "G41"}},
		{"there and back", head + "G00X0Y0\nM15\nG01X10.0\nG01X0Y0\nM16\nM30\n", route.ErrBoard, []string{"no area"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			_, err := read(t, tt.src)
			if !errors.Is(err, tt.want) {
				t.Fatalf("got %v, want %v", err, tt.want)
			}
			for _, s := range tt.says {
				if !strings.Contains(err.Error(), s) {
					t.Errorf("got %q, want it to say %q", err, s)
				}
			}
		})
	}
}

func TestOpenErrorNamesBothEnds(t *testing.T) {
	_, err := read(t, head+"G00X0Y0\nM15\nG01X10.0\nG01Y10.0\nG01X0.5Y0\nM16\nM30\n")
	var open *route.OpenError
	if !errors.As(err, &open) {
		t.Fatalf("got %v", err)
	}
	if open.Start != (orb.Point{0, 0}) || open.End != (orb.Point{0.5, 0}) || math.Abs(open.Gap-0.5) > 1e-12 || open.Source.Line == 0 {
		t.Errorf("got %+v", open)
	}
}

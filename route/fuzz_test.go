package route_test

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling/nc"
)

// FuzzRead reads arbitrary programs: what comes out is closed, finite and
// usable as a board, or there is an error.
func FuzzRead(f *testing.F) {
	f.Add([]byte(head + "G00X0Y0\nM15\nG01X10.0\nG01Y10.0\nG01X0Y0\nM16\nM30\n"))
	f.Add([]byte(head + "G00X3.0Y0\nM15\nG03X3.0Y6.0A3.0\nG03X3.0Y0A3.0\nM16\nM30\n"))
	f.Add([]byte(head + "G00X0Y0\nM15\nG01X10.0\nM16\nG00X0Y0\nM15\nG01Y10.0\nG01X10.0Y0\nM16\nM30\n"))
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := nc.Parse(src, nc.ReadOptions{MaxOps: 2000, MaxBytes: 1 << 16})
		if err != nil {
			return
		}
		got, _, err := route.Read(p, "fuzz")
		if err != nil {
			return
		}
		for _, c := range got {
			if !c.Closed() || c.Validate() != nil || c.Area() == 0 {
				t.Fatalf("read %v", c)
			}
		}
	})
}

// FuzzCheck checks arbitrary texts as the program of one board: no panic, and
// none passes that lacks a path.
func FuzzCheck(f *testing.F) {
	in := input(plain(14, 10), panel(30, 24, orb.Point{8, 7})) // small, for speed
	in.Rules.Tabs.Width, in.Rules.Tabs.CornerClear, in.Rules.Tabs.Perforated, in.Rules.Rout.Cutter = 2, 1, false, 0.8
	l := lay(f, in)
	p := mounted(f, l, route.Options{})
	src := text(f, p)
	f.Add([]byte(src))
	f.Add([]byte(strings.Replace(src, "M16\n", "", 1)))
	f.Add([]byte(strings.Replace(src, "G03", "G02", 1)))
	f.Fuzz(func(t *testing.T, src []byte) {
		prog, err := nc.Parse(src, nc.ReadOptions{MaxOps: 500, MaxBytes: 1 << 14, AllowMissingEnd: true})
		if err != nil {
			return
		}
		report := route.Check(l, p, prog)
		plunges := 0
		for op, err := range prog.Ops() {
			if err == nil && op.Kind == nc.OpPlunge {
				plunges++
			}
		}
		if report.OK() && plunges < len(p.Runs[0].Paths) {
			t.Fatalf("%d plunges pass for %d paths", plunges, len(p.Runs[0].Paths))
		}
	})
}

// FuzzLay lays boards with arbitrary corners: a layout or a typed error, and a
// plan that passes its check or an error.
func FuzzLay(f *testing.F) {
	f.Add(60.0, 40.0, 3.0, 20.0, 20.0, 4.0)
	f.Add(1e300, math.NaN(), -1.0, 0.0, 0.0, 0.0)
	f.Add(10.0, 10.0, 5.0, 30.0, 30.0, 50.0)
	f.Add(1e-300, 40.0, 1e-12, 20.0, 20.0, 1e-9)
	f.Fuzz(func(t *testing.T, w, h, r, x, y, tab float64) {
		b := route.Board{Outline: rounded(w, h, r), CutOuts: []contour.Contour{contour.Circle(orb.Point{w / 2, h / 2}, r)}}
		if tab != 0 {
			b.Tabs = []route.Tab{{At: orb.Point{w / 2, 0}, Width: tab}}
		}
		l, err := route.Lay(input(b, panel(120, 100, orb.Point{x, y})))
		if err != nil {
			return
		}
		for _, tab := range l.Tabs {
			if !(tab.Width > 0) || math.IsNaN(tab.At[0]+tab.At[1]) {
				t.Fatalf("tab %+v", tab)
			}
		}
	})
}

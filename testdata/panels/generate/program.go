package main

import (
	"fmt"
	"math"
	"strings"
)

// form writes numbers in one of the ways drill files do.
type form struct {
	unit   float64 // mm
	digits int     // after the point
	point  bool    // decimal points; else whole numbers
	pad    int     // leading zeros up to so many digits; 0: none
}

var (
	decimalMM = form{unit: 1, digits: 3, point: true}
	wholeMM   = form{unit: 1, digits: 3, pad: 6}
	wholeInch = form{unit: 25.4, digits: 4}
)

func (f form) number(mm float64) string {
	n := int(math.Round(mm / f.unit * math.Pow10(f.digits)))
	if f.point {
		return fmt.Sprintf("%.*f", f.digits, float64(n)/math.Pow10(f.digits))
	}
	return fmt.Sprintf("%0*d", f.pad, n)
}

func (f form) xy(p [2]float64) string { return "X" + f.number(p[0]) + "Y" + f.number(p[1]) }

// drillFile writes a header, then the holes of each tool in the order given.
func drillFile(header []string, f form, tools []int, holes []hole) string {
	var b strings.Builder
	b.WriteString("M48\n" + strings.Join(header, "\n") + "\n%\nG90\nG05\n")
	for _, t := range tools {
		first := true
		for _, h := range holes {
			if h.tool != t {
				continue
			}
			if first {
				fmt.Fprintf(&b, "T%d\n", t)
				first = false
			}
			b.WriteString(f.xy(h.at))
			if h.to != h.at {
				b.WriteString("G85" + f.xy(h.to))
			}
			b.WriteString("\n")
		}
	}
	b.WriteString("M30\n")
	return b.String()
}

// outlineFile draws rounded rectangles, corner to corner, as rout moves whose
// centre line is the edge; radius 0 leaves corners square.
func outlineFile(title string, loops ...rounded) string {
	var b strings.Builder
	fmt.Fprintf(&b, "M48\n; %s\n; the centre line is the edge of the board, not the way of a cutter\nMETRIC,TZ\nT1C1.000\n%%\nG90\nT1\nG40\n", title)
	for _, l := range loops {
		l.write(&b)
	}
	b.WriteString("M30\n")
	return b.String()
}

// rounded is a rectangle with rounded corners, mm.
type rounded struct{ x0, y0, x1, y1, r float64 }

func (l rounded) write(b *strings.Builder) {
	f := decimalMM
	xy := func(x, y float64) string { return f.xy([2]float64{x, y}) }
	corner := func(x, y float64) {
		if l.r > 0 {
			fmt.Fprintf(b, "G03%sA%s\n", xy(x, y), f.number(l.r))
		}
	}
	fmt.Fprintf(b, "G00%s\nM15\n", xy(l.x0+l.r, l.y0))
	fmt.Fprintf(b, "G01%s\n", xy(l.x1-l.r, l.y0))
	corner(l.x1, l.y0+l.r)
	fmt.Fprintf(b, "G01%s\n", xy(l.x1, l.y1-l.r))
	corner(l.x1-l.r, l.y1)
	fmt.Fprintf(b, "G01%s\n", xy(l.x0+l.r, l.y1))
	corner(l.x0, l.y1-l.r)
	fmt.Fprintf(b, "G01%s\n", xy(l.x0, l.y0+l.r))
	corner(l.x0+l.r, l.y0)
	b.WriteString("M16\n")
}

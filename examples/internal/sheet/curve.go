package sheet

import (
	"fmt"
	"html/template"
	"strconv"
	"strings"
)

// The plot of the stack planner: what a panel costs over the height of the
// stack, with the tools and the time under each height.

// Sizes of the plot in pixels.
const (
	curveColumn = 104 // width of a height
	curveTop    = 26  // room for the figure over the highest dot
	curveDeep   = 150 // of the plot itself
	curveFoot   = 62  // three lines under the axis
)

// curve is the plot of one set-up.
type curve struct {
	Title   string
	Picture template.HTML
	Refused []string
}

// curves returns a plot for each set-up that has a height curve, in their order.
func (s *Sheet) curves() []curve {
	var list []curve
	for from := 0; from < len(s.Curve); {
		to := from
		for to < len(s.Curve) && s.Curve[to].SetUp == s.Curve[from].SetUp {
			to++
		}
		list = append(list, s.curve(s.Curve[from:to]))
		from = to
	}
	return list
}

// curve plots the heights of one set-up, lowest first. The axis of cost begins
// at 0, so that heights of columns can be compared.
func (s *Sheet) curve(points []HeightPoint) curve {
	c := curve{Title: "All set-ups"}
	if n := points[0].SetUp; n > 0 {
		c.Title = "Set-up " + strconv.Itoa(n)
	}
	most := 0.0
	for _, h := range points {
		most = max(most, h.Cost)
	}
	base := curveTop + curveDeep
	width, height := curveColumn*len(points), base+curveFoot
	var back, line, front strings.Builder
	for i, h := range points {
		x := curveColumn*i + curveColumn/2
		text := func(y int, class, words string) {
			fmt.Fprintf(&front, `<text x="%d" y="%d" class="%s">%s</text>`, x, y, class, template.HTMLEscapeString(words))
		}
		if !h.OK {
			fmt.Fprintf(&back, `<rect x="%d" y="%d" width="%d" height="%d" class="no"/>`, x-curveColumn/2+8, curveTop, curveColumn-16, curveDeep)
			text(curveTop+curveDeep/2, "off", "refused")
			text(base+18, "off", strconv.Itoa(h.Height)+" high")
			c.Refused = append(c.Refused, fmt.Sprintf("%d high refused: %s", h.Height, h.Reason))
			continue
		}
		y := base
		if most > 0 {
			y -= int(h.Cost / most * curveDeep)
		}
		class, r := "dot", 5
		if h.Chosen {
			class, r = "dot pick", 8
		}
		fmt.Fprintf(&back, `<path d="M%d %dV%d" class="stem"/>`, x, base, y)
		fmt.Fprintf(&line, "%d,%d ", x, y)
		fmt.Fprintf(&front, `<circle cx="%d" cy="%d" r="%d" class="%s"/>`, x, y, r, class)
		label := ""
		if h.Chosen {
			label = " strong"
		}
		text(y-13, "cost"+label, s.money(h.Cost))
		text(base+18, "high"+label, strconv.Itoa(h.Height)+" high")
		text(base+36, "under", strconv.Itoa(h.Tools)+" tools")
		text(base+54, "under", Clock(h.Seconds))
	}
	c.Picture = template.HTML(fmt.Sprintf(`<svg width="%d" height="%d" viewBox="0 0 %d %d" role="img" aria-label="cost of a panel over the height of the stack">%s<path d="M0 %dH%d" class="axis"/><polyline points="%s" class="line"/>%s</svg>`,
		width, height, width, height, back.String(), base, width, strings.TrimSpace(line.String()), front.String()))
	return c
}

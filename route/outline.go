package route

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Outlines writes closed contours as a rout program that [Read] turns back into
// the same contours: mm with six decimals, which is the grid of one nanometre
// that coordinates are read on, arcs by their centres (I, J). An arc of more
// than half a turn is written in quarters of it, snapped to that grid. Comments
// are written at the head; their control characters become spaces.
//
// The contours are the board's edge, not the way of a cutter.
func Outlines(contours []contour.Contour, comments ...string) []byte {
	var b strings.Builder
	b.WriteString("M48\n")
	for _, c := range append(comments, "the centre line is the edge of the board, not the way of a cutter") {
		fmt.Fprintf(&b, "; %s\n", tooling.CommentLine(c))
	}
	b.WriteString("METRIC,TZ\nT1C1.000\n%\nG90\nT1\nG40\n")
	for _, c := range contours {
		c = quartered(c)
		fmt.Fprintf(&b, "G00%s\nM15\n", place('X', 'Y', c.Start))
		from := c.Start
		for _, m := range c.Moves {
			switch to := place('X', 'Y', m.To); m.Turn {
			case 0:
				b.WriteString("G01" + to + "\n")
			case 1:
				b.WriteString("G03" + to + place('I', 'J', sub(m.Center, from)) + "\n")
			default:
				b.WriteString("G02" + to + place('I', 'J', sub(m.Center, from)) + "\n")
			}
			from = m.To
		}
		b.WriteString("M16\n")
	}
	b.WriteString("M30\n")
	return []byte(b.String())
}

// quartered divides the arcs of more than half a turn.
func quartered(c contour.Contour) contour.Contour {
	out := contour.Contour{Start: c.Start}
	from := c.Start
	for _, m := range c.Moves {
		if p := newPiece(from, m); m.Turn != 0 && (p.sweep > math.Pi+1e-9 || from == m.To) {
			parts := contour.Contour{Start: from, Moves: []contour.Move{m}}.Split(math.Pi / 2).Moves
			for k := range parts[:len(parts)-1] {
				parts[k].To, parts[k].Center = tooling.SnapPoint(parts[k].To), m.Center
			}
			parts[len(parts)-1].To = m.To
			out.Moves = append(out.Moves, parts...)
		} else {
			out.Moves = append(out.Moves, m)
		}
		from = m.To
	}
	return out
}

func place(x, y byte, p orb.Point) string {
	number := func(v float64) string { return strconv.FormatFloat(tooling.Snap(v), 'f', 6, 64) }
	return string(x) + number(p[0]) + string(y) + number(p[1])
}

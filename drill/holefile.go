package drill

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// HoleFile writes holes as a drill program that [Read] turns back into the same ones,
// as package route's Outlines does with contours: one tool for each
// diameter, the smallest first, slots by both centres, mm with three decimals. Plating
// and what the sizes mean are for the reader's [Marking] to say. Comments are written at
// the head; their control characters become spaces.
//
// The holes are a board's, not the hits of a machine.
func HoleFile(holes []Hole, comments ...string) []byte {
	var b strings.Builder
	b.WriteString("M48\n")
	for _, c := range comments {
		fmt.Fprintf(&b, "; %s\n", tooling.CommentLine(c))
	}
	b.WriteString("METRIC,TZ\n")
	holes = slices.Clone(holes)
	slices.SortStableFunc(holes, func(a, b Hole) int { return cmp.Compare(a.Size.Diameter, b.Size.Diameter) })
	number := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	place := func(p orb.Point) string { return "X" + number(p[0]) + "Y" + number(p[1]) }
	var sizes []string
	for _, h := range holes {
		if d := number(h.Size.Diameter); !slices.Contains(sizes, d) {
			sizes = append(sizes, d)
			fmt.Fprintf(&b, "T%dC%s\n", len(sizes), d)
		}
	}
	b.WriteString("%\nG90\n")
	tool := 0
	for _, h := range holes {
		if t := 1 + slices.Index(sizes, number(h.Size.Diameter)); t != tool {
			tool = t
			fmt.Fprintf(&b, "T%d\n", t)
		}
		b.WriteString(place(h.At))
		if h.IsSlot() {
			b.WriteString("G85" + place(h.To))
		}
		b.WriteString("\n")
	}
	b.WriteString("M30\n")
	return []byte(b.String())
}

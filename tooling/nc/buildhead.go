package nc

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// head writes the header.
func (w *writer) head(tools []ToolDef) {
	w.line("M48")
	for _, h := range w.o.Header {
		w.line("; " + h)
	}
	switch {
	case w.o.Exchange:
	case w.feeds:
		w.line("; FEED_UNIT=" + w.o.FeedUnit.String())
	default:
		w.line("; feeds and speeds are not in this program")
	}
	switch {
	case w.o.Exchange:
	case w.o.Words == nil:
		w.line("FMAT,2")
	default:
		for _, word := range w.o.Words {
			w.line(word)
		}
	}
	units := "METRIC"
	if w.o.Units == Inches {
		units = "INCH"
	}
	if w.o.Zeros != DecimalPoint {
		units += "," + w.o.Zeros.String() + "," + strings.Repeat("0", w.o.Digits.Int) + "." + strings.Repeat("0", w.o.Digits.Dec)
	}
	w.line(units)
	for _, t := range tools {
		if w.o.Attributes {
			w.attributes(t)
		}
		w.toolLines = append(w.toolLines, len(w.blocks)+1)
		w.tool0(t)
	}
	w.line("%")
	switch {
	case w.o.Exchange:
	case w.o.Incremental:
		w.line("G91")
	default:
		w.line("G90")
	}
}

// attributes writes what is known about a tool as comments.
func (w *writer) attributes(t ToolDef) {
	var v []string
	switch t.Marking {
	case plated:
		v = append(v, "Plated", "PTH")
	case unplated:
		v = append(v, "NonPlated", "NPTH")
	}
	switch t.Function {
	case "via":
		v = append(v, "ViaDrill")
	case "component":
		v = append(v, "ComponentDrill")
	case "mechanical":
		v = append(v, "MechanicalDrill")
	}
	w.line("; #@! TD")
	if len(v) > 0 {
		w.line("; #@! TA.AperFunction," + strings.Join(v, ","))
	}
}

// tool0 writes one line of the tool table. The diameter gets as many decimals
// as it takes to read the same nanometres back.
func (w *writer) tool0(t ToolDef) {
	b := fmt.Appendf(nil, "T%dC%s", t.Number, w.exact(t.Diameter))
	if w.feeds {
		f := w.o.FeedUnit.factor()
		b = append(append(b, 'F'), trimmed(t.Feed/f, 1)...)
		b = append(append(b, 'S'), trimmed(t.Speed/1000, 0)...)
		if t.Retract > 0 {
			b = append(append(b, 'B'), trimmed(t.Retract/f, 1)...)
		}
	}
	if t.HitLimit > 0 && !w.o.Exchange {
		b = fmt.Appendf(b, "H%d", t.HitLimit)
	}
	if t.HasZ && !w.o.Exchange {
		b = append(append(b, 'Z'), w.exact(t.Z)...)
	}
	w.line(string(b))
}

// exact renders a length in the file's unit with at least the file's decimals
// and as many more as nanometres need.
func (w *writer) exact(mm float64) string {
	nano := int64(math.Round(mm * 1e6))
	u, m := 1.0, uint64(max(nano, -nano))
	if w.o.Units == Inches {
		u = 25.4
	}
	for dec := w.o.Digits.Dec; ; dec++ {
		s := strconv.FormatFloat(millimetres(nano)/u, 'f', dec, 64)
		n, _, ok := parseNumber([]byte(s), 0)
		if !ok || dec > 9 {
			return s
		}
		sc := newScale(w.o.Units, DecimalPoint, Digits{})
		if v, ok := sc.nano(n); ok && uint64(max(v, -v)) == m {
			return s
		}
	}
}

// trimmed renders a rate with three decimals less trailing zeros, and six
// where three would say nothing.
func trimmed(v float64, least int) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	if v > 0 && v < 0.001 {
		s = strconv.FormatFloat(v, 'f', 6, 64)
	}
	point := strings.IndexByte(s, '.')
	for len(s)-point-1 > least && s[len(s)-1] == '0' {
		s = s[:len(s)-1]
	}
	return strings.TrimSuffix(s, ".")
}

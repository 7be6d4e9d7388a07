package sheet

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinstack/tooling"
	"github.com/paulmach/orb"
)

// Clock writes seconds as hours, minutes and whole seconds, such as
// "1 h 23 min 45 s"; below a minute with one decimal.
func Clock(seconds float64) string {
	if math.IsNaN(seconds) || math.IsInf(seconds, 0) {
		return "-"
	}
	sign := ""
	if seconds < 0 {
		sign, seconds = "-", -seconds
	}
	if seconds < 59.95 {
		return sign + fixed(seconds, 1) + " s"
	}
	n := int64(math.Round(seconds))
	h, m, s := n/3600, n/60%60, n%60
	var b strings.Builder
	b.WriteString(sign)
	if h > 0 {
		b.WriteString(strconv.FormatInt(h, 10) + " h ")
	}
	b.WriteString(strconv.FormatInt(m, 10) + " min " + strconv.FormatInt(s, 10) + " s")
	return b.String()
}

func fixed(v float64, decimals int) string { return strconv.FormatFloat(v, 'f', decimals, 64) }

// size writes a diameter or another length that is read to a hundredth.
func size(mm float64) string { return fixed(mm, 2) }

// sizes joins lengths, each once, or gives a dash for none.
func sizes(list []float64) string {
	if len(list) == 0 {
		return "-"
	}
	var parts []string
	for _, v := range list {
		if text := size(v); !slices.Contains(parts, text) {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, "/")
}

// brief writes a length without needless zeros.
func brief(mm float64) string { return strconv.FormatFloat(math.Round(mm*1000)/1000, 'f', -1, 64) }

func place(p orb.Point) string { return "X" + fixed(p[0], 3) + " Y" + fixed(p[1], 3) }

func places(list []orb.Point) string {
	var parts []string
	for _, p := range list {
		parts = append(parts, place(p))
	}
	return strings.Join(parts, ", ")
}

// money writes an amount with its unit.
func (s *Sheet) money(v float64) string {
	if s.Money == "" {
		return fixed(v, 2)
	}
	return fixed(v, 2) + " " + s.Money
}

func stage(s string) string { return strings.ReplaceAll(s, "_", " ") }

// tools writes the places of a run, its own and those of its spares: "T4",
// "T4-T9" where they follow one another, "T4+9" where not.
func (r Run) tools() string {
	t := "T" + strconv.Itoa(r.Place)
	follow := len(r.Spares) > 0
	for i, s := range r.Spares {
		follow = follow && s == r.Place+1+i
	}
	if follow {
		return t + "-T" + strconv.Itoa(r.Spares[len(r.Spares)-1])
	}
	for _, s := range r.Spares {
		t += "+" + strconv.Itoa(s)
	}
	return t
}

func tolerance(h HoleCount) string {
	switch {
	case h.Plus == 0 && h.Minus == 0:
		return "-"
	case h.Plus == h.Minus:
		return "±" + size(h.Plus)
	}
	return "+" + size(h.Plus) + " -" + size(h.Minus)
}

func plating(plated bool) string {
	if plated {
		return "plated"
	}
	return "unplated"
}

// measured writes the worst value of a finding and its limit, or a dash.
func measured(f tooling.Finding) string {
	if f.Value == 0 && f.Limit == 0 {
		return "-"
	}
	return brief(f.Value) + " / " + brief(f.Limit)
}

func percent(part, whole float64) string {
	if whole <= 0 {
		return "-"
	}
	return fixed(100*part/whole, 1) + " %"
}

// remark says what a finding is: one that is ok only informs.
func remark(ok bool) string {
	if ok {
		return "note"
	}
	return verdict(ok)
}

func verdict(ok bool) string {
	if ok {
		return "ok"
	}
	return "REFUSED"
}

// panels writes the size of the lot, such as "240 panels of 12 boards".
func (s *Sheet) panels() string { return count(s.Panels, "panel") + " of " + count(s.Boards, "board") }

func count(n int, noun string) string {
	if n != 1 {
		noun += "s"
	}
	return strconv.Itoa(n) + " " + noun
}

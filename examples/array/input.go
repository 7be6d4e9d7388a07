package main

import (
	"strconv"
	"strings"

	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// The shop of this example: every figure but the usual tables is invented.
const (
	machineName = "ball screw"
	scorePrice  = 0.30 // a line of a panel
	coupon      = 0.9  // holes of the test coupon, mm, finished
	target      = 3.2  // holes that the panel is measured by, mm
)

// input is the board with the shop's own data and the flags.
func (b *board) input(o options) (in array.Input, err error) {
	m, _ := machine.Preset(machineName)
	in = array.Input{
		Board: b.route(), Holes: b.holes, Quantity: o.quantity, Scrap: o.scrap, ScorePrice: scorePrice,
		Blank: tooling.Panel{Thickness: o.thickness, Material: tooling.FR4, Layers: b.layers},
		Crib:  tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: m, Coupon: coupon, Target: target,
	}
	if o.sizes != "" && o.sizes != string(tooling.Finished) && o.sizes != string(tooling.Drilled) {
		return in, misuse("-sizes", o.sizes, "finished or drilled")
	}
	if in.Stocks, err = stocks(o.panels); err != nil {
		return in, err
	}
	return in, b.ways(o.gap, &in)
}

// stocks reads panel sizes such as 400x300,457x610.
func stocks(list string) (out []array.Stock, err error) {
	for _, word := range strings.Split(list, ",") {
		w, h, ok := strings.Cut(strings.TrimSpace(word), "x")
		x, err1 := strconv.ParseFloat(w, 64)
		y, err2 := strconv.ParseFloat(h, 64)
		if !ok || err1 != nil || err2 != nil || !(x > 0 && y > 0) || !tooling.InRange(x) || !tooling.InRange(y) {
			return nil, misuse("-panels", word, "a size in mm such as 400x300")
		}
		out = append(out, array.NewStock(tooling.Snap(x), tooling.Snap(y)))
	}
	return out, nil
}

// ways sets how boards may be parted: as the customer's score lines say, as the
// gap flag says, or any way.
func (b *board) ways(gap string, in *array.Input) error {
	columns, rows, report, err := array.ScoredSides(b.route(), b.scores)
	if err != nil {
		return err
	}
	b.report = append(b.report, report...)
	mm, err := strconv.ParseFloat(gap, 64)
	switch {
	case gap == "score":
		in.Scored = true
		return nil
	case gap != "" && (err != nil || !(mm > 0) || mm > 1000):
		return misuse("-gap", gap, "mm, or score")
	case columns || rows:
		in.Columns, in.Rows = []array.Way{{Score: columns, Gap: tooling.Snap(mm)}}, []array.Way{{Score: rows, Gap: tooling.Snap(mm)}}
	case gap != "":
		in.Columns = []array.Way{{Gap: tooling.Snap(mm)}}
		in.Rows = in.Columns
	}
	return nil
}

// scoreLayer reads the customer's score lines.
func (b *board) scoreLayer(f file) error {
	layer, err := artwork.Read(f.text, f.name, artwork.Options{})
	if err != nil {
		return err
	}
	layer.Function = artwork.FunctionScore // the flag says so, whatever the file does
	b.report = append(b.report, layer.Report...)
	if b.scores, err = layer.Profile(artwork.ProfileOptions{}); err != nil {
		return err
	}
	b.report = append(b.report, b.scores.Report...)
	return nil
}

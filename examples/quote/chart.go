package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// ticks marks the quantities themselves.
func (q quote) ticks() plot.ConstantTicks {
	var out plot.ConstantTicks
	for _, r := range q.Rows {
		out = append(out, plot.Tick{Value: float64(r.Quantity), Label: fmt.Sprint(r.Quantity)})
	}
	return out
}

// chart draws cost and time over quantity, one above the other.
func (q quote) chart(file string) error {
	var plots [][]*plot.Plot
	for _, c := range []struct {
		label string
		value func(row) float64
	}{
		{"cost a panel", func(r row) float64 { return r.Cost }},
		{"seconds a panel", func(r row) float64 { return r.Seconds }},
	} {
		p := plot.New()
		p.X.Label.Text, p.Y.Label.Text = "panels in the lot", c.label
		p.X.Scale, p.X.Tick.Marker = plot.LogScale{}, q.ticks()
		p.Y.Min = 0
		points, names := make(plotter.XYs, len(q.Rows)), make([]string, len(q.Rows))
		for i, r := range q.Rows {
			points[i] = plotter.XY{X: float64(r.Quantity), Y: c.value(r)}
			names[i] = join(heights(r.SetUps))
		}
		line, marks, err := plotter.NewLinePoints(points)
		if err != nil {
			return err
		}
		labels, err := plotter.NewLabels(plotter.XYLabels{XYs: points, Labels: names})
		if err != nil {
			return err
		}
		labels.Offset = vg.Point{X: vg.Millimeter, Y: 2 * vg.Millimeter}
		p.Add(plotter.NewGrid(), line, marks, labels)
		if len(q.Rows) == 1 { // one place has no width, and a log scale begins above 0
			x := float64(q.Rows[0].Quantity)
			p.X.Min, p.X.Max = x/2, x*2
		}
		plots = append(plots, []*plot.Plot{p})
	}
	plots[0][0].Title.Text = q.Job + ": with the stack height of each set-up"
	canvas := vgsvg.New(16*vg.Centimeter, 18*vg.Centimeter)
	area := plot.Align(plots, draw.Tiles{Rows: 2, Cols: 1, PadY: 5 * vg.Millimeter, PadTop: 2 * vg.Millimeter, PadRight: 8 * vg.Millimeter}, draw.New(canvas))
	for i := range plots {
		plots[i][0].Draw(area[i][0])
	}
	var svg bytes.Buffer
	if _, err := canvas.WriteTo(&svg); err != nil {
		return err
	}
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		return err
	}
	return os.WriteFile(file, svg.Bytes(), 0o644)
}

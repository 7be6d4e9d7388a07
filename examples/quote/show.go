package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"text/tabwriter"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgsvg"
)

// print writes the table.
func (q quote) print(w io.Writer) error {
	fmt.Fprintf(w, "%s: price and time a panel\n\n", q.Job)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "panels\theights\tloads\tseconds\tover floor\tcost\tmachine\ttools\tsheets\tset-up\tpartial\ttools bought\tlife -30 %\t+30 %\t")
	for _, r := range q.Rows {
		loads := make([]string, len(r.SetUps))
		for k, u := range r.SetUps {
			loads[k] = fmt.Sprint(u.Loads)
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%.1f\t%.3f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%d\t", r.Quantity, join(heights(r.SetUps)), strings.Join(loads, "+"),
			r.Seconds, r.FloorRatio, r.Cost, r.Split.Machine, r.Split.Tools, r.Split.Sheets, r.Split.SetUp, r.Partial, r.Tools)
		for _, s := range r.Sensitivity {
			fmt.Fprintf(t, "%.2f\t", s.Cost)
		}
		fmt.Fprintln(t)
	}
	if err := t.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(w)
	for _, b := range q.Breaks {
		fmt.Fprintf(w, "from %d panels heights %s are best, before that %s\n", b.From, join(b.Heights), join(b.Before))
	}
	for _, r := range q.Rows {
		if r.RunnerUp != nil {
			fmt.Fprintf(w, "%d panels, next best at %.2f a panel: %s\n", r.Quantity, r.RunnerUp.Cost, r.RunnerUp.WhyNot)
		}
	}
	_, err := fmt.Fprintln(w, "\nHeights are those of the set-ups in order. Times are of an uncalibrated preset unless the job says otherwise.")
	return err
}

func join(n []int) string { return strings.Trim(strings.ReplaceAll(fmt.Sprint(n), " ", "+"), "[]") }

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
		points := make(plotter.XYs, len(q.Rows))
		for i, r := range q.Rows {
			points[i] = plotter.XY{X: float64(r.Quantity), Y: c.value(r)}
		}
		line, marks, err := plotter.NewLinePoints(points)
		if err != nil {
			return err
		}
		p.Add(plotter.NewGrid(), line, marks)
		plots = append(plots, []*plot.Plot{p})
	}
	plots[0][0].Title.Text = q.Job
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

package main

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// print writes the table and what it leaves open: where other heights begin, what comes
// next, and what the times are worth.
func (q quote) print(w io.Writer) error {
	fmt.Fprintf(w, "%s: price and time a panel\n\n", q.Job)
	t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(t, "panels\theights\tloads\tseconds\tplanned\tover floor\thits/min\tcost\tmachine\ttools\tsheets\tset-up\tpartial\ttools bought\tlife -30 %\t+30 %\t")
	for _, r := range q.Rows {
		loads := make([]string, len(r.SetUps))
		for k, u := range r.SetUps {
			loads[k] = fmt.Sprint(u.Loads)
		}
		fmt.Fprintf(t, "%d\t%s\t%s\t%.1f\t%.1f\t%.3f\t%.0f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%.2f\t%d\t", r.Quantity, join(heights(r.SetUps)), strings.Join(loads, "+"),
			r.Seconds, r.Planned, r.FloorRatio, r.HitsMinute, r.Cost, r.Split.Machine, r.Split.Tools, r.Split.Sheets, r.Split.SetUp, r.Partial, r.Tools)
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
	if err := q.printLoads(w); err != nil {
		return err
	}
	fmt.Fprintln(w, "\nwhat keeps each tool from a taller stack")
	for _, l := range q.Limits {
		fmt.Fprintln(w, " ", l)
	}
	for _, r := range q.Rows {
		if r.thinned {
			fmt.Fprintf(w, "%d panels: not all mixes of speeds were looked at, a better plan may exist\n", r.Quantity)
		}
	}
	times := "uncalibrated: time a load of your own before you trust the times"
	if q.Calibrated {
		times = "calibrated to the shop's own log"
	}
	_, err := fmt.Fprintf(w, "\nHeights and loads are those of the set-ups in order. Machine %s, %s.\nThe partial term is what loads and tools not used to the full add to a panel.\n", q.Machine, times)
	return err
}

// printLoads writes a load of each pass by cause, once for each choice of
// heights.
func (q quote) printLoads(w io.Writer) error {
	seen := map[string]bool{}
	for _, r := range q.Rows {
		name := join(heights(r.SetUps))
		if seen[name] {
			continue
		}
		seen[name] = true
		fmt.Fprintf(w, "\none load of each pass at heights %s, in seconds\n\n", name)
		t := tabwriter.NewWriter(w, 0, 0, 2, ' ', tabwriter.AlignRight)
		fmt.Fprintln(t, "set-up\tpass\ttravel\tsettle\tstroke\tchange\trout\tin all\tfloor\tover floor\thits\thits/min\t")
		for _, l := range r.loads {
			e := l.time
			fmt.Fprintf(t, "%d\t%s\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.1f\t%.3f\t%d\t%.0f\t\n", l.setUp, l.pass, e.Travel.Seconds(), e.Settle.Seconds(),
				e.Stroke.Seconds(), e.Change.Seconds(), e.Rout.Seconds(), e.Total().Seconds(), e.Floor.Seconds(),
				e.FloorRatio(), e.Hits, e.HitsPerMinute())
		}
		if err := t.Flush(); err != nil {
			return err
		}
	}
	return nil
}

// join prints the heights of set-ups in order, such as 3+2.
func join(n []int) string { return strings.Trim(strings.ReplaceAll(fmt.Sprint(n), " ", "+"), "[]") }

package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"time"

	"example.org/pinstack/drill/tour"
)

// schema is the number of the form of a [line].
const schema = 1

// line is what is printed for a tour. Seconds is CPU time of the process, which hangs less
// on what else the computer does than Wall.
type line struct {
	Schema  int     `json:"schema"`
	Name    string  `json:"name"`
	Points  int     `json:"points"`
	Metric  string  `json:"metric"`
	Length  float64 `json:"length"`
	Bound   float64 `json:"bound"`
	Gap     float64 `json:"gap"`
	Seconds float64 `json:"seconds"`
	Wall    float64 `json:"wall"`
	Kicks   float64 `json:"kicks"`
}

// order solves one tour and prints its line.
func order(ctx context.Context, in *instance, o options, out, orders io.Writer) error {
	p := tour.Problem{Items: in.items, Closed: true}
	metric := o.metric
	if metric == "" {
		metric = "machine"
		if in.edges != "" {
			metric = "tsplib"
		}
	}
	switch metric {
	case "tsplib":
		if in.edges == "" {
			return errors.New("-metric tsplib needs a .tsp file")
		}
		p.Metric, _ = weights(in.edges)
	case "euclid":
		p.Metric = tour.Euclid()
	case "machine":
		p.Metric = tour.MoveTime(o.machine.Travel())
		if in.edges == "" {
			p.Closed, p.Start, p.End = false, &o.machine.ChangeAt, &o.machine.ChangeAt
		}
	}
	if p.Items == nil {
		p.Items = tour.Points(in.points)
		in.points = nil // millions of points need not be held twice
	}
	cpu, wall := cpuSeconds(), time.Now()
	r, err := tour.Solve(ctx, p, o.solve)
	if err != nil {
		return err
	}
	l := line{
		Schema: schema, Name: in.name, Points: len(p.Items), Metric: metric,
		Length: r.Length, Bound: r.Bound, Gap: r.Gap(),
		Seconds: cpuSeconds() - cpu, Wall: time.Since(wall).Seconds(), Kicks: r.Kicks,
	}
	if orders != nil {
		for _, i := range r.Order {
			if _, err := fmt.Fprintln(orders, i+1); err != nil {
				return err
			}
		}
	}
	if o.json {
		return json.NewEncoder(out).Encode(l)
	}
	_, err = fmt.Fprintf(out, "%s: %d points, %s %.3f", l.Name, l.Points, l.Metric, l.Length)
	if err == nil && l.Bound > 0 {
		_, err = fmt.Fprintf(out, ", at least %.3f, gap %.3f %%", l.Bound, 100*l.Gap)
	}
	if err == nil {
		_, err = fmt.Fprintf(out, ", %.1f kicks a point\n", l.Kicks)
	}
	return err
}

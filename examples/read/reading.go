package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// schema is the number of the form of a [reading].
const schema = 1

// reading is what is printed of one file.
type reading struct {
	Schema     int       `json:"schema"`
	File       string    `json:"file"`
	Units      string    `json:"units"`  // mm or inch
	Zeros      string    `json:"zeros"`  // LZ, TZ or decimal
	Digits     string    `json:"digits"` // such as 2:4
	How        string    `json:"how"`    // stated, judged or given
	Tools      []tool    `json:"tools"`
	Box        []float64 `json:"box_mm,omitempty"` // minx, miny, maxx, maxy; none where nothing is made
	Duplicates int       `json:"duplicates"`       // hits on a place that the same tool has hit before
	Findings   []finding `json:"findings"`

	Error      string   `json:"error,omitempty"`
	Line       int      `json:"line,omitempty"`
	Column     int      `json:"column,omitempty"`
	Candidates []string `json:"candidates,omitempty"` // readings that make sense
}

// tool is what one tool of a file does.
type tool struct {
	Tool     int     `json:"tool"`
	Diameter float64 `json:"diameter_mm"`
	Hits     int     `json:"hits"`
	Slots    int     `json:"slots"`             // canned slots and straight cuts
	Circles  int     `json:"circles,omitempty"` // canned circles, by hits or routed
	Rout     float64 `json:"rout_mm"`
	Marking  string  `json:"marking"` // plated, unplated; empty where the file does not say
}

// finding is what the reader had to note, each kind once.
type finding struct {
	Rule   string `json:"rule"`
	Line   int    `json:"line,omitempty"`
	Count  int    `json:"count"`
	Detail string `json:"detail"`
}

// read reads a file and counts what it holds. Its numbers are put on the nanometre grid
// that coordinates are read on, so that sums print alike on every processor.
func read(name string, o nc.ReadOptions) reading {
	r := reading{Schema: schema, File: name, Tools: []tool{}, Findings: []finding{}}
	src, err := os.ReadFile(name)
	if err != nil {
		return r.failed(err)
	}
	o.File = name
	// A file that stops behind a whole line may be whole: a finding says that
	// its end is missing. One that stops within a line is cut off.
	text := bytes.TrimRight(src, "\x00\x1A") // marks of the file's end
	o.AllowMissingEnd = len(text) > 0 && (text[len(text)-1] == '\n' || text[len(text)-1] == '\r')
	p, err := nc.Parse(src, o)
	if err != nil {
		return r.failed(err)
	}
	s, err := p.Summary()
	if err != nil {
		return r.failed(err)
	}
	r.Units, r.Zeros, r.Digits, r.How = p.Units.String(), p.Zeros.String(), p.Digits.String(), p.How().String()
	r.Duplicates = s.Duplicates
	straight := map[int]int{} // straight cuts by tool
	for op, err := range p.Ops() {
		if err != nil {
			return r.failed(err)
		}
		switch op.Kind {
		case nc.OpLine:
			straight[op.Tool]++
		case nc.OpCircle:
			r.circle(op)
		}
	}
	for _, t := range s.Tools {
		r.Tools = append(r.Tools, tool{t.Tool, tooling.Snap(t.Diameter), t.Hits, t.Slots + straight[t.Tool], t.Circles, tooling.Snap(t.Rout), t.Marking})
	}
	if !s.Empty {
		r.Box = []float64{tooling.Snap(s.Box.Min[0]), tooling.Snap(s.Box.Min[1]), tooling.Snap(s.Box.Max[0]), tooling.Snap(s.Box.Max[1])}
	}
	for _, n := range p.Notes {
		r.Findings = append(r.Findings, finding{n.Rule, n.Line, n.Count, n.Detail})
	}
	return r
}

// circle lists a canned circle, those of one tool and size together.
func (r *reading) circle(op nc.Op) {
	detail := fmt.Sprintf("T%d: %s circle of %.3f mm", op.Tool, op.Text, op.Diameter)
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Rule == "circle" && f.Detail == detail {
			f.Count++
			return
		}
	}
	r.Findings = append(r.Findings, finding{"circle", op.Line, 1, detail})
}

// failed is the reading of a file that could not be read, with the place of the fault
// and, where its numbers may mean several things, those that make sense.
func (r reading) failed(err error) reading {
	r.Error = err.Error()
	var syntax *nc.SyntaxError
	var ambiguous *nc.AmbiguousError
	var limit *nc.LimitError
	switch {
	case errors.As(err, &syntax):
		r.Line, r.Column = syntax.Line, syntax.Column
	case errors.As(err, &ambiguous):
		r.Line, r.Column = ambiguous.Line, ambiguous.Column
		for _, c := range ambiguous.Candidates {
			r.Candidates = append(r.Candidates, c.String())
		}
	case errors.As(err, &limit):
		r.Line = limit.Line
	}
	return r
}

package main

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"

	"example.org/pinstack/drill"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
)

// write makes the job's directory.
func write(o options, b *board, l array.Layout) error {
	if err := os.MkdirAll(o.out, 0o755); err != nil {
		return err
	}
	f, err := jobFile(o, b, l)
	if err != nil {
		return err
	}
	text, err := f.Encode()
	if err != nil {
		return err
	}
	crib, err := json.MarshalIndent(l.Prepared.Input.Crib, "", " ")
	if err != nil {
		return err
	}
	in := l.Prepared.Input
	outline := in.Outline("outline and cut-outs as drawn in " + in.Board.Source.File)
	var svg strings.Builder
	if err := scene(l).WriteSVG(&svg); err != nil {
		return err
	}
	if len(l.Prepared.Bored) > 0 {
		b.files = append(b.files, file{bored, drill.HoleFile(l.Prepared.Bored, "cut-outs of "+in.Board.Source.File+" that are too narrow for a cutter")})
	}
	files := append([]file{{"job.json", text}, {"crib.json", crib}, {"outline.rte", outline}, {"array.svg", []byte(svg.String())}}, b.files...)
	for _, f := range files {
		if err := os.WriteFile(filepath.Join(o.out, f.name), f.text, 0o644); err != nil {
			return err
		}
	}
	return nil
}

// bored is the drill file of cut-outs that are drilled.
const bored = "cut-outs.drl"

// odd is what a job's name may not hold.
var odd = regexp.MustCompile(`[^A-Za-z0-9_-]+`)

// jobFile says the whole job: nothing of it is left to defaults.
func jobFile(o options, b *board, l array.Layout) (job.File, error) {
	in, c := l.Prepared.Input, l.Result.Choice
	name := strings.Trim(odd.ReplaceAllString(strings.TrimSuffix(filepath.Base(o.outline), filepath.Ext(o.outline)), "-"), "-")
	if len(name) > 40 {
		name = name[:40]
	}
	if name == "" {
		name = "board"
	}
	f := job.File{
		Schema: job.Schema, Job: name, Revision: "1", Panels: c.Panels, Panel: l.Panel,
		Note:    fmt.Sprintf("%d good boards, made by examples/array: %v", in.Quantity, c),
		Machine: machineName, Crib: "crib.json", Height: in.Height, Objective: "cost", Larger: in.Larger,
	}
	f.Panel.Boards = nil
	var err error
	if f.Rules, err = json.Marshal(in.Rules); err != nil {
		return f, err
	}
	if f.Adjust, err = json.Marshal(in.Machine); err != nil {
		return f, err
	}
	board := job.BoardFile{Name: in.Board.Name, Outline: "outline.rte", Tabs: in.Board.Tabs}
	for _, d := range b.drills {
		board.Drill = append(board.Drill, d.job)
	}
	if len(l.Prepared.Bored) > 0 {
		board.Drill = append(board.Drill, job.DrillFile{File: bored, Plating: drill.Unplated, Sizes: tooling.Drilled})
	}
	_, step := l.Prepared.Field(c)
	first := l.Panel.Boards[0]
	f.Boards = []job.BoardFile{board}
	f.Placements = []job.PlacementFile{{
		Board: board.Name, At: first.Offset, Quarters: first.Quarters, Columns: c.Columns, Rows: c.Rows, Step: step,
	}}
	return f, nil
}

// scene draws the panel with its boards, tabs, score lines, holes and pins.
func scene(l array.Layout) *picture.Scene {
	s := &picture.Scene{Title: l.Result.Choice.String(), Width: l.Panel.Width, Height: l.Panel.Height}
	l.Draw(s)
	return s
}

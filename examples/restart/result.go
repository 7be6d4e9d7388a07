package main

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// result is what -json prints; lengths are mm.
type result struct {
	Schema         int       `json:"schema"`
	Job            string    `json:"job"`
	Pass           string    `json:"pass"`
	Run            int       `json:"run"`
	Rest           int       `json:"rest"` // 1: of the pass as planned, 2: of the rest of it, and so on
	Machine        string    `json:"machine"`
	Spindles       int       `json:"spindles"`       // in use
	Loads          int       `json:"loads"`          // that the rest of the one load takes
	RemainingHits  int       `json:"remaining_hits"` // of the rest, those made again among them
	RepeatedHits   int       `json:"repeated_hits"`
	RemainingPaths int       `json:"remaining_paths"`
	RepeatedPaths  int       `json:"repeated_paths"`
	Parked         bool      `json:"parked"` // what is made again is made with the other spindles parked
	LeftOut        []leftOut `json:"left_out"`
	Later          []check   `json:"later_passes"` // what of them comes to a place left out
	Tools          []tool    `json:"tools"`
	Seconds        float64   `json:"seconds"`                    // of the rest, all its loads, without loading
	Uninterrupted  float64   `json:"seconds_uninterrupted_rest"` // what the load would still have taken on its own machine
	Checks         []check   `json:"checks"`
	Opening        string    `json:"opening_message"`
	Counter        string    `json:"hit_counter,omitempty"` // what to do about the control's own count of hits
	Kept           []string  `json:"tools_kept,omitempty"`  // what worn and life leave out
	Program        string    `json:"program,omitempty"`     // files written
	Sheet          string    `json:"sheet,omitempty"`
	Page           string    `json:"page,omitempty"`
	Saved          string    `json:"saved_pass,omitempty"`

	after  string         // the last hit or path known good
	meets  tooling.Report // Later, with its places
	stacks int            // of the load that was stopped
	again  []orb.Point    // where something is made again
}

type leftOut struct {
	At  orb.Point `json:"at_mm"` // of a path: where it starts
	Why string    `json:"why"`
}

// tool is one place of the magazine. What was made with it before counts hits
// or mm.
type tool struct {
	Place    int     `json:"place"`
	Kind     string  `json:"kind"`
	Diameter float64 `json:"diameter_mm"`
	Hits     int     `json:"hits"`
	Cut      float64 `json:"cut_mm"`
	Worn     float64 `json:"worn"`
	Life     float64 `json:"life"`
}

type check struct {
	Rule   string `json:"rule"`
	OK     bool   `json:"ok"`
	Detail string `json:"detail"`
}

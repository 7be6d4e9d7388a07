package main

import (
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// print writes a result as a line of JSON, or as text.
func (s *settings) print(out io.Writer, r *result) error {
	if s.json {
		return json.NewEncoder(out).Encode(r)
	}
	_, err := io.WriteString(out, r.text())
	return err
}

// text is one line on the paths, and one more for everything that is to be looked at.
func (r *result) text() string {
	if r.Error != "" {
		return fmt.Sprintf("%s: %s\n", r.Name, r.Error)
	}
	moves := 0
	for _, p := range r.Paths {
		moves += len(p.Moves)
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %d paths of %d moves, %.3f mm %s with a %.3f mm cutter; gouge %.6f mm, uncut %.3f mm\n",
		r.Name, len(r.Paths), moves, r.Length, r.Side, r.Cutter, r.Check.Gouge, r.Check.Uncut)
	for _, u := range r.Unreachable {
		fmt.Fprintf(&b, "  not reached: %.3f mm of the edge around (%.3f, %.3f)\n", u.Size, u.At[0], u.At[1])
	}
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "  %s: %s %.3f, %d of them, first at (%.3f, %.3f)\n", f.Rule, f.Detail, f.Value, f.Count, f.Places[0][0], f.Places[0][1])
	}
	return b.String()
}

package main

import (
	"encoding/json"
	"fmt"
	"io"
)

// print writes a result as a line of JSON, or as text.
func (s *settings) print(out io.Writer, r *result) error {
	if s.json {
		b, err := json.Marshal(r)
		if err != nil {
			return err
		}
		_, err = out.Write(append(b, '\n'))
		return err
	}
	if r.Error != "" {
		_, err := fmt.Fprintf(out, "%s: %s\n", r.Name, r.Error)
		return err
	}
	moves := 0
	for _, p := range r.Paths {
		moves += len(p.Moves)
	}
	_, err := fmt.Fprintf(out, "%s: %d paths of %d moves, %.3f mm %s with a %.3f mm cutter; gouge %.6f mm, uncut %.3f mm\n",
		r.Name, len(r.Paths), moves, r.Length, r.Side, r.Cutter, r.Check.Gouge, r.Check.Uncut)
	for _, u := range r.Unreachable {
		if err == nil {
			_, err = fmt.Fprintf(out, "  not reached: %.3f mm of the edge around (%.3f, %.3f)\n", u.Size, u.At[0], u.At[1])
		}
	}
	for _, f := range r.Findings {
		if err == nil {
			_, err = fmt.Fprintf(out, "  %s: %s %.3f, %d of them, first at (%.3f, %.3f)\n", f.Rule, f.Detail, f.Value, f.Count, f.Places[0][0], f.Places[0][1])
		}
	}
	return err
}

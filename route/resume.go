package route

import (
	"fmt"
	"slices"
)

// Stop says where a mounted pass came to a halt.
type Stop struct {
	Run  int `json:"run"`  // Run.Number
	Path int `json:"path"` // index in the run of the first path not known to be finished
}

// Done is what one cutter cut before a stop.
type Done struct {
	Diameter float64 `json:"diameter_mm"` // of the cutter
	Paths    []Path  `json:"paths"`
}

// Resume returns the rest of a mounted pass from a stop on, after a broken
// cutter: the path that was being cut is cut again from its start by a fresh
// cutter in the same place, the others as planned. What was finished stays with the pass
// as Done, so that [Check] knows the edges that are cut already and what still
// holds. Order and division among cutters stay; figures are those of the rest.
//
// In is the input of the layout the pass was planned from.
//
// The error is [ErrUnmounted], or a [*MountError] wrapping [ErrStop] for a stop
// that is not in the pass or [ErrObstacle] when no rapid reaches the path.
func Resume(p Pass, at Stop, in Input) (Pass, error) {
	if !p.Mounted() {
		return Pass{}, ErrUnmounted
	}
	k := slices.IndexFunc(p.Runs, func(r Run) bool { return r.Number == at.Run })
	if k < 0 || at.Path < 0 || at.Path >= len(p.Runs[k].Paths) {
		return Pass{}, &MountError{Pass: p.Name, Found: fmt.Sprintf("path %d of run %d", at.Path, at.Run), Expected: "a path of the pass", Err: ErrStop}
	}
	out := p
	out.Done = slices.Clone(p.Done)
	for _, r := range p.Runs[:k] {
		out.Done = append(out.Done, Done{r.Tool.Diameter, r.Paths})
	}
	out.Runs = slices.Clone(p.Runs[k:])
	r := &out.Runs[0]
	if at.Path > 0 {
		out.Done = append(out.Done, Done{r.Tool.Diameter, r.Paths[:at.Path]})
	}
	return out, r.rest(&out, at.Path, in)
}

// rest keeps the paths of a run from index first on.
func (r *Run) rest(p *Pass, first int, in Input) error {
	r.Paths = slices.Clone(r.Paths[first:])
	via, ok := detour(in.Machine.ChangeAt, r.Paths[0].Line.Start, p.Around, in.Machine, p.Panel)
	if !ok {
		return &MountError{Pass: p.Name, Tool: r.Tool.ID, Found: "no way from the change position to the path", Expected: "room for the foot between the keep-outs", Err: ErrObstacle}
	}
	r.Paths[0].Via = via
	var left []Cutter
	for _, c := range r.Cutters {
		end := c.First + c.Paths - first
		if end <= 0 {
			continue
		}
		c.First = max(0, c.First-first)
		c.Paths = end - c.First
		c.Cut = 0
		for _, q := range r.Paths[c.First:end] {
			c.Cut += q.Length()
		}
		c.Cut = micro(c.Cut)
		left = append(left, c)
	}
	r.Cutters = left
	return r.measure(in)
}

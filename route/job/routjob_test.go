package job_test

import (
	"context"
	"encoding/json"
	"fmt"
	"testing"
	"testing/fstest"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
)

// routed is a job of one kind of board, 60 x 40 mm, twice on a panel: all that
// the routing clauses change is said in a patch of the job file, in the board's
// edges and in its holes. It is invented.
type routed struct {
	patch    string   // merged over the job file
	edge     []string // the outline's body lines; none: a rectangle
	cutOuts  []string // the cut-outs' body lines
	plated   []string // lines of the plated drill file, with tools of routedTools
	unplated []string // and of the unplated one
}

// routedTools are the tools of both drill files: finished diameters in mm.
var routedTools = []float64{1.0, 3.0, 8.0, 7.0}

// fewTools is a crib with bits for the small holes and one cutter.
const fewTools = `{"tools": [
  {"id": "B1", "kind": "bit", "diameter_mm": 1.15, "flute_mm": 10, "price": 1}, {"id": "B3", "kind": "bit", "diameter_mm": 3.0, "flute_mm": 12, "price": 1},
  {"id": "B3.05", "kind": "bit", "diameter_mm": 3.05, "flute_mm": 12, "price": 1}, {"id": "C2", "kind": "cutter", "diameter_mm": 2.0, "flute_mm": 10, "price": 1}]}`

const routedJob = `{
  "schema": 1, "job": "routed", "revision": "A", "note": "invented", "panels": 10,
  "panel": {"width_mm": 200, "height_mm": 120, "thickness_mm": 1.6, "material": "FR-4",
    "features": [
      {"role": "pin", "at_mm": [100, 5], "diameter_mm": 3.175},
      {"role": "pin", "at_mm": [90, 115], "diameter_mm": 3.175}]},
  "boards": [{"name": "a", "outline": "outline.rte", "drill": [
      {"file": "plated.drl", "sizes": "finished", "plating": "plated", "class": "component"},
      {"file": "unplated.drl", "sizes": "finished", "plating": "unplated"}]}],
  "placements": [{"board": "a", "at_mm": [25, 30], "columns": 2, "step_mm": [80, 0]}],
  "machine": "ball screw", "machine_adjust": {"change_at_mm": [-20, -20]},
  "rules": {"tabs": {"per_board": 4, "perforated": false, "width_mm": 2}}
}`

// ring writes a closed polyline as rout moves.
func ring(points ...orb.Point) []string {
	out := []string{"G00" + xy(points[0][0], points[0][1]), "M15"}
	for _, p := range append(points[1:], points[0]) {
		out = append(out, "G01"+xy(p[0], p[1]))
	}
	return append(out, "M16")
}

func box(x0, y0, x1, y1 float64) []string {
	return ring(orb.Point{x0, y0}, orb.Point{x1, y0}, orb.Point{x1, y1}, orb.Point{x0, y1})
}

func (r routed) files(t *testing.T) fstest.MapFS {
	t.Helper()
	var base, patch any
	require.NoError(t, json.Unmarshal([]byte(routedJob), &base))
	if r.patch != "" {
		require.NoError(t, json.Unmarshal([]byte(r.patch), &patch), r.patch)
		base = merged(base, patch)
	}
	src, err := json.MarshalIndent(base, "", " ")
	require.NoError(t, err)
	edge := r.edge
	if edge == nil {
		edge = box(0, 0, 60, 40)
	}
	out := fstest.MapFS{
		"job.json":     {Data: src},
		"plated.drl":   {Data: []byte(drillFile(routedTools, append([]string{"T1 " + xy(10, 35)}, r.plated...)))},
		"unplated.drl": {Data: []byte(drillFile(routedTools, append([]string{"T2 " + xy(5, 5), "T2 " + xy(55, 35)}, r.unplated...)))},
		"outline.rte":  {Data: []byte(routFile(append(append([]string{}, edge...), r.cutOuts...)))},
	}
	out["crib.json"] = &fstest.MapFile{Data: []byte(fewTools)}
	return out
}

// merged puts the members of a JSON patch over those of a value, objects member
// by member, all else whole.
func merged(base, patch any) any {
	b, ok := base.(map[string]any)
	p, also := patch.(map[string]any)
	if !ok || !also {
		return patch
	}
	for k, v := range p {
		b[k] = merged(b[k], v)
	}
	return b
}

// planned goes from files to checked programs. The error is the first of reading,
// planning and the check.
func (r routed) planned(t *testing.T) (job.Plan, tooling.Report, error) {
	t.Helper()
	j, err := job.Load(r.files(t), "job.json")
	if err != nil {
		return job.Plan{}, nil, err
	}
	p, err := job.Make(context.Background(), j, job.Options{})
	if err != nil {
		return p, nil, err
	}
	_, report, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	return p, append(p.Report, report...), report.Err()
}

// paths lists what the rout passes cut, in order: pass, cutter, role and whose.
func paths(p job.Plan) []string {
	var out []string
	for _, pass := range p.Rout {
		for _, r := range pass.Runs {
			for _, q := range r.Paths {
				of := "outline"
				switch {
				case q.Open != "":
					of = fmt.Sprintf("open %s", q.Open)
				case q.Hole:
					of = "hole"
				case q.Loop > 0:
					of = "cut-out"
				}
				out = append(out, fmt.Sprintf("%s %g %s %s", pass.Name, r.Tool.Diameter, q.Role, of))
			}
		}
	}
	return out
}

package job_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing/fstest"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/job"
)

// small is a panel small enough to plan in a moment and large enough to hold
// every kind of work: two boards with an inner cut-out, plated and unplated
// holes, a plated slot, a large hole with a pilot. It is invented.
type small struct {
	job      string
	plated   []string // body lines
	unplated []string
	outline  []string
	metric   bool
}

func newSmall() small {
	s := small{metric: true, job: `{
  "schema": 1, "job": "small", "revision": "A", "note": "invented", "panels": 10,
  "panel": {"width_mm": 120, "height_mm": 100, "thickness_mm": 1.6, "material": "FR-4",
    "features": [
      {"role": "pin", "at_mm": [60, 5], "diameter_mm": 3.175, "set_up": 1},
      {"role": "pin", "at_mm": [56, 95], "diameter_mm": 3.175, "set_up": 1},
      {"role": "tooling", "at_mm": [6, 50], "diameter_mm": 3.2},
      {"role": "tooling", "at_mm": [114, 54], "diameter_mm": 3.2},
      {"role": "pin", "at_mm": [6, 50], "diameter_mm": 3.175, "set_up": 2},
      {"role": "pin", "at_mm": [114, 54], "diameter_mm": 3.175, "set_up": 2}]},
  "boards": [{"name": "a", "outline": "outline.rte", "drill": [
      {"file": "plated.drl", "sizes": "finished", "plating": "plated"},
      {"file": "unplated.drl", "plating": "unplated"}]}],
  "placements": [{"board": "a", "at_mm": [15, 20], "columns": 2, "step_mm": [45, 0]}],
  "machine": "ball screw", "machine_adjust": {"change_at_mm": [-20, -20]},
  "rules": {"rout": {"cutter_mm": 2}}
}`}
	for y := range 5 {
		for x := range 7 {
			s.plated = append(s.plated, fmt.Sprintf("T1 %s", xy(5.08+2.54*float64(x), 30.48+2.54*float64(y))))
		}
	}
	s.plated = append(s.plated, "T2 "+xy(7.62, 50.8), "T2 "+xy(30.48, 50.8), "T3 "+xy(7.62, 10.16)+"G85"+xy(10.16, 10.16))
	s.unplated = []string{"T1 " + xy(5.08, 5.08), "T1 " + xy(30.48, 5.08), "T2 " + xy(17.78, 55.88)}
	s.outline = []string{
		"G00" + xy(0, 2.54), "M15", "G03" + xy(2.54, 0) + "A2.54", "G01" + xy(38.1, 0), "G01" + xy(38.1, 60.96), "G01" + xy(0, 60.96), "G01" + xy(0, 2.54), "M16",
		"G00" + xy(15.24, 12.7), "M15", "G01" + xy(22.86, 12.7), "G01" + xy(22.86, 22.86), "G01" + xy(15.24, 22.86), "G01" + xy(15.24, 12.7), "M16",
	}
	return s
}

func xy(x, y float64) string { return fmt.Sprintf("X%.3fY%.3f", x, y) }

// drillFile sorts the hits by tool, since a body line says "T1 X..Y..".
func drillFile(sizes []float64, lines []string) string {
	var b strings.Builder
	b.WriteString("M48\nMETRIC\n")
	for i, d := range sizes {
		fmt.Fprintf(&b, "T%dC%.3f\n", i+1, d)
	}
	b.WriteString("%\nG90\nG05\n")
	for i := range sizes {
		name := fmt.Sprintf("T%d", i+1)
		b.WriteString(name + "\n")
		for _, l := range lines {
			if at, ok := strings.CutPrefix(l, name+" "); ok {
				b.WriteString(at + "\n")
			}
		}
	}
	b.WriteString("M30\n")
	return b.String()
}

func routFile(lines []string) string {
	return "M48\nMETRIC\nT1C1.000\n%\nG90\nT1\nG40\n" + strings.Join(lines, "\n") + "\nM30\n"
}

// files lays the job out as a file system.
func (s small) files() fstest.MapFS {
	return fstest.MapFS{
		"job.json":     {Data: []byte(s.job)},
		"plated.drl":   {Data: []byte(drillFile([]float64{0.8, 1.0, 0.9}, s.plated))},
		"unplated.drl": {Data: []byte(drillFile([]float64{3.2, 5.0}, s.unplated))},
		"outline.rte":  {Data: []byte(routFile(s.outline))},
	}
}

func (s small) shuffled(seed uint64) small {
	r := rand.New(rand.NewPCG(seed, 7))
	for _, lines := range []*[]string{&s.plated, &s.unplated} {
		*lines = append([]string(nil), *lines...)
		r.Shuffle(len(*lines), func(a, b int) { (*lines)[a], (*lines)[b] = (*lines)[b], (*lines)[a] })
	}
	return s
}

// moved returns a job with everything on the panel, and the change position,
// put through f; swap says that f swaps the axes.
func moved(j job.Job, f func(orb.Point) orb.Point, width, height float64) job.Job {
	j.Drill.Panel.Width, j.Drill.Panel.Height = width, height
	j.Drill.Panel.Features = append(j.Drill.Panel.Features[:0:0], j.Drill.Panel.Features...)
	for i := range j.Drill.Panel.Features {
		j.Drill.Panel.Features[i].At = f(j.Drill.Panel.Features[i].At)
	}
	j.Drill.Holes = append(j.Drill.Holes[:0:0], j.Drill.Holes...)
	for i := range j.Drill.Holes {
		j.Drill.Holes[i].At, j.Drill.Holes[i].To = f(j.Drill.Holes[i].At), f(j.Drill.Holes[i].To)
	}
	j.Drill.Machine.ChangeAt = f(j.Drill.Machine.ChangeAt)
	return j
}

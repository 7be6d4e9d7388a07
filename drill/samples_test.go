package drill_test

import (
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
)

// sampleNames are the sample panels, all of them invented.
var sampleNames = []string{"greenhouse-sensor", "tide-logger", "pump-backplane"}

// sampleJob is as much of a job file as drilling needs. The whole form belongs
// to the package above this one.
type sampleJob struct {
	Panels int           `json:"panels"`
	Panel  tooling.Panel `json:"panel"`
	Boards []struct {
		Name  string `json:"name"`
		Drill []struct {
			File    string        `json:"file"`
			Sizes   tooling.Basis `json:"sizes"`
			Plating drill.Plating `json:"plating"`
			Class   tooling.Class `json:"class"`
			Digits  [2]int        `json:"digits"`
			Tools   []struct {
				Tool  int           `json:"tool"`
				Class tooling.Class `json:"class"`
				Half  bool          `json:"half"`
			} `json:"tools"`
		} `json:"drill"`
	} `json:"boards"`
	Placements []struct {
		Board   string    `json:"board"`
		At      orb.Point `json:"at_mm"`
		Columns int       `json:"columns"`
		Rows    int       `json:"rows"`
		Step    orb.Point `json:"step_mm"`
	} `json:"placements"`
	Machine string          `json:"machine"`
	Adjust  json.RawMessage `json:"machine_adjust"`
}

func readSample(t testing.TB, name, file string) []byte {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "testdata", "panels", name, file))
	require.NoError(t, err)
	return src
}

// sample reads a sample panel's job and drill files. The report is of reading
// and of taking out duplicates.
func sample(t testing.TB, name string) (drill.Input, sampleJob, tooling.Report) {
	t.Helper()
	var job sampleJob
	require.NoError(t, json.Unmarshal(readSample(t, name, "job.json"), &job))
	preset, ok := machine.Preset(job.Machine)
	require.True(t, ok, "machine %q", job.Machine)
	mill, err := machine.Decode(job.Adjust, "job.json", preset)
	require.NoError(t, err)

	var boards [][]drill.Hole
	var report tooling.Report
	number := map[string]int{}
	for i, b := range job.Boards {
		number[b.Name] = i
		var holes []drill.Hole
		for _, d := range b.Drill {
			p, err := nc.Parse(readSample(t, name, d.File), nc.ReadOptions{File: d.File, Digits: nc.Digits{Int: d.Digits[0], Dec: d.Digits[1]}})
			require.NoError(t, err)
			m := drill.Marking{Plating: d.Plating, Sizes: d.Sizes, Class: d.Class}
			for _, x := range d.Tools {
				m.Tools = append(m.Tools, drill.ToolMarking{Tool: x.Tool, Class: x.Class, Half: x.Half})
			}
			got, r, err := drill.Read(p, d.File, m)
			require.NoError(t, err)
			holes = append(holes, got...)
			report = append(report, r...)
		}
		boards = append(boards, holes)
	}
	panel := job.Panel
	for _, p := range job.Placements {
		for c := range max(p.Columns, 1) {
			for r := range max(p.Rows, 1) {
				panel.Boards = append(panel.Boards, tooling.Placement{Board: number[p.Board], Offset: orb.Point{
					tooling.Snap(p.At[0] + float64(float64(c)*p.Step[0])), tooling.Snap(p.At[1] + float64(float64(r)*p.Step[1])),
				}})
			}
		}
	}
	holes, r, err := drill.Distinct(drill.Place(boards, panel), false)
	require.NoError(t, err)
	report = append(report, r...)
	return drill.Input{
		Holes: holes, Panel: panel, Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill,
	}, job, report
}

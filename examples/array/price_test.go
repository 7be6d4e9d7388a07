package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/job"
)

// What a board is said to cost is what the panel's own plan makes it cost, within a
// few per cent, however boards are parted: or the wrong way of parting would win.
func TestTheCostOfABoardIsThatOfItsPanel(t *testing.T) {
	const board = "%FSLAX33Y33*%\n%MOMM*%\n%ADD10C,0.1*%\nD10*\nX0Y0D02*\nG01*\nX50000D01*\nY30000D01*\nX0D01*\nY0D01*\nM02*\n"
	for gap, within := range map[string]float64{"2.4": 0.01, "6.8": 0.01, "score": 0.03, "": 0.03} {
		t.Run(gap, func(t *testing.T) {
			o := float(t.TempDir())
			o.outline, o.plated, o.unplated, o.score = filepath.Join(t.TempDir(), "plain.gbr"), "", "", ""
			o.panels, o.gap, o.quantity = "400x300,457x610", gap, 2000
			require.NoError(t, os.WriteFile(o.outline, []byte(board), 0o600))
			var text bytes.Buffer
			require.NoError(t, run(t.Context(), &text, o))
			var said struct {
				PerBoard float64 `json:"cost_per_board"`
			}
			require.NoError(t, json.Unmarshal(text.Bytes(), &said))
			j, err := job.Load(os.DirFS(o.out), "job.json")
			require.NoError(t, err)
			p, err := job.Make(t.Context(), j, job.Options{Drill: drill.Options{Tour: tour.Options{Kicks: 0.1}}})
			require.NoError(t, err)
			panel := j.Drill.Panel
			each := p.Stack.Cost.PerPanel + array.NewStock(panel.Width, panel.Height).Price + scorePrice*float64(len(panel.Scores))
			require.InEpsilon(t, each*float64(j.Lot)/2000, said.PerBoard, within)
		})
	}
}

package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/tooling"
)

// drawn is an artwork file of blocks, in um.
func drawn(t *testing.T, name, blocks string) string {
	t.Helper()
	file := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(file, []byte("%FSLAX33Y33*%\n%MOMM*%\n%ADD10C,0.1*%\nD10*\nG75*\n"+blocks), 0o644))
	return file
}

const (
	rectangle = "X0Y0D02*\nG01X50000D01*\nY30000D01*\nX0D01*\nY0D01*\nM02*\n"
	sides     = "X0Y-5000D02*\nG01Y35000D01*\nX50000D02*\nY-5000D01*\n"
	strips    = "G36*\nX-100Y-5000D02*\nG01X100D01*\nY35000D01*\nX-100D01*\nY-5000D01*\nG37*\nG36*\nX49900Y-5000D02*\nX50100D01*\nY35000D01*\nX49900D01*\nY-5000D01*\nG37*\n"
	letterV   = "X52000Y32000D02*\nG01X53000Y30000D01*\nX54000Y32000D01*\n"
)

// The score layer is read as score layers are, and nothing of it is passed over
// without a word.
func TestScoreLayer(t *testing.T) {
	for _, c := range []struct {
		name, blocks string
		scores       bool     // one way, and the other is routed
		rules        []string // findings
		err          error
	}{
		{"lines", sides + "M02*", true, nil, nil},
		{"strips", strips + "M02*", true, []string{"score-strip"}, nil},
		{"lettering beside the board", sides + letterV + "M02*", true, []string{"score-beside"}, nil},
		{"no end", sides, true, []string{"end-missing"}, nil},
		{"empty", "M02*", false, []string{"score-none"}, nil},
		{"a tick", "X0Y-5000D02*\nG01Y-4000D01*\nM02*", false, nil, array.ErrUnscored},
		{"a circle on the board", sides + "X35000Y15000D02*\nG03X35000Y15000I-10000J0D01*\nM02*", false, nil, route.ErrScore},
		{"a wide area on the board", sides + "G36*\nX10000Y10000D02*\nG01X20000D01*\nY20000D01*\nX10000D01*\nY10000D01*\nG37*\nM02*", false, nil, route.ErrScore},
	} {
		t.Run(c.name, func(t *testing.T) {
			o := float(filepath.Join(t.TempDir(), "out"))
			o.plated, o.unplated = "", ""
			o.outline, o.score = drawn(t, "outline.gbr", rectangle), drawn(t, "score.gbr", c.blocks)
			var text, shown bytes.Buffer
			err := run(t.Context(), &text, o)
			if c.err != nil {
				require.ErrorIs(t, err, c.err)
				printError(&shown, err)
				var said struct {
					Place struct {
						File string
						Line int
						At   []float64 `json:"at_mm"`
					}
				}
				require.NoError(t, json.Unmarshal(shown.Bytes(), &said))
				require.Equal(t, "score.gbr", said.Place.File)
				require.Positive(t, said.Place.Line)
				require.Len(t, said.Place.At, 2)
				return
			}
			require.NoError(t, err)
			var said struct{ Findings tooling.Report }
			require.NoError(t, json.Unmarshal(text.Bytes(), &said))
			var rules []string
			for _, f := range said.Findings {
				if f.Source.File == "score.gbr" {
					rules = append(rules, f.Rule)
				}
			}
			require.Equal(t, c.rules, rules)
			job, err := os.ReadFile(filepath.Join(o.out, "job.json"))
			require.NoError(t, err)
			if c.scores {
				require.Regexp(t, "(columns|rows) scored", string(job))
				require.Regexp(t, "(columns|rows) routed", string(job))
			}
		})
	}
}

// A score layer in the outline's place is refused.
func TestScoreLayerIsNoOutline(t *testing.T) {
	o := float(filepath.Join(t.TempDir(), "out"))
	o.outline = drawn(t, "score.gbr", "%TF.FileFunction,Vcut*%\n"+sides+"M02*")
	err := run(t.Context(), &bytes.Buffer{}, o)
	require.ErrorIs(t, err, artwork.ErrNoProfile)
	require.ErrorContains(t, err, "score.gbr: ")
}

//go:build shared

package artwork_test

import (
	"encoding/json"
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

// reading is an independent reading of one published outline, as the README beside
// it describes.
type reading struct {
	File    string `json:"file"`
	Strokes int    `json:"strokes"`
	Lines   int    `json:"lines"`
	Arcs    int    `json:"arcs"`
	Loops   []struct {
		Role      string     `json:"role"`
		Area      float64    `json:"area_mm2"`
		Perimeter float64    `json:"perimeter_mm"`
		Box       [4]float64 `json:"box_mm"`
	} `json:"loops"`
	Judged *struct {
		NotBoard []int `json:"loops_that_are_not_board"`
	} `json:"judged"`
	IsProfile bool `json:"is_a_board_profile"`
	// null where it is none
	Boards   *int     `json:"boards_judged"`
	Area     *float64 `json:"board_area_judged_mm2"`
	Join     *float64 `json:"tolerance_um_needed"`
	Gap      *float64 `json:"largest_joined_gap_mm"`
	OpenGap  float64  `json:"largest_open_gap_mm"`
	OpenList []struct {
		Ends [][2]float64 `json:"ends_mm"`
	} `json:"open_list"`
	Apertures []struct {
		Size    []float64 `json:"size_mm"`
		Strokes int       `json:"strokes"`
	} `json:"apertures"`
}

func boardsFolder(t *testing.T) string {
	t.Helper()
	root := os.Getenv("PINSTACK_SHARED")
	require.NotEmpty(t, root, "PINSTACK_SHARED names the folder of shared inputs")
	return filepath.Join(root, "boards")
}

// The nine published outlines come out as an independent reader has them.
func TestPublishedOutlines(t *testing.T) {
	folder := boardsFolder(t)
	raw, err := os.ReadFile(filepath.Join(folder, "outline-readings.json"))
	require.NoError(t, err)
	var readings []reading
	require.NoError(t, json.Unmarshal(raw, &readings))
	require.Len(t, readings, 9)
	for _, want := range readings {
		t.Run(want.File, func(t *testing.T) {
			src, err := os.ReadFile(filepath.Join(folder, want.File))
			require.NoError(t, err)
			layer, err := artwork.Read(src, want.File, artwork.Options{})
			require.NoError(t, err)
			lines := 0
			for _, s := range layer.Strokes {
				if s.Turn == 0 {
					lines++
				}
			}
			require.Equal(t, []int{want.Strokes, want.Lines, want.Arcs}, []int{len(layer.Strokes), lines, len(layer.Strokes) - lines})
			p, err := layer.Profile(artwork.ProfileOptions{})
			if !want.IsProfile {
				var open *artwork.OpenError
				require.True(t, errors.As(err, &open), "got %v", err)
				require.InDelta(t, want.OpenGap, open.Gap, 1e-4)
				ends := want.OpenList[0].Ends
				for k, p := range []orb.Point{open.From, open.To} {
					require.InDelta(t, ends[k][0], p[0], 1e-4)
					require.InDelta(t, ends[k][1], p[1], 1e-4)
				}
				t.Log(err)
				return
			}
			require.NoError(t, err)
			require.Len(t, p.Boards, *want.Boards)
			board := p.Boards[0]
			perimeter := board.Outline.Length()
			for _, c := range board.CutOuts {
				perimeter += c.Length()
			}
			within := 1e-3
			if p.Gap > 0 {
				within += p.Join * perimeter
			}
			require.InDelta(t, *want.Area, board.Area(), within)
			require.InDelta(t, *want.Gap, p.Gap, 1e-5)
			if *want.Gap > 0 {
				require.InDelta(t, *want.Join, p.Join*1e3, 1e-9)
			}
			next := 0
			contours := append(p.Boards[:1:1][0].CutOuts, board.Outline)
			dropped := map[int]bool{}
			if want.Judged != nil {
				for _, n := range want.Judged.NotBoard {
					dropped[n] = true
				}
			}
			for n, l := range want.Loops {
				if dropped[n] {
					continue
				}
				next++
				found := false
				for _, c := range contours {
					b := c.Bound()
					off := 0.0
					for k, v := range [4]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]} {
						off = max(off, math.Abs(v-l.Box[k]))
					}
					outer := l.Role == "outline"
					if off < 1e-3 && math.Abs(math.Abs(c.Area())-l.Area) < 1e-3 && (c.Area() > 0) == outer {
						found = true
					}
				}
				require.True(t, found, "loop %d of box %v", n, l.Box)
			}
			require.Len(t, contours, next)
			t.Logf("area %.5f mm2 (%.5f), join %.3f mm, gap %.6f mm, items %d", board.Area(), *want.Area, p.Join, p.Gap, len(p.Items))
			for _, f := range p.Report {
				t.Log(f)
			}
		})
	}
}

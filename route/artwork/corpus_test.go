package artwork_test

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

var update = flag.Bool("update", false, "write the golden files anew")

const corpus = "../../testdata/artwork"

// outcome is what becomes of a file, as the golden file keeps it.
type outcome struct {
	Format    string   `json:"format,omitempty"`
	Function  string   `json:"function,omitempty"`
	Apertures []string `json:"apertures,omitempty"`
	Drawn     string   `json:"drawn,omitempty"`
	Boards    []string `json:"boards,omitempty"`
	CutOuts   []string `json:"cut_outs,omitempty"`
	Scores    []string `json:"scores,omitempty"`
	Joined    string   `json:"joined,omitempty"`
	Items     []string `json:"items,omitempty"`
	Findings  []string `json:"findings,omitempty"`
	Error     string   `json:"error,omitempty"`
}

func contourText(c contour.Contour) string {
	arcs := 0
	for _, m := range c.Moves {
		if m.Turn != 0 {
			arcs++
		}
	}
	return fmt.Sprintf("area %.6f mm2, %s, %d lines, %d arcs", c.Area(), boxText(c.Bound()), len(c.Moves)-arcs, arcs)
}

func boxText(b orb.Bound) string {
	return strings.ReplaceAll(fmt.Sprintf("box %.4f,%.4f to %.4f,%.4f", b.Min[0], b.Min[1], b.Max[0], b.Max[1]), "-0.0000", "0.0000")
}

func findingText(f tooling.Finding) string {
	s := fmt.Sprintf("%s: %d at %d:%d", f.Rule, f.Count, f.Source.Line, f.Source.Column)
	if f.Value != 0 {
		s += fmt.Sprintf(", value %.6f", f.Value)
	}
	return s
}

// digest reads a file and makes boards of it.
func digest(src []byte, name string) outcome {
	var o outcome
	l, err := artwork.Read(src, name, artwork.Options{})
	if err != nil {
		o.Error = err.Error()
		return o
	}
	unit := "mm"
	if l.Format.Inch {
		unit = "inch"
	}
	o.Format = fmt.Sprintf("%s X%d:%d Y%d:%d", unit, l.Format.Integers[0], l.Format.Decimals[0], l.Format.Integers[1], l.Format.Decimals[1])
	if l.Format.Trailing {
		o.Format += " trailing"
	}
	if l.Format.Incremental {
		o.Format += " incremental"
	}
	o.Function = l.Function.String()
	for _, a := range l.Apertures {
		s := fmt.Sprintf("D%d %v %.4f x %.4f", a.Code, a.Shape, a.Width, a.Height)
		if a.Hole > 0 {
			s += fmt.Sprintf(" hole %.4f", a.Hole)
		}
		if a.Function != "" {
			s += " " + a.Function
		}
		o.Apertures = append(o.Apertures, s)
	}
	o.Drawn = fmt.Sprintf("%d strokes, %d flashes, %d regions, %d attributes", len(l.Strokes), len(l.Flashes), len(l.Regions), len(l.Attributes))
	for _, f := range l.Report {
		o.Findings = append(o.Findings, findingText(f))
	}
	p, err := l.Profile(artwork.ProfileOptions{})
	if err != nil {
		o.Error = err.Error()
		return o
	}
	for i, b := range p.Boards {
		o.Boards = append(o.Boards, contourText(b.Outline))
		for _, c := range b.CutOuts {
			o.CutOuts = append(o.CutOuts, fmt.Sprintf("board %d: %s", i, contourText(c)))
		}
	}
	for _, s := range p.Scores {
		o.Scores = append(o.Scores, fmt.Sprintf("%.4f,%.4f to %.4f,%.4f", s.From[0], s.From[1], s.To[0], s.To[1]))
	}
	if p.Gap > 0 {
		o.Joined = fmt.Sprintf("gaps to %.4f mm within %.3f mm", p.Gap, p.Join)
	}
	for _, i := range p.Items {
		o.Items = append(o.Items, fmt.Sprintf("%v of %d at %d:%d, %s", i.Kind, i.Strokes, i.Source.Line, i.Source.Column, boxText(i.Box)))
	}
	for _, f := range p.Report {
		o.Findings = append(o.Findings, findingText(f))
	}
	return o
}

// Every file of the corpus reads as its golden entry says; refused-* and no others
// are refused, with a typed error that names the file.
func TestCorpus(t *testing.T) {
	files, err := filepath.Glob(filepath.Join(corpus, "*.gbr"))
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 30)
	got := map[string]outcome{}
	for _, file := range files {
		src, err := os.ReadFile(file)
		require.NoError(t, err)
		name := filepath.Base(file)
		o := digest(src, name)
		require.Equal(t, strings.HasPrefix(name, "refused-"), o.Error != "", "%s: %s", name, o.Error)
		require.True(t, o.Error == "" || strings.HasPrefix(o.Error, name+":"), "%s: %s", name, o.Error)
		got[name] = o
	}
	golden := filepath.Join(corpus, "readings.json")
	if *update {
		text, err := json.MarshalIndent(got, "", "  ")
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(golden, append(text, '\n'), 0o644))
	}
	text, err := os.ReadFile(golden)
	require.NoError(t, err)
	var want map[string]outcome
	require.NoError(t, json.Unmarshal(text, &want))
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

// Every file is in the README's table and the other way round.
func TestCorpusListed(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(corpus, "README.md"))
	require.NoError(t, err)
	files, err := filepath.Glob(filepath.Join(corpus, "*.gbr"))
	require.NoError(t, err)
	for _, file := range files {
		require.Contains(t, string(text), "| "+filepath.Base(file)+" |")
	}
	require.Equal(t, len(files), strings.Count(string(text), ".gbr |"))
}

// Errors can be told apart by kind.
func TestErrorKinds(t *testing.T) {
	for name, want := range map[string]error{
		"refused-open": artwork.ErrOpen, "refused-open-around-cut-out": artwork.ErrOpen, "refused-cut-out-open": artwork.ErrOpen,
		"refused-half-circle": artwork.ErrOpen, "refused-figure-eight": artwork.ErrCrossing, "refused-cut-out-crosses": artwork.ErrCrossing,
		"refused-two-outlines-cross": artwork.ErrCrossing, "refused-sheet-frame": artwork.ErrAmbiguous, "refused-sheet-frame-with-text": artwork.ErrAmbiguous,
		"refused-double-line": artwork.ErrAmbiguous, "refused-island": artwork.ErrAmbiguous, "refused-no-strokes": artwork.ErrNoProfile,
		"refused-format-missing": artwork.ErrFormat, "refused-format-changed": artwork.ErrFormat, "refused-units-missing": artwork.ErrUnits,
		"refused-units-contradict": artwork.ErrUnits, "refused-arc-without-centre": artwork.ErrArc, "refused-arc-centre-far": artwork.ErrArc,
		"refused-scale-factor": artwork.ErrUnsupported, "refused-include": artwork.ErrUnsupported, "refused-aperture-code": artwork.ErrAperture,
		"refused-beyond-10-m": artwork.ErrRange, "refused-coordinate-twice": artwork.ErrSyntax, "refused-drill-file": artwork.ErrNotArtwork,
		"refused-empty": artwork.ErrNotArtwork, "refused-not-artwork": artwork.ErrNotArtwork, "refused-repeats-too-many": artwork.ErrLimit,
		"refused-wide-cross": artwork.ErrUnsupported, "refused-bay-in-edge": artwork.ErrAmbiguous, "refused-boards-share-edge": artwork.ErrAmbiguous,
		"refused-heap": artwork.ErrLimit, "refused-number-trailing": artwork.ErrNumber, "refused-increments": artwork.ErrRange,
	} {
		src, err := os.ReadFile(filepath.Join(corpus, name+".gbr"))
		require.NoError(t, err)
		l, err := artwork.Read(src, name, artwork.Options{})
		if err == nil {
			_, err = l.Profile(artwork.ProfileOptions{})
		}
		require.True(t, errors.Is(err, want), "%s: got %v, want %v", name, err, want)
	}
}

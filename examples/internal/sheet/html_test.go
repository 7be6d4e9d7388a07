package sheet_test

import (
	"bytes"
	"encoding/base64"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

func page(t testing.TB, s *sheet.Sheet, scene *picture.Scene) string {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.WriteHTML(&b, scene))
	return b.String()
}

func TestPageGolden(t *testing.T) {
	s, scene := greenhouse()
	golden(t, "sheet.html", []byte(bare(t, page(t, s, scene))))
}

// bare is a page with the names of style and script files in place of their texts,
// every one of which it must hold whole.
func bare(t testing.TB, page string) string {
	t.Helper()
	names, err := filepath.Glob("page/script/*.js")
	require.NoError(t, err)
	require.Len(t, names, 8)
	for _, name := range append(names, "page/sheet.css") {
		text, err := os.ReadFile(name)
		require.NoError(t, err)
		require.Equal(t, 1, strings.Count(page, string(text)), name)
		page = strings.Replace(page, string(text), "/* "+filepath.ToSlash(name)+" */\n", 1)
	}
	return page
}

func TestPageIsTheSameTwice(t *testing.T) {
	a, b := backplane(3000)
	c, d := backplane(3000)
	require.Equal(t, page(t, a, b), page(t, c, d))
}

func TestPageStaysSmall(t *testing.T) {
	s, scene := backplane(20_000)
	n := len(page(t, s, scene))
	t.Logf("page of 20,000 hits: %d bytes", n)
	require.Less(t, n, 3_000_000)
}

// TestPageIsSelfContained holds that the page asks the network for nothing.
func TestPageIsSelfContained(t *testing.T) {
	s, scene := greenhouse()
	got := page(t, s, scene)
	for _, word := range []string{"src=", "<link", "@import", "url(", "fetch(", "XMLHttp", "import("} {
		require.NotContains(t, got, word)
	}
	for _, u := range regexp.MustCompile(`https?://[^"' )]*`).FindAllString(got, -1) {
		require.Equal(t, "http://www.w3.org/2000/svg", u, "the only address is the name of SVG")
	}
}

// TestPageShowsTheFigures holds page and JSON to the same figures.
func TestPageShowsTheFigures(t *testing.T) {
	s, scene := greenhouse()
	got := page(t, s, scene)
	for _, p := range s.Passes {
		require.Contains(t, got, "Pass "+p.Name+" ")
		for _, r := range p.Runs {
			require.Contains(t, got, fmt.Sprintf(`<td class="big">%.2f</td>`, r.Diameter))
			require.Contains(t, got, fmt.Sprintf(`<td>%.0f</td><td>%.1f</td>`, r.Travel, r.TravelS))
			require.Contains(t, got, fmt.Sprintf(`<td>%d / %d</td>`, r.PerLoad, r.PerLot))
			for _, b := range r.Shares {
				require.Contains(t, got, fmt.Sprintf(`<b>T%d</b> %d to %d`, b.Place, b.First, b.First+b.Hits-1))
			}
		}
	}
	for _, c := range s.Cautions {
		require.Contains(t, got, strings.ReplaceAll(c, "'", "&#39;"))
	}
	for _, f := range s.Findings {
		for _, at := range f.Places {
			require.Contains(t, got, fmt.Sprintf(`data-x="%d" data-y="%d"`, int(math.Round(at[0]*1000)), int(math.Round(at[1]*1000))))
		}
	}
	require.Contains(t, got, sheet.Clock(s.LotSeconds))
	require.Contains(t, got, "3 of 3</b> checks passed")
	s.Checks[0].OK = false
	require.Contains(t, page(t, s, scene), "Do not run")
	s.Checks = nil
	require.Contains(t, page(t, s, scene), "Not checked")
}

// pageScene is as much of the page's data as the tests read.
type pageScene struct {
	W, H   int64
	Layers []struct {
		Name, Kind, Pass string
		SetUp            int
		Hits             *struct {
			N        int
			XY, To   string
			Wide, MS string
			Role     string
			Roles    []string
			Files    []string
			File     string
			Line     string
			Labels   []string
		}
		Marks []struct {
			S string
			P [][2]int64
		}
	}
}

func pageData(t testing.TB, doc string) (d pageScene) {
	t.Helper()
	_, rest, ok := strings.Cut(doc, `<script type="application/json" id="scene">`)
	require.True(t, ok)
	text, _, ok := strings.Cut(rest, "</script>")
	require.True(t, ok)
	require.NoError(t, json.Unmarshal([]byte(text), &d))
	return d
}

func numbers(t testing.TB, text string) []int32 {
	t.Helper()
	b, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	list := make([]int32, len(b)/4)
	require.NoError(t, binary.Read(bytes.NewReader(b), binary.LittleEndian, list))
	return list
}

func TestPageCarriesEveryHit(t *testing.T) {
	s, scene := greenhouse()
	slots := scene.Layer("plated slots", picture.Hits)
	slots.Marks = []picture.Mark{
		{Shape: picture.Slot, Points: []orb.Point{{10, 20}, {12.5, 20}}, Width: 1, Label: "long", Source: "somewhere"},
		{Shape: picture.Circle, Points: []orb.Point{{30, 40}}, Width: 1.2, Role: "pilot"},
	}
	d := pageData(t, page(t, s, scene))
	require.EqualValues(t, 300_000, d.W)
	byName := map[string]int{}
	for i, l := range d.Layers {
		byName[l.Name+l.Kind] = i
	}
	for _, l := range scene.Layers {
		got := d.Layers[byName[l.Name+string(l.Kind)]]
		if l.Kind != picture.Hits {
			require.Len(t, got.Marks, len(l.Marks), l.Name)
			continue
		}
		require.Equal(t, len(l.Marks), got.Hits.N)
		xy := numbers(t, got.Hits.XY)
		for i, m := range l.Marks {
			require.EqualValues(t, math.Round(m.Points[0][0]*1000), xy[2*i])
			require.EqualValues(t, math.Round(m.Points[0][1]*1000), xy[2*i+1])
			if got.Hits.MS != "" {
				require.EqualValues(t, math.Round(m.Seconds*1000), numbers(t, got.Hits.MS)[i])
			}
			if m.Source != "" && got.Hits.Line != "" {
				require.Equal(t, m.Source, fmt.Sprintf("%s:%d", got.Hits.Files[0], numbers(t, got.Hits.Line)[i]))
			}
		}
	}
	got := d.Layers[byName["plated slotshits"]].Hits
	require.Equal(t, []int32{12_500, 20_000, 30_000, 40_000}, numbers(t, got.To))
	require.Equal(t, []int32{1000, 1200}, numbers(t, got.Wide))
	require.Equal(t, []string{"", "pilot"}, got.Roles)
	require.Equal(t, []string{"long", ""}, got.Labels)
	require.Equal(t, []string{"somewhere", ""}, got.Files)
	require.Equal(t, base64.StdEncoding.EncodeToString([]byte{0, 1}), got.File)
	require.Empty(t, got.Line, "a source that is no place in a file has no line")
	require.Empty(t, got.MS, "not timed")
}

// TestPageTellsSetUpsApart puts the same pass into two set-ups, as tiers do.
func TestPageTellsSetUpsApart(t *testing.T) {
	s, scene := greenhouse()
	first := s.Passes[0]
	second := first
	second.SetUp, second.Program = 3, "third.nc"
	s.SetUps = append(s.SetUps, s.SetUps[0])
	s.SetUps[len(s.SetUps)-1].Number = 3
	s.Passes = append(s.Passes, second)
	for _, l := range slices.Clone(scene.Layers) {
		if l.Pass == first.Name {
			other := *l
			other.Name, other.SetUp = "set-up 3 "+l.Name, 3
			other.Marks = l.Marks[:1]
			l.SetUp = first.SetUp
			scene.Layers = append(scene.Layers, &other)
		}
	}
	got := page(t, s, scene)
	require.Contains(t, got, fmt.Sprintf(`data-pass="%d %s"`, first.SetUp, first.Name))
	require.Contains(t, got, fmt.Sprintf(`data-pass="3 %s"`, first.Name))
	require.Equal(t, len(s.Passes), strings.Count(got, `<figure class="paper">`))
	for _, l := range pageData(t, got).Layers {
		if l.Pass == first.Name {
			require.Contains(t, []int{first.SetUp, 3}, l.SetUp)
		}
	}
}

// TestPagePlotsHeights holds the plot of the stack planner to the curve.
func TestPagePlotsHeights(t *testing.T) {
	s, scene := greenhouse()
	got := page(t, s, scene)
	for _, h := range s.Curve {
		want := fmt.Sprintf(`class="cost">%.2f`, h.Cost)
		switch {
		case !h.OK:
			want = fmt.Sprintf("<p>%d high refused: ", h.Height)
		case h.Chosen:
			want = fmt.Sprintf(`class="cost strong">%.2f`, h.Cost)
		}
		require.Contains(t, got, want)
	}
	s.Curve = nil
	require.NotContains(t, page(t, s, scene), "Why this height")
}

func TestPageRefuses(t *testing.T) {
	s, scene := greenhouse()
	s.CostPerPanel = math.NaN()
	var b bytes.Buffer
	require.ErrorContains(t, s.WriteHTML(&b, scene), "NaN")
	s.CostPerPanel = 1
	scene.Width = 0
	require.ErrorIs(t, s.WriteHTML(&b, scene), picture.ErrScene)
	require.Zero(t, b.Len(), "nothing is written of a sheet that is refused")
	scene.Width = 300
	require.ErrorIs(t, s.WriteHTML(&failing{0, bytes.ErrTooLarge}, scene), bytes.ErrTooLarge)
}

// FuzzPageTexts puts words into every place that takes them and holds that none
// becomes markup: the page keeps its elements, and its data stays readable.
func FuzzPageTexts(f *testing.F) {
	f.Add("greenhouse-sensor", "rev")
	f.Add(`</script><script>alert(1)</script>`, `"><img onerror=x>`)
	f.Add("</style><b>", `\"; } body { display: none } @x "`)
	f.Add("<!--", "{{.}} ]]> \u2028")
	tags := regexp.MustCompile(`<[a-zA-Z!/][^\s>]*`)
	pinned := func() (*sheet.Sheet, *picture.Scene) {
		s, scene := backplane(64)
		s.Passes[0].Runs[0].Kind = "slot-bit" // shown, unlike the usual one
		scene.Layer("pins", picture.Pin).Marks = []picture.Mark{{Shape: picture.Peg, Points: []orb.Point{{1, 1}}, Width: 3, Label: "round"}}
		return s, scene
	}
	plain, plainScene := pinned()
	want := len(tags.FindAllString(page(f, plain, plainScene), -1))
	f.Fuzz(func(t *testing.T, word, other string) {
		if word == "" || other == "" {
			return // empty words leave their element out
		}
		s, scene := pinned()
		s.Job, s.Revision, s.Note, s.Hash, s.Machine, s.Material, s.Money = word, other, word, other, word, other, word
		s.Passes[0].Program, s.Passes[0].Runs[0].Kind, s.Passes[0].Runs[0].Work, s.SetUps[0].Pins[0].Note = word, other, word, other
		s.Curve[3].Reason, s.Checks[0].Rule, s.Checks[0].Detail, s.Findings[0].Detail, s.Findings[0].Tool = word, other, word, other, word
		s.HandWork[0], s.Cautions[0], s.Bits[0].ID, s.Bits[0].Kind = other, word, other, word
		scene.Title, scene.Layers[0].Name = word, other
		pins := scene.Layer("pins", picture.Pin)
		pins.Marks[0].Label = word
		if scene.Validate() != nil {
			return
		}
		doc := page(t, s, scene)
		pageData(t, doc)
		if got := len(tags.FindAllString(doc, -1)); got != want {
			t.Fatalf("page has %d tags, want %d: a word became markup: %q %q", got, want, word, other)
		}
	})
}

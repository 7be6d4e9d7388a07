package picture_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"

	"example.org/pinstack/tooling/picture"
	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

func svg(t testing.TB, s *picture.Scene) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.WriteSVG(&b))
	return b.Bytes()
}

// wellFormed reads the whole document as XML and returns its texts in order.
func wellFormed(t testing.TB, doc []byte) []string {
	t.Helper()
	var texts []string
	for d := xml.NewDecoder(bytes.NewReader(doc)); ; {
		token, err := d.Token()
		if err == io.EOF {
			return texts
		}
		require.NoError(t, err)
		if c, ok := token.(xml.CharData); ok && strings.TrimSpace(string(c)) != "" {
			texts = append(texts, string(c))
		}
	}
}

func TestGolden(t *testing.T) {
	got := svg(t, sample())
	wellFormed(t, got)
	name := filepath.Join("testdata", "scene", "sample.svg")
	if *update {
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("picture changed (-want +got); run with -update after looking at it:\n%s", diff)
	}
}

func TestSameBytesTwiceAndAtOnce(t *testing.T) {
	s := field(4000, 1)
	want := svg(t, s)
	var wg sync.WaitGroup
	got := make([][]byte, 8)
	for i := range got {
		wg.Go(func() {
			var b bytes.Buffer
			if s.WriteSVG(&b) == nil {
				got[i] = b.Bytes()
			}
		})
	}
	wg.Wait()
	for i := range got {
		if !bytes.Equal(got[i], want) {
			t.Errorf("writer %d differs from the first picture", i)
		}
	}
}

func TestTwentyThousandHitsStayCompact(t *testing.T) {
	const limit = 1_200_000 // bytes; a page holds such a picture beside its data
	if n := len(svg(t, field(20_000, 2))); n > limit {
		t.Errorf("20,000 hits take %d bytes, want at most %d", n, limit)
	}
}

// pathNumbers and walk read path data back without the writer's help.
var pathToken = regexp.MustCompile(`[MmhvlazZ]|-?\d+`)

type stop struct {
	command byte
	at      [2]int64
	args    []int64
}

// walk follows path data and returns where each command ends.
func walk(t testing.TB, data string) []stop {
	t.Helper()
	tokens := pathToken.FindAllString(data, -1)
	need := map[byte]int{'M': 2, 'm': 2, 'l': 2, 'h': 1, 'v': 1, 'a': 7, 'z': 0}
	var stops []stop
	var at, start [2]int64
	for i := 0; i < len(tokens); {
		c := tokens[i][0]
		n, known := need[c]
		require.True(t, known && i+n < len(tokens), "command %q at token %d", tokens[i], i)
		var args []int64
		for _, text := range tokens[i+1 : i+1+n] {
			v, err := strconv.ParseInt(text, 10, 64)
			require.NoError(t, err)
			args = append(args, v)
		}
		switch c {
		case 'M':
			at = [2]int64{args[0], args[1]}
		case 'm', 'l':
			at[0] += args[0]
			at[1] += args[1]
		case 'h':
			at[0] += args[0]
		case 'v':
			at[1] += args[0]
		case 'a':
			at[0] += args[5]
			at[1] += args[6]
		case 'z':
			at = start
		}
		if c == 'M' || c == 'm' {
			start = at
		}
		stops = append(stops, stop{c, at, args})
		i += 1 + n
	}
	return stops
}

// layerPath returns the data of the nth path within the layer of that name.
func layerPath(t testing.TB, doc []byte, layer string, n int) string {
	t.Helper()
	_, rest, ok := strings.Cut(string(doc), "<title>"+layer+"</title>")
	require.True(t, ok, "layer %q is not in the picture", layer)
	rest, _, _ = strings.Cut(rest, "</g>")
	all := regexp.MustCompile(` d="([^"]*)"`).FindAllStringSubmatch(rest, -1)
	require.Greater(t, len(all), n)
	return all[n][1]
}

// frame reads where the panel's origin lies and how large it is.
func frame(t testing.TB, doc []byte) (x, y int64) {
	t.Helper()
	m := regexp.MustCompile(`<path fill="#f3ecd9"[^>]* d="M(-?\d+) (-?\d+)`).FindSubmatch(doc)
	require.NotNil(t, m, "no ground in the picture")
	x, _ = strconv.ParseInt(string(m[1]), 10, 64)
	y, _ = strconv.ParseInt(string(m[2]), 10, 64)
	return x, y
}

func TestHitsLieWhereTheyBelong(t *testing.T) {
	const seed = 11
	s := field(2000, seed)
	doc := svg(t, s)
	ox, oy := frame(t, doc)
	for _, l := range s.Layers {
		var got [][2]int64
		for _, p := range walk(t, layerPath(t, doc, l.Name, 0)) {
			if p.command == 'M' || p.command == 'm' {
				got = append(got, p.at)
			}
		}
		require.Len(t, got, len(l.Marks), "seed %d, layer %s", seed, l.Name)
		for i, m := range l.Marks {
			want := [2]int64{ox + int64(math.Round(m.Points[0][0]*1000)), oy - int64(math.Round(m.Points[0][1]*1000))}
			if got[i] != want {
				t.Fatalf("seed %d, layer %s, hit %d at %v, want %v", seed, l.Name, i, got[i], want)
			}
		}
	}
}

func TestArcsTurnTheRightWay(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, 1))
	for i := range 300 {
		centre := orb.Point{100 + 10*r.Float64(), 100 + 10*r.Float64()}
		radius, from := 1+20*r.Float64(), 2*math.Pi*r.Float64()
		turn := (0.02 + 0.96*r.Float64()) * 2 * math.Pi
		if math.Abs(turn-math.Pi) < 0.01 {
			continue // half a turn within rounding may carry either flag
		}
		clockwise := i%2 == 0
		to := from + turn
		if clockwise {
			to = from - turn
		}
		on := func(a float64) orb.Point {
			return orb.Point{centre[0] + radius*math.Cos(a), centre[1] + radius*math.Sin(a)}
		}
		s := &picture.Scene{Width: 200, Height: 200}
		l := s.Layer("cut", picture.Path)
		l.Marks = []picture.Mark{{Shape: picture.Arc, Points: []orb.Point{on(from), on(to)}, Center: centre, Clockwise: clockwise}}
		doc := svg(t, s)
		var bow stop
		for _, p := range walk(t, layerPath(t, doc, "cut", 0)) {
			if p.command == 'a' {
				bow = p
			}
		}
		large, sweep := int64(0), int64(0)
		if turn > math.Pi {
			large = 1
		}
		if clockwise {
			sweep = 1 // SVG counts sweep with the clock, Y down
		}
		if bow.args == nil || bow.args[3] != large || bow.args[4] != sweep {
			t.Fatalf("seed %d, arc %d: turn %.3f clockwise %v written as %v, want flags %d %d", seed, i, turn, clockwise, bow.args, large, sweep)
		}
		if got, want := bow.args[0], int64(math.Round(radius*1000)); got < want-2 || got > want+2 {
			t.Fatalf("seed %d, arc %d: radius %d um, want %d", seed, i, got, want)
		}

		// The arrow lies half way along the arc and points along it.
		arrow := walk(t, layerPath(t, doc, "cut", 1))
		ox, oy := frame(t, doc)
		half := on((from + to) / 2)
		tip, left, right := arrow[0].at, arrow[1].at, arrow[2].at
		back := [2]float64{float64(left[0]+right[0]) / 2, float64(left[1]+right[1]) / 2}
		mid := [2]float64{(float64(tip[0]) + back[0]) / 2, (float64(tip[1]) + back[1]) / 2}
		if d := math.Hypot(mid[0]-float64(ox)-half[0]*1000, mid[1]-float64(oy)+half[1]*1000); d > 60 {
			t.Fatalf("seed %d, arc %d: arrow lies %.0f um from the middle of the arc", seed, i, d)
		}
		along := (from + to) / 2
		dx, dy := -math.Sin(along), math.Cos(along)
		if clockwise {
			dx, dy = -dx, -dy
		}
		if dot := (float64(tip[0])-back[0])*dx - (float64(tip[1])-back[1])*dy; dot <= 0 {
			t.Fatalf("seed %d, arc %d: arrow points against the path", seed, i)
		}
	}
}

func TestFullCircleIsTwoHalves(t *testing.T) {
	for _, clockwise := range []bool{false, true} {
		s := &picture.Scene{Width: 50, Height: 50}
		s.Layer("cut", picture.Path).Marks = []picture.Mark{{Shape: picture.Arc, Points: []orb.Point{{30, 25}, {30, 25}}, Center: orb.Point{25, 25}, Clockwise: clockwise, Width: 1}}
		doc := svg(t, s)
		stops := walk(t, layerPath(t, doc, "cut", 1))
		require.Len(t, stops, 3)
		require.Equal(t, stops[0].at, stops[2].at, "it ends where it began")
		require.Equal(t, stops[0].at[0]-10_000, stops[1].at[0], "the first half ends opposite")
		require.Contains(t, string(doc), `fill="#6d4a9c"`, "a circle shows its direction")
	}
}

func TestEveryRunLooksDifferent(t *testing.T) {
	seen := map[string]int{}
	for n := 1; n <= 16; n++ {
		look := picture.StyleOf(n)
		key := ""
		for _, k := range look.Sign {
			for _, p := range k.Points {
				key += strconv.Itoa(p[0]) + "," + strconv.Itoa(p[1]) + " "
			}
			key += strconv.FormatBool(k.Closed) + ";"
		}
		if was, dup := seen[key]; dup {
			t.Errorf("styles %d and %d have the same symbol", was, n)
		}
		seen[key] = n
		if n > 1 && look.Ink == picture.StyleOf(n-1).Ink {
			t.Errorf("styles %d and %d have the same ink", n-1, n)
		}
	}
	require.Equal(t, picture.StyleOf(1), picture.StyleOf(17))
	require.Equal(t, picture.StyleOf(1), picture.StyleOf(-3))
}

// TestInksStandOut holds the inks to the contrast that the Web Content
// Accessibility Guidelines 2.1, criterion 1.4.11, ask of graphics: 3 to 1.
func TestInksStandOut(t *testing.T) {
	light := func(c string) float64 {
		v, err := strconv.ParseUint(c[1:], 16, 32)
		require.NoError(t, err)
		part := func(n uint64) float64 {
			f := float64(n&255) / 255
			if f <= 0.04045 {
				return f / 12.92
			}
			return math.Pow((f+0.055)/1.055, 2.4)
		}
		return 0.2126*part(v>>16) + 0.7152*part(v>>8) + 0.0722*part(v)
	}
	for n := 1; n <= 8; n++ {
		for _, ground := range []string{"#f3ecd9", "#dfe7d8", "#ffffff"} {
			if c := (light(ground) + 0.05) / (light(picture.StyleOf(n).Ink) + 0.05); c < 3 {
				t.Errorf("ink %s on %s has a contrast of %.2f, want 3", picture.StyleOf(n).Ink, ground, c)
			}
		}
	}
}

func TestLegendNamesEveryLayer(t *testing.T) {
	s := sample()
	long := s.Layer(strings.Repeat("é", 80), picture.Panel)
	long.Marks = []picture.Mark{{Shape: picture.Cross, Points: []orb.Point{{50, 50}}}}
	s.Layer("nothing in it", picture.Panel)
	texts := strings.Join(wellFormed(t, svg(t, s)), "\n")
	for _, want := range []string{"boards", "plated T1 0.40 mm (6)", strings.Repeat("é", 35) + "…", "20 mm", "0,0", "tide-gauge, revision B (invented)"} {
		require.Contains(t, texts, want)
	}
	require.NotContains(t, texts, "nothing in it")
}

type failing struct{ err error }

func (f failing) Write([]byte) (int, error) { return 0, f.err }

func TestWriterErrorIsReturned(t *testing.T) {
	want := errors.New("disc full")
	require.ErrorIs(t, sample().WriteSVG(failing{want}), want)
}

func TestTinyAndHugePanels(t *testing.T) {
	for _, side := range []float64{0.001, 0.5, 10_000} {
		s := &picture.Scene{Width: side, Height: side}
		l := s.Layer("T1", picture.Hits)
		l.Marks = []picture.Mark{picture.Hit(orb.Point{side, side}, side/10), picture.Hit(orb.Point{-10_000, 10_000}, 1)}
		s.Layer("clamp", picture.KeepOut).Marks = []picture.Mark{{Shape: picture.Box, Points: []orb.Point{{10_000, -10_000}, {-10_000, 10_000}}}}
		s.Layer("cut", picture.Path).Marks = []picture.Mark{
			{Shape: picture.Arc, Points: []orb.Point{{0, 0}, {0, 0}}, Center: orb.Point{0, 0}},
			{Shape: picture.Arc, Points: []orb.Point{{0, 0}, {1, 1}}, Center: orb.Point{0, 0}},
			{Shape: picture.Line, Points: []orb.Point{{1, 1}, {1, 1}}},
		}
		doc := svg(t, s)
		wellFormed(t, doc)
		require.Less(t, len(doc), 20_000, "hatching is bounded")
	}
}

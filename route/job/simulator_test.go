package job_test

import (
	"context"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
)

// simulator is a second clock: it starts from the machine, the stack and the
// written text, reads words by a regular expression, and uses the formulas of
// uniform acceleration. It shares nothing with the reader and the clock.
type simulator struct {
	m       machine.Machine
	entry   float64
	stack   float64 // mm
	clear   float64
	ratio   float64 // depth over diameter from which a hit is pecked
	plunge  float64 // mm/s
	x, y    float64
	tools   map[string]map[byte]float64
	current map[byte]float64
	down    bool
	cut     struct {
		open          bool
		length, spent float64 // mm, ns
		heading       float64
	}
	total float64 // ns, each motion rounded to whole ones
	arcs  int
}

var word = regexp.MustCompile(`([A-Z])([+-]?[0-9]*\.?[0-9]+)`)

func rest(d, v, a float64) float64 {
	switch {
	case d == 0:
		return 0
	case a == 0:
		return d / v
	case d*a < v*v:
		return 2 * math.Sqrt(d/a)
	}
	return d/v + v/a
}

func (s *simulator) spend(seconds float64) { s.total += math.Round(seconds * 1e9) }

func (s *simulator) travel(x, y float64) {
	if x == s.x && y == s.y {
		return
	}
	tx := rest(math.Abs(x-s.x), s.m.X.Speed, s.m.X.Accel)
	ty := rest(math.Abs(y-s.y), s.m.Y.Speed, s.m.Y.Accel)
	s.spend(math.Max(tx, ty))
	s.total += float64(s.m.Settle)
	s.x, s.y = x, y
}

func (s *simulator) z(d, v float64) float64 { return rest(d, math.Min(v, s.m.Z.Speed), s.m.Z.Accel) }

// depth is the Z way from the clearance to the lowest point of the tip.
func (s *simulator) depth() float64 { return s.clear + s.entry + s.stack - s.current['Z'] }

// stroke is one hit, or two pecks: half way, out to the clearance, back, on.
func (s *simulator) stroke() {
	down, up := s.current['F']*1000/60, s.current['B']*1000/60
	d := s.depth()
	t := math.Round(s.z(d, up) * 1e9)
	if s.stack/s.current['C'] > s.ratio+1e-9 {
		half := d / 2
		t += 2*math.Round(s.z(half, down)*1e9) + 2*math.Round(s.z(half, up)*1e9)
	} else {
		t += math.Round(s.z(d, down) * 1e9)
	}
	s.total += t
}

// along cuts a line or, with a radius, the shorter arc.
func (s *simulator) along(g int, x, y, a float64) {
	dx, dy := x-s.x, y-s.y
	chord := math.Hypot(dx, dy)
	length, start, end := chord, math.Atan2(dy, dx), math.Atan2(dy, dx)
	if g != 1 {
		half := math.Asin(math.Min(1, chord/2/a))
		length = 2 * half * a
		if g == 3 {
			start, end = start-half, end+half
		} else {
			start, end = start+half, end-half
		}
		s.arcs++
	}
	if !s.cut.open || math.Abs(math.Remainder(start-s.cut.heading, 2*math.Pi)) > 10*math.Pi/180 {
		s.cut.open, s.cut.length, s.cut.spent = true, 0, 0
	}
	s.cut.length += length
	s.cut.heading = end
	whole := math.Round(rest(s.cut.length, s.current['F']*1000/60, math.Min(s.m.X.Accel, s.m.Y.Accel)) * 1e9)
	s.total += whole - s.cut.spent
	s.cut.spent = whole
	s.x, s.y = x, y
}

func (s *simulator) run(text string) time.Duration {
	s.x, s.y = s.m.ChangeAt[0], s.m.ChangeAt[1]
	s.tools = map[string]map[byte]float64{}
	header := true
	for _, line := range strings.Split(text, "\n") {
		if line == "%" {
			header = false
		}
		if line == "" || line[0] == ';' || strings.HasPrefix(line, "M47") {
			continue
		}
		words := map[byte]float64{}
		for _, w := range word.FindAllStringSubmatch(line, -1) {
			words[w[1][0]], _ = strconv.ParseFloat(w[2], 64)
		}
		_, isTool := words['T']
		switch {
		case header && isTool:
			s.tools[strconv.Itoa(int(words['T']))] = words
		case header:
		case isTool:
			s.travel(s.m.ChangeAt[0], s.m.ChangeAt[1])
			s.total += float64(s.m.Change)
			s.current = s.tools[strconv.Itoa(int(words['T']))]
		default:
			s.block(words)
		}
	}
	return time.Duration(s.total)
}

func (s *simulator) block(words map[byte]float64) {
	x, y := s.x, s.y
	if v, ok := words['X']; ok {
		x = v
	}
	if v, ok := words['Y']; ok {
		y = v
	}
	_, moves := words['X']
	_, movesY := words['Y']
	g, hasG := words['G']
	m, hasM := words['M']
	switch {
	case hasM && m == 15:
		s.down, s.cut.open = true, false
		s.spend(s.z(s.depth(), s.plunge))
	case hasM && m == 16:
		s.down, s.cut.open = false, false
		s.spend(s.z(s.depth(), s.current['B']*1000/60))
	case hasM && m == 30:
		s.travel(s.m.ChangeAt[0], s.m.ChangeAt[1])
	case hasG && g == 0:
		s.travel(x, y)
	case hasG && g <= 3 && s.down:
		s.along(int(g), x, y, words['A'])
	case moves || movesY:
		s.travel(x, y)
		s.stroke()
	}
}

// The estimate of every pass of the samples is what a second clock makes of
// the written text: to a microsecond a load for drilling. In rout programs an
// arc's radius is written to a micrometre, which at the feed is up to 40 us an
// arc.
func TestEstimateIsWhatTheTextTakes(t *testing.T) {
	names := []string{"greenhouse-sensor", "tide-logger", "pump-backplane"}
	if testing.Short() {
		names = names[:1]
	}
	for _, name := range names {
		j, err := job.Load(os.DirFS("../../testdata/panels/"+name), "job.json")
		require.NoError(t, err)
		p, err := job.Make(context.Background(), j, job.Options{})
		require.NoError(t, err)
		rules, in := p.Job.Drill.Rules.Stack, p.Job.Drill
		clock := func(text string, height int, plunge float64) (time.Duration, int) {
			s := simulator{m: in.Machine, entry: rules.Entry, clear: rules.Clearance, ratio: rules.Ratio, plunge: plunge / 60,
				stack: tooling.Snap(float64(height) * in.Panel.Thickness)}
			return s.run(text), s.arcs
		}
		text := map[string]string{}
		written, _, err := p.Programs(nc.WriteOptions{})
		require.NoError(t, err)
		for _, w := range written {
			text[w.Pass] = string(w.Text)
		}
		for _, d := range p.Drill {
			e, err := d.Estimate(in.Machine)
			require.NoError(t, err)
			got, _ := clock(text[d.Name], d.SetUp.Height, 0)
			require.InDelta(t, e.Total().Nanoseconds(), got.Nanoseconds(), 1000, "%s %s", name, d.Name)
		}
		for _, r := range p.Rout {
			e, err := r.Estimate(in.Machine)
			require.NoError(t, err)
			got, arcs := clock(text[r.Name], r.SetUp.Height, r.Runs[0].Feed.Plunge)
			require.InDelta(t, e.Total().Nanoseconds(), got.Nanoseconds(), 1000+40_000*float64(arcs), "%s %s", name, r.Name)
		}
	}
}

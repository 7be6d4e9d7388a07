package job_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"example.org/pinstack/tooling/machine"
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
	worn         map[string]int // hits of the bit at work, by tool number: kept from one run of the text to the next
	next         map[string]int // bits that the control took by itself, by tool number
	number       string         // of the tool at work
	total        float64        // ns, each motion rounded to whole ones
	arcs, pecked int            // met so far
}

var word = regexp.MustCompile(`([A-Z])([+-]?[0-9]*\.?[0-9]+)`)

// rest is the time over d from rest to rest at up to v. Under a jerk limit the
// top speed that d allows is found by halving: speeding up to it from rest and
// slowing down again takes half the way each.
func rest(d, v float64, a machine.Axis) float64 {
	switch {
	case d == 0:
		return 0
	case a.Accel == 0:
		return d / v
	case a.Jerk == 0 && d*a.Accel < v*v:
		return 2 * math.Sqrt(d/a.Accel)
	case a.Jerk == 0:
		return d/v + v/a.Accel
	}
	ramp := func(v float64) float64 {
		if v*a.Jerk < a.Accel*a.Accel {
			return 2 * math.Sqrt(v/a.Jerk)
		}
		return v/a.Accel + a.Accel/a.Jerk
	}
	if d >= v*ramp(v) {
		return 2*ramp(v) + (d-v*ramp(v))/v
	}
	low, high := 0.0, v
	for range 200 {
		if mid := (low + high) / 2; mid*ramp(mid) < d {
			low = mid
		} else {
			high = mid
		}
	}
	return 2 * ramp(high)
}

func (s *simulator) spend(seconds float64) { s.total += math.Round(seconds * 1e9) }

func (s *simulator) travel(x, y float64) {
	if x == s.x && y == s.y {
		return
	}
	tx := rest(math.Abs(x-s.x), s.m.X.Speed, s.m.X)
	ty := rest(math.Abs(y-s.y), s.m.Y.Speed, s.m.Y)
	s.spend(math.Max(0, math.Max(tx, ty)-s.m.Overlap.Seconds()))
	s.total += float64(s.m.Settle)
	s.x, s.y = x, y
}

func (s *simulator) z(d, v float64) float64 { return rest(d, math.Min(v, s.m.Z.Speed), s.m.Z) }

// depth is the Z way from the clearance to the lowest point of the tip.
func (s *simulator) depth() float64 { return s.clear + s.entry + s.stack - s.current['Z'] }

// stroke is one hit: foot down, the approach at the axis' own speed, infeed,
// out. A deep one has two pecks: half way, out to the clearance, back, on.
func (s *simulator) stroke() {
	down, up := s.current['F']*1000/60, s.current['B']*1000/60
	d := s.depth()
	fast := math.Min(s.m.Approach, d/2)
	s.total += float64(s.m.FootDwell)
	s.spend(s.z(fast, s.m.Z.Speed))
	if s.stack/s.current['C'] > s.ratio+1e-9 {
		half := (d - fast) / 2
		s.spend(s.z(half, down))
		s.spend(s.z(fast+half, up))
		s.spend(s.z(fast+half, up))
		s.spend(s.z(half, down))
		s.pecked++
	} else {
		s.spend(s.z(d-fast, down))
	}
	s.spend(s.z(d, up))
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
	slow := s.m.X
	if s.m.Y.Accel < slow.Accel {
		slow = s.m.Y
	}
	whole := math.Round(rest(s.cut.length, s.current['F']*1000/60, slow) * 1e9)
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
		if strings.HasPrefix(line, "M47,STOP") {
			s.total += float64(s.m.Stop.Nanoseconds())
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
			s.total += float64(s.m.Change + s.m.SpinUp)
			s.number = strconv.Itoa(int(words['T']))
			s.current = s.tools[s.number]
			if h := s.current['H']; h > 0 && float64(s.worn[s.number]) >= h {
				s.worn[s.number] = 0 // the change just made brought the next
				s.next[s.number]++
			}
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
		if h := s.current['H']; h > 0 {
			if float64(s.worn[s.number]) >= h {
				s.travel(s.m.ChangeAt[0], s.m.ChangeAt[1])
				s.total += float64(s.m.Change + s.m.SpinUp)
				s.worn[s.number] = 0
				s.next[s.number]++
			}
			s.worn[s.number]++
		}
		s.travel(x, y)
		s.stroke()
	}
}

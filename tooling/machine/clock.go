package machine

import (
	"iter"
	"math"
	"time"

	"github.com/paulmach/orb"
)

// CornerStop is the turn in radians (10 degrees) above which a cutter comes
// to rest at a corner [assumption]: smaller turns are run through at full
// feed.
const CornerStop = 10 * math.Pi / 180

// Estimate is machine time by cause, for one load of a pass unless it says
// otherwise.
type Estimate struct {
	Travel time.Duration // XY moves without settle
	Settle time.Duration
	Stroke time.Duration // drill strokes
	Change time.Duration // tool changes without the trip, which is travel
	Load   time.Duration // unloading and loading
	Rout   time.Duration // plunge, cut and retract
	Pause  time.Duration
	Floor  time.Duration // proven least time: everything but travel, plus a lower bound of travel and settle; 0: not known
	Hits   int           // drill strokes
	Path   float64       // mm travelled between hits and cuts
	Cut    float64       // mm cut by cutters
	Used   []ToolUse     // in order of first use
}

// ToolUse is what one tool did.
type ToolUse struct {
	Tool int     // place number T
	Hits int     // strokes
	Cut  float64 // mm
}

// Total returns the sum of all causes, loading included.
func (e Estimate) Total() time.Duration {
	return e.Travel + e.Settle + e.Stroke + e.Change + e.Load + e.Rout + e.Pause
}

// Add returns the sum of two estimates; tools used by both add up. The floor
// of the sum is known only where both are.
func (e Estimate) Add(o Estimate) Estimate {
	sum := Estimate{
		Travel: e.Travel + o.Travel, Settle: e.Settle + o.Settle, Stroke: e.Stroke + o.Stroke, Change: e.Change + o.Change,
		Load: e.Load + o.Load, Rout: e.Rout + o.Rout, Pause: e.Pause + o.Pause, Hits: e.Hits + o.Hits, Path: e.Path + o.Path, Cut: e.Cut + o.Cut,
	}
	if (e.Floor > 0 || e.Total() == 0) && (o.Floor > 0 || o.Total() == 0) {
		sum.Floor = e.Floor + o.Floor
	}
	for _, list := range [2][]ToolUse{e.Used, o.Used} {
		for _, u := range list {
			sum.use(u.Tool, u.Hits, u.Cut)
		}
	}
	return sum
}

func (e *Estimate) use(tool, hits int, cut float64) {
	for i := len(e.Used) - 1; i >= 0; i-- { // the tool in the spindle is the last or near it
		if e.Used[i].Tool == tool {
			e.Used[i].Hits += hits
			e.Used[i].Cut += cut
			return
		}
	}
	e.Used = append(e.Used, ToolUse{tool, hits, cut})
}

// Clock times steps one after the other. Make it with [Machine.Clock].
type Clock struct {
	machine Machine
	travel  Travel
	at      orb.Point
	sum     Estimate
	cut     section
}

// section is a stretch of cutting without a stop.
type section struct {
	open      bool
	length    float64       // mm so far
	feed      float64       // mm/s
	spent     time.Duration // already counted
	direction float64       // rad, at the end so far
}

// Clock returns a clock that stands at the change position with nothing
// counted.
func (m Machine) Clock() *Clock {
	return &Clock{machine: m, travel: m.Travel(), at: m.ChangeAt}
}

// Time returns the estimate of a sequence of steps that starts at the change
// position. Cost O(steps), nothing allocated but the tool list.
func (m Machine) Time(steps iter.Seq[Step]) Estimate {
	c := m.Clock()
	for s := range steps {
		c.Tick(s)
	}
	return c.Sum()
}

// Sum returns everything counted so far.
func (c *Clock) Sum() Estimate { return c.sum }

// Tick counts one step and returns the time it takes. Steps of unknown kind
// take no time.
func (c *Clock) Tick(s Step) time.Duration {
	before := c.sum.Total()
	switch s.Kind {
	case Change:
		c.move(s.To)
		c.sum.Change += c.machine.Change
		c.sum.use(s.Tool, 0, 0)
	case Move:
		c.move(s.To)
	case Stroke:
		c.sum.Stroke += c.stroke(s)
		c.sum.Hits++
		c.sum.use(s.Tool, 1, 0)
	case Plunge:
		c.cut = section{}
		c.sum.Rout += c.rest(s.Depth, s.Feed/60, c.machine.Z)
	case Retract:
		c.cut = section{}
		c.sum.Rout += c.rest(s.Depth, s.Retract/60, c.machine.Z)
	case Line, Arc:
		c.along(s)
	case Pause:
		c.sum.Pause += s.Time
	}
	return c.sum.Total() - before
}

func (c *Clock) move(to orb.Point) {
	d := c.travel.Between(c.at, to)
	if d > 0 {
		settle := min(d, c.travel.Settle())
		c.sum.Settle += settle
		c.sum.Travel += d - settle
		c.sum.Path += length(c.at, to)
	}
	c.at = to
}

// stroke times one hit. With two pecks the bit goes half way, comes out to
// the clearance, returns to where it stood at the retract feed, and goes on.
func (c *Clock) stroke(s Step) time.Duration {
	down, up := s.Feed/60, s.Retract/60
	z := c.machine.Z
	t := c.rest(s.Depth, up, z)
	pecks := max(s.Pecks, 1)
	share := s.Depth / float64(pecks)
	for k := 1; k <= pecks; k++ {
		t += c.rest(share, down, z)
		if k < pecks {
			t += 2 * c.rest(float64(share*float64(k)), up, z)
		}
	}
	return t
}

// rest is the rest to rest time over d mm at up to v mm/s on an axis whose
// acceleration may be 0 for no ramp.
func (c *Clock) rest(d, v float64, a Axis) time.Duration {
	if d <= 0 {
		return 0
	}
	v = min(v, a.Speed)
	if !(v > 0) {
		return 0
	}
	var t float64
	switch {
	case a.Accel == 0:
		t = d / v
	case d >= float64(v*v)/a.Accel:
		t = d/v + v/a.Accel
	default:
		t = 2 * math.Sqrt(d/a.Accel)
	}
	return time.Duration(math.Round(float64(t * 1e9)))
}

// along counts a line or an arc: a new stretch starts after a stop, at a
// corner, or where the feed changes.
func (c *Clock) along(s Step) {
	g := geometry(c.at, s)
	c.at = s.To
	if g.length == 0 {
		return
	}
	feed := s.Feed / 60
	if !c.cut.open || c.cut.feed != feed || turn(c.cut.direction, g.start) > CornerStop {
		c.cut = section{open: true, feed: feed}
	}
	slow := c.machine.X
	if c.machine.Y.Accel < slow.Accel {
		slow = c.machine.Y
	}
	c.cut.length += g.length
	c.cut.direction = g.end
	whole := c.rest(c.cut.length, feed, slow)
	c.sum.Rout += whole - c.cut.spent
	c.cut.spent = whole
	c.sum.Cut += g.length
	c.sum.use(s.Tool, 0, g.length)
}

// shape is the length in mm of a cut and its directions in rad.
type shape struct{ length, start, end float64 }

func geometry(from orb.Point, s Step) shape {
	if s.Kind == Line {
		a := math.Atan2(s.To[1]-from[1], s.To[0]-from[0])
		return shape{length(from, s.To), a, a}
	}
	r := length(s.Center, from)
	if r == 0 {
		return shape{}
	}
	a := math.Atan2(from[1]-s.Center[1], from[0]-s.Center[0])
	b := math.Atan2(s.To[1]-s.Center[1], s.To[0]-s.Center[0])
	sweep := b - a
	side := math.Pi / 2
	if s.Clockwise {
		sweep, side = -sweep, -side
	}
	if sweep <= 0 {
		sweep += 2 * math.Pi
	}
	return shape{float64(r * sweep), a + side, b + side}
}

func turn(a, b float64) float64 {
	return math.Abs(math.Remainder(b-a, 2*math.Pi))
}

func length(a, b orb.Point) float64 {
	dx, dy := b[0]-a[0], b[1]-a[1]
	return math.Sqrt(float64(dx*dx) + float64(dy*dy))
}

package machine

import (
	"iter"
	"math"
	"slices"
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
	Stroke time.Duration // drill strokes, foot dwell included
	Change time.Duration // tool changes and spin-up, without the trip, which is travel
	Load   time.Duration // unloading and loading
	Rout   time.Duration // plunge, cut and retract
	Pause  time.Duration // programmed stops
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

// HitsPerMinute returns the rate of drilling while it lasts: strokes over the
// time of travel, settle and strokes. 0 for no hits.
func (e Estimate) HitsPerMinute() float64 {
	busy := e.Travel + e.Settle + e.Stroke
	if e.Hits == 0 || busy <= 0 {
		return 0
	}
	return float64(e.Hits) / busy.Minutes()
}

// FloorRatio returns the total over the proven floor, 1 at best; 0 where no
// floor is known.
func (e Estimate) FloorRatio() float64 {
	if e.Floor <= 0 {
		return 0
	}
	return float64(e.Total()) / float64(e.Floor)
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

// Times returns the estimate of n alike, such as the loads of a set-up. What
// single tools did is left out.
func (e Estimate) Times(n int64) Estimate {
	e.Used = nil
	for _, d := range [...]*time.Duration{&e.Travel, &e.Settle, &e.Stroke, &e.Change, &e.Load, &e.Rout, &e.Pause, &e.Floor} {
		*d *= time.Duration(n)
	}
	e.Hits *= int(n)
	e.Path, e.Cut = float64(n)*e.Path, float64(n)*e.Cut
	return e
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

// Clock times steps one after the other. Make it with [Machine.Clock]; the
// zero value counts with a machine that moves in no time.
//
// Steps are taken as they come: lengths and feeds must be finite, as those of
// planned passes are. A feed that is not positive takes no time.
type Clock struct {
	machine Machine
	travel  Travel
	at      orb.Point
	sum     Estimate
	cut     section
	last    hit // the stroke timed last: a run repeats one
}

// hit is what a stroke's time depends on, and that time.
type hit struct {
	depth, feed, retract float64
	pecks                int
	time                 time.Duration
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

// Sum returns everything counted so far; it shares nothing with the clock.
func (c *Clock) Sum() Estimate {
	sum := c.sum
	sum.Used = slices.Clone(sum.Used)
	return sum
}

// Tick counts one step and returns the time it takes. Steps of unknown kind
// take no time.
func (c *Clock) Tick(s Step) time.Duration {
	switch s.Kind {
	case Change:
		c.sum.use(s.Tool, 0, 0)
		return c.move(s.To) + spend(&c.sum.Change, c.machine.Change+c.machine.SpinUp)
	case Move:
		return c.move(s.To)
	case Stroke:
		h := hit{s.Depth, s.Feed, s.Retract, max(s.Pecks, 1), c.last.time}
		if h != c.last {
			h.time = c.machine.StrokeTime(h.depth, h.feed, h.retract, h.pecks)
			c.last = h
		}
		c.sum.Hits++
		c.sum.use(s.Tool, 1, 0)
		return spend(&c.sum.Stroke, h.time)
	case Plunge:
		c.cut = section{}
		return spend(&c.sum.Rout, rest(s.Depth, s.Feed/60, c.machine.Z))
	case Retract:
		c.cut = section{}
		return spend(&c.sum.Rout, rest(s.Depth, s.Retract/60, c.machine.Z))
	case Line, Arc:
		return spend(&c.sum.Rout, c.along(s))
	case Pause:
		if s.Time == 0 {
			return spend(&c.sum.Pause, c.machine.Stop)
		}
		return spend(&c.sum.Pause, s.Time)
	case Reload:
		return spend(&c.sum.Load, c.machine.Load)
	}
	return 0
}

// spend adds to a cause and hands the time on.
func spend(cause *time.Duration, t time.Duration) time.Duration {
	*cause += t
	return t
}

func (c *Clock) move(to orb.Point) time.Duration {
	c.cut = section{}
	d := c.travel.Between(c.at, to)
	if d > 0 {
		settle := min(d, c.travel.Settle())
		c.sum.Settle += settle
		c.sum.Travel += d - settle
		c.sum.Path += length(c.at, to)
	}
	c.at = to
	return d
}

// along counts a line or an arc: a new stretch starts after a stop, at a
// corner, or where the feed changes.
func (c *Clock) along(s Step) time.Duration {
	g := geometry(c.at, s)
	c.at = s.To
	if g.length == 0 {
		return 0
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
	whole := rest(c.cut.length, feed, slow)
	more := whole - c.cut.spent
	c.cut.spent = whole
	c.sum.Cut += g.length
	c.sum.use(s.Tool, 0, g.length)
	return more
}

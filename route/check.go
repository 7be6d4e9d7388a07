package route

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Tolerances of [Check] in mm.
const (
	// tight is how far a written path may lie from where it belongs: the grid's
	// rounding (0.71 um), the same again for a rounded radius, and arithmetic.
	tight = 0.002
	// webSpare is how far a tab's web may differ from what was asked.
	webSpare = 0.020
	// edgeStep is the distance of the places at which an edge is looked at.
	edgeStep = 0.1
)

// Check reads a written program back and holds it against the layout, the
// rules, the machine and the mounted pass it was made from. It shares no
// offset code with the planner: it measures distances between the written
// cutter centre and the boards' edges. The report has one finding for every
// rule, OK or not, with the figure that decided it; [tooling.Report.Err] tells
// whether the program may be written.
//
// Rules:
//
//	unreadable    the text cannot be read
//	motion-word   a word makes holes or motion that the plan does not know
//	compensation  G41 or G42 is in the program
//	tool-down     change, rapid or end with the cutter down
//	end-missing   no end word, or words after it
//	tool-unknown  a cutter that is not the plan's
//	speed-missing, feed-missing, speed-limit, feed-limit, speed-differs
//	depth-missing, depth-limit, depth-differs
//	path-missing  fewer or more paths than planned
//	path-moved    a path is not where it was planned
//	gouge         the cutter comes nearer to a board than its radius
//	wrong-side    the cutter runs inside the material
//	uncut-edge    an edge that the cutter could reach is left
//	off-line      a finishing path leaves its line
//	direction     climb where conventional is asked, or the reverse
//	tab-lost      a tab is cut through
//	tab-width     a tab's web is not as wide as asked
//	tab-perforation  tells the narrowest web between perforations
//	pin, keep-out, travel-over, off-panel
//	arc-block     an arc of more than 90 degrees in one block
//	part-loose    a board comes loose before its last path
//	slug-loose    a piece of waste comes loose that is not known to
//	waste-stop    no stop after a path that frees waste to be taken out
//	life          a cutter outlives its path
//	left-out, again-differs, park-missing: of the rest after a stop
//
// Edges on score lines are another machine's. Check knows the program, not the
// machine. Cost near O(moves + edge length / 0.1 mm) and, for what is held,
// O(panel area / cell).
func Check(l Layout, p Pass, written *nc.Program) tooling.Report {
	return CheckAs(l, p, []*nc.Program{written}, nc.WriteOptions{})
}

// CheckAs is [Check] of a program, or of all programs of a split pass in
// order, written as asked. A program without feeds and speeds is right only
// when asked for, and then no cutter may have one. Under compensation, when
// asked for, the check makes of every edge the path that the control runs on
// the index's diameter, and judges that path as any other: see
// [CompensationError] for how the control is taken to run. It must be cancelled
// before rapids, changes and the end. Further rules: opening-missing, which
// wants the operator told of all this, feed-mixed, parts-differ.
func CheckAs(l Layout, p Pass, parts []*nc.Program, asked nc.WriteOptions) tooling.Report {
	c := &checker{l: l, pass: p, asked: asked}
	if len(parts) == 0 {
		c.report.Refuse("end-missing", "", "no program", 0, 1)
		return c.report
	}
	written := parts[0]
	if !p.Mounted() {
		c.report.Refuse("unmounted", "", "the pass has no set-up", 0, 0)
		return c.report
	}
	if !l.laid {
		c.report.Refuse("unlaid", "", "the layout was not made by Lay", 0, 0)
		return c.report
	}
	for k, part := range parts {
		if !c.read(part) {
			return c.report
		}
		if k > 0 && !sameTable(written, part) {
			c.report.Refuse("parts-differ", "", fmt.Sprintf("program %d has another tool table than the first", k+1), 0, 0)
		}
	}
	c.checkOpening()
	c.readRest()
	c.prepare()
	c.checkTools(written)
	c.checkPlanned()
	c.checkLeftOut()
	c.checkAgain()
	c.checkClearance()
	c.checkEdges()
	c.checkTabs()
	c.checkPlaces()
	c.checkHeld()
	c.checkWasteStops()
	c.summarise()
	return c.report
}

// chain is one written cut, from plunge to retract.
type chain struct {
	tool    int
	line    int // source line of the plunge
	radius  float64
	ps      []piece
	rapids  []piece // to its start, since the path before it
	planned *Path   // nil: not known to the plan
}

func (c *chain) start() orb.Point { return c.ps[0].a }
func (c *chain) end() orb.Point   { return c.ps[len(c.ps)-1].b }

// checker carries one check.
type checker struct {
	l        Layout
	pass     Pass
	asked    nc.WriteOptions
	report   tooling.Report
	diameter map[int]float64
	chains   []chain
	home     []piece // rapids after the last cut
	done     []chain // cut before a stop
	loosened []loosened
	left     []chain // left out after a stop
	messages []message
	solid    *edges   // all loops; owners are indices into l.loops, as in
	along    *edges   // what cutters along outlines and in cut-outs keep off, and
	inHoles  *edges   // in routed holes
	swept    []*edges // all cuts, those left out as well, by distinct radius
	radii    []float64
	figures  map[string]figure

	tabs      tabSet
	tabRadius []float64 // by tab: radius of the cutter of its loop
}

// rule is a rule and what is said when it refused nothing.
type rule struct{ rule, detail string }

// figure is the value of a rule that was met.
type figure struct {
	value, limit float64
	detail       string
}

func (c *checker) figure(rule, detail string, value, limit float64) {
	if c.figures == nil {
		c.figures = map[string]figure{}
	}
	c.figures[rule] = figure{value, limit, detail}
}

func toolName(n int) string { return fmt.Sprintf("T%d", n) }

// prepare builds the sets that the rules look into.
func (c *checker) prepare() {
	c.solid = edgesOf(c.l.loops, func(*loop) bool { return true })
	c.along, c.inHoles = c.l.keepOff(false), c.l.keepOff(true)
	c.tabs = newTabSet(c.l.Tabs, c.l.Cutter.Diameter, onLine)
	for _, t := range c.l.Tabs {
		for i := range c.l.loops {
			if o := &c.l.loops[i]; !o.hole && o.board == t.Board && o.number == t.Loop {
				c.tabRadius = append(c.tabRadius, c.radiusOf(o))
			}
		}
	}
	byRadius := map[float64]int{}
	var ps [][]piece
	var owners [][]int32
	all := slices.Concat(c.done, c.left, c.chains)
	for i := range all {
		ch := &all[i]
		k, ok := byRadius[ch.radius]
		if !ok {
			k = len(c.radii)
			byRadius[ch.radius] = k
			c.radii, ps, owners = append(c.radii, ch.radius), append(ps, nil), append(owners, nil)
		}
		for _, q := range ch.ps {
			ps[k], owners[k] = append(ps[k], q), append(owners[k], int32(i))
		}
	}
	for k := range c.radii {
		c.swept = append(c.swept, newEdges(ps[k], owners[k]))
	}
}

// deflection is how much nearer than its radius a cutter's centre is meant to
// run.
func (c *checker) deflection() float64 { return c.l.Input.Rules.Rout.Deflection }

// outside is the distance in mm from q to the nearest point swept by the
// cutters, negative inside it, looked for as far as limit.
func (c *checker) outside(q orb.Point, limit float64) float64 {
	best := math.Inf(1)
	for k, e := range c.swept {
		if d, i, _ := e.near(q, limit+c.radii[k]); i >= 0 {
			best = min(best, d-c.radii[k])
		}
	}
	return best
}

// material tells whether q lies in a board, off its cut-outs and routed holes.
func (c *checker) material(q orb.Point) bool {
	return c.solid.material(q, c.l.loops)
}

// material tells whether q lies in a board, off those cut-outs and holes that are in
// the set. Owners are indices into loops.
func (e *edges) material(q orb.Point, loops []loop) bool {
	var buf [16]int32
	odd := buf[:0]
	e.crossings(q, func(owner int32) {
		for k := range odd {
			if odd[k] == owner {
				odd[k] = odd[len(odd)-1]
				odd = odd[:len(odd)-1]
				return
			}
		}
		odd = append(odd, owner)
	})
	board := false
	for _, o := range odd {
		if loops[o].inner() {
			return false
		}
		board = true
	}
	return board
}

// keptOff are the edges that a cutter keeps off, in a routed hole or elsewhere.
func (c *checker) keptOff(inHole bool) *edges {
	if inHole {
		return c.inHoles
	}
	return c.along
}

// summarise adds an OK finding for every rule that refused nothing.
func (c *checker) summarise() {
	all := []rule{
		{"motion-word", "no word makes holes or motion beyond the plan"},
		{"compensation", "no compensation is left on"},
		{"tool-down", "no change, rapid or end with the cutter down"},
		{"end-missing", "the program ends"},
		{"tool-unknown", "every cutter is in the plan"},
		{"speed-missing", "every cutter has a speed"},
		{"feed-missing", "every cutter has a feed"},
		{"speed-limit", "speeds lie within machine and cutter"},
		{"feed-limit", "no feed is above the table"},
		{"speed-differs", "speeds and feeds are those of the set-up"},
		{"depth-missing", "every cutter has its depth"},
		{"depth-limit", "the backup keeps its floor, the flute covers the stack"},
		{"depth-differs", "depths are those of the set-up"},
		{"path-missing", fmt.Sprintf("%d paths, as planned", len(c.chains))},
		{"path-moved", "every path is where it was planned"},
		{"gouge", "no path comes nearer to a board than its cutter's radius"},
		{"wrong-side", "no path runs inside the material"},
		{"uncut-edge", "every edge within reach is cut"},
		{"off-line", "finishing paths keep to their line"},
		{"direction", fmt.Sprintf("finishing cuts are %s", c.l.Input.Rules.Rout.Direction)},
		{"tab-lost", fmt.Sprintf("%d tabs stand", len(c.l.Tabs))},
		{"tab-width", "webs are as wide as asked"},
		{"pin", "the cutter keeps clear of pins"},
		{"keep-out", "cutter and foot keep clear of keep-outs"},
		{"travel-over", "no travel over what stands above the clearance"},
		{"off-panel", "every path is on the panel"},
		{"arc-block", "no arc block over 90 degrees"},
		{"part-loose", "every board is held until its last path"},
		{"slug-loose", "no piece of waste comes loose unannounced"},
		{"life", "no cutter outlives its path"},
	}
	all = append(all, c.restRules()...)
	refused := map[string]bool{}
	for _, f := range c.report {
		if !f.OK {
			refused[f.Rule] = true
		}
	}
	for _, a := range append(all, c.askedRules()...) {
		if c.asked.NoFeeds && slices.Contains([]string{"speed-missing", "feed-missing", "speed-limit", "feed-limit", "speed-differs"}, a.rule) {
			continue // not looked at
		}
		if refused[a.rule] {
			continue
		}
		f := c.figures[a.rule]
		if f.detail != "" {
			a.detail = f.detail
		}
		c.report.Note(a.rule, "", a.detail, f.value, f.limit)
	}
}

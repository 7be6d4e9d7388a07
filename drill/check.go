package drill

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// Check reads a written program back and holds it against the holes, the
// rules, the machine and the mounted pass it was made from. It shares nothing
// with the planner but the choice of the bit for a size. The report has one
// finding for every rule, OK or not, so that a sheet can list what was looked
// at; [tooling.Report.Err] tells whether the program may be written.
//
// Rules: hole-missing, hole-doubled, hole-moved, hit-unknown, wrong-stage,
// wrong-bit, slot-gap, pilot-missing, pilot-late, hit-count, order-differs, speed-missing,
// feed-missing, speed-limit, feed-limit, depth-missing, depth-limit,
// depth-differs, tool-unknown, life, keep-out, travel-over, off-panel,
// motion-word, rout-move, end-missing; of a tier: wrong-tier; of bits that the
// control counts: hit-limit, spares; and of the rest after a stop: left-out,
// again-differs, park-missing.
//
// A tier answers for its own holes: those whose bit has a share in its set-up,
// and pilots whose bit has. [CheckTiers] looks at all tiers together.
//
// Check knows the program, not the machine. Cost O(hits + holes) for a program
// that fits, O(hits x holes) for one that does not.
func Check(in Input, p Pass, written *nc.Program) tooling.Report {
	return CheckAs(in, p, []*nc.Program{written}, nc.WriteOptions{})
}

// CheckAs is [Check] of a program, or of all programs of a split pass in
// order, written as asked: a program without feeds and speeds is right only
// when asked for, and then no tool may have one and the opening message must
// say so; slots are canned or rout moves only when asked for, and must then run
// from end to end of a slot of their bit. Further rules: opening-missing,
// feed-mixed, slot-unknown, parts-differ.
func CheckAs(in Input, p Pass, parts []*nc.Program, asked nc.WriteOptions) tooling.Report {
	c := checker{in: in, pass: p, asked: asked}
	if len(parts) == 0 {
		c.report.Refuse("end-missing", "", "no program", 0, 1)
		return c.report
	}
	written := parts[0]
	if !p.Mounted() {
		c.report.Refuse("unmounted", "", "the pass has no set-up", 0, 0)
		return c.report
	}
	var err error
	if c.bits, err = in.tools(); err != nil {
		c.report.Refuse("wrong-bit", "", err.Error(), 0, 0)
		return c.report
	}
	c.tolerance = tolerance(written)
	if p.Fit.Kind != "" {
		c.tolerance += fitTolerance
	}
	for k, part := range parts {
		c.ended = false
		if !c.read(part) {
			return c.report
		}
		c.checkPart(k, written, part)
	}
	if !c.readRest() {
		return c.report
	}
	c.checkOpening()
	c.checkTools(written)
	c.checkHits()
	c.checkAgain()
	c.checkPlaces()
	c.summarise()
	return c.report
}

// checker carries one check.
type checker struct {
	in        Input
	pass      Pass
	asked     nc.WriteOptions
	bits      []tooling.Tool // by hole; zero for routed ones
	tolerance float64        // mm between a written hit and its hole
	hits      []writtenHit
	messages  []message
	left      []bool // by hole: left out of the rest after a stop; nil: none
	ended     bool
	report    tooling.Report
}

// rule is a rule and what is said when it refused nothing.
type rule struct{ rule, detail string }

// writtenHit is a hit of the program as read back.
type writtenHit struct {
	at       orb.Point // nominal, panel coordinates: frame and fit taken back
	real     orb.Point // where it is made on the panel as it is now
	tool     int
	diameter float64
}

// fitTolerance is what taking a fit back adds: the half micrometre to which
// the moved hit was snapped, on both axes.
const fitTolerance = 0.00072

// coarsest is the tolerance in mm above which a hit counts as moved however
// coarse the writing: half of 0.001 inch.
const coarsest = 0.0127

// tolerance is what writing may move a hit, in mm: on each axis half the last
// written digit and the half micrometre by which planned hits are snapped, and
// a little for the arithmetic.
func tolerance(p *nc.Program) float64 {
	unit := 1.0
	if p.Units == nc.Inches {
		unit = 25.4
	}
	dec := p.Digits.Dec
	if dec == 0 {
		dec = decimals(p)
	}
	return min(coarsest, math.Sqrt2*(0.5*unit*math.Pow10(-dec)+0.00051))
}

// decimals is the most digits after a point in the coordinates of a program
// written with decimal points.
func decimals(p *nc.Program) int {
	most := 0
	for n := 1; n <= p.Lines(); n++ {
		text := p.Text(n)
		if len(text) == 0 || text[0] != 'X' && text[0] != 'Y' {
			continue
		}
		after, counting := 0, false
		for _, b := range text {
			switch {
			case b == '.':
				after, counting = 0, true
			case b >= '0' && b <= '9' && counting:
				after++
				most = max(most, after)
			default:
				counting = false
			}
		}
	}
	return most
}

// read collects the hits and refuses what a drill program must not hold.
func (c *checker) read(written *nc.Program) bool {
	diameter := map[int]float64{}
	for _, t := range written.Tools {
		diameter[t.Number] = t.Diameter
	}
	var cut slotCut
	for op, err := range written.Ops() {
		if err != nil {
			c.report.Refuse("unreadable", "", err.Error(), 0, 0)
			return false
		}
		if c.asked.Slots == nc.SlotRout && cut.take(c, op, diameter[op.Tool]) {
			continue
		}
		switch op.Kind {
		case nc.OpHit:
			real := c.pass.Frame.Undo(op.To)
			c.hits = append(c.hits, writtenHit{c.pass.Fit.Undo(real), real, op.Tool, diameter[op.Tool]})
		case nc.OpSlot:
			if c.asked.Slots == nc.SlotG85 && op.Text == "" {
				c.slot(op, diameter[op.Tool])
				continue
			}
			c.report.Refuse("motion-word", tool(op.Tool), "a canned slot or circle whose hits the plan does not know", float64(op.Line), 0, op.To)
		case nc.OpCircle:
			c.report.Refuse("motion-word", tool(op.Tool), "a canned slot or circle whose hits the plan does not know", float64(op.Line), 0, op.To)
		case nc.OpRapid, nc.OpPlunge, nc.OpLine, nc.OpArc, nc.OpRetract, nc.OpCompensation:
			c.report.Refuse("rout-move", tool(op.Tool), "rout words in a drill program", float64(op.Line), 0, op.To)
		case nc.OpUnknown:
			if op.Motion {
				c.report.Refuse("motion-word", tool(op.Tool), fmt.Sprintf("line %d: %q could make holes or motion", op.Line, op.Text), 0, 0, op.To)
			}
		case nc.OpMessage:
			c.messages = append(c.messages, message{len(c.hits), op.Text})
		case nc.OpEnd:
			c.ended = true
		}
	}
	if cut.stage > 0 {
		c.report.Refuse("rout-move", "", "the program ends within a slot of rout moves", 0, 0)
	}
	if !c.ended {
		c.report.Refuse("end-missing", "", "the program has no end word", 0, 0)
	}
	for _, n := range written.Notes { // the reader stops at the end, a control may not
		if n.Rule == "after-end" {
			c.report.Refuse("end-missing", "", fmt.Sprintf("line %d: %s", n.Line, n.Detail), 0, 0)
		}
	}
	return true
}

// summarise adds an OK finding for every rule that refused nothing.
func (c *checker) summarise() {
	holes := 0
	for i, h := range c.in.Holes {
		if c.bits[i].Diameter > 0 && h.Stage() == c.pass.Stage && !c.leftOut(i) && c.ours(c.bits[i]) {
			holes++
		}
	}
	all := []rule{
		{"hole-missing", fmt.Sprintf("%d holes of this stage are all finished", holes)},
		{"hole-doubled", "no hole is finished twice"},
		{"hole-moved", fmt.Sprintf("every hit lies within %.4f mm of its hole", c.tolerance)},
		{"hit-unknown", fmt.Sprintf("%d hits all belong to a hole", len(c.hits))},
		{"wrong-stage", "no hole of the other stage is hit"},
		{"wrong-bit", "every hole gets the bit of its size"},
		{"slot-gap", "slots are nibbled from end to end"},
		{"pilot-missing", "every pilot is there"},
		{"pilot-late", "pilots come first"},
		{"hit-count", "every bit makes as many hits as planned"},
		{"order-differs", "hits are made in the planned order"},
		{"speed-missing", "every tool has a speed"},
		{"feed-missing", "every tool has an infeed"},
		{"speed-limit", "speeds lie within machine and tool"},
		{"feed-limit", "no infeed is above the table"},
		{"depth-missing", "every tool has its depth"},
		{"depth-limit", "the backup keeps its floor, no shank in the stack"},
		{"depth-differs", "depths are those of the set-up"},
		{"tool-unknown", "every tool is in the plan"},
		{"life", "no bit outlives its hits"},
		{"keep-out", "tool and foot keep clear of pins and keep-outs"},
		{"travel-over", "no travel over what stands above the clearance"},
		{"off-panel", "every hit is on the panel"},
		{"motion-word", "no word makes holes or motion beyond the plan"},
		{"rout-move", "no rout move"},
		{"end-missing", "the program ends"},
	}
	refused := map[string]bool{}
	for _, f := range c.report {
		if !f.OK {
			refused[f.Rule] = true
		}
	}
	all = append(append(all, c.restRules()...), c.askedRules()...)
	if c.pass.SetUp.Tiers > 1 {
		all = append(all, rule{"wrong-tier", fmt.Sprintf("no hole of another tier is hit in tier %d of %d", c.pass.SetUp.Tier, c.pass.SetUp.Tiers)})
	}
	if slices.ContainsFunc(c.pass.Runs, func(r Run) bool { return r.Limit > 0 }) {
		all = append(all, rule{"hit-limit", "hit limits are those of the plan, and no bit outlives its own"},
			rule{"spares", "the places hold the bits that the control takes in a load"})
	}
	for _, r := range all {
		if c.asked.NoFeeds && slices.Contains([]string{"speed-missing", "feed-missing", "speed-limit", "feed-limit"}, r.rule) {
			continue // not looked at
		}
		if !refused[r.rule] {
			c.report.Note(r.rule, "", r.detail, 0, 0)
		}
	}
}

package route

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Plan makes the cutter paths of a layout and orders them: the plated-rout
// pass before plating for plated holes and slots that no bit makes, and the
// rout pass after it for all else. A stage without paths has no pass; passes
// before plating come first.
//
// Open paths are cut by the cutter of their width, before their board's outline.
// Cut-outs and holes take the largest cutter, up to the outlines', that
// follows their arcs. Small ones are cleared completely, from the middle
// outwards. Runs stand in this order: cutters that cut no outline, small to
// large; then the outlines' cutter, each board's cut-outs before its outline;
// then the one that cleans up corners, before the others where boards have
// no tabs to hold them. Rough paths come before the finishing ones of their board.
// Within a run the order and the entries of closed paths are those of least
// machine time from the change position and back to it.
//
// Paths are on the writing grid, arcs in parts of at most 90 degrees. The plan
// does not depend on the stack height.
//
// Errors: [tooling.InputErrors] for options; a [*BoardError] wrapping
// [ErrOffset], [ErrNoCutter] or [ErrObstacle], for open paths also [ErrOpenPath],
// [ErrTabPlace] or [ErrHole]; the feed table's when it lacks
// the cutter; the context's, with no passes.
func Plan(ctx context.Context, l Layout, o Options) ([]Pass, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	if !l.laid {
		return nil, &BoardError{Board: -1, Other: -1, Err: ErrBoard, Found: "a layout that Lay did not make", Expected: "the result of Lay"}
	}
	began := time.Now()
	var sum tooling.Spent
	p := newPlanner(l, o)
	if err := p.outlines(); err != nil {
		return nil, err
	}
	if err := p.inners(); err != nil {
		return nil, err
	}
	if err := p.openPaths(); err != nil {
		return nil, err
	}
	p.waste()
	if err := p.enter(ctx); err != nil {
		return nil, err
	}
	var passes []Pass
	for _, stage := range []tooling.Stage{tooling.BeforePlating, tooling.AfterPlating} {
		pass := Pass{Schema: Schema, Name: Rout, Stage: stage, Operation: tooling.Routing, Direction: l.Input.Rules.Rout.Direction, DropFrom: orDefault(o.ClearBelow, defaultClear)}
		pass.Panel, pass.Around = l.Input.Panel.Bound(), tall(l.Input.Panel, l.Input.Rules.Stack.Clearance)
		if stage == tooling.BeforePlating {
			pass.Name = PlatedRout
		} else {
			pass.Report = p.report
		}
		var ordered int64
		groups := p.groups(stage == tooling.BeforePlating)
		for i, g := range groups {
			if err := ctx.Err(); err != nil {
				return nil, err
			}
			from := time.Now()
			run, err := p.run(ctx, g)
			if err != nil {
				return nil, err
			}
			run.Number = len(pass.Runs) + 1
			pass.Runs = append(pass.Runs, run)
			part := tooling.Spent{Stage: fmt.Sprintf("rout/%s/%d", pass.Name, run.Number), Time: time.Since(from), Items: len(run.Paths), Kicks: p.kicks, Moves: p.tried, Cores: 1}
			part.Tell(ctx, o.Log, o.Stats)
			sum.Items, sum.Kicks, sum.Moves, sum.Cores = sum.Items+part.Items, sum.Kicks+part.Kicks, sum.Moves+part.Moves, 1
			ordered += int64(len(run.Paths))
			if o.Progress != nil {
				o.Progress(pass.Name, i+1, len(groups), ordered)
			}
		}
		if len(pass.Runs) > 0 {
			p.stops(&pass)
			passes = append(passes, pass)
		}
	}
	sum.Stage, sum.Time = "rout", time.Since(began)
	sum.Tell(ctx, o.Log, o.Stats)
	return passes, nil
}

// groups sorts the items of a stage into runs: indices into p.items.
func (p *planner) groups(plated bool) [][]int {
	type group struct {
		tool    tooling.Tool
		outline bool
		last    bool // cleans up what the others leave
		items   []int
	}
	var groups []group
	for i := range p.items {
		it := &p.items[i]
		if it.plated != plated {
			continue
		}
		last := it.cleanUp && !p.l.Input.NoTabs // tabs hold the board for it
		k := slices.IndexFunc(groups, func(g group) bool { return g.tool.ID == it.tool.ID && g.last == last })
		if k < 0 {
			k = len(groups)
			groups = append(groups, group{tool: it.tool, last: last})
		}
		groups[k].items = append(groups[k].items, i)
		groups[k].outline = groups[k].outline || it.outline
	}
	slices.SortStableFunc(groups, func(a, b group) int {
		last := func(g group) int {
			switch {
			case g.last:
				return 2
			case g.outline:
				return 1
			}
			return 0
		}
		return cmp.Or(cmp.Compare(last(a), last(b)), cmp.Compare(a.tool.Diameter, b.tool.Diameter), cmp.Compare(a.tool.ID, b.tool.ID))
	})
	out := make([][]int, len(groups))
	for k, g := range groups {
		out[k] = g.items
	}
	return out
}

// run orders one group of items and builds its paths.
func (p *planner) run(ctx context.Context, group []int) (Run, error) {
	m := p.l.Input.Machine
	o := orderer{travel: m.Travel(), home: m.ChangeAt}
	built := make([][]Path, len(group))
	for k, i := range group {
		it := &p.items[i]
		built[k] = []Path{it.path}
		if it.ring != nil {
			built[k] = built[k][:0]
			for _, e := range it.entries {
				built[k] = append(built[k], p.line(it, e))
			}
		}
		v := visit{after: p.earlier(group, k)}
		for e := range built[k] {
			built[k][e].Line = onGrid(built[k][e].Line)
			v.ends = append(v.ends, [2]orb.Point{built[k][e].Line.Start, built[k][e].Line.End()})
		}
		o.visits = append(o.visits, v)
	}
	n := len(o.visits)
	kicks := min(defaultKicks*n, mostEffort/(n*n))
	if p.o.Kicks != 0 {
		kicks = max(p.o.Kicks*n, 0)
	}
	p.kicks = 0
	if n > exactUpTo {
		p.kicks = int64(kicks)
	}
	s, err := o.solve(ctx, kicks, p.o.Seed)
	p.tried = o.tried
	if err != nil {
		return Run{}, err
	}
	run := Run{Tool: p.items[group[0]].tool}
	for _, k := range s.order {
		run.Paths = append(run.Paths, built[k][s.entry[k]])
	}
	for k := range run.Paths {
		if err := p.obstacle(&run.Paths[k], run.Tool, p.items[group[0]].plated); err != nil {
			return Run{}, err
		}
	}
	if err := run.goRound(p.l.Input); err != nil {
		return Run{}, err
	}
	return run, run.measure(p.l.Input)
}

// goRound leads the rapids of a run round what stands above the clearance.
func (r *Run) goRound(in Input) error {
	around := tall(in.Panel, in.Rules.Stack.Clearance)
	at := in.Machine.ChangeAt
	for k := range r.Paths {
		q := &r.Paths[k]
		via, ok := detour(at, q.Line.Start, around, in.Machine, in.Panel.Bound())
		if !ok {
			return noWay(q, at, q.Line.Start)
		}
		q.Via, at = via, q.Line.End()
	}
	via, ok := detour(at, in.Machine.ChangeAt, around, in.Machine, in.Panel.Bound())
	if !ok {
		return noWay(&r.Paths[len(r.Paths)-1], at, in.Machine.ChangeAt)
	}
	r.Home = via
	return nil
}

func noWay(p *Path, from, to orb.Point) error {
	return &BoardError{Board: p.Board, Other: -1, At: from, Err: ErrObstacle, Found: fmt.Sprintf("no way for the foot to X%.3f Y%.3f", to[0], to[1]), Expected: "room between the keep-outs that stand above the clearance"}
}

// earlier lists the members of a group that must be cut before its member k:
// those the item names, and the paths inside a board before its outline.
func (p *planner) earlier(group []int, k int) []int {
	it := &p.items[group[k]]
	var out []int
	for j, i := range group {
		other := &p.items[i]
		inside := it.outline && !other.outline && len(other.boards) > 0 && slices.Contains(it.boards, other.boards[0])
		if j != k && (inside || slices.Contains(it.after, i)) {
			out = append(out, j)
		}
	}
	return out
}

// measure fills in the figures of a run in its order.
func (r *Run) measure(in Input) error {
	feed, err := in.Rules.Feed(r.Tool, in.Panel.Material, in.Machine.Speeds())
	if err != nil {
		return err
	}
	travel := in.Machine.Travel()
	at := in.Machine.ChangeAt
	var ns int64
	r.Path, r.Cut = 0, 0
	leg := func(to orb.Point) {
		ns += int64(travel.Between(at, to))
		r.Path += gap(at, to)
		at = to
	}
	clock := in.Machine.Clock()
	for _, p := range r.Paths {
		for _, v := range p.Via {
			leg(v)
		}
		leg(p.Line.Start)
		at = p.Line.End()
		r.Cut += p.Length()
		clock.Tick(machine.Step{Kind: machine.Move, To: p.Line.Start})
		for s := range cutting(p, 0, 0, feed.Infeed) {
			clock.Tick(s)
		}
	}
	for _, v := range r.Home {
		leg(v)
	}
	leg(in.Machine.ChangeAt)
	r.Travel = float64(ns) / 1e9
	r.Path, r.Cut = micro(r.Path), micro(r.Cut)
	r.Cutting = float64(clock.Sum().Rout.Nanoseconds()) / 1e9
	r.stopped(in.Machine)
	return nil
}

// micro rounds a length in mm to whole micrometres.
func micro(mm float64) float64 { return math.Round(mm*1000) / 1000 }

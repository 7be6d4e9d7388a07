package array

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/drill/tour"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// check routs a small array parted so, 3 x 3 boards or as many as any stock panel
// takes: most of what comes loose between neighbours shows here, before arrays
// are priced. It gives the array and its passes. Errors tell of the board.
func (p *Prepared) check(ctx context.Context, columns, rows Way) (Choice, []route.Pass, error) {
	c := p.small(columns, rows)
	panel := p.trial(c)
	l, err := route.Lay(p.Input.routed(panel))
	if err != nil {
		return c, nil, p.Input.onBoard(err, panel)
	}
	passes, err := p.prove(ctx, l, columns, rows)
	return c, passes, p.Input.onBoard(err, panel)
}

// prove routs a panel and holds its written programs to the check that they will
// have to pass when they are made.
func (p *Prepared) prove(ctx context.Context, l route.Layout, columns, rows Way) ([]route.Pass, error) {
	in := p.Input
	passes, err := route.Plan(ctx, l, route.Options{Kicks: -1})
	if err != nil || len(passes) == 0 {
		return nil, err
	}
	report, err := readBack(ctx, in, passes, func(mounted route.Pass, written *nc.Program) tooling.Report {
		return route.Check(l, mounted, written)
	})
	if err != nil {
		return nil, err
	}
	if err := report.Err(); err != nil {
		hint := ""
		loose := slices.ContainsFunc(report, func(f tooling.Finding) bool { return f.Rule == "slug-loose" && !f.OK })
		if wide := p.wide(); loose && (narrow(columns, wide) || narrow(rows, wide)) {
			hint = fmt.Sprintf("; a gap of %g mm or more leaves a strip that may hold it", wide)
		}
		if loose {
			err = looseError{err}
		}
		return nil, fmt.Errorf("of %d boards tried: %w%s", len(l.Input.Panel.Boards), err, hint)
	}
	return passes, nil
}

// proveHoles drills a panel, its own holes and those of its boards, and holds the written
// programs to their check, likewise. The tours are rough: a check looks at places.
func (p *Prepared) proveHoles(ctx context.Context, l route.Layout) error {
	in, panel := p.Input, l.Input.Panel
	di := drill.Input{Holes: slices.Concat(l.Input.Holes, l.Perforations()), Panel: panel, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine}
	passes, err := drill.Plan(ctx, di, drill.Options{Tour: tour.Options{Kicks: -1}})
	if err != nil {
		return err
	}
	report, err := drill.Inspect(di)
	if err != nil {
		return err
	}
	checked, err := readBack(ctx, in, passes, func(mounted drill.Pass, written *nc.Program) tooling.Report {
		return drill.Check(di, mounted, written)
	})
	if err != nil {
		return err
	}
	return append(report, checked...).Err()
}

// pass is what drill and route plan.
type pass[P any] interface {
	Work() []stack.Work
	Mount(stack.SetUp, machine.Machine) (P, error)
	Program(nc.WriteOptions) (*nc.Program, error)
}

// readBack mounts passes for a lot of one panel, writes their programs and reads them
// as a check does.
func readBack[P pass[P]](ctx context.Context, in Input, passes []P, check func(mounted P, written *nc.Program) tooling.Report) (out tooling.Report, err error) {
	problem := stack.Problem{Lot: 1, Panel: in.Blank, Rules: in.Rules, Machine: in.Machine}
	for _, p := range passes {
		problem.SetUps = append(problem.SetUps, p.Work())
	}
	plan, err := stack.Solve(ctx, problem, stack.Options{})
	if err != nil {
		return nil, err
	}
	for k, p := range passes {
		mounted, err := p.Mount(plan.SetUps[k], in.Machine)
		if err != nil {
			return nil, err
		}
		program, err := mounted.Program(nc.WriteOptions{})
		if err != nil {
			return nil, err
		}
		var text bytes.Buffer
		if _, err := program.WriteTo(&text); err != nil {
			return nil, err
		}
		written, err := nc.Parse(text.Bytes(), nc.ReadOptions{})
		if err != nil {
			return nil, err
		}
		out = append(out, check(mounted, written)...)
	}
	return out, nil
}

// errLoose marks a refusal for waste that comes loose.
var errLoose = errors.New("array: waste comes loose")

type looseError struct{ error }

func (e looseError) Unwrap() []error { return []error{e.error, errLoose} }

// narrow tells whether boards are routed apart by less than a gap.
func narrow(w Way, gap float64) bool {
	return !w.Score && tooling.Nanometres(w.Gap) < tooling.Nanometres(gap)
}

// wide is the least gap that leaves a bar standing between two channels.
func (p *Prepared) wide() float64 { return tooling.Snap(2*p.Input.Rules.Rout.Cutter + bar) }

// small is the array that check routs.
func (p *Prepared) small(columns, rows Way) Choice {
	in := p.Input
	box := in.Box()
	w, h := tooling.Nanometres(box.Max[0]-box.Min[0]), tooling.Nanometres(box.Max[1]-box.Min[1])
	c := Choice{Columns: 1, Rows: 1, Across: columns, Up: rows}
	for _, s := range p.Problem.Stocks {
		x, y := tooling.Nanometres(s.Width), tooling.Nanometres(s.Height)
		up, turned := s.Border+in.Rails, s.Border
		c.Columns = max(c.Columns, min(3, most(w, x, s.Border, columns.Gap)), min(3, most(w, y, up, columns.Gap)))
		c.Rows = max(c.Rows, min(3, most(h, y, up, rows.Gap)), min(3, most(h, x, turned, rows.Gap)))
	}
	return c
}

// trial is a panel just large enough for an array.
func (p *Prepared) trial(c Choice) tooling.Panel {
	in := p.Input
	box := in.Box()
	w, h := tooling.Nanometres(box.Max[0]-box.Min[0]), tooling.Nanometres(box.Max[1]-box.Min[1])
	out := in.Blank
	out.Width = tooling.Snap(span(c.Columns, w, c.Across.Gap) + 2*defaultBorder)
	out.Height = tooling.Snap(span(c.Rows, h, c.Up.Gap) + 2*defaultBorder)
	in.lay(&out, c, orb.Point{defaultBorder, defaultBorder})
	return out
}

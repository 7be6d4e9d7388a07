package array

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Prepared is a board ready to be arrayed: cutter and tabs are fixed in the
// rules of Input, and what one board asks of the machine is known.
type Prepared struct {
	Input   Input
	Problem Problem
	Bored   []drill.Hole // made of cut-outs too narrow for a cutter; among Input.Holes, too
	Refused []Refusal    // ways of parting and stock sizes that cannot be used
	Report  tooling.Report
}

// Prepare checks that the files of the board agree, finds a cutter and tabs that
// hold it, and lets the planners say what one board asks of each tool for every
// way of parting: holes and paths of a panel that holds just one. Holes twice
// are taken out first, see [drill.Distinct]; so are cut-outs that a hole makes, and
// those too narrow for any cutter that a bit can make become holes.
//
// Errors: those of [route.Agree], [drill.Agree], [drill.Distinct], [route.Lay], [route.Plan]
// and [drill.Plan] for one board alone; a [*FitError] where no way of parting or
// no stock size is left; [*tooling.InputError], that of [ErrBorder] where no stock size has
// room for the panel's own holes.
func Prepare(ctx context.Context, in Input) (Prepared, error) {
	p := Prepared{Input: in}
	if len(in.Board.Open) > 0 {
		return p, &route.BoardError{Board: -1, Other: -1, At: in.Board.Open[0].Line.Start, Source: in.Board.Source, Err: route.ErrOpenPath, Found: fmt.Sprintf("%d open paths", len(in.Board.Open)), Expected: "none: give them to the job that is written"}
	}
	if err := contour.ValidateRegion([]contour.Contour{in.Board.Outline}); err != nil {
		return p, &route.BoardError{Board: -1, Other: -1, Source: in.Board.Source, Err: fmt.Errorf("%w: %w", route.ErrBoard, err), Found: "the outline"}
	}
	area := in.Board.Outline.Area()
	for _, c := range in.Board.CutOuts { // those that are drilled, too
		area = abs(area) - abs(c.Area())
	}
	in.Board.CutOuts = in.drilled(&p.Report)
	in.Board.CutOuts, p.Bored = in.bored(&p.Report)
	var err error
	if in.Board, err = in.written(); err != nil {
		return p, err
	}
	if err := route.Agree(in.Board, in.Holes); err != nil {
		return p, err
	}
	report, err := drill.Agree(in.Holes, in.Board.Outline.Bound())
	if err != nil {
		return p, err
	}
	holes, doubles, err := drill.Distinct(slices.Concat(in.Holes, p.Bored), in.Larger)
	if err != nil {
		return p, err
	}
	in.Holes, p.Report = holes, slices.Concat(p.Report, report, doubles)
	p.Input = in
	box := in.Box()
	p.Problem = Problem{
		Width: box.Max[0] - box.Min[0], Height: box.Max[1] - box.Min[1], Area: abs(area),
		Quantity: in.Quantity, Scrap: in.Scrap, Rails: in.Rails, ScorePrice: in.ScorePrice,
		Blank: in.Blank, Rules: in.Rules, Machine: in.Machine, StackHeight: in.Height,
	}
	if err := p.held(ctx); err != nil {
		return p, err
	}
	if len(p.Problem.Stocks) == 0 || len(p.Problem.Variants) == 0 {
		return p, &FitError{Source: in.Board.Source, Refused: p.Refused}
	}
	p.Problem.Own, err = p.own(ctx)
	return p, err
}

// held fixes cutter and tabs: the first that hold the board alone and in some array,
// where tabs that found room alone may find none between neighbours. What the first
// was refused for stands where none does.
func (p *Prepared) held(ctx context.Context) error {
	asked := *p
	var first *Prepared
	var stopped error
	err := asked.Input.eachHold(func(in Input, scoredOnly bool) bool {
		*p = asked
		p.Report, p.Refused, p.Problem.Stocks = slices.Clone(asked.Report), nil, nil
		p.Input, p.Problem.Rules = in, in.Rules
		in.note(asked.Input, scoredOnly, &p.Report)
		for _, s := range in.Stocks {
			if err := in.usable(s); err != nil {
				p.refuse(s.String(), err)
				continue
			}
			p.Problem.Stocks = append(p.Problem.Stocks, s)
		}
		if stopped = p.variants(ctx); stopped != nil {
			return true
		}
		if first == nil {
			q := *p
			first = &q
		}
		return len(p.Problem.Variants) > 0 || !p.crowded()
	})
	if err != nil || stopped != nil {
		return cmp.Or(stopped, err)
	}
	if len(p.Problem.Variants) == 0 {
		*p = *first
	}
	return nil
}

// crowded tells whether tabs were the reason of a refusal: others may find room.
func (p *Prepared) crowded() bool {
	return slices.ContainsFunc(p.Refused, func(r Refusal) bool {
		return errors.Is(r.Err, route.ErrTabPlace) || errors.Is(r.Err, route.ErrTabLong)
	})
}

func (p *Prepared) refuse(what string, err error) {
	p.Refused = append(p.Refused, Refusal{What: what, Reason: err.Error(), Err: err})
}

// bar is the width in mm of the strip that is left standing between two
// channels: what route leaves standing, too.
const bar = 2.0

// variants asks the planners about every pair of ways. Where waste between boards
// one cutter apart comes loose, wider gaps that leave a bar standing are tried:
// never else, since they can only cost more.
func (p *Prepared) variants(ctx context.Context) error {
	wide := Way{Gap: p.wide()}
	for _, columns := range orAny(p.Input.Columns) {
		for _, rows := range orAny(p.Input.Rows) {
			if p.Input.Scored && !columns.Score && !rows.Score {
				continue
			}
			ok := p.variant(ctx, columns, rows)
			if free := func(w Way) bool { return w == Way{} }; !ok && p.unfit(columns, rows) == "" {
				if free(columns) {
					ok = p.variant(ctx, wide, rows)
				}
				if free(rows) {
					ok = p.variant(ctx, columns, wide) || ok
				}
				if !ok && free(columns) && free(rows) {
					p.variant(ctx, wide, wide)
				}
			}
			if ctx.Err() != nil {
				return ctx.Err()
			}
		}
	}
	return nil
}

// variant adds a pair of ways to the problem where the board can be parted so.
func (p *Prepared) variant(ctx context.Context, columns, rows Way) bool {
	columns, rows = p.gap(columns), p.gap(rows)
	what := pair(columns, rows)
	if why := p.unfit(columns, rows); why != "" {
		p.Refused = append(p.Refused, Refusal{What: what, Reason: why})
		return false
	}
	setUps, left, err := p.Input.ask(ctx, columns, rows)
	var small Choice
	var passes []route.Pass
	if err == nil {
		small, passes, err = p.check(ctx, columns, rows)
	}
	if err != nil {
		p.refuse(what, err)
		return false
	}
	setUps = p.shareOfArray(setUps, small, passes)
	if len(p.Problem.Variants) == 0 { // the same however boards are parted
		p.Report = append(p.Report, left...)
	}
	p.Problem.Variants = append(p.Problem.Variants, Variant{Columns: columns, Rows: rows, SetUps: setUps})
	return true
}

func orAny(ways []Way) []Way {
	if ways == nil {
		return []Way{{}, {Score: true}}
	}
	return ways
}

// gap is a way with the cutter's gap where none is given.
func (p *Prepared) gap(w Way) Way {
	if w.Score {
		w.Gap = 0
	} else if w.Gap == 0 {
		w.Gap = p.Input.Rules.Rout.Cutter
	}
	return w
}

// unfit says why two ways cannot part this board; empty: they may.
func (p *Prepared) unfit(columns, rows Way) string {
	for axis, w := range []Way{columns, rows} {
		if w.Score {
			if why := p.Input.scorable(axis); why != "" {
				return why
			}
		} else if g := p.gap(w).Gap; tooling.Nanometres(g) < tooling.Nanometres(p.Input.Rules.Rout.Cutter) {
			return fmt.Sprintf("a gap of %g mm, expected at least the cutter's %g mm", g, p.Input.Rules.Rout.Cutter)
		}
	}
	return ""
}

// ask is what one board alone asks of the machine, before and after plating, and
// what its cutters leave, in the board's coordinates.
func (in Input) ask(ctx context.Context, columns, rows Way) (out [][]stack.Work, left tooling.Report, err error) {
	ri := in.alone(columns, rows)
	l, err := route.Lay(ri)
	if err != nil {
		return nil, nil, in.onBoard(err, ri.Panel)
	}
	entries, err := l.Entries(ctx, route.Options{})
	if err != nil {
		return nil, nil, in.onBoard(err, ri.Panel)
	}
	out = make([][]stack.Work, 2)
	add := func(stage tooling.Stage, w []stack.Work) {
		k := 0
		if stage == tooling.AfterPlating {
			k = 1
		}
		out[k] = append(out[k], w...)
	}
	di := drill.Input{Holes: slices.Concat(ri.Holes, l.Perforations(), entries), Panel: ri.Panel, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine}
	drilled, err := drill.Plan(ctx, di, drill.Options{})
	if err != nil {
		return nil, nil, in.onBoard(err, ri.Panel)
	}
	for _, d := range drilled {
		add(d.Stage, d.Work())
	}
	routed, err := route.Plan(ctx, l, route.Options{})
	if err != nil {
		return nil, nil, in.onBoard(err, ri.Panel)
	}
	by := ri.Panel.Boards[0].Offset
	for _, r := range routed {
		add(r.Stage, r.Work())
		for _, f := range r.Report {
			if f.Rule == "notch-left" {
				f.Places = slices.Clone(f.Places)
				for i, at := range f.Places {
					f.Places[i] = tooling.SnapPoint(orb.Point{at[0] - by[0], at[1] - by[1]})
				}
				left = append(left, f)
			}
		}
	}
	return out, left, nil
}

// alone is a panel just large enough for one board.
func (in Input) alone(columns, rows Way) route.Input {
	box := in.Box()
	p := in.Blank
	p.Width, p.Height = tooling.Snap(box.Max[0]-box.Min[0]+2*defaultBorder), tooling.Snap(box.Max[1]-box.Min[1]+2*defaultBorder)
	p.Boards = []tooling.Placement{{Offset: offset(box, false, orb.Point{defaultBorder, defaultBorder})}}
	if columns.Score {
		p.Scores = append(p.Scores, upright(defaultBorder, p.Height), upright(p.Width-defaultBorder, p.Height))
	}
	if rows.Score {
		p.Scores = append(p.Scores, level(defaultBorder, p.Width), level(p.Height-defaultBorder, p.Width))
	}
	return in.routed(p)
}

// routed is what package route plans from.
func (in Input) routed(p tooling.Panel) route.Input {
	return route.Input{
		Boards: []route.Board{in.Board}, Panel: p, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine,
		Holes: drill.Place([][]drill.Hole{in.Holes}, p),
	}
}

func upright(x, height float64) tooling.Score {
	return tooling.Score{{tooling.Snap(x), 0}, {tooling.Snap(x), height}}
}

func level(y, width float64) tooling.Score {
	return tooling.Score{{0, tooling.Snap(y)}, {width, tooling.Snap(y)}}
}

// own is what the holes of the panel itself ask.
func (p *Prepared) own(ctx context.Context) ([][]stack.Work, error) {
	in := p.Input
	panel := in.Blank
	var err error
	for _, s := range p.Problem.Stocks { // the first with room for them
		panel.Width, panel.Height = s.Width, s.Height
		if panel.Features, err = in.features(panel, s.Border); err == nil {
			break
		}
	}
	if err != nil {
		return nil, err
	}
	passes, err := drill.Plan(ctx, drill.Input{Holes: drill.Place(nil, panel), Panel: panel, Crib: in.Crib, Rules: in.Rules, Machine: in.Machine}, drill.Options{})
	if err != nil {
		return nil, err
	}
	out := make([][]stack.Work, 2)
	for _, d := range passes {
		for _, w := range d.Work() {
			w.Pass = "panel " + w.Pass
			out[0] = append(out[0], w)
		}
	}
	return out, nil
}

func abs(x float64) float64 { return max(x, -x) }

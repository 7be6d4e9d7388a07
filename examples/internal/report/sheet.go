package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"

	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// scoreAngle is the usual included angle of a score line in degrees (common
// practice); a third of the thickness stays as the web.
const scoreAngle = 30

// Sheet fills the job sheet of a plan. Programs and checks are those of
// [job.Plan.Programs].
func Sheet(p job.Plan, programs []job.Program, checks tooling.Report) (*sheet.Sheet, error) {
	in := p.Job.Drill
	s := &sheet.Sheet{
		Schema: sheet.Schema, Job: p.Job.Name, Revision: p.Job.Revision, Note: p.Job.Note, Hash: p.Job.Hash, Machine: in.Machine.Name,
		Panels: p.Job.Lot, Boards: len(in.Panel.Boards), Width: in.Panel.Width, Height: in.Panel.Height,
		Thickness: in.Panel.Thickness, Material: in.Panel.Material,
		CostPerPanel: p.Stack.Cost.PerPanel, FirstArticle: firstArticle(p), Bits: bits(p.Stack),
		Findings: p.Report, Cautions: tooling.Cautions(),
	}
	if !in.Machine.Calibrated {
		s.Machine += " (preset, uncalibrated: time a load of your own before you trust the times)"
	}
	c, lot := p.Stack.Cost, float64(p.Job.Lot)
	s.CostSplit = sheet.Cost{Machine: c.Machine / lot, Tools: c.Tools / lot, Sheets: c.Sheets / lot, SetUp: c.SetUp / lot}
	s.Curve, s.Limits = curve(p), limits(p.Stack)
	s.Scores = scores(p)
	for _, f := range checks {
		s.Checks = append(s.Checks, sheet.Check{Rule: f.Rule, OK: f.OK, Detail: detail(f)})
	}
	if err := fillPasses(s, p, programs); err != nil {
		return nil, err
	}
	return s, nil
}

// scores lists the score lines with what their machine is set to.
func scores(p job.Plan) []sheet.Score {
	var out []sheet.Score
	panel := p.Job.Drill.Panel
	third := math.Round(panel.Thickness/3*100) / 100
	for _, l := range panel.Scores {
		out = append(out, sheet.Score{From: l[0], To: l[1], Depth: third, Web: tooling.Snap(panel.Thickness - 2*third), Angle: scoreAngle})
	}
	return out
}

// detail is a finding as one line: the program it is about, what was found,
// the worst value and what it was held against.
func detail(f tooling.Finding) string {
	line := f.Detail
	if f.Value != 0 || f.Limit != 0 {
		line += fmt.Sprintf(": %.6g", tooling.Snap(f.Value))
		if f.Limit != 0 {
			line += fmt.Sprintf(" (limit %.6g)", f.Limit)
		}
	}
	if f.Source.File != "" {
		line = f.Source.File + ": " + line
	}
	return line
}

func setUp(p job.Plan, u stack.SetUp, lot time.Duration) sheet.SetUp {
	in := p.Job.Drill
	st := in.Rules.Stack
	out := sheet.SetUp{
		Number: u.Number, Stage: string(u.Stage), Entry: st.Entry, Backup: st.Backup, Height: u.Height,
		StackMM: tooling.Snap(st.Entry + st.Backup + float64(u.Height)*in.Panel.Thickness), Stacks: u.Stacks, ShortStack: u.Short,
		Loads: u.Loads, Spindles: u.Spindles, EntrySheets: float64(u.Stacks), BackupSheets: float64(u.Stacks), Seconds: lot.Seconds(),
	}
	for _, f := range in.Panel.Pins(pinning(u.Stage)) {
		pin := sheet.Pin{At: f.At, Diameter: f.Diameter}
		for _, h := range in.Panel.Features {
			if h.Role == tooling.ToolingHole && h.At == f.At {
				pin.Note = "in the tooling hole drilled before plating"
			}
		}
		out.Pins = append(out.Pins, pin)
	}
	return out
}

// curve lists the heights looked at by set-up: all that are allowed, and of
// the refused ones those below an allowed one and the lowest above, which says
// what ends the curve.
func curve(p job.Plan) []sheet.HeightPoint {
	chosen := func(setUp, height int) bool {
		return slices.ContainsFunc(p.Stack.SetUps, func(u stack.SetUp) bool { return u.Number == setUp && u.Height == height })
	}
	var out []sheet.HeightPoint
	for _, c := range p.Stack.Curve {
		out = append(out, sheet.HeightPoint{
			SetUp: c.SetUp, Height: c.Height, OK: true, Chosen: chosen(c.SetUp, c.Height),
			Cost: c.Cost / float64(p.Job.Lot), Seconds: c.Time.Seconds(), Tools: c.Tools,
		})
	}
	for _, r := range p.Stack.Refused {
		if r.Height == 0 {
			continue // of the set-up: see limits
		}
		beyond := func(c stack.Point) bool { return c.SetUp == r.SetUp && c.Height > r.Height }
		lower := func(o stack.Refusal) bool { return o.SetUp == r.SetUp && o.Height == r.Height-1 }
		if !slices.ContainsFunc(p.Stack.Curve, beyond) && slices.ContainsFunc(p.Stack.Refused, lower) {
			continue
		}
		reason := r.Detail
		if r.Tool != "" {
			reason = r.Tool + ": " + reason
		}
		out = append(out, sheet.HeightPoint{SetUp: r.SetUp, Height: r.Height, Reason: reason})
	}
	slices.SortStableFunc(out, func(a, b sheet.HeightPoint) int {
		return cmp.Or(cmp.Compare(a.SetUp, b.SetUp), cmp.Compare(a.Height, b.Height))
	})
	return out
}

// limits says for each tool of each set-up, once, what keeps it from a taller
// stack, and where tiers were asked for why there are none.
func limits(r stack.Result) []sheet.HeightLimit {
	var out []sheet.HeightLimit
	for _, f := range r.Refused {
		if f.Height == 0 {
			out = append(out, sheet.HeightLimit{SetUp: f.SetUp, Detail: f.Detail})
		}
	}
	for _, l := range r.Limits {
		if one := (sheet.HeightLimit{SetUp: l.SetUp, Detail: l.Detail}); !slices.Contains(out, one) {
			out = append(out, one)
		}
	}
	if r.Thinned {
		out = append(out, sheet.HeightLimit{SetUp: r.SetUps[0].Number, Detail: "not all mixes of speeds were looked at: a better plan may exist"})
	}
	return out
}

// bits lists the tools to fetch from the crib for the lot, by kind and
// diameter.
func bits(r stack.Result) []sheet.Bit {
	var out []sheet.Bit
	for _, u := range r.SetUps {
		for _, t := range u.Tools {
			k := slices.IndexFunc(out, func(b sheet.Bit) bool { return b.ID == t.Tool.ID })
			if k < 0 {
				stock := t.Tool.Stock
				if stock == 0 {
					stock = -1
				}
				out = append(out, sheet.Bit{ID: t.Tool.ID, Kind: string(t.Tool.Kind), Diameter: t.Tool.Diameter, Stock: stock, Price: t.Tool.Price})
				k = len(out) - 1
			}
			out[k].Count += t.Bought
		}
	}
	slices.SortStableFunc(out, func(a, b sheet.Bit) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), cmp.Compare(a.Diameter, b.Diameter))
	})
	return out
}

// firstArticle counts the holes of one panel by finished size.
func firstArticle(p job.Plan) []sheet.HoleCount {
	var out []sheet.HoleCount
	for _, h := range p.Job.Drill.Holes {
		minus, plus := h.Size.Tolerance()
		c := sheet.HoleCount{Finished: h.Size.Diameter, Minus: minus, Plus: plus, Plated: h.Size.Plated, What: "hole"}
		if h.Size.Basis == tooling.Drilled && h.Size.Plated {
			c.What = "hole (drilled size)"
		}
		if h.IsSlot() {
			c.What, c.Length = "slot", tooling.Snap(h.Length()+h.Size.Diameter)
		}
		k := slices.IndexFunc(out, func(o sheet.HoleCount) bool {
			same := o
			same.Count = 0
			return same == c
		})
		if k < 0 {
			out = append(out, c)
			k = len(out) - 1
		}
		out[k].Count++
	}
	slices.SortStableFunc(out, func(a, b sheet.HoleCount) int {
		return cmp.Or(cmp.Compare(stageOf(a), stageOf(b)), cmp.Compare(a.Finished, b.Finished), cmp.Compare(a.Length, b.Length))
	})
	return out
}

// stageOf sorts plated holes before unplated ones.
func stageOf(c sheet.HoleCount) int {
	if c.Plated {
		return 0
	}
	return 1
}

// times adds all loads of one pass to the lot's time by cause.
func times(t *sheet.Times, e machine.Estimate) {
	add := func(dst *float64, d time.Duration) { *dst += d.Seconds() }
	add(&t.Travel, e.Travel)
	add(&t.Settle, e.Settle)
	add(&t.Stroke, e.Stroke)
	add(&t.Change, e.Change)
	add(&t.Rout, e.Rout)
}

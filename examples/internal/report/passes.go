package report

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.org/pinstack/drill"
	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// fillPasses adds every pass in the order it runs, and the lot's time.
func fillPasses(s *sheet.Sheet, p job.Plan, programs []job.Program) error {
	m := p.Job.Drill.Machine
	file := func(pass string, setUp int) string {
		k := slices.IndexFunc(programs, func(f job.Program) bool { return f.Pass == pass && f.SetUp == setUp })
		if k < 0 {
			return ""
		}
		return programs[k].File
	}
	for _, u := range p.Stack.SetUps {
		lot := time.Duration(u.Loads) * u.Handling
		for _, d := range p.Drill {
			if d.SetUp.Number != u.Number {
				continue
			}
			e, err := d.Estimate(m)
			if err != nil {
				return err
			}
			out := pass(d.Name, string(d.Operation), u, e, file(d.Name, u.Number))
			out.Holes = d.Holes()
			for _, r := range d.Runs {
				out.Runs = append(out.Runs, drillRun(r, u, d.Name, m))
			}
			s.Passes = append(s.Passes, out)
			all, err := d.Lot(m)
			if err != nil {
				return err
			}
			times(&s.LotTime, all)
			lot += all.Total()
		}
		for _, r := range p.Rout {
			if r.SetUp.Number != u.Number {
				continue
			}
			e, err := r.Estimate(m)
			if err != nil {
				return err
			}
			out := pass(r.Name, string(r.Operation), u, e, file(r.Name, u.Number))
			for _, run := range r.Runs {
				out.Runs = append(out.Runs, routRun(run, u, r.Name, m))
			}
			s.Passes = append(s.Passes, out)
			all := e.Times(int64(u.Loads))
			times(&s.LotTime, all)
			lot += all.Total()
		}
		s.LotTime.Load += (time.Duration(u.Loads) * u.Handling).Seconds()
		s.SetUps = append(s.SetUps, setUp(p, u, lot))
	}
	for _, part := range s.LotTime.Parts() {
		s.LotSeconds += part.Value
	}
	s.LotSeconds = tooling.Snap(s.LotSeconds)
	return nil
}

func pass(name, operation string, u stack.SetUp, e machine.Estimate, file string) sheet.Pass {
	return sheet.Pass{
		Name: name, SetUp: u.Number, Stage: string(u.Stage), Operation: operation, Program: file,
		Height: u.Height, Loads: u.Loads, LoadSeconds: e.Total().Seconds(), Hits: e.Hits, Cut: tooling.Snap(e.Cut),
		Travel: tooling.Snap(e.Path), TravelSec: (e.Travel + e.Settle).Seconds(),
	}
}

func drillRun(r drill.Run, u stack.SetUp, pass string, m machine.Machine) sheet.Run {
	out := sheet.Run{
		Number: r.Number, Kind: string(r.Tool.Kind), Work: "holes", Diameter: r.Tool.Diameter,
		Speed: r.Feed.Speed, Infeed: r.Feed.Infeed, ChipLoad: tooling.Snap(r.Feed.ChipLoad * 1000), Retract: r.Feed.Retract,
		IntoBackup: r.Depth.IntoBackup, AboveTable: r.Depth.AboveTable, Hits: len(r.Hits),
		PerLoad: len(r.Bits), Life: r.Life, Travel: r.Path, TravelS: r.Travel, BoundS: r.Bound,
	}
	if share, ok := u.Share(pass, r.Number); ok {
		out.PerLot = share.Bought
	}
	if r.Bound > 0 {
		out.GapPct = tooling.Snap((r.Travel/r.Bound - 1) * 100)
		if moves := r.Bound - r.Settle; moves > 0 {
			out.MovesPct = tooling.Snap(((r.Travel-r.Settle)/moves - 1) * 100)
		}
	}
	for k, b := range r.Bits {
		if k == 0 {
			out.Place = b.Place
		} else {
			out.Spares = append(out.Spares, b.Place)
		}
		if len(r.Bits) > 1 && r.Limit == 0 {
			out.Shares = append(out.Shares, sheet.Share{Place: b.Place, First: b.First + 1, Hits: b.Hits})
		}
	}
	for _, size := range r.Sizes {
		out.Files = append(out.Files, size.Size.Diameter)
		out.Finished = append(out.Finished, size.Finished)
		out.Holes += size.Holes
	}
	for _, h := range r.Hits {
		switch h.Kind {
		case drill.Pilot:
			out.Work = "pilots"
		case drill.Nibbled:
			out.Work = "slots"
		}
	}
	out.Seconds = runSeconds(r, m)
	var notes []string
	if r.Depth.Pecks > 1 {
		notes = append(notes, fmt.Sprintf("pecked: %d infeeds a hit", r.Depth.Pecks))
	}
	if r.Limit > 0 {
		out.Limit = int(r.Limit)
		notes = append(notes, spares(&out, r, u, pass))
	}
	out.Comments = strings.Join(notes, "; ")
	return out
}

// spares lists the places that the control takes bits from, and says how.
func spares(out *sheet.Run, r drill.Run, u stack.SetUp, pass string) string {
	out.Spares = nil
	if share, ok := u.Share(pass, r.Number); ok {
		out.PerLoad = share.PerLoad
	}
	for k := 1; k < out.PerLoad; k++ {
		out.Spares = append(out.Spares, out.Place+k)
	}
	note := fmt.Sprintf("the control takes the next bit after %d hits", r.Limit)
	if u.Policy == stack.CarryOn {
		note += ", counted on from load to load"
	}
	return note
}

// runSeconds is the time of one run of a load, its tool changes included.
func runSeconds(r drill.Run, m machine.Machine) float64 {
	alone := drill.Pass{SetUp: stack.SetUp{Height: 1}, Runs: []drill.Run{r}}
	return m.Time(alone.Steps(m)).Total().Seconds()
}

// cuts says what a cutter's run makes: outlines, with what else it cuts on the
// way, or the one or two kinds of work that come before them.
func cuts(r route.Run) string {
	kinds := [4]string{"outlines", "cut-outs", "holes", "open paths"}
	var has [4]bool
	for _, p := range r.Paths {
		switch {
		case p.Open != "":
			has[3] = true
		case p.Hole:
			has[2] = true
		default:
			has[min(p.Loop, 1)] = true
		}
	}
	var work []string
	for k := range kinds {
		if has[k] {
			work = append(work, kinds[k])
		}
	}
	if has[0] {
		work = work[:1]
	}
	return strings.Join(work, ", ")
}

func routRun(r route.Run, u stack.SetUp, pass string, m machine.Machine) sheet.Run {
	out := sheet.Run{
		Number: r.Number, Kind: string(r.Tool.Kind), Work: cuts(r), Diameter: r.Tool.Diameter,
		Speed: r.Feed.Speed, Infeed: r.Feed.Plunge, Feed: r.Feed.Infeed, ChipLoad: tooling.Snap(r.Feed.ChipLoad * 1000), Retract: r.Feed.Retract,
		IntoBackup: r.Depth.IntoBackup, AboveTable: r.Depth.AboveTable, Paths: len(r.Paths), Cut: tooling.Snap(r.Cut),
		PerLoad: len(r.Cutters), Life: r.Life, Travel: r.Path, TravelS: r.Travel,
	}
	if share, ok := u.Share(pass, r.Number); ok {
		out.PerLot = share.Bought
	}
	for k, c := range r.Cutters {
		if k == 0 {
			out.Place = c.Place
		} else {
			out.Spares = append(out.Spares, c.Place)
		}
	}
	alone := route.Pass{SetUp: stack.SetUp{Height: 1}, Runs: []route.Run{r}}
	out.Seconds = m.Time(alone.Steps(m)).Total().Seconds()
	return out
}

package sheet_test

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"example.org/pinstack/examples/internal/sheet"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
)

// pen draws runs on a scene with a simple clock: 0.05 s and 0.4 s a metre of
// travel between hits, 0.15 s a stroke, 10 s a tool change.
type pen struct {
	scene *picture.Scene
	pass  string
	run   int
	now   float64
	at    orb.Point
}

func apart(a, b orb.Point) float64 { return max(abs(a[0]-b[0]), abs(a[1]-b[1])) }

func abs(v float64) float64 { return max(v, -v) }

// hits draws a run of hits in the order given and tells what it took.
func (p *pen) hits(place int, diameter float64, role string, list []orb.Point) sheet.Run {
	p.run++
	l := p.scene.Layer(fmt.Sprintf("%s T%d %.2f mm", p.pass, place, diameter), picture.Hits)
	l.Pass, l.Run, l.Place, l.Diameter, l.Start = p.pass, p.run, place, diameter, p.now
	r := sheet.Run{Number: p.run, Place: place, Kind: "bit", Work: "holes", Files: []float64{diameter - 0.1}, Finished: []float64{diameter - 0.1}, Diameter: diameter,
		Speed: 60000, Infeed: 2400, ChipLoad: 40, Retract: 20000, IntoBackup: 0.43, AboveTable: 1.57, PerLoad: 6, PerLot: 12, Life: 3000}
	start := p.now
	p.now += 10
	for i, at := range list {
		d := apart(at, p.at)
		r.Travel += d
		r.TravelS += 0.05 + d/2500
		p.now += 0.2 + d/2500
		p.at = at
		m := picture.Hit(at, diameter)
		m.Role, m.Number, m.Seconds = role, i+1, p.now
		m.Source = fmt.Sprintf("%s.drl:%d", p.pass, 20+i)
		l.Marks = append(l.Marks, m)
	}
	r.Hits, r.Holes, r.Seconds = len(list), len(list), p.now-start
	r.BoundS, r.GapPct = r.TravelS*0.97, 3.1
	return r
}

// cut draws moves of a cutter, straight and round in turn.
func (p *pen) cut(l *picture.Layer, number int, width float64, role string, start orb.Point, moves ...picture.Mark) float64 {
	p.now += 0.5 + apart(start, p.at)/500
	p.at = start
	length := 0.0
	for _, m := range moves {
		m.Width, m.Role, m.Number = width, role, number
		end := m.Points[len(m.Points)-1]
		d := apart(p.at, end) * 1.2
		length += d
		p.now += d / 20
		m.Seconds = p.now
		l.Marks = append(l.Marks, m)
		p.at = end
	}
	return length
}

func line(pts ...orb.Point) picture.Mark { return picture.Mark{Shape: picture.Line, Points: pts} }

func turn(from, to, centre orb.Point, clockwise bool) picture.Mark {
	return picture.Mark{Shape: picture.Arc, Points: []orb.Point{from, to}, Center: centre, Clockwise: clockwise}
}

// rounded returns the moves of a rectangle with round corners, against the clock
// from the bottom left.
func rounded(x0, y0, x1, y1, r float64) (orb.Point, []picture.Mark) {
	p := func(x, y float64) orb.Point { return orb.Point{x, y} }
	return p(x0+r, y0), []picture.Mark{
		line(p(x0+r, y0), p(x1-r, y0)), turn(p(x1-r, y0), p(x1, y0+r), p(x1-r, y0+r), false),
		line(p(x1, y0+r), p(x1, y1-r)), turn(p(x1, y1-r), p(x1-r, y1), p(x1-r, y1-r), false),
		line(p(x1-r, y1), p(x0+r, y1)), turn(p(x0+r, y1), p(x0, y1-r), p(x0+r, y1-r), false),
		line(p(x0, y1-r), p(x0, y0+r)), turn(p(x0, y0+r), p(x0+r, y0), p(x0+r, y0+r), false),
	}
}

// snake orders places in rows to and fro, a plausible order of a machine.
func snake(list []orb.Point, row float64) []orb.Point {
	slices.SortStableFunc(list, func(a, b orb.Point) int {
		ra, rb := int(a[1]/row), int(b[1]/row)
		switch {
		case ra != rb:
			return ra - rb
		case (a[0] < b[0]) == (ra%2 == 0):
			return -1
		}
		return 1
	})
	return list
}

// greenhouse is an invented job: 12 greenhouse-sensor boards on a panel.
func greenhouse() (*sheet.Sheet, *picture.Scene) {
	scene := &picture.Scene{Title: "greenhouse-sensor, revision C (invented)", Width: 300, Height: 240}
	vias, parts, holes, perforations := []orb.Point{}, []orb.Point{}, []orb.Point{}, []orb.Point{}
	var slots [][2]orb.Point
	type board struct{ x, y float64 }
	var boards []board
	const w, h = 64.0, 66.0
	for row := range 3 {
		for col := range 4 {
			boards = append(boards, board{16 + 68*float64(col), 16 + 70*float64(row)})
		}
	}
	r := rand.New(rand.NewPCG(12, 1))
	var viaPattern []orb.Point
	for range 42 {
		viaPattern = append(viaPattern, orb.Point{float64(6 + r.IntN(50)), float64(24 + r.IntN(36))})
	}
	add := func(name string, kind picture.Kind, marks ...picture.Mark) {
		l := scene.Layer(name, kind)
		l.Marks = append(l.Marks, marks...)
	}
	for _, b := range boards {
		_, moves := rounded(b.x, b.y, b.x+w, b.y+h, 4)
		add("boards", picture.Board, moves...)
		_, hole := rounded(b.x+24, b.y+8, b.x+44, b.y+18, 2)
		add("boards", picture.Board, hole...)
		for _, v := range viaPattern {
			vias = append(vias, orb.Point{b.x + v[0], b.y + v[1]})
		}
		for i := range 10 {
			parts = append(parts, orb.Point{b.x + 12 + 2.54*float64(i), b.y + 62}, orb.Point{b.x + 12 + 2.54*float64(i), b.y + 59.46})
		}
		for _, q := range [][2]float64{{5, 5}, {59, 5}, {5, 61}, {59, 61}} {
			holes = append(holes, orb.Point{b.x + q[0], b.y + q[1]})
		}
		slots = append(slots, [2]orb.Point{{b.x + 50, b.y + 10}, {b.x + 52.5, b.y + 10}}, [2]orb.Point{{b.x + 50, b.y + 15}, {b.x + 52.5, b.y + 15}})
		for _, x := range []float64{16, 48} {
			for i := range 5 {
				perforations = append(perforations, orb.Point{b.x + x - 1.6 + 0.8*float64(i), b.y + 0.1}, orb.Point{b.x + x - 1.6 + 0.8*float64(i), b.y + h - 0.1})
			}
			for _, y := range []float64{b.y - 1, b.y + h + 1} {
				add("tabs", picture.Tab, picture.Mark{Shape: picture.Line, Points: []orb.Point{{b.x + x - 2.5, y}, {b.x + x + 2.5, y}}, Width: 2, Label: ""})
			}
		}
	}
	add("pins", picture.Pin,
		picture.Mark{Shape: picture.Peg, Points: []orb.Point{{150, 6}}, Width: 3.175, Label: "round"},
		picture.Mark{Shape: picture.Peg, Points: []orb.Point{{146, 234}}, Width: 3.175, Label: "slot"})
	add("keep-outs", picture.KeepOut, picture.Mark{Shape: picture.Box, Points: []orb.Point{{0, 105}, {9, 135}}, Label: "clamp"})
	add("score lines", picture.Score, picture.Mark{Shape: picture.Line, Points: []orb.Point{{0, 229}, {300, 229}}, Label: "S1"})
	add("findings", picture.Finding, picture.Mark{Shape: picture.Cross, Points: []orb.Point{{66, 26}}, Label: "1"}, picture.Mark{Shape: picture.Cross, Points: []orb.Point{{134, 26}}, Label: "1"})

	p := &pen{scene: scene, pass: "plated"}
	plated := sheet.Pass{Name: "plated", SetUp: 1, Stage: "before_plating", Operation: "drill", Program: "greenhouse-sensor-1-plated.nc", Height: 3, Loads: 14}
	plated.Runs = append(plated.Runs, p.hits(1, 0.40, "", snake(vias, 4)), p.hits(2, 1.15, "", snake(parts, 6)))
	plated.Runs[0].Spares, plated.Runs[0].Shares = []int{4}, []sheet.Share{{Place: 1, First: 1, Hits: 300}, {Place: 4, First: 301, Hits: 204}}
	var nibbles []orb.Point
	for _, s := range slots {
		for _, f := range []float64{0, 1, 0.5, 0.25, 0.75} {
			nibbles = append(nibbles, orb.Point{s[0][0] + f*(s[1][0]-s[0][0]), s[0][1]})
		}
	}
	slotRun := p.hits(3, 1.00, "nibble", nibbles)
	slotRun.Kind, slotRun.Work, slotRun.Holes = "slot bit", "slots", len(slots)
	slotRun.Comments = "both ends first, then between them until the bumps are below 12.7 um"
	plated.Runs = append(plated.Runs, slotRun)
	sum(&plated, p.now)

	p = &pen{scene: scene, pass: "unplated"}
	bare := sheet.Pass{Name: "unplated", SetUp: 2, Stage: "after_plating", Operation: "drill", Program: "greenhouse-sensor-2-unplated.nc", Height: 3, Loads: 14}
	bare.Runs = append(bare.Runs, p.hits(1, 0.50, "", snake(perforations, 20)), p.hits(2, 3.20, "", snake(holes, 30)))
	sum(&bare, p.now)

	p = &pen{scene: scene, pass: "rout"}
	rout := sheet.Pass{Name: "rout", SetUp: 2, Stage: "after_plating", Operation: "rout", Program: "greenhouse-sensor-2-rout.nc", Height: 3, Loads: 14}
	l := scene.Layer("rout T9 2.00 mm", picture.Path)
	l.Pass, l.Run, l.Place, l.Diameter = "rout", 1, 9, 2
	p.now = 10
	length, paths := 0.0, 0
	for _, b := range boards {
		paths++
		at, moves := rounded(b.x+25, b.y+9, b.x+43, b.y+17, 1)
		length += p.cut(l, paths, 2, "finish", at, moves...)
	}
	for _, b := range boards {
		q := func(x, y float64) orb.Point { return orb.Point{b.x + x, b.y + y} }
		for _, side := range []float64{-1, h + 1} {
			paths++
			length += p.cut(l, paths, 2, "finish", q(19.5, side), line(q(19.5, side), q(44.5, side)))
		}
		paths++
		length += p.cut(l, paths, 2, "finish", q(51.5, -1), line(q(51.5, -1), q(60, -1)), turn(q(60, -1), q(65, 4), q(60, 4), false),
			line(q(65, 4), q(65, 62)), turn(q(65, 62), q(60, 67), q(60, 62), false), line(q(60, 67), q(51.5, 67)))
		paths++
		length += p.cut(l, paths, 2, "finish", q(12.5, 67), line(q(12.5, 67), q(4, 67)), turn(q(4, 67), q(-1, 62), q(4, 62), false),
			line(q(-1, 62), q(-1, 4)), turn(q(-1, 4), q(4, -1), q(4, 4), false), line(q(4, -1), q(12.5, -1)))
	}
	rout.Runs = []sheet.Run{{Number: 1, Place: 9, Spares: []int{10}, Kind: "cutter", Work: "cut-outs, outlines", Diameter: 2, Speed: 26000, Infeed: 600, Feed: 1200,
		ChipLoad: 46.2, Retract: 20000, IntoBackup: 0.75, AboveTable: 1.25, Cut: length, PerLoad: 6, PerLot: 18, Life: 15000, Travel: 2610, TravelS: 18, BoundS: 17.2, GapPct: 4.7, Seconds: p.now}}
	sum(&rout, p.now)
	rout.Cut, rout.Runs[0].Paths = length, paths

	s := &sheet.Sheet{
		Schema: sheet.Schema, Job: "greenhouse-sensor", Revision: "C", Note: "invented", Hash: "5f0c91d2a7e44b18", Machine: "ball screw, 6 spindles",
		Panels: 240, Boards: 12, Width: 300, Height: 240, Thickness: 1.6, Material: "FR-4",
		SetUps: []sheet.SetUp{
			{Number: 1, Stage: "before_plating", Pins: []sheet.Pin{{At: orb.Point{150, 6}, Diameter: 3.175, Note: "round bushing"}, {At: orb.Point{146, 234}, Diameter: 3.175, Note: "slotted bushing"}},
				Entry: 0.15, Backup: 2, Height: 3, StackMM: 6.95, Stacks: 80, Loads: 14, Spindles: 6, EntrySheets: 80, BackupSheets: 40, Seconds: 9134},
			{Number: 2, Stage: "after_plating", Pins: []sheet.Pin{{At: orb.Point{150, 6}, Diameter: 3.1, Note: "in the tooling hole, 3.20 mm"}, {At: orb.Point{146, 234}, Diameter: 3.1, Note: "in the tooling hole, 3.20 mm"}},
				Entry: 0.15, Backup: 2, Height: 3, StackMM: 6.95, Stacks: 80, Loads: 14, Spindles: 6, EntrySheets: 80, BackupSheets: 80, Seconds: 13210},
		},
		Passes: []sheet.Pass{plated, bare, rout},
		Scores: []sheet.Score{{From: orb.Point{0, 229}, To: orb.Point{300, 229}, Depth: 0.55, Web: 0.5, Angle: 30}},
		FirstArticle: []sheet.HoleCount{
			{Finished: 0.3, Minus: 0.3, Plus: 0.08, Plated: true, What: "hole", Count: 504}, {Finished: 1.0, Minus: 0.1, Plus: 0.1, Plated: true, What: "hole", Count: 240},
			{Finished: 0.9, Minus: 0.1, Plus: 0.1, Plated: true, What: "slot", Length: 3.4, Count: 24}, {Finished: 3.2, Minus: 0.05, Plus: 0.05, What: "hole", Count: 48}},
		LotSeconds: 22344, LotTime: sheet.Times{Travel: 3100, Settle: 800, Stroke: 5200, Change: 980, Load: 6720, Rout: 5544},
		Bits: []sheet.Bit{{ID: "B040", Kind: "bit", Diameter: 0.4, Count: 18, Stock: 60, Price: 1.1}, {ID: "B115", Kind: "bit", Diameter: 1.15, Count: 12, Stock: 8, Price: 0.9},
			{ID: "S100", Kind: "slot bit", Diameter: 1, Count: 6, Stock: 6, Price: 1.6}, {ID: "C200", Kind: "cutter", Diameter: 2, Count: 18, Stock: -1, Price: 1.9}},
		Money: "EUR", CostPerPanel: 3.42, CostSplit: sheet.Cost{Machine: 1.55, Tools: 0.44, Sheets: 0.98, SetUp: 0.45},
		Curve: []sheet.HeightPoint{
			{Height: 1, OK: true, Cost: 6.9, Seconds: 51200, Tools: 44}, {Height: 2, OK: true, Cost: 4.31, Seconds: 29800, Tools: 48},
			{Height: 3, OK: true, Chosen: true, Cost: 3.42, Seconds: 22344, Tools: 54}, {Height: 4, Reason: "flute of the 0.40 mm bit: 6.95 mm of 6.50 mm"}},
		Checks:   []sheet.Check{{Rule: "holes", OK: true, Detail: "792 holes, one finishing stroke each, in the right stage"}, {Rule: "speeds", OK: true, Detail: "every tool has S and F within tool and machine"}, {Rule: "contour", OK: true, Detail: "every edge cut, worst gouge 0.000 mm"}},
		Findings: tooling.Report{{Rule: "duplicate", OK: true, Source: tooling.Source{File: "plated.drl", Line: 31}, Tool: "T2", Detail: "the same hit twice, made once", Count: 2, Places: []orb.Point{{66, 26}, {134, 26}}}, {Rule: "residual-laminate", OK: true, Tool: "T1/T1", Detail: "web between holes below 0.50 mm", Value: 0.42, Limit: 0.5, Count: 6, Places: []orb.Point{{40, 50}}}},
		HandWork: []string{"countersink the four corner holes of each board to 6.0 mm, 90 deg, from the entry side"},
		Cautions: tooling.Cautions(),
	}
	return s, scene
}

func sum(p *sheet.Pass, seconds float64) {
	p.LoadSeconds = seconds
	for _, r := range p.Runs {
		p.Hits += r.Hits
		p.Holes += r.Holes
		p.Travel += r.Travel
		p.TravelSec += r.TravelS
	}
}

// backplane is an invented job of one board with n hits in connector fields.
func backplane(n int) (*sheet.Sheet, *picture.Scene) {
	s, _ := greenhouse()
	s.Job, s.Revision, s.Boards, s.Width, s.Height, s.Thickness = "pump-backplane", "A", 1, 440, 340, 3.2
	s.Passes, s.Scores = nil, nil
	scene := &picture.Scene{Title: "pump-backplane, revision A (invented)", Width: 440, Height: 340}
	_, moves := rounded(20, 20, 420, 320, 3)
	scene.Layer("boards", picture.Board).Marks = moves
	p := &pen{scene: scene, pass: "plated"}
	pass := sheet.Pass{Name: "plated", SetUp: 1, Stage: "before_plating", Operation: "drill", Program: "pump-backplane-1-plated.nc", Height: 1, Loads: 2}
	r := rand.New(rand.NewPCG(3, 4))
	for run := range 8 {
		var list []orb.Point
		fields := 4
		per := n / 8 / fields
		for f := range fields {
			x, y := 28+96*float64(f)+r.Float64(), 30+34*float64(run)
			for i := range per {
				list = append(list, orb.Point{x + 1.9*float64(i%45), y + 1.9*float64(i/45)})
			}
		}
		pass.Runs = append(pass.Runs, p.hits(run+1, 0.55+0.1*float64(run), "", list))
	}
	sum(&pass, p.now)
	s.Passes = []sheet.Pass{pass}
	s.SetUps = s.SetUps[:1]
	return s, scene
}

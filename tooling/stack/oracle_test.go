package stack_test

import (
	"math"
	"math/bits"
	"slices"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// The oracle plans by trying everything. It reads the data of a problem and
// calls nothing of the library: depths, feeds, lives, times, tools and money
// are worked out here again from the trade's formulas, tools by wearing them
// down stroke by stroke and load by load.

// trial is one way to run one set-up.
type trial struct {
	cost, seconds float64
	height        int
	bought        map[string]int
}

type oracle struct {
	p stack.Problem
	o stack.Options
}

// trials lists everything that may be done with some of the works of a
// set-up.
func (q oracle) trials(works []stack.Work) []trial {
	var out []trial
	policies := []stack.Policy{stack.Fresh, stack.WholeLoads}
	if q.o.Mode == stack.Spares {
		policies = append(policies, stack.CarryOn)
	}
	if q.o.Policy != "" {
		policies = []stack.Policy{q.o.Policy}
	}
	for h := 1; h <= q.p.Rules.Stack.MaxHeight && h <= q.p.Lot; h++ {
		if q.o.Height > 0 && h != min(q.o.Height, q.p.Lot) {
			continue
		}
		stacks := int(math.Ceil(float64(q.p.Lot) / float64(h)))
		for spindles := 1; spindles <= q.p.Machine.Spindles && spindles <= stacks; spindles++ {
			loads := int(math.Ceil(float64(stacks) / float64(spindles)))
			for _, policy := range policies {
				out = append(out, q.speeds(works, h, stacks, loads, spindles, policy)...)
			}
		}
	}
	return out
}

// speeds tries every speed of every bit.
func (q oracle) speeds(works []stack.Work, h, stacks, loads, spindles int, policy stack.Policy) []trial {
	ratios := q.o.Speeds
	if len(ratios) == 0 {
		ratios = []float64{1}
	}
	var out []trial
	for code := range int(math.Pow(float64(len(ratios)), float64(len(works)))) {
		chosen := make([]float64, len(works))
		rest := code
		for i := range works {
			chosen[i] = ratios[rest%len(ratios)]
			rest /= len(ratios)
		}
		if t, ok := q.run(works, chosen, h, stacks, loads, spindles, policy); ok {
			out = append(out, t)
		}
	}
	return out
}

// run prices one way; false when a rule refuses it.
func (q oracle) run(works []stack.Work, ratios []float64, h, stacks, loads, spindles int, policy stack.Policy) (trial, bool) {
	m, r := q.p.Machine, q.p.Rules.Stack
	seconds := float64(loads) * m.Load.Seconds()
	tools, places := 0.0, 0
	bought := map[string]int{}
	for i, w := range works {
		depth, pecks, ok := q.depth(w.Tool, h)
		if !ok {
			return trial{}, false
		}
		feed, plunge, retract, ratio := q.feed(w.Tool, ratios[i])
		lives := q.lives(w.Tool, float64(h)*q.p.Panel.Thickness, pecks, ratio)
		if len(lives) == 0 {
			return trial{}, false
		}
		one := w.Travel.Seconds() + float64(w.Changes)*(m.Change+m.SpinUp).Seconds()
		demand := float64(w.Hits)
		if w.Tool.Kind == tooling.Cutter {
			demand = w.Cut
			one += w.Fixed.Seconds() + float64(w.Plunges)*(q.axis(depth, plunge)+q.axis(depth, retract))
		} else {
			one += float64(w.Hits) * q.stroke(depth, feed, retract, pecks)
		}
		n, changes, most, ok := q.wear(demand, lives[0], w.Pieces, stacks, loads, spindles, policy)
		if !ok {
			return trial{}, false
		}
		seconds += float64(loads)*one + float64(changes)*(m.Change+m.SpinUp+w.Trip).Seconds()
		sum := 0.0
		for _, l := range lives {
			sum += l
		}
		tools += float64(n) * (w.Tool.Price + float64(len(lives)-1)*w.Tool.RepointPrice) * lives[0] / sum
		places += most
		bought[w.Tool.ID] += n
		if q.o.StockOnly && w.Tool.Stock > 0 && bought[w.Tool.ID] > w.Tool.Stock {
			return trial{}, false
		}
	}
	if places > m.Places {
		return trial{}, false
	}
	cost := seconds/3600*m.Rate + tools + float64(stacks)*(r.EntryPrice+r.BackupPrice+r.StackLabour) + r.SetUpLabour
	return trial{cost, seconds, h, bought}, true
}

// wear makes the whole lot hit by hit of every spindle: tools used, changes
// in mid load, and the most tools of a spindle in one load.
func (q oracle) wear(demand, life float64, pieces []float64, stacks, loads, spindles int, policy stack.Policy) (tools, changes, most int, ok bool) {
	if demand == 0 {
		return 0, 0, 0, true
	}
	if pieces == nil {
		if policy == stack.CarryOn {
			return q.carry(int(demand), int(life), stacks, loads, spindles)
		}
		most = int(math.Ceil(demand/life - 1e-12))
	} else {
		left := 0.0
		for _, c := range pieces {
			if c > life {
				return 0, 0, 0, false
			}
			if c > left+1e-9 {
				most++
				left = life
			}
			left -= c
		}
	}
	if policy == stack.Fresh || most > 1 {
		return most * stacks, (most - 1) * loads, most, true
	}
	for s := range spindles {
		left := 0.0
		for range q.loadsOf(s, stacks, loads, spindles) {
			if left < demand {
				tools++
				left = life
			}
			left -= demand
		}
	}
	return tools, 0, 1, true
}

func (q oracle) carry(demand, life, stacks, loads, spindles int) (tools, changes, most int, ok bool) {
	for s := range spindles {
		left := 0
		for range q.loadsOf(s, stacks, loads, spindles) {
			touched := 0
			for at := 0; at < demand; {
				if left == 0 {
					tools++
					left = life
					if s == 0 && at > 0 {
						changes++
					}
				}
				touched++
				n := min(left, demand-at)
				at, left = at+n, left-n
			}
			most = max(most, touched)
		}
	}
	return tools, changes, most, true
}

// loadsOf is how many loads spindle s works in: loads are full but the last.
func (q oracle) loadsOf(s, stacks, loads, spindles int) int {
	if s < stacks-(loads-1)*spindles {
		return loads
	}
	return loads - 1
}

func (q oracle) depth(t tooling.Tool, h int) (down float64, pecks int, ok bool) {
	r := q.p.Rules.Stack
	stack := float64(h) * q.p.Panel.Thickness
	into := q.p.Rules.Rout.Depth
	if t.Kind != tooling.Cutter {
		angle := 130.0
		if t.Diameter >= 3.2 {
			angle = 165
		}
		into = max(r.MinDepth, nm(t.Diameter/2/math.Tan(angle/2*math.Pi/180))+r.Margin)
		into = math.Ceil(math.Round(into*1e6)/1e3) / 1e3 // written in whole micrometres
	}
	const grain = 1e-6 / 2 // depths are compared in whole nanometres
	if r.Backup-into < r.BackupFloor-grain {
		return 0, 0, false
	}
	deep := r.Entry + stack + into
	if t.Kind == tooling.Cutter {
		return nm(r.Clearance + deep), 1, deep+0.5 <= t.Flute+grain
	}
	if deep > t.Flute-max(r.ChipRoom, t.Diameter)+grain {
		return 0, 0, false
	}
	switch ratio := stack / t.Diameter; {
	case ratio <= r.Ratio+1e-9:
		pecks = 1
	case ratio <= r.PeckRatio+1e-9:
		pecks = 2
	default:
		return 0, 0, false
	}
	return nm(r.Clearance + deep), pecks, true
}

func nm(mm float64) float64 { return math.Round(mm*1e6) / 1e6 }

// feed is infeed, plunge and retract in mm/min, and the ratio of speeds.
func (q oracle) feed(t tooling.Tool, ratio float64) (feed, plunge, retract, scale float64) {
	var rows []tooling.FeedRow
	for _, r := range q.p.Rules.Feeds.Rows {
		if r.Kind == t.Kind && r.Material == q.p.Panel.Material {
			rows = append(rows, r)
		}
	}
	lo, hi := 0, len(rows)-1
	for i, r := range rows {
		if r.Diameter <= t.Diameter {
			lo = i
		}
		if r.Diameter >= t.Diameter {
			hi = min(hi, i)
		}
	}
	w := 0.0
	if lo != hi {
		w = (t.Diameter - rows[lo].Diameter) / (rows[hi].Diameter - rows[lo].Diameter)
	}
	mix := func(a, b float64) float64 { return a + (b-a)*w }
	table := mix(rows[lo].Speed, rows[hi].Speed)
	chip := mix(rows[lo].ChipLoad, rows[hi].ChipLoad)
	speed := math.Round(min(max(table, q.p.Machine.MinSpeed), q.p.Machine.MaxSpeed))
	feed = math.Floor(min(speed, table)*chip + 1e-6)
	if t.Kind == tooling.Cutter {
		ratio = 1
	}
	if ratio != 1 {
		slow := max(math.Round(speed*ratio), q.p.Machine.MinSpeed)
		feed = math.Floor(feed*slow/speed + 1e-6)
		ratio = slow / speed
	}
	return feed, math.Round(mix(rows[lo].Plunge, rows[hi].Plunge)), math.Round(mix(rows[lo].Retract, rows[hi].Retract)), ratio
}

// lives are those of a new tool and after each repoint.
func (q oracle) lives(t tooling.Tool, depth float64, pecks int, ratio float64) []float64 {
	table := q.p.Rules.Life
	var rows []tooling.LifeRow
	for _, r := range table.Rows {
		if r.Kind == t.Kind && r.Material == q.p.Panel.Material {
			rows = append(rows, r)
		}
	}
	at := func(i int) (float64, bool) {
		r := rows[i]
		if depth <= r.Depth+1e-7 {
			return r.Life, true
		}
		if table.Fall.Step == 0 {
			return 0, false
		}
		return r.Life * r.Depth / depth * math.Pow(table.Fall.Factor, (depth-r.Depth)/table.Fall.Step), true
	}
	lo, hi := 0, len(rows)-1
	for i, r := range rows {
		if r.Diameter <= t.Diameter {
			lo = i
		}
		if r.Diameter >= t.Diameter {
			hi = min(hi, i)
		}
	}
	a, okA := at(lo)
	b, okB := at(hi)
	if !okA || !okB {
		return nil
	}
	life := a
	if lo != hi {
		life = a + (b-a)*(t.Diameter-rows[lo].Diameter)/(rows[hi].Diameter-rows[lo].Diameter)
	}
	// Heavy copper and many layers shorten life; the harder counts.
	hard := 1.0
	for _, f := range table.Factors.Copper {
		if f.From <= q.p.Panel.Copper {
			hard = min(hard, f.Factor)
		}
	}
	for _, f := range table.Factors.Layers {
		if f.From <= float64(q.p.Panel.Layers) {
			hard = min(hard, f.Factor)
		}
	}
	life *= hard
	floor := func(x float64) float64 { return math.Floor(math.Round(x*1e6) / 1e6) }
	scale := 1.0
	if pecks > 1 {
		scale = 0.8
	}
	if ratio != 1 {
		scale *= math.Pow(ratio, 1-1/q.o.Taylor.N)
	}
	var out []float64
	for k := 0; k <= t.Repoints; k++ {
		if k > 0 && table.Factors.Repoint != 0 {
			life *= table.Factors.Repoint
		}
		if floor(life) < 1 {
			break
		}
		out = append(out, floor(floor(life)*scale))
	}
	if len(out) == 0 || out[0] < 1 {
		return nil
	}
	return out
}

func (q oracle) stroke(depth, feed, retract float64, pecks int) float64 {
	m := q.p.Machine
	fast := min(m.Approach, depth/2)
	t := m.FootDwell.Seconds() + q.axis(depth, retract) + q.axis(fast, m.Z.Speed*60) + float64(pecks)*q.axis((depth-fast)/float64(pecks), feed)
	if pecks == 2 {
		t += 2 * q.axis(fast+(depth-fast)/2, retract)
	}
	return t
}

// axis is the time of a rest to rest move of the Z axis at a feed in mm/min,
// a whole number of nanoseconds.
func (q oracle) axis(d, feed float64) float64 {
	z := q.p.Machine.Z
	if d == 0 {
		return 0
	}
	v := min(feed/60, z.Speed)
	t := d / v
	switch {
	case z.Accel == 0:
	case d >= v*v/z.Accel:
		t += v / z.Accel
	default:
		t = 2 * math.Sqrt(d/z.Accel)
	}
	return math.Round(t*1e9) / 1e9
}

// splits lists all ways to cut a set-up into tiers: each of the 2^(k-1)
// subsets of the gaps between its k diameters; rout joins the last.
func (q oracle) splits(works []stack.Work) [][][]stack.Work {
	var drill, rout []stack.Work
	var sizes []float64
	for _, w := range works {
		if w.Operation == tooling.Routing {
			rout = append(rout, w)
			continue
		}
		drill = append(drill, w)
		if !slices.Contains(sizes, w.Tool.Diameter) {
			sizes = append(sizes, w.Tool.Diameter)
		}
	}
	slices.Sort(sizes)
	var out [][][]stack.Work
	for cuts := uint(0); cuts < 1<<max(len(sizes)-1, 0); cuts++ {
		if n := bits.OnesCount(cuts) + 1; n > 1 && n > q.o.Tiers {
			continue
		}
		if slices.ContainsFunc(drill, func(w stack.Work) bool {
			for i := 1; i < len(sizes); i++ { // a cut between a bit and one that has to come first
				if cuts>>(i-1)&1 == 1 && w.Tool.Diameter < sizes[i] && w.After >= sizes[i] {
					return true
				}
			}
			return false
		}) {
			continue
		}
		tiers := make([][]stack.Work, 1)
		for i, d := range sizes {
			if i > 0 && cuts>>(i-1)&1 == 1 {
				tiers = append(tiers, nil)
			}
			for _, w := range drill {
				if w.Tool.Diameter == d {
					tiers[len(tiers)-1] = append(tiers[len(tiers)-1], w)
				}
			}
		}
		last := len(tiers) - 1
		tiers[last] = append(slices.Clone(tiers[last]), rout...)
		out = append(out, tiers)
	}
	return out
}

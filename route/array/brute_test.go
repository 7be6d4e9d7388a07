package array_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/array"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// The oracle lays every number of columns and rows on every panel, turned or not,
// in every way, and prices each with the trade's formulas, trying every height,
// number of spindles and policy. It reads the data of a problem and calls nothing
// of the library.
type oracle struct {
	p       array.Problem
	refuses func(stock, variant int, turned bool, columns, rows int) bool // nil: nothing
}

// best is the least cost of the lot, +Inf where nothing can be made.
func (q oracle) best() float64 {
	p, least := q.p, math.Inf(1)
	made := int(math.Ceil(float64(p.Quantity)/(1-p.Scrap) - 1e-9))
	known := map[[3]int]float64{}
	for k, s := range p.Stocks {
		for v, w := range p.Variants {
			for _, turned := range []bool{false, true} {
				width, height, across, up := p.Width, p.Height, w.Columns, w.Rows
				if turned {
					width, height, across, up = height, width, up, across
				}
				for columns := 1; fits(columns, width, across.Gap, s.Width-2*s.Border); columns++ {
					for rows := 1; fits(rows, height, up.Gap, s.Height-2*s.Border-2*p.Rails); rows++ {
						if q.refuses != nil && q.refuses(k, v, turned, columns, rows) {
							continue
						}
						panels := int(math.Ceil(float64(made) / float64(columns*rows)))
						key := [3]int{v, columns * rows, panels}
						if _, ok := known[key]; !ok {
							known[key] = q.lot(w, columns*rows, panels)
						}
						lines := 0
						if across.Score {
							lines += columns + 1
						}
						if up.Score {
							lines += rows + 1
						}
						least = min(least, known[key]+float64(panels)*(s.Price+float64(lines)*p.ScorePrice))
					}
				}
			}
		}
	}
	return least
}

func fits(count int, length, gap, room float64) bool {
	return float64(count)*length+float64(count-1)*gap <= room+1e-7
}

// lot is the least cost of drilling so many panels of so many boards.
func (q oracle) lot(v array.Variant, boards, panels int) float64 {
	sum := 0.0
	for k := range max(len(v.SetUps), len(q.p.Own)) {
		var works []stack.Work
		if k < len(v.SetUps) {
			for _, w := range v.SetUps[k] {
				w.Hits, w.Travel = w.Hits*boards, w.Travel*time.Duration(boards)
				works = append(works, w)
			}
		}
		if k < len(q.p.Own) {
			works = append(works, q.p.Own[k]...)
		}
		if len(works) == 0 {
			continue
		}
		least := math.Inf(1)
		for h := 1; h <= q.p.Rules.Stack.MaxHeight && h <= panels; h++ {
			stacks := (panels + h - 1) / h
			for spindles := 1; spindles <= min(q.p.Machine.Spindles, stacks); spindles++ {
				for _, fresh := range []bool{false, true} {
					least = min(least, q.setUp(works, h, stacks, spindles, fresh))
				}
			}
		}
		sum += least
	}
	return sum
}

// setUp is what one set-up costs; +Inf where a rule forbids it.
func (q oracle) setUp(works []stack.Work, h, stacks, spindles int, fresh bool) float64 {
	m, r := q.p.Machine, q.p.Rules.Stack
	loads := (stacks + spindles - 1) / spindles
	change := (m.Change + m.SpinUp).Seconds()
	seconds, tools, places := float64(loads)*m.Load.Seconds(), 0.0, 0
	for _, w := range works {
		hit, life := q.bit(w.Tool, h)
		if life < 1 {
			return math.Inf(1)
		}
		per := int(math.Ceil(float64(w.Hits)/life - 1e-12)) // bits a stack
		bits, changes := per*stacks, (per-1)*loads
		if !fresh && per == 1 { // a bit stays for as many whole loads as it lasts
			bits = 0
			for s := range spindles {
				n := loads
				if s >= stacks-(loads-1)*spindles {
					n--
				}
				whole := int(math.Floor(life / float64(w.Hits)))
				bits += (n + whole - 1) / whole
			}
		}
		seconds += float64(loads)*(w.Travel.Seconds()+float64(w.Changes)*change+float64(w.Hits)*hit) + float64(changes)*(change+w.Trip.Seconds())
		tools += float64(bits) * w.Tool.Price
		places += per
	}
	if places > m.Places {
		return math.Inf(1)
	}
	return seconds/3600*m.Rate + tools + float64(stacks)*(r.EntryPrice+r.BackupPrice+r.StackLabour) + r.SetUpLabour
}

// bit is the seconds of a stroke and the hits of a new bit; 0 hits where the
// height is not allowed. The tables have a row for each diameter.
func (q oracle) bit(t tooling.Tool, h int) (seconds, hits float64) {
	m, r := q.p.Machine, q.p.Rules.Stack
	deep := float64(h) * q.p.Blank.Thickness
	into := max(r.MinDepth, t.Diameter/2/math.Tan(130./2*math.Pi/180)+r.Margin)
	into = math.Ceil(math.Round(into*1e6)/1e3) / 1e3 // whole micrometres
	all := r.Entry + deep + into
	if r.Backup-into < r.BackupFloor-1e-7 || all > t.Flute-max(r.ChipRoom, t.Diameter)+1e-7 {
		return 0, 0
	}
	pecks := 1.0
	if ratio := deep / t.Diameter; ratio > r.PeckRatio+1e-9 {
		return 0, 0
	} else if ratio > r.Ratio+1e-9 {
		pecks = 2
	}
	for _, l := range q.p.Rules.Life.Rows {
		if l.Kind == t.Kind && l.Diameter == t.Diameter && l.Material == q.p.Blank.Material {
			hits = l.Life
			if deep > l.Depth+1e-7 {
				hits *= l.Depth / deep * math.Pow(q.p.Rules.Life.Fall.Factor, (deep-l.Depth)/q.p.Rules.Life.Fall.Step)
			}
		}
	}
	hits = math.Floor(math.Round(hits*1e6) / 1e6)
	if pecks > 1 {
		hits = math.Floor(hits * r.PeckLife)
	}
	for _, f := range q.p.Rules.Feeds.Rows {
		if f.Kind == t.Kind && f.Diameter == t.Diameter && f.Material == q.p.Blank.Material {
			speed := math.Round(min(max(f.Speed, m.MinSpeed), m.MaxSpeed))
			feed := math.Floor(min(speed, f.Speed)*f.ChipLoad + 1e-6)
			down := math.Round((r.Clearance+all)*1e6) / 1e6
			fast := min(m.Approach, down/2)
			back := math.Round(f.Retract)
			seconds = m.FootDwell.Seconds() + q.move(down, back) + q.move(fast, m.Z.Speed*60) + pecks*q.move((down-fast)/pecks, feed)
			if pecks > 1 {
				seconds += 2 * q.move(fast+(down-fast)/2, back)
			}
		}
	}
	return seconds, hits
}

// move is a rest to rest move of the Z axis at a feed in mm/min, seconds.
func (q oracle) move(d, feed float64) float64 {
	z := q.p.Machine.Z
	v := min(feed/60, z.Speed)
	t := d/v + v/z.Accel
	if d < v*v/z.Accel {
		t = 2 * math.Sqrt(d/z.Accel)
	}
	return math.Round(t*1e9) / 1e9
}

// shop is a random shop with a random board.
func shop(tb testing.TB, random *rand.Rand) array.Problem {
	tb.Helper()
	m, ok := machine.Preset("ball screw")
	require.True(tb, ok)
	m.Spindles, m.Rate = 1+random.IntN(4), 20+float64(80*random.Float64())
	m.Load = time.Duration(1+random.IntN(600)) * time.Second
	rules := tooling.DefaultRules()
	rules.Stack.MaxHeight = 1 + random.IntN(5)
	rules.Stack.SetUpLabour = 10 * random.Float64()
	half := func(from, to int) float64 { return float64(from+random.IntN(to-from+1)) / 2 }
	p := array.Problem{
		Width: half(30, 240), Height: half(30, 240), Quantity: 1 + random.IntN(200), Rails: half(0, 20) * float64(random.IntN(2)),
		Scrap: 0.1 * random.Float64() * float64(random.IntN(2)), ScorePrice: 0.2 * random.Float64(),
		Blank: tooling.Panel{Thickness: 1.6, Material: tooling.FR4}, Rules: rules, Machine: m,
	}
	p.Area = p.Width * p.Height * 0.9
	var bits []tooling.Tool
	for _, id := range []string{"B0.40", "B0.50", "B0.80", "B1.00", "B2.00"} {
		for _, t := range tooling.DefaultCrib().Tools {
			if t.ID == id {
				t.Repoints, t.Price = 0, 0.5+float64(3*random.Float64())
				bits = append(bits, t)
			}
		}
	}
	require.Len(tb, bits, 5)
	for range 1 + random.IntN(3) {
		p.Stocks = append(p.Stocks, array.Stock{Width: half(200, 600), Height: half(200, 600), Border: half(0, 30), Price: 1 + float64(9*random.Float64())})
	}
	ways := []array.Way{{Gap: 2.4}, {Gap: half(4, 20)}, {Score: true}}
	setUps := 1 + random.IntN(2)
	work := func(stage, places, most int) (out []stack.Work) {
		for k := range places {
			at, side := tooling.BeforePlating, "plated"
			if stage == 1 {
				at, side = tooling.AfterPlating, "unplated"
			}
			out = append(out, stack.Work{
				Pass: side, Stage: at, Operation: tooling.Drilling, Tool: bits[random.IntN(2)+2*k], Place: k + 1, Hits: 1 + random.IntN(most),
				Travel: time.Duration(random.IntN(60_000)) * time.Millisecond, Changes: 1, Trip: time.Duration(random.IntN(1000)) * time.Millisecond,
			})
		}
		return out
	}
	for range 1 + random.IntN(3) {
		v := array.Variant{Columns: ways[random.IntN(3)], Rows: ways[random.IntN(3)]}
		for s := range setUps {
			v.SetUps = append(v.SetUps, work(s, 1+random.IntN(2), 400))
		}
		p.Variants = append(p.Variants, v)
	}
	if random.IntN(2) == 0 {
		own := work(0, 1, 8)
		own[0].Tool, own[0].Place, own[0].Pass = bits[4], 3, "plated"
		p.Own = [][]stack.Work{own}
	}
	return p
}

// Of random boards and panels the array chosen costs what trying everything finds.
func TestChoiceIsAsGoodAsTryingEverything(t *testing.T) {
	made, none := 0, 0
	for seed := range uint64(240) {
		p := shop(t, rand.New(rand.NewPCG(seed, 17)))
		want := oracle{p: p}.best()
		got, err := array.Solve(context.Background(), p, nil)
		if math.IsInf(want, 1) {
			require.ErrorIs(t, err, array.ErrNoFit, "seed %d", seed)
			none++
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		require.InEpsilon(t, want, got.Choice.Total, 1e-9, fmt.Sprintf("seed %d: %v", seed, got.Choice))
		if got.RunnerUp != nil {
			require.GreaterOrEqual(t, got.RunnerUp.Total, got.Choice.Total*(1-1e-9), "seed %d", seed)
		}
		made++
	}
	require.Greater(t, made, 200)
	require.Positive(t, none, "boards too large for every panel are among them")
}

// Where arrays are refused when they are laid out, the one that is taken is the
// cheapest of the others: also one that only a refused one made needless.
func TestChoiceAmongWhatIsNotRefused(t *testing.T) {
	larger, none := 0, 0
	for seed := range uint64(120) {
		p := shop(t, rand.New(rand.NewPCG(seed, 19)))
		refuses := func(stock, variant int, turned bool, columns, rows int) bool {
			n := uint64(columns*31+rows*17+stock*7+variant*3) + seed
			if turned {
				n += 101
			}
			return n*2654435761%100 < 85
		}
		want := oracle{p, refuses}.best()
		got, err := array.Solve(context.Background(), p, func(c array.Choice) error {
			if refuses(c.Stock, c.Variant, c.Turned, c.Columns, c.Rows) {
				return fmt.Errorf("refused")
			}
			return nil
		})
		if math.IsInf(want, 1) {
			require.ErrorIs(t, err, array.ErrNoFit, "seed %d", seed)
			none++
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		require.InEpsilon(t, want, got.Choice.Total, 1e-9, fmt.Sprintf("seed %d: %v", seed, got.Choice))
		made := int(math.Ceil(float64(p.Quantity)/(1-p.Scrap) - 1e-9))
		if c := got.Choice; (made+c.Boards()-c.Rows-1)/max(c.Boards()-c.Rows, 1) == c.Panels || (made+c.Boards()-c.Columns-1)/max(c.Boards()-c.Columns, 1) == c.Panels {
			larger++
		}
	}
	require.Greater(t, larger, 5, "larger arrays than needed are among those taken")
	require.Less(t, none, 60)
}

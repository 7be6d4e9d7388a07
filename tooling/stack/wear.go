package stack

import "math"

// layout is a way to deal a lot to the machine at one height.
type layout struct {
	height   int
	stacks   int // ceil(lot / height)
	short    int // panels of the short stack; 0: none
	loads    int // ceil(stacks / spindles)
	spindles int // in use
	last     int // in use in the last load
	policy   Policy
}

// layouts lists the ways to deal a lot: by height, then spindles in use, then
// policy. Every count of spindles is listed: the fewer are in use, the fewer
// tools are bought for a small lot, and the more loads it takes.
func layouts(lot, tallest, spindles int, policies []Policy) []layout {
	var all []layout
	for h := 1; h <= min(tallest, lot); h++ {
		l := layout{height: h, stacks: (lot + h - 1) / h, short: lot % h}
		for l.spindles = 1; l.spindles <= min(spindles, l.stacks); l.spindles++ {
			l.loads = (l.stacks + l.spindles - 1) / l.spindles
			l.last = l.stacks - (l.loads-1)*l.spindles
			for _, l.policy = range policies {
				all = append(all, l)
			}
		}
	}
	return all
}

// use is how many tools one work takes in a layout.
type use struct {
	perLoad int   // places: tools a spindle uses in one load at most
	keep    int   // whole loads a tool serves; 0: less than one, or carried on
	bought  int64 // for the lot
	changes int64 // further changes in every load
	carried int64 // further changes in the lot, some loads only
}

// wear counts tools. Demand is what one load asks for and life what a tool
// gives, in hits or um; life > 0. Pieces, where not nil, are the parts of the
// demand that one tool has to do whole; each is at most life.
//
// Fresh: every stack takes ceil(demand / life) tools. Whole loads: a tool
// stays for floor(life / demand) loads; where it does not live through one,
// as fresh. Carry on: a spindle with c loads takes ceil(c demand / life), and
// as all spindles count alike, a change falls into a load at each multiple of
// life strictly inside it.
func (l layout) wear(demand, life int64, pieces []int64) use {
	if demand == 0 {
		return use{}
	}
	k := parts(demand, life, pieces)
	keep := life / demand
	loads, full := int64(l.loads), int64(l.last)
	rest := int64(l.spindles) - full // spindles parked in the last load
	switch {
	case l.policy == CarryOn && pieces == nil:
		u := use{bought: full*ceil(loads*demand, life) + rest*ceil((loads-1)*demand, life)}
		u.carried = (loads*demand-1)/life - (loads-1)/(life/gcd(demand, life))
		u.perLoad = int(k)
		if u.carried > loads*(k-1) {
			u.perLoad++ // some load begins with a tool worn enough to need one more
		}
		return u
	case l.policy != Fresh && k == 1:
		keep = min(keep, loads)
		return use{perLoad: 1, keep: int(keep), bought: full*ceil(loads, keep) + rest*ceil(loads-1, keep)}
	}
	return use{perLoad: int(k), keep: int(min(keep, 1)), bought: k * int64(l.stacks), changes: k - 1}
}

// parts is the least number of tools for one load, filled in order.
func parts(demand, life int64, pieces []int64) int64 {
	if pieces == nil {
		return ceil(demand, life)
	}
	k, left := int64(0), int64(0)
	for _, p := range pieces {
		if p > left {
			k, left = k+1, life
		}
		left -= p
	}
	return max(k, 1)
}

func ceil(a, b int64) int64 { return (a + b - 1) / b }

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// nano turns money into billionths, the grid on which costs are summed and
// compared. Values beyond the bound come out as the bound.
func nano(money float64) int64 {
	return int64(math.Round(min(float64(money*1e9), float64(maxMoney))))
}

func money(n int64) float64 { return float64(n) / 1e9 }

// hourly is the price in billionths of ns nanoseconds at a rate in money an
// hour: rate x ns / 3600, since 1e9 billionths over 3600e9 ns is 1/3600.
func hourly(rate float64, ns int64) int64 {
	return int64(math.Round(min(float64(rate*float64(ns))/3600, float64(maxMoney))))
}

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
// gives, in hits or um; life > 0. K is the tools one load takes, see parts;
// pieces tells that a tool may only be changed between pieces of the work.
//
// Fresh: every stack takes k tools. Whole loads: a tool stays for
// floor(life / demand) loads; where it does not live through one, as fresh.
// Carry on: a spindle with c loads takes ceil(c demand / life), and as all
// spindles count alike, a change falls into a load at each multiple of life
// strictly inside it.
func (l layout) wear(demand, life, k int64, pieces bool) use {
	if demand == 0 {
		return use{}
	}
	keep := life / demand
	loads, full := int64(l.loads), int64(l.last)
	rest := int64(l.spindles) - full // spindles parked in the last load
	switch {
	case l.policy == CarryOn && !pieces:
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

// piece is part of a demand, which one tool has to do whole or not.
type piece struct {
	n     int64
	whole bool
}

// parts is the least number of tools for one load, filled in order. Pieces,
// where not nil, make up the demand. A piece that no tool lives through is
// reported by its index, else -1.
func parts(demand, life int64, pieces []piece) (k int64, tooLong int) {
	if pieces == nil {
		return ceil(demand, life), -1
	}
	left := int64(0)
	for i, p := range pieces {
		if p.whole && p.n > life {
			return 0, i
		}
		if p.n > left {
			if p.whole {
				left = 0
			}
			more := ceil(p.n-left, life)
			k, left = k+more, left+more*life
		}
		left -= p.n
	}
	return k, -1
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

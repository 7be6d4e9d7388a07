package stack

import (
	"log/slog"
	"time"

	"example.org/pinstack/tooling"
)

// Objective says what the best plan has least of.
type Objective string

// The objectives. The zero value counts as LeastCost.
const (
	LeastCost Objective = "cost" // money of the lot; ties to the shorter time
	LeastTime Objective = "time" // time of the lot on the machine; ties to the lower cost
)

// Mode says how the control is told of several tools of one size in a run.
type Mode string

// The bit modes. The zero value counts as Split.
const (
	// Split gives each bit of a run its own place and the same cut points in
	// every load.
	Split Mode = "split"
	// Spares is one place with a hit limit: the control counts and takes the
	// next. Only it can carry a worn bit on into the next load and change it
	// there in mid run.
	Spares Mode = "spares"
)

// Policy says how long a tool stays in its place over the loads of a set-up.
type Policy string

// The policies. The zero value lets Solve take the best that the mode allows,
// one for each set-up so that the operator has one rule to follow.
const (
	Fresh      Policy = "fresh"       // new tools for each load
	WholeLoads Policy = "whole-loads" // a tool stays while it outlives one more whole load
	CarryOn    Policy = "carry-on"    // a tool stays to the end of its life, changed in mid load; Spares only. Work in pieces is kept for whole loads
)

// Options steers Solve. The zero value is the default of every field.
type Options struct {
	Objective Objective           // zero: LeastCost
	HourPrice float64             // money an hour of machine time counts beyond its rate in the decision (not in the cost) of LeastCost; 0: none
	Height    int                 // panels in every stack (the lot where that is less); 0: free
	Mode      Mode                // zero: Split
	Policy    Policy              // zero: the best that Mode allows, for each set-up
	Tiers     int                 // most stacks of their own height a set-up's drilling may be cut into; 0 and 1: none
	Due       time.Duration       // time of the lot at most; 0: no limit
	StockOnly bool                // use no more of a tool than its Stock, where that is counted
	Log       *slog.Logger        // told when a plan is found; nil: silent
	Stats     *tooling.Statistics // gets what planning took; nil: nowhere
	Front     bool                // list the whole front of cost against time in Result.Front

	// Taylor trades spindle speed for life: each bit runs at one of Speeds,
	// shares of the table's speed up to 1, so that the lot serves the objective
	// best within the limits of time, stock and places. Result.Thinned tells
	// when these left too many mixes of speeds to look at all of them.
	Taylor tooling.Taylor // the law; only its exponent is used, as the table gives the life at the table's speed
	Speeds []float64      // 0.1 to 1; empty: the table's speed only

	SecondPass float64 // position tolerance in mm between two pinnings; 0: 0.10 (common practice)
}

func (o Options) secondPass() float64 { return orDefault(o.SecondPass, 0.10) }

// orDefault reads a number whose zero is d and whose negatives are 0.
func orDefault(x, d float64) float64 {
	if x == 0 {
		return d
	}
	return max(x, 0)
}

// policies lists what Solve may choose from. Fresh is never better than
// WholeLoads, which takes the same time and no more tools, so it has to be
// asked for.
func (o Options) policies() []Policy {
	switch {
	case o.Policy != "":
		return []Policy{o.Policy}
	case o.Mode == Spares:
		return []Policy{WholeLoads, CarryOn}
	}
	return []Policy{WholeLoads}
}

// coupled tells whether the set-ups share a limit, so that each of them alone
// cannot be best.
func (o Options) coupled() bool { return o.Due > 0 || o.StockOnly || o.Front }

package stack

import (
	"time"

	"example.org/pinstack/tooling"
)

// Share is one tool's part in a set-up: how it is run and how many there are.
type Share struct {
	Pass    string        `json:"pass"`
	Place   int           `json:"place"`
	Tool    tooling.Tool  `json:"tool"`
	Feed    tooling.Feed  `json:"feed"`
	Depth   tooling.Depth `json:"depth"`
	Life    float64       `json:"life"`           // new, at this depth: hits of a bit, mm of path of a cutter
	Lives   []float64     `json:"lives"`          // new, and after each repoint
	PerLoad int           `json:"tools_per_load"` // tools one spindle uses in one load at most: the places they take
	Keep    int           `json:"loads_per_tool"` // whole loads one tool serves; 0: less than one, or carried on
	Bought  int           `json:"tools_bought"`   // for the lot, all spindles, in lives of a new one
	Each    float64       `json:"price_each"`     // of a new one\'s life: (price + repoints) x life / sum of lives
	Cost    float64       `json:"cost"`           // Bought x Each
}

// Cost is money of the lot by cause, and the lot's time.
type Cost struct {
	Machine  float64       `json:"machine"`
	Tools    float64       `json:"tools"`
	Sheets   float64       `json:"sheets"`    // entry and backup
	SetUp    float64       `json:"set_up"`    // labour of set-ups and of pinning stacks
	Total    float64       `json:"total"`     // the sum of the four
	PerPanel float64       `json:"per_panel"` // Total / lot
	LotTime  time.Duration `json:"-"`         // JSON "lot_seconds": machine time, loading included
}

// SetUp is one pinning of the lot. A tier is one more SetUp.
type SetUp struct {
	Number   int           `json:"number"`                       // 1-based, in the order they run
	From     int           `json:"from"`                         // 1-based set-up of the problem; tiers share it
	Tier     int           `json:"tier,omitempty"`               // 1-based among those that share From; 0: not cut into tiers
	Tiers    int           `json:"tiers,omitempty"`              // how many share From; 0: not cut into tiers
	Stage    tooling.Stage `json:"stage"`                        // before or after plating
	Height   int           `json:"height"`                       // panels a stack
	Loads    int           `json:"loads"`                        // fillings of the machine
	Stacks   int           `json:"stacks"`                       // stacks of the lot
	Short    int           `json:"short_stack_panels,omitempty"` // panels in the one short stack, made up with fillers; 0: none
	Spindles int           `json:"spindles"`                     // in use; the others are parked
	Last     int           `json:"last_load_spindles"`           // in use in the last load
	Mode     Mode          `json:"bit_mode,omitempty"`           // how the control is told of further bits; empty: Split
	Policy   Policy        `json:"policy"`                       // how long tools stay
	LoadTime time.Duration `json:"-"`                            // JSON "load_seconds": one load without loading
	Times    Times         `json:"load_times"`                   // LoadTime by cause
	Handling time.Duration `json:"-"`                            // JSON "handling_seconds": unloading and loading, each load
	Carried  time.Duration `json:"-"`                            // JSON "carried_seconds": of the lot: changes in mid load of tools carried on
	Tools    []Share       `json:"tools"`                        // in the order of the work
	Cost     Cost          `json:"cost"`                         // LotTime = Loads x (LoadTime + Handling) + Carried
	Partial  float64       `json:"partial_load_cost"`            // money: Cost.Total less what it would be if all loads and tools were used to the full
}

// Times is the time of one load by cause.
type Times struct {
	Travel time.Duration `json:"-"` // JSON "travel_seconds": XY moves and settle
	Stroke time.Duration `json:"-"` // JSON "stroke_seconds"
	Change time.Duration `json:"-"` // JSON "change_seconds": tool changes and the detours of further ones
	Rout   time.Duration `json:"-"` // JSON "rout_seconds": plunge, cut, retract
}

// Share returns the part of a pass and place in the set-up, and whether there
// is one.
func (s SetUp) Share(pass string, place int) (Share, bool) {
	for _, t := range s.Tools {
		if t.Pass == pass && t.Place == place {
			return t, true
		}
	}
	return Share{}, false
}

// Point is one height on the curve of a set-up.
type Point struct {
	SetUp    int           `json:"set_up"` // SetUp.Number
	Height   int           `json:"height"`
	Loads    int           `json:"loads"`
	Spindles int           `json:"spindles"`
	Tools    int           `json:"tools"` // bought for the lot
	Cost     float64       `json:"cost"`  // money, of the set-up for the lot
	Time     time.Duration `json:"-"`     // JSON "seconds": of the set-up for the lot
}

// Refusal says why a set-up cannot have a height.
type Refusal struct {
	SetUp  int    `json:"set_up"` // SetUp.Number
	Height int    `json:"height"`
	Rule   string `json:"rule"`           // one of the Rule constants
	Tool   string `json:"tool,omitempty"` // ID of the first tool that refuses
	Detail string `json:"detail"`         // in words
}

// The rules a height can be refused by.
const (
	RuleFlute   = tooling.RuleFlute
	RuleRatio   = tooling.RuleRatio
	RuleBackup  = tooling.RuleBackup
	RuleDepth   = "depth"       // higher than the rules allow any stack
	RuleLife    = "life"        // the life table does not reach so deep, or leaves nothing
	RuleWander  = "wander"      // the bit would leave the position tolerance
	RuleOpening = "opening"     // the stack does not pass under the raised tip
	RulePlaces  = "places"      // more tools than the magazine has places
	RuleStock   = "stock"       // more tools than the crib holds
	RuleLot     = "lot"         // taller than the lot
	RuleBounds  = "bounds"      // time or money beyond what can be counted
	RuleDue     = "due"         // later than the due time
	RuleSecond  = "second-pass" // holes too tight for two pinnings: no tiers
)

// Result is the best plan of a lot and what hangs on it.
type Result struct {
	SetUps      []SetUp       `json:"set_ups"`
	Cost        Cost          `json:"cost"`            // the sum over the set-ups
	RunnerUp    *Alternative  `json:"runner_up"`       // best plan with other heights or tiers; nil: there is none
	Curve       []Point       `json:"curve"`           // by set-up and height, the other set-ups left alone
	Refused     []Refusal     `json:"refused"`         // by set-up and height
	Limits      []Limit       `json:"limits"`          // by set-up and tool
	Front       []Trade       `json:"front,omitempty"` // cheapest to fastest; with Options.Front only
	Sensitivity []Sensitivity `json:"sensitivity"`     // tool life at -30 % and +30 %

	// Thinned says that speeds, magazine, stock and due time allowed more mixes
	// of speeds than were kept: of some set-up only those best at some price of
	// time were looked at, and a better plan may exist.
	Thinned bool `json:"speeds_thinned,omitempty"`
}

// Alternative is a plan that was not chosen.
type Alternative struct {
	SetUps []SetUp `json:"set_ups"`
	Cost   Cost    `json:"cost"`
	WhyNot string  `json:"why_not"` // what the best plan has over it, in words
}

// Limit says which rule keeps a tool from going deeper.
type Limit struct {
	SetUp  int    `json:"set_up"` // SetUp.Number
	Pass   string `json:"pass"`
	Place  int    `json:"place"`
	Tool   string `json:"tool"`
	Height int    `json:"height"` // panels it can take
	Rule   string `json:"rule"`   // that refuses one more
	Detail string `json:"detail"` // in words, such as "0.250 mm: depth 12:1 allows 1; pecked, the flute allows 2"
}

// Trade is one plan on the front of cost against time.
type Trade struct {
	Heights  []int         `json:"heights"`  // by set-up
	Spindles []int         `json:"spindles"` // by set-up, in use
	Policies []Policy      `json:"policies"` // by set-up
	Cost     float64       `json:"cost"`     // money, of the lot
	Time     time.Duration `json:"-"`        // JSON "seconds"
}

// Sensitivity says what hangs on the life table.
type Sensitivity struct {
	Life    float64 `json:"life_factor"` // all lives times this
	Heights []int   `json:"heights"`     // best then, by set-up
	Cost    Cost    `json:"cost"`        // of that plan
	Kept    *Cost   `json:"kept_cost"`   // of the chosen plan with such tools; nil: it could not be run
}

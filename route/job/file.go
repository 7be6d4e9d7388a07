package job

import (
	"encoding/json"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// Schema is the number of the job file's form that this package reads.
const Schema = 1

// File is the JSON form of a job.
type File struct {
	Schema     int             `json:"schema"`
	Job        string          `json:"job"`
	Revision   string          `json:"revision"`
	Note       string          `json:"note,omitempty"`
	Panels     int             `json:"panels"`                   // the lot
	Panel      tooling.Panel   `json:"panel"`                    // without boards: see Placements
	Boards     []BoardFile     `json:"boards"`                   // each as its owner drew it
	Placements []PlacementFile `json:"placements"`               // where they lie on the panel
	Larger     bool            `json:"take_larger,omitempty"`    // two sizes at one place: drill the larger
	Machine    string          `json:"machine"`                  // a preset's name
	Fitted     string          `json:"machine_file,omitempty"`   // file with keys of the machine that differ from the preset, such as a fit to the shop's log
	Adjust     json.RawMessage `json:"machine_adjust,omitempty"` // keys of the machine that differ from both
	Magazine   []machine.Place `json:"magazine,omitempty"`       // which tool stands in which place; none: numbered in the order of use
	Crib       string          `json:"crib,omitempty"`           // file; "": the default crib
	Rules      json.RawMessage `json:"rules,omitempty"`          // keys that differ from the default rules
	Height     int             `json:"height,omitempty"`         // panels a stack; 0: the best
	Objective  string          `json:"objective,omitempty"`      // cost (default) or time
	Stack      StackFile       `json:"stack,omitzero"`           // what else the stack planner may do
	Writing    WritingFile     `json:"writing,omitzero"`         // how the programs are written
	Rout       RoutFile        `json:"rout,omitzero"`            // how the paths are planned, beside the rules
}

// StackFile steers the stack planner, see [stack.Options]. The zero value is
// its default.
type StackFile struct {
	Tiers      int            `json:"tiers,omitempty"`          // most stacks of their own height a drill pass may be cut into
	SecondPass float64        `json:"second_pass_mm,omitempty"` // position tolerance between two pinnings
	Mode       stack.Mode     `json:"bit_mode,omitempty"`       // split (default) or spares
	Policy     stack.Policy   `json:"policy,omitempty"`         // fresh, whole-loads or carry-on
	StockOnly  bool           `json:"stock_only,omitempty"`     // use no more tools than the crib counts
	Due        float64        `json:"due_s,omitempty"`          // machine time of the lot at most, seconds
	HourPrice  float64        `json:"hour_price,omitempty"`     // what an hour counts beyond the machine's rate in the choice
	Speeds     []float64      `json:"speeds,omitempty"`         // shares of the table's speed that bits may run at
	Taylor     tooling.Taylor `json:"taylor,omitzero"`          // the law by which a slower bit lasts longer
}

// RoutFile steers the rout planner, see [route.Options]. The zero value is its
// default.
type RoutFile struct {
	Rough      float64 `json:"rough_mm,omitempty"`       // left a side by a first path for the finishing one; 0: no rough path
	CleanUp    float64 `json:"clean_up_mm,omitempty"`    // diameter of the cutter that goes into inside corners after the first; 0: none
	ClearBelow float64 `json:"clear_below_mm,omitempty"` // slugs up to this size are cut away completely; 0: the planner's default; negative: none
	EnterBelow float64 `json:"enter_below_mm,omitempty"` // cutters up to this diameter enter waste in a hole of the drill pass; 0: every cutter plunges
	Margin     float64 `json:"margin_mm,omitempty"`      // kept from pins and keep-outs beyond the radius; 0: the planner's default; negative: nothing
	NoTabs     bool    `json:"no_tabs,omitempty"`        // boards without tabs by hand drop, or hang on score lines and pins alone
}

// BoardFile is one board: its drill files, its outline and its tabs.
type BoardFile struct {
	Name    string      `json:"name"`
	Drill   []DrillFile `json:"drill"`
	Outline string      `json:"outline,omitempty"` // rout program whose centre lines are outline and cut-outs
	Open    []OpenFile  `json:"open_paths,omitempty"`
	Tabs    []route.Tab `json:"tabs,omitempty"` // by hand; none: by the rules
}

// OpenFile is a rout program whose cuts are open paths of a board: under G40 on
// their line, under G41 and G42 beside it, as wide as the file's tool.
type OpenFile struct {
	File   string `json:"file"`
	Plated bool   `json:"plated,omitempty"` // their walls get copper
}

// DrillFile is one drill program and what its text does not say.
type DrillFile struct {
	File    string        `json:"file"`
	Sizes   tooling.Basis `json:"sizes,omitempty"`   // finished or drilled; needed where holes are plated
	Plating drill.Plating `json:"plating,omitempty"` // plated or unplated; "": the file says it
	Class   tooling.Class `json:"class,omitempty"`
	Tented  bool          `json:"tented,omitempty"`
	Half    bool          `json:"half,omitempty"`
	Units   string        `json:"units,omitempty"`  // mm or inch, where the file is silent
	Zeros   string        `json:"zeros,omitempty"`  // LZ or TZ, where the file is silent
	Digits  [2]int        `json:"digits,omitzero"`  // before and after the point, where the file is silent
	Tools   []ToolFile    `json:"tools,omitempty"`  // exceptions
	Waived  []string      `json:"waived,omitempty"` // words of unknown motion taken responsibility for

	Position float64 `json:"position_mm,omitempty"` // tolerance of the holes' places, mm either way; 0: none stated
}

// ToolFile is an exception for one tool of a drill file.
type ToolFile struct {
	Tool    int           `json:"tool"`
	Plating drill.Plating `json:"plating,omitempty"`
	Class   tooling.Class `json:"class,omitempty"`
	Tented  bool          `json:"tented,omitempty"`
	Half    bool          `json:"half,omitempty"`
	Minus   float64       `json:"minus_mm,omitempty"`
	Plus    float64       `json:"plus_mm,omitempty"`

	Position float64 `json:"position_mm,omitempty"` // of these holes; 0: the file's
}

// PlacementFile puts a board on the panel once, or Columns x Rows times at a
// step.
type PlacementFile struct {
	Board    string    `json:"board"`
	At       orb.Point `json:"at_mm"`
	Quarters int       `json:"quarters,omitempty"`
	Columns  int       `json:"columns,omitempty"` // 0 counts as 1
	Rows     int       `json:"rows,omitempty"`
	Step     orb.Point `json:"step_mm,omitzero"`
}

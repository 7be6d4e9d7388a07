package sheet

import (
	"example.org/pinstack/tooling"
	"github.com/paulmach/orb"
)

// Schema is the number of the JSON form described by [Sheet].
const Schema = 1

// Sheet is the job sheet of one lot. The zero value is an empty sheet; fields
// left empty leave their part of text and page out.
type Sheet struct {
	Schema   int    `json:"schema"`
	Job      string `json:"job"`
	Revision string `json:"revision"`
	Note     string `json:"note,omitempty"` // such as "invented"
	Rest     bool   `json:"rest,omitempty"` // of one load after a stop: "lot" means that load here
	Hash     string `json:"content_hash"`   // of the job's input, hexadecimal
	Machine  string `json:"machine"`

	Panels    int     `json:"panels"` // in the lot
	Boards    int     `json:"boards"` // on a panel
	Width     float64 `json:"width_mm"`
	Height    float64 `json:"height_mm"`
	Thickness float64 `json:"thickness_mm"`
	Material  string  `json:"material"`

	SetUps       []SetUp        `json:"set_ups"`
	Passes       []Pass         `json:"passes"`
	Scores       []Score        `json:"scores,omitempty"`
	FirstArticle []HoleCount    `json:"first_article"`
	LotSeconds   float64        `json:"lot_seconds"` // machine busy, loading included
	LotTime      Times          `json:"lot_time"`
	Bits         []Bit          `json:"bits"`
	Money        string         `json:"money_unit,omitempty"` // name of the unit of all amounts
	CostPerPanel float64        `json:"cost_per_panel"`
	CostSplit    Cost           `json:"cost_split"` // per panel
	Curve        []HeightPoint  `json:"height_curve,omitempty"`
	Limits       []HeightLimit  `json:"height_limits,omitempty"` // what keeps each tool from a taller stack
	Checks       []Check        `json:"checks"`
	Findings     tooling.Report `json:"findings"`
	HandWork     []string       `json:"hand_work,omitempty"` // operations no program does
	Cautions     []string       `json:"cautions"`
}

// SetUp is one pinning of a stack on the machine.
type SetUp struct {
	Number       int     `json:"number"`
	Stage        string  `json:"stage"` // "before_plating" or "after_plating"
	Pins         []Pin   `json:"pins"`
	Entry        float64 `json:"entry_mm"`
	Backup       float64 `json:"backup_mm"`
	Height       int     `json:"height"`   // panels in a stack
	StackMM      float64 `json:"stack_mm"` // entry, panels and backup together
	Stacks       int     `json:"stacks"`   // in the lot
	ShortStack   int     `json:"short_stack,omitempty"`
	Loads        int     `json:"loads"`
	Spindles     int     `json:"spindles"`      // used in a full load; the others are parked
	EntrySheets  float64 `json:"entry_sheets"`  // in the lot
	BackupSheets float64 `json:"backup_sheets"` // in the lot; a sheet used on both faces counts half
	Seconds      float64 `json:"lot_seconds"`   // of all its loads, loading included
}

// Pin is a pin of a set-up.
type Pin struct {
	At       orb.Point `json:"at_mm"`
	Diameter float64   `json:"diameter_mm"`
	Note     string    `json:"note,omitempty"` // such as "round bushing" or "in the 3.20 mm tooling hole"
}

// Pass is one program of a set-up. Counts and times are those of one load, which
// is one stroke through every stack at once, unless they say lot.
type Pass struct {
	Name        string  `json:"name"`
	SetUp       int     `json:"set_up"`
	Stage       string  `json:"stage"`
	Operation   string  `json:"operation"` // "drill" or "rout"
	Program     string  `json:"program"`   // file name
	Height      int     `json:"height"`
	Loads       int     `json:"loads"`
	LoadSeconds float64 `json:"load_seconds"` // machine time of one load, loading excluded
	Hits        int     `json:"hits"`         // strokes, pilots and nibbles included
	Holes       int     `json:"holes"`        // distinct holes and slots finished in one panel
	Cut         float64 `json:"cut_mm"`       // path with the cutter down
	Travel      float64 `json:"travel_mm"`
	TravelSec   float64 `json:"travel_seconds"`
	Runs        []Run   `json:"runs"`
}

// Run is one tool's part of a pass, counted for one load.
type Run struct {
	Number   int       `json:"run"`              // within the pass, from 1
	Place    int       `json:"tool"`             // T number
	Spares   []int     `json:"spares,omitempty"` // further places with the same tool
	Kind     string    `json:"kind"`             // of the tool, such as "bit", "slot bit", "cutter"
	Work     string    `json:"work"`             // what it makes, such as "holes", "pilots", "slots", "outline"
	Files    []float64 `json:"file_mm"`          // sizes as the drill files give them
	Finished []float64 `json:"finished_mm"`      // sizes that are wanted in the end
	Diameter float64   `json:"diameter_mm"`      // of the tool

	Speed    float64 `json:"rev_per_min"`
	Infeed   float64 `json:"infeed_mm_per_min"`
	Feed     float64 `json:"feed_mm_per_min,omitempty"` // cutters: along the path
	ChipLoad float64 `json:"chip_load_um"`              // per turn
	Retract  float64 `json:"retract_mm_per_min"`

	IntoBackup float64 `json:"depth_into_backup_mm"`
	AboveTable float64 `json:"height_above_table_mm"` // of the tool's tip at the bottom

	Hits     int     `json:"hits"`
	Holes    int     `json:"holes"`
	Cut      float64 `json:"cut_mm,omitempty"`
	Paths    int     `json:"paths,omitempty"` // cutters
	PerLoad  int     `json:"tools_per_load"`  // of one spindle
	PerLot   int     `json:"tools_per_lot"`
	Life     float64 `json:"life"`                // hits, or mm of path, that one tool may make
	Limit    int     `json:"hit_limit,omitempty"` // hits after which the control takes the next of the spares; 0: the program says when
	Travel   float64 `json:"travel_mm"`
	TravelS  float64 `json:"travel_seconds"`
	BoundS   float64 `json:"bound_seconds"`                        // no order travels in less; 0: not proven
	GapPct   float64 `json:"gap_percent"`                          // of the travel above the bound
	MovesPct float64 `json:"gap_without_settle_percent,omitempty"` // the same of the moves alone
	Seconds  float64 `json:"seconds"`                              // with its tool change
	Comments string  `json:"comment,omitempty"`

	Shares []Share `json:"shares,omitempty"` // which tool makes which hits, where a run takes more than one
}

// Share is what one of several tools makes of a run.
type Share struct {
	Place int `json:"tool"`      // T number
	First int `json:"first_hit"` // of the run, from 1
	Hits  int `json:"hits"`
}

// Score is a score line for the operator of the scoring machine.
type Score struct {
	From  orb.Point `json:"from_mm"`
	To    orb.Point `json:"to_mm"`
	Depth float64   `json:"depth_mm"` // from each face
	Web   float64   `json:"web_mm"`   // what is left
	Angle float64   `json:"angle_deg"`
}

// HoleCount is a line of the first-article check: holes of one finished size in
// one panel.
type HoleCount struct {
	Finished float64 `json:"finished_mm"`
	Minus    float64 `json:"minus_mm"`
	Plus     float64 `json:"plus_mm"`
	Plated   bool    `json:"plated"`
	What     string  `json:"what"` // "hole" or "slot"
	Length   float64 `json:"length_mm,omitempty"`
	Count    int     `json:"count"`
}

// Times splits machine time by cause, in seconds.
type Times struct {
	Travel float64 `json:"travel"`
	Settle float64 `json:"settle"`
	Stroke float64 `json:"stroke"`
	Change float64 `json:"change"`
	Load   float64 `json:"load"`
	Rout   float64 `json:"rout"`
}

// Bit is a line of what to fetch from the crib for the lot.
type Bit struct {
	ID       string  `json:"id,omitempty"`
	Kind     string  `json:"kind"`
	Diameter float64 `json:"diameter_mm"`
	Count    int     `json:"count"`
	Stock    int     `json:"stock"`           // in the crib; negative: not known
	Price    float64 `json:"price,omitempty"` // each
}

// Cost splits an amount of money by cause.
type Cost struct {
	Machine float64 `json:"machine"`
	Tools   float64 `json:"tools"`
	Sheets  float64 `json:"sheets"`
	SetUp   float64 `json:"set_up"`
}

// HeightLimit says in words what keeps a tool, or a whole set-up, from a
// taller stack.
type HeightLimit struct {
	SetUp  int    `json:"set_up"`
	Detail string `json:"detail"`
}

// HeightPoint is one stack height that was considered.
type HeightPoint struct {
	SetUp   int     `json:"set_up"` // 0: the same in all set-ups
	Height  int     `json:"height"`
	OK      bool    `json:"ok"`
	Chosen  bool    `json:"chosen"`
	Reason  string  `json:"reason,omitempty"` // why it is refused
	Cost    float64 `json:"cost_per_panel"`
	Seconds float64 `json:"lot_seconds"`
	Tools   int     `json:"tools"` // in the lot
}

// Check is the verdict of one rule on the written programs.
type Check struct {
	Rule   string `json:"rule"`
	OK     bool   `json:"ok"`
	Detail string `json:"detail"`
}

// State sums up the checks: it may be run, it must not, or nobody looked.
type State int

// The states of a sheet.
const (
	Unchecked State = iota // no check has been made
	Refused                // a check failed or a finding refuses
	Passed                 // every check passed and no finding refuses
)

// String returns the state in words.
func (s State) String() string {
	switch s {
	case Refused:
		return "refused"
	case Passed:
		return "passed"
	}
	return "not checked"
}

// State sums up checks and findings.
func (s *Sheet) State() State {
	if s.passed() < len(s.Checks) || !s.Findings.OK() {
		return Refused
	}
	if len(s.Checks) == 0 {
		return Unchecked
	}
	return Passed
}

// passed counts the checks that passed.
func (s *Sheet) passed() int {
	n := 0
	for _, c := range s.Checks {
		if c.OK {
			n++
		}
	}
	return n
}

// Amount is a part of a whole, for split tables and bars.
type Amount struct {
	Name  string
	Value float64
}

// Parts lists the causes in the order in which sheets show them.
func (t Times) Parts() []Amount {
	return []Amount{
		{"travel", t.Travel}, {"settle", t.Settle}, {"stroke", t.Stroke},
		{"rout", t.Rout}, {"tool change", t.Change}, {"load", t.Load},
	}
}

// Parts lists the causes in the order in which sheets show them.
func (c Cost) Parts() []Amount {
	return []Amount{{"machine", c.Machine}, {"tools", c.Tools}, {"sheets", c.Sheets}, {"set-up", c.SetUp}}
}

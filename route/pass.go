package route

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// Schema is the version of the JSON form of a [Pass].
const Schema = 1

// The names of the passes that [Plan] makes.
const (
	Rout       = "rout"        // after plating: cut-outs, outlines, unplated holes
	PlatedRout = "plated-rout" // before plating: plated slots and holes that no bit makes
)

// Pass is one stage of routing: runs by cutter, in order. It is plain data. A
// pass from [Plan] has no set-up; [Pass.Mount] gives it one.
type Pass struct {
	Schema    int               `json:"schema"`
	Name      string            `json:"name"`
	Stage     tooling.Stage     `json:"stage"`
	Operation tooling.Operation `json:"operation"`
	SetUp     stack.SetUp       `json:"set_up,omitzero"`
	Fit       tooling.Fit       `json:"fit,omitzero"`   // how the panel has moved, from [Pass.Adjust]
	Frame     tooling.Frame     `json:"frame,omitzero"` // in which coordinates the program is written
	Runs      []Run             `json:"runs"`
	Rest      *Rest             `json:"rest,omitempty"`   // what lies behind a pass from [Resume]; nil: a whole pass
	Around    []tooling.KeepOut `json:"around,omitempty"` // what stands above the clearance: rapids go round it
	Panel     orb.Bound         `json:"panel_mm"`
	Direction tooling.Direction `json:"direction"`        // of the finishing cuts
	DropFrom  float64           `json:"drop_from_mm"`     // waste in cut-outs so long or longer may come loose in one piece
	Report    tooling.Report    `json:"report,omitempty"` // what is worth telling: what no cutter reaches, slugs that drop
}

// Run is one cutter's part of a pass, in the order it is made.
type Run struct {
	Number  int           `json:"number"` // 1-based in the pass
	Tool    tooling.Tool  `json:"tool"`
	Paths   []Path        `json:"paths"`
	Again   int           `json:"again,omitempty"`        // so many of the first paths are cut with the other spindles parked: see [Resume]
	Path    float64       `json:"travel_mm"`              // tool up, from the change position and back to it
	Travel  float64       `json:"travel_seconds"`         // of Path, settle included
	Cut     float64       `json:"cut_mm"`                 // all paths
	Stopped float64       `json:"stop_seconds,omitempty"` // of the stops at which waste is taken out
	Cutting float64       `json:"cut_seconds"`            // along the paths at the feed, without plunge and retract
	Feed    tooling.Feed  `json:"feed,omitzero"`          // from Mount
	Depth   tooling.Depth `json:"depth,omitzero"`         // from Mount
	Life    float64       `json:"life,omitempty"`         // mm of path of a cutter, from Mount
	Home    []orb.Point   `json:"home_via_mm,omitempty"`  // turning points of the rapid from the last path to the change position
	Cutters []Cutter      `json:"cutters,omitempty"`      // from Mount
}

// Cutter is one cutter of a mounted run: the paths it cuts in one load.
type Cutter struct {
	Place int         `json:"place"` // tool number T in the program, its place in the magazine
	First int         `json:"first"` // index of its first path in the run
	Paths int         `json:"paths"`
	Home  []orb.Point `json:"home_via_mm,omitempty"` // turning points of the rapid from its last path to the change position
	Cut   float64     `json:"cut_mm"`
	Worn  float64     `json:"worn_mm,omitempty"` // mm cut before a stop, on the spindles that keep the cutter: see [Resume]
}

// Role says what a path is for.
type Role string

// The roles of a path.
const (
	Finish  Role = "finish"   // leaves the wanted edge
	Rough   Role = "rough"    // leaves Allowance for the finish
	CleanUp Role = "clean-up" // a smaller cutter in a corner
	Clear   Role = "clear"    // waste that would come loose
)

// Path is one cut from plunge to retract. Line is the cutter's centre with
// everything in it: the first LeadIn mm lead in, the last LeadOut mm lead out,
// and the Overlap mm before those go over the start of a closed loop again.
type Path struct {
	Role      Role            `json:"role"`
	Board     int             `json:"board"` // index into Panel.Boards; -1: waste between boards, a hole outside of all
	Loop      int             `json:"loop"`  // 0 the outline, k the cut-out k-1; holes: index into Input.Holes
	Hole      bool            `json:"hole,omitempty"`
	Open      Side            `json:"open,omitempty"`   // of an open path of the board, whose index in Board.Open is Loop; "": none
	Via       []orb.Point     `json:"via_mm,omitempty"` // turning points of the rapid to the start, round obstacles
	Line      contour.Contour `json:"line_mm"`
	LeadIn    float64         `json:"lead_in_mm"`
	LeadOut   float64         `json:"lead_out_mm"`
	Overlap   float64         `json:"overlap_mm"`
	Entry     float64         `json:"entry_mm,omitempty"` // diameter of the hole it is entered in, see [Layout.Entries]; 0: none
	Frees     float64         `json:"frees_mm,omitempty"` // longer side of the waste that it cuts loose, after which the program stops, see [tooling.RoutRules]; 0: no stop
	Allowance float64         `json:"allowance_mm"`       // kept from the edge beyond d/2; negative: deflection
}

// Length returns the length of the cut in mm, leads and overlap included.
func (p Path) Length() float64 { return p.Line.Length() }

// Mounted tells whether the pass has a set-up.
func (p Pass) Mounted() bool { return p.SetUp.Height > 0 }

package browser

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
)

// job is the sheet's JSON as far as the page shows it.
type job struct {
	Job, Revision, Note, Machine, Material string
	Hash                                   string `json:"content_hash"`
	Panels, Boards                         int
	Width                                  float64 `json:"width_mm"`
	Height                                 float64 `json:"height_mm"`
	Thickness                              float64 `json:"thickness_mm"`

	SetUps       []setUp `json:"set_ups"`
	Passes       []pass
	FirstArticle []article `json:"first_article"`
	Scores       []struct {
		From  [2]float64 `json:"from_mm"`
		To    [2]float64 `json:"to_mm"`
		Depth float64    `json:"depth_mm"`
		Web   float64    `json:"web_mm"`
		Angle float64    `json:"angle_deg"`
	}
	LotSeconds float64 `json:"lot_seconds"`
	LotTime    struct {
		Travel, Settle, Stroke, Rout, Change, Load float64
	} `json:"lot_time"`
	Bits []struct {
		ID, Kind     string
		Diameter     float64 `json:"diameter_mm"`
		Count, Stock int
		Price        float64
	}
	Money        string  `json:"money_unit"`
	CostPerPanel float64 `json:"cost_per_panel"`
	CostSplit    struct {
		Machine, Tools, Sheets float64
		SetUp                  float64 `json:"set_up"`
	} `json:"cost_split"`
	Curve []struct {
		SetUp      int `json:"set_up"`
		Height     int
		OK, Chosen bool
		Reason     string
		Cost       float64 `json:"cost_per_panel"`
		Seconds    float64 `json:"lot_seconds"`
		Tools      int
	} `json:"height_curve"`
	Limits []struct {
		SetUp  int `json:"set_up"`
		Detail string
	} `json:"height_limits"`
	Checks []struct {
		Rule, Detail string
		OK           bool
	}
	Findings []struct {
		Rule, Tool, Detail string
		OK                 bool
		Source             source
		Value, Limit       float64
		Count              int
		Places             [][2]float64
	}
	HandWork []string `json:"hand_work"`
	Cautions []string
}

type setUp struct {
	Number       int
	Stage        string
	Pins         []pin
	Entry        float64 `json:"entry_mm"`
	Backup       float64 `json:"backup_mm"`
	Height       int
	StackMM      float64 `json:"stack_mm"`
	Stacks       int
	ShortStack   int `json:"short_stack"`
	Loads        int
	Spindles     int
	EntrySheets  float64 `json:"entry_sheets"`
	BackupSheets float64 `json:"backup_sheets"`
	Seconds      float64 `json:"lot_seconds"`
}

type pin struct {
	At       [2]float64 `json:"at_mm"`
	Diameter float64    `json:"diameter_mm"`
	Note     string
}

type pass struct {
	Name        string
	SetUp       int `json:"set_up"`
	Stage       string
	Operation   string
	Program     string
	LoadSeconds float64 `json:"load_seconds"`
	Hits, Holes int
	Cut         float64 `json:"cut_mm"`
	Runs        []run
}

type run struct {
	Number     int `json:"run"`
	Tool       int
	Spares     []int
	Kind, Work string
	Files      []float64 `json:"file_mm"`
	Finished   []float64 `json:"finished_mm"`
	Diameter   float64   `json:"diameter_mm"`
	Speed      float64   `json:"rev_per_min"`
	Infeed     float64   `json:"infeed_mm_per_min"`
	Feed       float64   `json:"feed_mm_per_min"`
	ChipLoad   float64   `json:"chip_load_um"`
	Retract    float64   `json:"retract_mm_per_min"`
	IntoBackup float64   `json:"depth_into_backup_mm"`
	AboveTable float64   `json:"height_above_table_mm"`
	Hits       int
	Holes      int
	Cut        float64 `json:"cut_mm"`
	Paths      int
	PerLoad    int     `json:"tools_per_load"`
	PerLot     int     `json:"tools_per_lot"`
	Travel     float64 `json:"travel_mm"`
	TravelS    float64 `json:"travel_seconds"`
	BoundS     float64 `json:"bound_seconds"`
	GapPct     float64 `json:"gap_percent"`
	MovesPct   float64 `json:"gap_without_settle_percent"`
	Seconds    float64
	Comment    string
	Shares     []struct {
		Place int `json:"tool"`
		First int `json:"first_hit"`
		Hits  int
	}
}

// article is a line of the first-article check.
type article struct {
	Finished float64 `json:"finished_mm"`
	Minus    float64 `json:"minus_mm"`
	Plus     float64 `json:"plus_mm"`
	Plated   bool
	What     string
	Length   float64 `json:"length_mm"`
	Count    int
}

// source is where a finding's input came from.
type source struct {
	File         string
	Line, Column int
	Path, Tool   string
}

// String writes the known parts as "file:line:column path tool".
func (s source) String() string {
	at := s.File
	for _, n := range []int{s.Line, s.Column} {
		if n == 0 {
			break
		}
		at += fmt.Sprint(":", n)
	}
	return strings.Join(strings.Fields(at+" "+s.Path+" "+s.Tool), " ")
}

// read returns the job of a JSON file, which may not be empty.
func read(t *testing.T, file string) (j job) {
	t.Helper()
	raw, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &j); err != nil {
		t.Fatal(err)
	}
	if len(j.Passes) == 0 {
		t.Fatalf("%s tells of no pass", file)
	}
	return j
}

package array

import (
	"fmt"

	"example.org/pinstack/tooling/stack"
)

// Choice is one array on one size of panel, and its price.
type Choice struct {
	Stock       int        `json:"stock"` // index into Problem.Stocks
	Variant     int        `json:"variant"`
	Panel       Stock      `json:"-"`
	Turned      bool       `json:"turned"` // a quarter turn counter-clockwise
	Columns     int        `json:"columns"`
	Rows        int        `json:"rows"`
	Across      Way        `json:"across"`    // what parts columns
	Up          Way        `json:"up"`        // what parts rows
	Panels      int        `json:"panels"`    // of the lot
	Use         float64    `json:"use"`       // share of the panel's area that is board
	Spare       int        `json:"spare"`     // boards made beyond those asked for and their scrap
	Laminate    float64    `json:"laminate"`  // money, of the lot
	Scoring     float64    `json:"scoring"`   // money, of the lot
	Lot         stack.Cost `json:"-"`         // machine, tools, sheets and labour of the lot
	Total       float64    `json:"total"`     // money, of the lot
	PerBoard    float64    `json:"per_board"` // money: Total / good boards
	Heights     []int      `json:"heights"`   // of the stacks, by set-up
	worth, area int64      // Total in billionths; of the panel, um2
	index       int        // in the order of candidates
}

// Boards is how many boards lie on a panel.
func (c Choice) Boards() int { return c.Columns * c.Rows }

// Scores is how many score lines a panel has.
func (c Choice) Scores() (n int) {
	if c.Across.Score {
		n += c.Columns + 1
	}
	if c.Up.Score {
		n += c.Rows + 1
	}
	return n
}

// String says the array in words.
func (c Choice) String() string {
	turn := ""
	if c.Turned {
		turn = ", turned"
	}
	return fmt.Sprintf("%v: %d x %d%s, columns %v, rows %v", c.Panel, c.Columns, c.Rows, turn, c.Across, c.Up)
}

// Result is the best array and what it was chosen over.
type Result struct {
	Choice     Choice
	RunnerUp   *Choice // the next in the order of cost; nil: there is none
	Reason     string  // why not the runner-up
	Refused    []Refusal
	Candidates int // arrays that fit and are not ruled out by one with fewer boards
	Priced     int // of them, by package stack; the bound ruled out the others
}

// reason puts the difference to the runner-up into words.
func reason(a Choice, b *Choice) string {
	if b == nil {
		return "no other array can be made"
	}
	return fmt.Sprintf("%v, costs %+.4f a board: laminate %+.2f, scoring %+.2f, machine %+.2f, tools %+.2f, sheets %+.2f, set-up %+.2f for the lot",
		b, b.PerBoard-a.PerBoard, b.Laminate-a.Laminate, b.Scoring-a.Scoring,
		b.Lot.Machine-a.Lot.Machine, b.Lot.Tools-a.Lot.Tools, b.Lot.Sheets-a.Lot.Sheets, b.Lot.SetUp-a.Lot.SetUp)
}

package array

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// Stock is one size of panel that the shop keeps.
type Stock struct {
	Width, Height float64 // mm
	Border        float64 // mm on each side where no board may lie; what is within is the usable area
	Price         float64 // money, the laminate of one panel
}

// String names the stock size.
func (s Stock) String() string { return fmt.Sprintf("%g x %g mm", s.Width, s.Height) }

// Way is how neighbours are parted in one direction.
type Way struct {
	Score bool    `json:"score"`  // flush on a score line
	Gap   float64 `json:"gap_mm"` // routed: mm between boards; 0 where scored
}

// String names the way.
func (w Way) String() string {
	if w.Score {
		return "scored"
	}
	return fmt.Sprintf("routed, gap %g mm", w.Gap)
}

// Variant is one pair of ways to part the boards and what one board of an array
// so parted asks of the machine. Columns and Rows are seen in the board's own
// frame: where the array is turned they change places on the panel.
type Variant struct {
	Columns, Rows Way // what parts boards side by side; one above the other
	SetUps        [][]stack.Work
}

// Problem is all that the choice of an array depends on.
type Problem struct {
	Width, Height float64 // mm, of the board's box
	Area          float64 // mm2, of the board
	Stocks        []Stock
	Variants      []Variant
	Own           [][]stack.Work // by set-up: what the panel's own holes ask, whatever the array
	Quantity      int            // good boards
	Rails         float64        // mm kept free above and below the boards, within the usable area
	Scrap         float64        // share of the boards made that is lost; under 1
	ScorePrice    float64        // money a score line of a panel: another machine makes it
	Blank         tooling.Panel  // thickness and laminate; size and what lies on it are not looked at
	Rules         tooling.Rules
	Machine       machine.Machine
	StackHeight   int // panels in every stack; 0: the best
}

// The bounds of a problem.
const (
	maxQuantity = 10_000_000
	maxBoards   = 10_000 // on one panel
	maxStocks   = 100
)

// Validate returns nil or [tooling.InputErrors] with a path for each fault.
// Rules, machine and work are validated by package stack.
func (p Problem) Validate() error {
	v := tooling.Validation{}
	v.Within("board.width_mm", p.Width, 1e-6, tooling.MaxLength, "mm")
	v.Within("board.height_mm", p.Height, 1e-6, tooling.MaxLength, "mm")
	v.Within("board.area_mm2", p.Area, 0, tooling.MaxLength*tooling.MaxLength, "mm2")
	v.Count("quantity", p.Quantity, 1, maxQuantity)
	v.Within("scrap", p.Scrap, 0, 0.95, "")
	v.Within("rails_mm", p.Rails, 0, 1000, "mm")
	v.Within("score_price", p.ScorePrice, 0, 1e6, "")
	v.Count("stocks", len(p.Stocks), 1, maxStocks)
	v.Count("variants", len(p.Variants), 1, maxStocks)
	for i, s := range p.Stocks {
		at := fmt.Sprintf("stocks[%d]", i)
		v.Within(at+".width_mm", s.Width, 1, tooling.MaxLength, "mm")
		v.Within(at+".height_mm", s.Height, 1, tooling.MaxLength, "mm")
		v.Within(at+".border_mm", s.Border, 0, tooling.MaxLength, "mm")
		v.Within(at+".price", s.Price, 0, 1e9, "")
	}
	for i, w := range p.Variants {
		at := fmt.Sprintf("variants[%d]", i)
		v.Within(at+".columns.gap_mm", w.Columns.Gap, 0, 1000, "mm")
		v.Within(at+".rows.gap_mm", w.Rows.Gap, 0, 1000, "mm")
	}
	return v.Err()
}

// made is how many boards must be made for the good ones wanted.
func (p Problem) made() int {
	return int(math.Ceil(float64(p.Quantity)/(1-p.Scrap) - 1e-9))
}

// ways are the ways of a variant across and up the panel.
func (w Variant) ways(turned bool) (across, up Way) {
	if turned {
		return w.Rows, w.Columns
	}
	return w.Columns, w.Rows
}

// size is the board's box on the panel in nm.
func (p Problem) size(turned bool) (width, height int64) {
	width, height = tooling.Nanometres(p.Width), tooling.Nanometres(p.Height)
	if turned {
		return height, width
	}
	return width, height
}

// most is how many boards of a length in nm fit between two borders.
func most(length, panel int64, border, gap float64) int {
	g := tooling.Nanometres(gap)
	room := panel - 2*tooling.Nanometres(border) + g
	if room < length+g {
		return 0
	}
	return int(min(room/(length+g), maxBoards))
}

// quarters is the turn of the boards on the panel.
func quarters(turned bool) int {
	if turned {
		return 1
	}
	return 0
}

// span is the length in mm that a row of boards takes.
func span(count int, length int64, gap float64) float64 {
	return float64(int64(count)*length+int64(count-1)*tooling.Nanometres(gap)) / 1e6
}

// corner is where the array's lower left corner lies: in the middle of the
// panel, on the micrometre grid of written programs.
func corner(panel, span float64) float64 {
	return math.Floor(float64((panel-span)/2*1000)) / 1000
}

// offset moves the board's box, turned, so that its lower left corner is at.
func offset(box orb.Bound, turned bool, at orb.Point) orb.Point {
	q := tooling.Placement{Quarters: quarters(turned)}
	b := orb.MultiPoint{q.Apply(box.Min), q.Apply(box.Max)}.Bound()
	return tooling.SnapPoint(orb.Point{at[0] - b.Min[0], at[1] - b.Min[1]})
}

package array

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

// Input is one board and the shop that makes it.
type Input struct {
	Board   route.Board   // as its owner drew it; tabs by hand are kept
	Holes   []drill.Hole  // in the board's coordinates
	Stocks  []Stock       // sizes in stock
	Blank   tooling.Panel // thickness and laminate
	Crib    tooling.Crib
	Rules   tooling.Rules // Rout.Cutter 0: the usual 2.4 mm, or the largest below that follows the outline
	Machine machine.Machine

	// Columns and Rows are the ways allowed to part boards side by side and one
	// above the other, in the board's own frame; nil: routed at a gap of the
	// cutter, and scored where the board's sides allow it. A gap of 0 is the cutter's.
	Columns, Rows []Way
	Scored        bool // one direction at least must be scored

	Quantity   int     // good boards
	Scrap      float64 // share of the boards made that is lost
	ScorePrice float64 // money a score line of a panel
	Rails      float64 // mm above and below the boards, with tooling holes at their ends; 0: none
	Coupon     float64 // mm, finished diameter of the two holes of a test coupon; 0: none
	Target     float64 // mm, diameter of a target hole; 0: none
	Height     int     // panels in every stack; 0: the best
	Larger     bool    // two sizes at one place: drill the larger
}

// Figures of the panel's own holes: two pins of 3.175 mm, tooling holes that
// fit them, on a line near the panel's edge (common practice).
const (
	pinSize     = 3.175
	toolingSize = 3.2
	inset       = 5.0 // mm from the panel's edge to the middles of pins and holes
	leastPanel  = 60.0
	thinnest    = 0.8 // mm, of a panel that may be scored (common practice)
	usualCutter = 2.4
)

// Default figures of a stock panel [assumption]: 15 mm of border carry pins,
// coupons and the pressure foot; laminate is 45 a square metre.
const (
	defaultBorder = 15.0
	squareMetre   = 45.0
)

// NewStock is a stock panel of a size in mm with the usual border and price
// [assumption].
func NewStock(width, height float64) Stock {
	return Stock{Width: width, Height: height, Border: defaultBorder, Price: math.Round(float64(width*height)*squareMetre/1e4) / 100}
}

// Box is the board's box.
func (in Input) Box() orb.Bound { return snapped(in.Board.Outline.Bound()) }

func snapped(b orb.Bound) orb.Bound {
	return orb.Bound{Min: tooling.SnapPoint(b.Min), Max: tooling.SnapPoint(b.Max)}
}

// usable tells whether a stock panel has room for pins and pressure foot in its
// border.
func (in Input) usable(s Stock) error {
	if s.Width < leastPanel || s.Height < leastPanel {
		return bad("stocks", s.String(), fmt.Sprintf("at least %g mm each way, room for two pins in each set-up", leastPanel))
	}
	if need := tooling.Snap(inset + pinSize/2 + max(in.Machine.Foot/2, in.Rules.Rout.Cutter+1)); s.Border < need {
		return bad("stocks", fmt.Sprintf("a border of %g mm", s.Border), fmt.Sprintf("at least %g mm, so that the foot comes down clear of the pins", need))
	}
	return nil
}

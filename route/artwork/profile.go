package artwork

import (
	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Board is one board of a layer.
type Board struct {
	Outline contour.Contour   // closed, counter-clockwise
	CutOuts []contour.Contour // closed, clockwise, none within another
	Source  tooling.Source    // of the outline's first stroke
}

// Area returns the board's area without its cut-outs, mm2.
func (b Board) Area() float64 {
	a := b.Outline.Area()
	for _, c := range b.CutOuts {
		a += c.Area() // clockwise: negative
	}
	return a
}

// Score is one straight score line.
type Score struct {
	From, To orb.Point // mm
	Source   tooling.Source
}

// Kind is what a drawn item that is no edge of a board was taken for.
type Kind int

// The kinds of items beside the boards.
const (
	KindLoose     Kind = iota // strokes that close nothing
	KindText                  // letters and figures
	KindDimension             // straight lines beside the board: dimensions and their arrows
	KindFrame                 // a closed loop around the board
	KindMark                  // a closed loop that is no board: across an edge, or small beside the board
	KindFlash                 // an aperture set down
	KindScore                 // drawn as a score is, but no straight line
)

// Item is something drawn that is no edge of a board.
type Item struct {
	Kind    Kind
	Box     orb.Bound // mm
	Strokes int
	Ends    []orb.Point     // the two loose ends, where there are two, mm
	Line    contour.Contour // of a KindScore: what is drawn, mm; a flash has no moves
	Source  tooling.Source
}

// Profile is what a layer says about its boards.
type Profile struct {
	Boards []Board // in the order of the file
	Scores []Score // in the order of the file
	Join   float64 // the tolerance that was needed, mm
	Gap    float64 // the widest gap that was bridged, mm
	Items  []Item  // what was left out, in the order of the file
	Report tooling.Report
}

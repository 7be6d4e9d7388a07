package array_test

import (
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/route/array"
	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
)

// A customer's score layer: a line along each upright side, and a letter beside the
// board.
func ExampleScoredSides() {
	const text = `%FSLAX33Y33*%
%MOMM*%
%ADD10C,0.1*%
D10*
X0Y-5000D02*
G01Y35000D01*
X50000D02*
Y-5000D01*
X52000Y32000D02*
X53000Y30000D01*
X54000Y32000D01*
M02*
`
	layer, err := artwork.Read([]byte(text), "score.gbr", artwork.Options{})
	if err != nil {
		log.Fatal(err)
	}
	layer.Function = artwork.FunctionScore // the file does not say
	drawn, err := layer.Profile(artwork.ProfileOptions{})
	if err != nil {
		log.Fatal(err)
	}
	board := route.Board{Name: "tide-gauge", Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}
	columns, rows, report, err := array.ScoredSides(board, drawn)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println("columns scored:", columns, "rows scored:", rows)
	for _, f := range report {
		fmt.Printf("%s x%d at %v\n", f.Rule, f.Count, f.Places)
	}
	// Output:
	// columns scored: true rows scored: false
	// score-beside x2 at [[52 32] [53 30]]
}

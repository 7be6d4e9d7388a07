package artwork_test

import (
	"errors"
	"fmt"
	"log"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/artwork"
)

// tideGauge is an invented board of 30 mm by 20 mm with a round cut-out.
const tideGauge = `G04 tide-gauge, invented*
%TF.FileFunction,Profile,NP*%
%FSLAX46Y46*%
%MOMM*%
%ADD10C,0.1*%
G75*
D10*
G01*
X0Y0D02*
X30000000D01*
Y20000000D01*
X0D01*
Y0D01*
X17000000Y10000000D02*
G03*
X17000000Y10000000I-2000000J0D01*
M02*
`

// A profile layer becomes a board.
func Example_tutorial() {
	layer, err := artwork.Read([]byte(tideGauge), "tide-gauge.gbr", artwork.Options{})
	if err != nil {
		log.Fatal(err)
	}
	holes := []orb.Point{{3, 3}, {27, 17}}
	profile, err := layer.Profile(artwork.ProfileOptions{Holes: holes})
	if err != nil {
		log.Fatal(err)
	}
	for _, board := range profile.Boards {
		fmt.Printf("%.3f mm2, %d cut-out of %.3f mm2\n", board.Area(), len(board.CutOuts), -board.CutOuts[0].Area())
	}
	// Output:
	// 587.434 mm2, 1 cut-out of 12.566 mm2
}

// Strokes keep their place in the file and their width.
func ExampleRead() {
	layer, err := artwork.Read([]byte(tideGauge), "tide-gauge.gbr", artwork.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range layer.Strokes[3:] {
		fmt.Printf("%d:%d from %v to %v, turn %+d, width %.1f mm\n", s.Line, s.Column, s.From, s.To, s.Turn, s.Width)
	}
	// Output:
	// 13:1 from [0 20] to [0 0], turn +0, width 0.1 mm
	// 16:1 from [17 10] to [17 10], turn +1, width 0.1 mm
}

// A board that does not close is refused with both ends and the gap.
func ExampleLayer_Profile() {
	const open = "%FSLAX33Y33*%%MOMM*%G01*X0Y0D02*X30000D01*Y20000D01*X0D01*Y300D01*M02*"
	layer, err := artwork.Read([]byte(open), "open.gbr", artwork.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = layer.Profile(artwork.ProfileOptions{})
	var e *artwork.OpenError
	fmt.Println(errors.As(err, &e), e.From, e.To, e.Gap)
	// Output: true [0 0.3] [0 0] 0.3
}

// Holes tell the board from the frame of its drawing.
func ExampleProfileOptions() {
	framed := "%FSLAX33Y33*%%MOMM*%G01*X-50000Y-50000D02*X80000D01*Y70000D01*X-50000D01*Y-50000D01*" +
		"X0Y0D02*X30000D01*Y20000D01*X0D01*Y0D01*X5000Y5000D02*X9000D01*Y9000D01*X5000D01*Y5000D01*M02*"
	layer, err := artwork.Read([]byte(framed), "framed.gbr", artwork.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	_, err = layer.Profile(artwork.ProfileOptions{})
	fmt.Println(errors.Is(err, artwork.ErrAmbiguous))
	profile, err := layer.Profile(artwork.ProfileOptions{Holes: []orb.Point{{2, 2}, {28, 2}, {28, 18}}})
	fmt.Println(profile.Boards[0].Area(), err)
	// Output:
	// true
	// 584 <nil>
}

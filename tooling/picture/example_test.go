package picture_test

import (
	"fmt"
	"log"
	"os"
	"strings"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
)

// A panel of two runs, drawn by asking for a layer and adding marks to it.
func Example_tutorial() {
	scene := picture.Scene{Title: "tide-gauge", Width: 120, Height: 80}
	small := scene.Layer("plated T1 0.40 mm", picture.Hits)
	small.Pass, small.Run, small.Place, small.Diameter = "plated", 1, 1, 0.4
	for i := range 5 {
		small.Marks = append(small.Marks, picture.Hit(orb.Point{20 + 2.54*float64(i), 40}, 0.4))
	}
	large := scene.Layer("unplated T2 3.20 mm", picture.Hits)
	large.Marks = append(large.Marks, picture.Hit(orb.Point{60, 40}, 3.2))

	var svg strings.Builder
	err := scene.WriteSVG(&svg)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(strings.Contains(svg.String(), "plated T1 0.40 mm (5)"))
	// Output:
	// true
}

func ExampleScene_WriteSVG() {
	s := picture.Scene{Width: 100}
	fmt.Println(s.WriteSVG(os.Stdout))
	// Output: picture: scene: Height is 0, want above 0 and at most 10000 mm
}

func ExampleScene_Pass() {
	var s picture.Scene
	s.Layer("boards", picture.Board)
	s.Layer("plated T1", picture.Hits).Pass = "plated"
	s.Layer("rout T9", picture.Path).Pass = "rout"
	for _, l := range s.Pass("rout", 0).Layers {
		fmt.Println(l.Name)
	}
	// Output:
	// boards
	// rout T9
}

// A figure is a part of a page: its title is told to a reader of the page, and not
// drawn.
func ExampleScene_WriteFigure() {
	scene := picture.Scene{Title: "tide-gauge", Width: 120, Height: 80}
	var figure strings.Builder
	err := scene.WriteFigure(&figure)
	if err != nil {
		log.Fatal(err)
	}
	fmt.Println(figure.String()[:4], strings.Count(figure.String(), "tide-gauge"))
	// Output:
	// <svg 1
}

func ExampleStyleOf() {
	fmt.Println(picture.StyleOf(1).Ink, len(picture.StyleOf(1).Sign), "strokes")
	// Output: #0a5c8c 2 strokes
}

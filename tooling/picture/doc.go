// Package picture holds a drawing of a panel as plain layers of marks, and
// writes it as SVG.
//
// # Units and axes
//
// Lengths are millimetres. The origin is the panel's lower left corner seen from
// the entry side, X to the right, Y up; the writer turns Y round for SVG, callers
// never do. Times are seconds of machine time.
//
// # Model
//
// A [Scene] is a panel size and a list of layers. A [Layer] says what its marks
// are ([Kind]) and, where they belong to a run of a pass, which pass and run.
// A [Mark] is one shape: a hit, a slot, a straight or round piece of a path, a
// box, a text, a cross or a pin. The marks of a run stand in the order in which
// the machine makes them and [Mark.Seconds] counts the machine time at the end
// of each, so that a player can move along them.
//
// # Tutorial
//
// Whoever draws asks for a layer and adds marks to it:
//
//	scene := picture.Scene{Title: "tide-gauge", Width: 120, Height: 80}
//	small := scene.Layer("plated T1 0.40 mm", picture.Hits)
//	small.Pass, small.Run, small.Place, small.Diameter = "plated", 1, 1, 0.4
//	for i := range 5 {
//		small.Marks = append(small.Marks, picture.Hit(orb.Point{20 + 2.54*float64(i), 40}, 0.4))
//	}
//	large := scene.Layer("unplated T2 3.20 mm", picture.Hits)
//	large.Marks = append(large.Marks, picture.Hit(orb.Point{60, 40}, 3.2))
//
// A scene is written as SVG, whole or pass by pass:
//
//	var svg strings.Builder
//	err := scene.WriteSVG(&svg)
//	fmt.Println(strings.Contains(svg.String(), "plated T1 0.40 mm (5)"))
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # Pictures
//
// [Scene.WriteSVG] draws the panel to scale. Each run of hits has a colour and a
// symbol of its own, so that it can be told apart in black and white and by
// eyes that do not see red or green; the size of a hit is its true size.
// Cutter paths show the swept width and, by arrows, the direction. Marks of one
// layer share path data: 20,000 hits take about 0.8 MB, symbols included.
//
// # Guarantees
//
// The same scene gives the same bytes on every machine: coordinates are rounded
// to whole micrometres first; what follows is integer arithmetic, and square roots
// and divisions that IEEE 754 rounds the same everywhere.
// Nothing is read from or kept in global state; a scene may be written by
// several goroutines at once as long as nobody changes it. [Scene.Validate]
// refuses what cannot be drawn with a [*MarkError]; WriteSVG calls it first, so
// that nothing is written of a broken scene.
//
// # Limits
//
// A picture knows no tools, holes or passes: names and numbers in it are labels.
// It draws what it is given and judges nothing.
package picture

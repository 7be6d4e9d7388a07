// Package artwork reads the profile, rout and score layers of a board from
// artwork in the extended RS-274X format with X2 attributes, and makes contours
// of what is drawn there: outlines, cut-outs, score lines.
//
// Lengths are mm on a grid of 1 nm, X to the right and Y up, as the file has them.
//
// # Tutorial
//
// A layer is read, and its strokes become boards; the places of holes tell
// boards from frames:
//
//	layer, err := artwork.Read([]byte(tideGauge), "tide-gauge.gbr", artwork.Options{})
//	holes := []orb.Point{{3, 3}, {27, 17}}
//	profile, err := layer.Profile(artwork.ProfileOptions{Holes: holes})
//	for _, board := range profile.Boards {
//		fmt.Printf("%.3f mm2, %d cut-out of %.3f mm2\n", board.Area(), len(board.CutOuts), -board.CutOuts[0].Area())
//	}
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # The format
//
// A file is a row of blocks, each ended by '*'. Line breaks may fall anywhere, inside
// words too, and mean nothing. Blocks of words stand by themselves; extended commands
// stand between two '%', several of them if need be.
//
//	FS  format statement: L or T, leading or trailing zeros omitted; A or I,
//	    absolute or incremental; X and Y with the digits before and behind the point
//	MO  unit: MM or IN
//	AD  aperture definition: D code, template C, R, O, P or a macro's name, sizes
//	AM  aperture macro: passed over, its apertures have no size
//	AB  block aperture: what stands between its begin and end is an aperture
//	SR  step and repeat: what follows, in columns and rows
//	LP  polarity, dark or clear; LM, LR, LS mirror, turn and scale apertures
//	TF, TA, TO, TD  attributes of the file, of apertures, of objects; deletion
//
// A word is a letter and a number. X and Y are a point, I and J lead from the start
// of an arc to its centre. D01 draws from the current point to the new one, D02 moves,
// D03 sets the aperture down (flash); D10 and up select an aperture. The operation stays
// until another is given. G01 draws straight, G02 clockwise, G03 counter-clockwise
// arcs; in multi-quadrant mode (G75) I and J are signed and an arc that ends where it
// starts is a full circle, in single-quadrant mode (G74) they have no sign, the arc
// is at most a quarter, and one that ends where it starts is nothing. G36 and G37
// enclose a region: its contours begin with D02. G04 is a comment, which may hold an
// attribute behind "#@!". M02 ends the file.
//
// What is deprecated is read where it is clear: G54, G70, G71, G90, G91, M00, M01,
// operations left out, names of images, settings that change nothing. Commands that
// move, turn or scale the image are refused. [Layer.Report] tells of everything
// that is not plain, each [ReadError] has line and column, and [Options] bound the file.
//
// # Arcs
//
// Where an arc's ends lie at distances from its centre that differ by more than
// 1 um, up to 0.1 mm and a quarter of the radius, the centre moves to the nearest point
// of the bisector of its ends, with a finding; beyond that the file is refused.
//
// # Contours
//
// A stroke counts by its centre line; its width is kept. Ends within 1 um are one.
// Strokes drawn twice, whole or in part, count once. Loose ends are joined, the nearest
// first, within 5, 20, then 100 um; the tolerance that the boards needed is a finding.
// Two lines with a gap run on, or stop short, to where they meet, if that is within the
// tolerance of both ends; every other gap gets a short line, so that strokes stay as
// drawn; only where the contour would then cross itself do both ends move midway.
// Strokes that hang on a contour or run across it are left out and listed.
//
// A filled region counts by its edge; a filled ring no wider than 1 mm by its
// centre line. An open stroke of 0.5 mm width or more within a board is a cut-out
// as wide as the stroke.
//
// In a score layer straight strokes are score lines, and so are the centre lines of
// straight filled strips no wider than 1 mm, and the sides of thin filled rings. Whatever
// else is drawn there is listed, see [KindScore].
//
// Contours in no other are outlines, those in an outline its cut-outs. Cut-outs that
// overlap take away what any of them encloses, unless they leave an island or one
// of them holds holes as a board does. Holes given by
// the caller tell frames from boards: the innermost contours that hold nine tenths of
// them are boards. Without holes, what may be a frame is an [AmbiguousError].
// What should have closed and does not is an [OpenError] with both ends and the gap.
//
// # Guarantees
//
// The same input gives the same result on any machine. Nothing is kept or changed of what is
// given, and all functions may run concurrently. Reading is linear, [Layer.Profile]
// nearly so.
//
// # Reference
//
// Ucamco, The Gerber Layer Format Specification, which its owner publishes openly:
// RS-274X with the attributes called X2. The rules above are restated in our own words,
// from memory.
package artwork

// Package array lays one board out as the best rectangular array on a
// production panel: which stock size, which way round, how many columns and
// rows, parted by a routed gap or a score line, for the least cost of a good
// board.
//
// # Units and axes
//
// Lengths mm, areas mm2, money in the crib's own unit. The origin is the panel's
// lower left corner seen from the entry side, X to the right, Y up.
//
// # The way of the data
//
//	Prepare   cutter and tabs that hold the board; what one board asks of each
//	          tool, by the planners themselves    -> Problem
//	Solve     every stock size, turn, count and way of parting -> Result
//	Place     the panel with boards, score lines, pins and holes
//	Best      all of it, each array tried by route.Lay before it is chosen
//
// # Tutorial
//
// A board, the sizes in stock and the quantity are enough; the best array
// comes back as a panel, laid and with its tabs:
//
//	mill, _ := machine.Preset("ball screw")
//	in := array.Input{Crib: tooling.DefaultCrib(), Rules: tooling.DefaultRules(), Machine: mill, Quantity: 100}
//	in.Board = route.Board{Name: "tide-gauge", Outline: contour.FromBound(orb.Bound{Max: orb.Point{50, 30}})}
//	in.Blank = tooling.Panel{Thickness: 1.6, Material: tooling.FR4}
//	in.Stocks = []array.Stock{array.NewStock(300, 200), array.NewStock(400, 300)}
//	best, err := array.Best(context.Background(), in)
//	choice := best.Result.Choice
//	fmt.Println(choice)
//	fmt.Printf("%d panels, %.2f a board\n", choice.Panels, choice.PerBoard)
//	fmt.Println(len(best.Panel.Boards), "boards on the panel,", len(best.Laid.Tabs), "tabs")
//
// Errors are looked at after every call; that is left out here and stands in
// the example named tutorial, which is tested.
//
// # The model
//
// With n boards on a panel and q good boards wanted at a scrap share s
//
//	made   = ceil(q / (1 - s))
//	panels = ceil(made / n)
//	load   = n times what one board asks: hits, path, plunges, travel
//	cost   = (panels (laminate + scores x price of one) + set-ups of the lot) / q
//
// where the set-ups are priced by package stack at their best heights, spindles
// and tools. What one board asks of cutters is its share of a large array, since
// neighbours share channels: it follows from the board alone and from a small array
// that is routed for its check. Travel of drills from board to board counts as the way from the change
// position to a board and back, which is about as long. Coordinates of boards
// and panels are whole nanometres, so that what fits exactly does fit.
//
// # Exactness
//
// [Solve] is exact for the work given. An array is passed over only where one
// with fewer boards that is not refused makes the same number of panels, since then no
// height, load or tool can cost more, or where its laminate, labour, loading and strokes
// alone already cost more than the two best found: strokes at height 1 in as
// few loads as the highest stack allows. Candidates are taken from a heap in the
// order of that bound and come back in it at their price, so they leave it in
// the order of cost. Ties go to fewer panels, smaller panels, then the earlier
// candidate.
//
// # Score lines
//
// A side may be scored where the outline runs straight along the whole side of
// the board's box. A score line runs over the whole panel, so all sides of
// that direction are scored or none. Panels thinner than 0.8 mm are not scored
// (common practice). [ScoredSides] tells what a customer's score layer asks for.
//
// # What one board needs
//
// The largest usual cutter that follows the outline is taken, and tabs as the rules
// have them or, where they find no room, smaller ones; a board without room for any
// tab is held by score lines alone. A cut-out that a hole of the drill files makes is
// drilled; so is a round one or a slot too narrow for every cutter, see
// [Prepared.Bored].
//
// # Pins and holes of the panel
//
// Two pins hold a stack in each set-up, left and right, those of the second in
// tooling holes of the first. They are moved along their edges to where all holes keep
// clear of each other, of score lines and, by the foot, of pins, and where the panel
// fits its pins one way only: not turned half round, not flipped, not tumbled. An
// array that leaves no room for that is refused with [ErrBorder].
//
// # Limits
//
// Arrays are rectangular and of one board; nothing is nested. What lies outside
// of the boards is the frame, which stays in one piece with the tabs.
//
// All functions are deterministic, keep none of their input, and may be called
// from several goroutines.
package array

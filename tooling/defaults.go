package tooling

import "fmt"

// FR4 is the material name of the default tables: woven glass and epoxy.
const FR4 = "FR-4"

// bitRows is the default drilling table for FR-4 with carbide bits: the low
// end of each customary range. From memory; no published table is quoted, and
// the shop's own table replaces it. Columns: diameter mm, speed rev/min, chip
// load um, retract m/min, life in hits of a new bit at the reference depth,
// reference depth mm (the usual stack of 1.6 mm panels), flute mm.
var bitRows = [...][7]float64{
	{0.10, 160e3, 5, 8, 1000, 0.4, 1.2},
	{0.15, 160e3, 8, 10, 1000, 0.8, 2.0},
	{0.20, 150e3, 10, 12, 1500, 1.6, 3.0},
	{0.25, 140e3, 13, 15, 1500, 3.2, 4.0},
	{0.30, 120e3, 16, 15, 1500, 3.2, 5.0},
	{0.35, 110e3, 19, 18, 2000, 3.2, 5.5},
	{0.40, 100e3, 22, 20, 2000, 4.8, 6.5},
	{0.50, 90e3, 28, 20, 2500, 4.8, 7.5},
	{0.60, 80e3, 32, 25, 2500, 4.8, 9.0},
	{0.80, 62e3, 40, 25, 3000, 6.4, 10.0},
	{1.00, 48e3, 48, 25, 3000, 6.4, 10.5},
	{1.20, 40e3, 52, 25, 3000, 6.4, 10.5},
	{1.50, 32e3, 58, 25, 3000, 6.4, 10.5},
	{2.00, 24e3, 58, 25, 2000, 6.4, 10.5},
	{2.50, 20e3, 50, 25, 2000, 6.4, 10.5},
	{3.175, 20e3, 45, 20, 1500, 4.8, 10.5},
	{4.00, 20e3, 35, 20, 1000, 4.8, 10.5},
	{5.00, 18e3, 25, 20, 800, 4.8, 10.5},
	{6.50, 18e3, 20, 20, 500, 4.8, 10.5},
}

// cutterRows is the default routing table for FR-4. From memory, low ends.
// Columns: diameter mm, speed rev/min, feed m/min, plunge m/min, life in m of
// path at the full stack, full stack mm, flute mm (the full stack and a
// margin; an assumption).
var cutterRows = [...][7]float64{
	{0.8, 50e3, 0.3, 0.2, 3, 3.2, 5.0},
	{1.0, 42e3, 0.5, 0.3, 6, 3.2, 5.5},
	{1.2, 38e3, 0.6, 0.4, 8, 4.8, 6.5},
	{1.6, 32e3, 0.8, 0.5, 12, 4.8, 7.0},
	{2.0, 26e3, 1.0, 0.6, 15, 6.4, 8.5},
	{2.4, 22e3, 1.2, 0.8, 20, 6.4, 9.5},
	{3.175, 18e3, 1.2, 0.8, 20, 8.0, 11.0},
}

// cutterRetract is the upward speed of a cutter in mm/min [assumption].
const cutterRetract = 10_000

// DefaultFeeds returns the default feed table for FR-4 (from memory; the low
// end of each customary range). It covers bits from 0.10 to 6.50 mm and
// cutters from 0.8 to 3.175 mm; slot bits use the rows of bits.
func DefaultFeeds() FeedTable {
	var t FeedTable
	for _, r := range bitRows {
		t.Rows = append(t.Rows, FeedRow{
			Material: FR4, Kind: Bit, Diameter: r[0], Speed: r[1], ChipLoad: Snap(r[2] / 1000), Retract: r[3] * 1000,
		})
	}
	for _, r := range cutterRows {
		t.Rows = append(t.Rows, FeedRow{
			Material: FR4, Kind: Cutter, Diameter: r[0], Speed: r[1], ChipLoad: r[2] * 1000 / r[1],
			Plunge: Snap(r[3] * 1000), Retract: cutterRetract,
		})
	}
	return t
}

// DefaultLife returns the default life table for FR-4 (from memory) with the
// default fall past the reference depth: life x (ref/depth) x 0.85 for each
// further 1.6 mm, an assumption: constant drilled depth and a little worse.
func DefaultLife() LifeTable {
	t := LifeTable{Fall: Fall{Factor: 0.85, Step: 1.6}, Factors: DefaultLifeFactors()}
	for _, r := range bitRows {
		t.Rows = append(t.Rows, LifeRow{Material: FR4, Kind: Bit, Diameter: r[0], Depth: r[5], Life: r[4]})
	}
	for _, r := range cutterRows {
		t.Rows = append(t.Rows, LifeRow{Material: FR4, Kind: Cutter, Diameter: r[0], Depth: r[5], Life: r[4] * 1000})
	}
	return t
}

// DefaultRules returns the usual rules: the default tables, and stack, tab
// and rout figures of common practice. Prices and labour are assumptions that
// every shop replaces.
func DefaultRules() Rules {
	return Rules{
		Feeds: DefaultFeeds(), Life: DefaultLife(), Allowance: DefaultAllowance(),
		Spread:    0.05,                         // common practice
		Web:       0.50,                         // residual laminate, IPC-2221 clause 9.2.7 (quoted second-hand)
		EdgeWeb:   0.50,                         // from memory
		ClosePair: 0.10,                         // from memory
		PilotFrom: 4, Pilot: 1.5, MaxDrill: 6.5, // common practice; pilot size from memory
		Bump: 0.0127, // 0.0005 in, the bump limit of the canned slot
		Stack: StackRules{
			Entry: 0.15, Backup: 2.5, BackupFloor: 0.5, Margin: 0.20, MinDepth: 0.25, Clearance: 1.5, ChipRoom: 0.5,
			Ratio: 12, PeckRatio: 15, MaxHeight: 10,
			PeckLife: 0.8, Wander: 0.020, // assumptions
			EntryPrice: 0.80, BackupPrice: 1.60, SetUpLabour: 12, StackLabour: 1.5, // assumptions
		},
		Tabs: TabRules{
			Perforated: true, Width: 6.4, Spacing: 75, PerBoard: 3, CornerClear: 5,
			Hole: 0.5, Pitch: 0.8, Count: 5, Inset: 0.1,
		},
		Rout: RoutRules{Direction: Conventional, Overlap: 0.8, LeadIn: 0.5, Depth: 0.7},
	}
}

// DefaultCrib returns a crib stocked with the customary series: bits from
// 0.10 to 3.20 mm by 0.05 and from 3.30 to 6.50 mm by 0.10, slot bits from
// 0.50 to 2.00 mm by 0.05, and the cutters of the default table (series:
// common practice). Prices are assumptions.
func DefaultCrib() Crib {
	var c Crib
	for um := 100; um <= 3200; um += 50 {
		c.Tools = append(c.Tools, stockBit(Bit, "B", um))
	}
	for um := 3300; um <= 6500; um += 100 {
		c.Tools = append(c.Tools, stockBit(Bit, "B", um))
	}
	for um := 500; um <= 2000; um += 50 {
		c.Tools = append(c.Tools, stockBit(SlotBit, "S", um))
	}
	for _, r := range cutterRows {
		c.Tools = append(c.Tools, Tool{
			ID: fmt.Sprintf("C%.3f", r[0]), Kind: Cutter, Diameter: r[0], Flute: r[6], Price: 3.2,
		})
	}
	return c
}

// stockBit makes the series bit of a diameter in um: flute from the default
// table, repoints by size (from memory), prices assumed.
func stockBit(kind ToolKind, prefix string, um int) Tool {
	d := float64(um) / 1000
	t := Tool{ID: fmt.Sprintf("%s%.2f", prefix, d), Kind: kind, Diameter: d, Flute: stockFlute(d)}
	switch {
	case d < 0.2:
		t.Price = 3.5
	case d < 0.25:
		t.Price = 2.2
	case d <= 0.5:
		t.Price, t.Repoints, t.RepointPrice = 1.4, 1, 0.35
	case d <= 3.2:
		t.Price, t.Repoints, t.RepointPrice = 1.2, 3, 0.35
	default:
		t.Price, t.Repoints, t.RepointPrice = 3.0, 3, 0.60
	}
	return t
}

func stockFlute(d float64) float64 {
	rows := bitRows[:]
	lo, hi, w, _ := bracket(rows, func(r [7]float64) float64 { return r[0] }, d)
	return Snap(mix(rows[lo][6], rows[hi][6], w))
}

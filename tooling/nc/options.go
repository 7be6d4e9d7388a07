package nc

import "github.com/paulmach/orb"

// Default limits of a reading; each has a field in [ReadOptions].
const (
	DefaultMaxBytes   = 256 << 20
	DefaultMaxBlocks  = 16 << 20
	DefaultMaxOps     = 16 << 20
	DefaultMaxNesting = 8
	DefaultMaxTools   = 1000
)

// ReadOptions steers [Parse] and [Scan]. The zero value reads what the file
// states and judges the rest.
type ReadOptions struct {
	File string // name for errors and notes, "" for none

	// Units, Zeros and Digits are the caller's word. They fill in what the file
	// leaves open; where the file says otherwise it is followed and a Note of
	// rule "contradiction" is left, unless Force is set.
	Units  Units
	Zeros  Zeros
	Digits Digits
	Force  bool // the caller's word beats the file's

	FeedUnit FeedUnit // unit of F and B words; FeedUsual: as a FEED_UNIT comment says, else m/min or inch/min by the file's units

	// Panel is where the hits should lie, in mm, for judging; the zero Bound
	// means unknown. Readings that leave it are dropped.
	Panel orb.Bound

	// Tools gives diameters (mm) for tools that the file leaves without one.
	Tools []ToolDef

	// AllowMissingEnd reads a file without M30 or M00 to its end, with a Note,
	// where it would be refused as truncated. One that ends in its header is
	// refused all the same.
	AllowMissingEnd bool

	// SkipDeleted leaves out blocks that begin with "/" (the control's block
	// delete switch on). The default runs them, with a Note.
	SkipDeleted bool

	// Limits; 0 means the default, a negative value allows nothing.
	MaxReach   float64 // mm, largest |x| and |y|; at most the default of 10,000, NaN refuses all
	MaxBytes   int     // bytes of source, DefaultMaxBytes
	MaxBlocks  int     // lines, DefaultMaxBlocks
	MaxOps     int     // operations after expansion, DefaultMaxOps
	MaxNesting int     // open patterns, DefaultMaxNesting
	MaxTools   int     // tool definitions, DefaultMaxTools
}

// WriteOptions is the dialect [Build] writes. The zero value is metric with
// three decimals and a decimal point, feeds and speeds where the tools have
// them, LF line ends and M30.
type WriteOptions struct {
	Units    Units    // UnitsUnknown: Millimetres
	Zeros    Zeros    // ZerosUnknown: DecimalPoint; LeadingZeros and TrailingZeros write whole numbers of Digits
	Digits   Digits   // zero: 3:3 in mm, 2:4 in inch; with a decimal point only Dec counts
	FeedUnit FeedUnit // unit of F and B words; the header names it

	Header  []string // comment lines of the header, without marks
	NoFeeds bool     // leave F, S and B out; the header says so
	Slots   SlotForm // how slots are written
	End     string   // "M30" (default) or "M00"
	CRLF    bool     // end lines with CR LF

	// Words are the words of letters that the header carries, in this order:
	// FMAT,2; VER,1; ICI,OFF; DETECT,ON or OFF; ATC,ON or OFF. nil: FMAT,2 alone;
	// empty: none.
	Words []string
	Table TableOrder // order of the tool table
	// Index selects tools with the compensation index of their own number:
	// T0101. Numbers then go up to 99.
	Index bool
	// Incremental writes every place as a step from the one before (G91). Steps
	// are whole last digits between rounded places, so that nothing adds up. Not
	// together with Patterns.
	Incremental bool

	// MaxBytes is the length in bytes up to which the programs of a pass may
	// go, cut at tool changes; 0: one program however long. It is for the
	// passes, which call [Split]; Build does not look at it.
	MaxBytes int
	// Continued is the message that opens every program of Split but the first;
	// "": none.
	Continued string
	// Compensated asks a rout pass for the boards' edges under G41 or G42 in
	// place of the cutter's centre line under G40. Build writes operations as
	// they are and does not look at it.
	Compensated bool

	Attributes bool // write the tools' marking and function as attribute comments
	Rows       bool // write evenly spaced hits as R# repeats
	Patterns   bool // write runs of hits that recur at an even offset by step and repeat (M25, M02)

	// Exchange keeps to the strict exchange subset (XNC): decimal points, tools
	// with their diameter only, attributes, no FMAT or G90, and none of R#,
	// patterns, compensation, canned circles, stops, messages and dwells, which
	// are refused.
	Exchange bool
}

// SlotForm is a way to write a slot.
type SlotForm uint8

// The slot forms.
const (
	SlotAsPlanned SlotForm = iota // a drill pass writes the planned hits; Build writes OpSlot as SlotG85
	SlotG85                       // canned slot, pitch and order are the control's
	SlotRout                      // rapid, plunge, line, retract
)

// TableOrder is an order of the tool table.
type TableOrder uint8

// The orders of the tool table.
const (
	TableByUse      TableOrder = iota // as given: passes give it in the order of use
	TableByNumber                     // by tool number
	TableByDiameter                   // small to large, equal ones by number
)

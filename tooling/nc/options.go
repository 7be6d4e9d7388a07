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
	Slots   SlotForm // how OpSlot is written
	End     string   // "M30" (default) or "M00"
	CRLF    bool     // end lines with CR LF

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
	SlotG85  SlotForm = iota // canned slot, pitch and order are the control's
	SlotRout                 // rapid, plunge, line, retract
)

package job

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
)

// WritingFile says how the programs of a job are written, as the shop's controls
// want them, see [nc.WriteOptions]. The zero value is the default.
type WritingFile struct {
	Units       string      `json:"units,omitempty"`       // mm (default) or inch
	Zeros       string      `json:"zeros,omitempty"`       // decimal (default), LZ or TZ
	Digits      [2]int      `json:"digits,omitzero"`       // before and after the point; absent: 3:3 in mm, 2:5 in inch
	FeedUnit    string      `json:"feed_unit,omitempty"`   // m/min, mm/min, mm/s or inch/min; "": the usual one of the units
	NoFeeds     bool        `json:"no_feeds,omitempty"`    // feeds and speeds are set at the control
	Words       []string    `json:"words,omitzero"`        // words of the header; absent: FMAT,2 alone; empty: none
	Header      []string    `json:"header,omitempty"`      // further comment lines of the header
	End         string      `json:"end,omitempty"`         // M30 (default) or M00
	CRLF        bool        `json:"crlf,omitempty"`        // end lines with CR LF
	Slots       string      `json:"slots,omitempty"`       // hits (default), G85 or rout
	ToolOrder   string      `json:"tool_order,omitempty"`  // use (default), number or diameter
	Index       bool        `json:"index,omitempty"`       // select tools with the compensation index of their number, T0101
	Incremental bool        `json:"incremental,omitempty"` // steps from place to place (G91)
	Rows        bool        `json:"rows,omitempty"`        // evenly spaced hits as R# repeats
	Patterns    bool        `json:"patterns,omitempty"`    // runs of hits that recur by step and repeat
	MaxBytes    int         `json:"max_bytes,omitempty"`   // of a program; longer ones are cut at tool changes; 0: one program a pass
	Compensated bool        `json:"compensated,omitempty"` // the boards' edges under G41 or G42 in place of the cutter's centre line
	Frames      []FrameFile `json:"frames,omitempty"`      // set-ups written in other coordinates than the panel's
}

// FrameFile puts the programs of one set-up into other coordinates than the
// panel's, see [tooling.Frame].
type FrameFile struct {
	SetUp    int       `json:"set_up"`
	Origin   string    `json:"origin,omitempty"`    // pin (the set-up's first), centre or corner (the lower left one) of the panel; "": Datum
	Datum    orb.Point `json:"datum_mm,omitzero"`   // the panel's point that becomes the origin
	FaceDown bool      `json:"face_down,omitempty"` // mirrored left to right, pins and keep-outs too
	Quarters int       `json:"quarters,omitempty"`  // turned counter-clockwise by so many quarter turns
}

// SetUpFrame is the frame in which the programs of one set-up are written.
type SetUpFrame struct {
	SetUp int // its number
	Frame tooling.Frame
}

// The words of the file for what the writer knows, the default first.
var (
	unitWords  = []string{"mm", "inch"}
	zeroWords  = []string{"decimal", "LZ", "TZ"}
	feedWords  = []string{"m/min", "mm/min", "mm/s", "inch/min"}
	slotWords  = []string{"hits", "G85", "rout"}
	orderWords = []string{"use", "number", "diameter"}
)

// options is what the file asks of the writer. Words it does not know count as
// the default: validate refuses them.
func (w WritingFile) options() nc.WriteOptions {
	at := func(words []string, word string) int { return max(slices.Index(words, word), 0) }
	o := nc.WriteOptions{
		Units:  []nc.Units{nc.Millimetres, nc.Inches}[at(unitWords, w.Units)],
		Zeros:  []nc.Zeros{nc.DecimalPoint, nc.LeadingZeros, nc.TrailingZeros}[at(zeroWords, w.Zeros)],
		Digits: nc.Digits{Int: w.Digits[0], Dec: w.Digits[1]},
		Slots:  []nc.SlotForm{nc.SlotAsPlanned, nc.SlotG85, nc.SlotRout}[at(slotWords, w.Slots)],
		Table:  []nc.TableOrder{nc.TableByUse, nc.TableByNumber, nc.TableByDiameter}[at(orderWords, w.ToolOrder)],
		Header: w.Header, Words: w.Words, End: w.End, CRLF: w.CRLF, NoFeeds: w.NoFeeds, Index: w.Index,
		Incremental: w.Incremental, Rows: w.Rows, Patterns: w.Patterns, MaxBytes: w.MaxBytes, Compensated: w.Compensated,
	}
	if o.Units == nc.Inches && w.Digits == [2]int{} {
		o.Digits = nc.Digits{Int: 2, Dec: 5} // four would move paths by more than their check allows
	}
	if w.FeedUnit != "" {
		o.FeedUnit = []nc.FeedUnit{nc.MetresPerMinute, nc.MillimetresPerMinute, nc.MillimetresPerSecond, nc.InchesPerMinute}[at(feedWords, w.FeedUnit)]
	}
	return o
}

// validate lists what the file gets wrong, and what the writer would refuse
// whatever it was to write.
func (w WritingFile) validate(v *tooling.Validation, panel tooling.Panel) {
	for _, s := range []struct {
		key, got string
		allowed  []string
	}{
		{"units", w.Units, unitWords}, {"zeros", w.Zeros, zeroWords}, {"feed_unit", w.FeedUnit, feedWords},
		{"slots", w.Slots, slotWords}, {"tool_order", w.ToolOrder, orderWords}, {"end", w.End, []string{"M30", "M00"}},
	} {
		if s.got != "" && !slices.Contains(s.allowed, s.got) {
			v.Add("writing."+s.key, tooling.ErrValue, fmt.Sprintf("%q", s.got), strings.Join(s.allowed, ", "))
		}
	}
	v.Count("writing.digits[0]", w.Digits[0], 0, 6)
	v.Count("writing.digits[1]", w.Digits[1], 0, 6)
	v.Count("writing.max_bytes", w.MaxBytes, 0, 1<<30)
	for i, f := range w.Frames {
		at := fmt.Sprintf("writing.frames[%d]", i)
		v.Count(at+".set_up", f.SetUp, 1, maxPlaced)
		v.Count(at+".quarters", f.Quarters, 0, 3)
		v.Point(at+".datum_mm", f.Datum)
		switch f.Origin {
		case "", "centre", "corner":
		case "pin":
			if len(panel.Pins(f.SetUp)) == 0 {
				v.Add(at+".origin", tooling.ErrMissing, fmt.Sprintf("no pin in set-up %d", f.SetUp), "a pin of the panel to count from")
			}
		default:
			v.Add(at+".origin", tooling.ErrValue, fmt.Sprintf("%q", f.Origin), "pin, centre, corner")
		}
		if f.Origin != "" && f.Datum != (orb.Point{}) {
			v.Add(at+".datum_mm", tooling.ErrConflict, "a datum beside the origin "+f.Origin, "one of them")
		}
		for k, g := range w.Frames[:i] {
			if g.SetUp == f.SetUp {
				v.Add(at+".set_up", tooling.ErrDuplicate, fmt.Sprint(f.SetUp), fmt.Sprintf("a set-up not named by frames[%d]", k))
			}
		}
	}
	if v.Err() != nil {
		return
	}
	empty := func(yield func(nc.Op) bool) { yield(nc.Op{Kind: nc.OpEnd}) }
	var refused *nc.BuildError
	if _, err := nc.Build(empty, nil, w.options()); errors.As(err, &refused) {
		v.Add("writing", tooling.ErrConflict, refused.Detail, "what the writer can write")
	}
}

// frames are the frames of the set-ups, their origins found on the panel.
func (w WritingFile) frames(panel tooling.Panel) []SetUpFrame {
	var out []SetUpFrame
	for _, f := range w.Frames {
		datum := f.Datum
		switch f.Origin {
		case "pin":
			datum = panel.Pins(f.SetUp)[0].At
		case "centre":
			datum = tooling.SnapPoint(orb.Point{panel.Width / 2, panel.Height / 2})
		}
		out = append(out, SetUpFrame{f.SetUp, tooling.Frame{Datum: datum, FaceDown: f.FaceDown, Quarters: f.Quarters}})
	}
	return out
}

// framed puts every pass into the frame of its set-up.
func (p *Plan) framed() error {
	for i, f := range p.Job.Frames {
		q, err := p.Framed(f.SetUp, f.Frame)
		if err != nil {
			return fmt.Errorf("writing.frames[%d]: %w", i, err)
		}
		p.Drill, p.Rout = q.Drill, q.Rout // what it notes stands in the report once, see Make
	}
	return nil
}

package nc_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling/nc"
)

const twoHits = "M48\nMETRIC,TZ,000.000\nT1C0.8F002S80\n%\nT1\nX001000Y001000\nX002000Y001000\nM30\n"

// The stated limits are those in force: one more is refused, as many are read.
func TestLimitsOfReading(t *testing.T) {
	_, err := nc.Parse([]byte(twoHits), nc.ReadOptions{MaxBytes: len(twoHits), MaxBlocks: strings.Count(twoHits, "\n"), MaxTools: 1})
	require.NoError(t, err)
	for _, o := range []nc.ReadOptions{
		{MaxBytes: len(twoHits) - 1}, {MaxBlocks: strings.Count(twoHits, "\n") - 1}, {MaxTools: -1},
	} {
		_, err := nc.Parse([]byte(twoHits), o)
		require.ErrorIs(t, err, nc.ErrLimit, "%+v", o)
	}
	many := "M48\nMETRIC,TZ\n"
	for range nc.DefaultMaxTools + 1 {
		many = many + "T1C0.8\n"
	}
	_, err = nc.Parse([]byte(many+"%\nT1\nX1.0Y1.0\nM30\n"), nc.ReadOptions{MaxBytes: nc.DefaultMaxBytes, MaxBlocks: nc.DefaultMaxBlocks})
	require.NoError(t, err, "one tool said again is one tool")
}

// A file that leaves everything open says so of every fact.
func TestWhatNothingToldIsUnknown(t *testing.T) {
	p, err := nc.Parse([]byte("M48\nMETRIC\nT1C0.8\n%\nT1\nX1.0Y1.0\nM30\n"), nc.ReadOptions{})
	require.NoError(t, err)
	f := p
	require.NotEqual(t, nc.UnitsUnknown, f.Units)
	require.NotEqual(t, nc.ZerosUnknown, f.Zeros)
	require.Equal(t, nc.HowUnknown, f.DigitsHow, "decimal points need no digits")
}

// The word F means what the options say, else what is usual for the unit.
func TestUnitOfFeedWords(t *testing.T) {
	for _, c := range []struct {
		unit nc.FeedUnit
		want float64 // mm/min for F002
	}{
		{nc.FeedUsual, 2000}, {nc.MetresPerMinute, 2000}, {nc.MillimetresPerMinute, 2},
		{nc.MillimetresPerSecond, 120}, {nc.InchesPerMinute, 50.8},
	} {
		p, err := nc.Parse([]byte(twoHits), nc.ReadOptions{FeedUnit: c.unit})
		require.NoError(t, err)
		require.InDelta(t, c.want, p.Tool(1).Feed, 1e-9, c.unit.String())
	}
}

// The zero write options are metric with a decimal point, the table as given.
func TestZeroWriteOptions(t *testing.T) {
	tools := []nc.ToolDef{{Number: 2, Diameter: 1}, {Number: 1, Diameter: 0.8}}
	ops := []nc.Op{
		{Kind: nc.OpTool, Tool: 2}, {Kind: nc.OpHit, To: orb.Point{1, 1}},
		{Kind: nc.OpTool, Tool: 1}, {Kind: nc.OpHit, To: orb.Point{2, 1.5}},
	}
	text := func(o nc.WriteOptions) string {
		p, err := nc.Build(slices.Values(ops), tools, o)
		require.NoError(t, err)
		var b strings.Builder
		_, err = p.WriteTo(&b)
		require.NoError(t, err)
		return b.String()
	}
	zero := text(nc.WriteOptions{})
	require.Equal(t, zero, text(nc.WriteOptions{Units: nc.Millimetres, Zeros: nc.DecimalPoint, Slots: nc.SlotAsPlanned, Table: nc.TableByUse}))
	require.Less(t, strings.Index(zero, "T2C"), strings.Index(zero, "T1C"), "the table as given")
	byNumber := text(nc.WriteOptions{Table: nc.TableByNumber})
	require.Greater(t, strings.Index(byNumber, "T2C"), strings.Index(byNumber, "T1C"))
}

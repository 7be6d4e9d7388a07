package job_test

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
)

// Every way of writing goes from the job's options through the passes to the
// files, each checked as it was asked for.
func TestAJobIsWrittenAsAsked(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	for name, c := range map[string]struct {
		o     nc.WriteOptions
		files int
		has   string
	}{
		"inch":          {nc.WriteOptions{Units: nc.Inches, Digits: nc.Digits{Int: 2, Dec: 5}}, 3, "\nINCH\n"},
		"without feeds": {nc.WriteOptions{NoFeeds: true}, 3, tooling.NoFeedsText},
		"canned slots":  {nc.WriteOptions{Slots: nc.SlotG85}, 3, "G85"},
		"routed slots":  {nc.WriteOptions{Slots: nc.SlotRout}, 3, "M15"},
		"words, table":  {nc.WriteOptions{Words: []string{"FMAT,2", "ATC,ON"}, Table: nc.TableByDiameter, Index: true}, 3, "\nT0202\n"},
		"rows":          {nc.WriteOptions{Rows: true, Patterns: true}, 3, "M48"},
		"split":         {nc.WriteOptions{MaxBytes: 3000}, 0, "carried on, the same stack stays pinned"},
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			wrote, report, err := p.Write(context.Background(), dir, job.WriteOptions{Program: c.o})
			require.NoError(t, err)
			require.NoError(t, report.Err())
			if c.files == 0 {
				require.Greater(t, len(wrote), 3, "some pass is split")
				c.files = len(wrote)
			}
			require.Len(t, wrote, c.files)
			seen := false
			for _, f := range wrote {
				if c.o.MaxBytes > 0 {
					require.LessOrEqual(t, len(f.Text), c.o.MaxBytes, f.File)
				}
				seen = seen || strings.Contains(string(f.Text), c.has)
			}
			require.True(t, seen)
			kept, err := os.ReadDir(dir)
			require.NoError(t, err)
			require.Len(t, kept, c.files)
		})
	}
	_, _, err := p.Write(context.Background(), t.TempDir(), job.WriteOptions{Program: nc.WriteOptions{Compensated: true}})
	require.ErrorIs(t, err, route.ErrCompensation, "its cut-out has sharp corners")
	_, _, err = p.Write(context.Background(), t.TempDir(), job.WriteOptions{Program: nc.WriteOptions{MaxBytes: 1000}})
	require.ErrorIs(t, err, nc.ErrLimit, "the work of one bit alone is longer")
}

// The shop's map of its magazine gives the T numbers, and what it lacks is
// refused before anything is written.
func TestToolsStandInTheirPlaces(t *testing.T) {
	s := newSmall()
	plain := plan(t, load(t, s))
	var shelf []string
	number := 60 // high places first, so that no number is one of its own accord
	for _, d := range plain.Drill {
		for _, r := range d.Runs {
			for range r.Bits {
				shelf = append(shelf, fmt.Sprintf(`{"place": %d, "tool": %q}`, number, r.Tool.ID))
				number--
			}
		}
	}
	short := s
	short.job = strings.Replace(s.job, `"boards":`, `"magazine": [`+strings.Join(shelf, ", ")+`], "boards":`, 1)
	_, err := job.Make(context.Background(), load(t, short), job.Options{})
	var me *machine.MagazineError
	require.ErrorAs(t, err, &me, "there is no cutter in it")
	require.ErrorIs(t, err, machine.ErrMagazine)
	for _, r := range plain.Rout[0].Runs {
		for range r.Cutters {
			shelf = append(shelf, fmt.Sprintf(`{"place": %d, "tool": %q}`, number, r.Tool.ID))
			number--
		}
	}
	s.job = strings.Replace(s.job, `"boards":`, `"magazine": [`+strings.Join(shelf, ", ")+`], "boards":`, 1)
	p := plan(t, load(t, s))
	wrote := programs(t, p)
	for i, f := range wrote {
		back, err := nc.Parse(f.Text, nc.ReadOptions{})
		require.NoError(t, err)
		for _, def := range back.Tools {
			require.Greater(t, def.Number, number)
		}
		old, err := nc.Parse(programs(t, plain)[i].Text, nc.ReadOptions{})
		require.NoError(t, err)
		notes, err := nc.Compare(old, back, 1e-6)
		require.NoError(t, err)
		require.Empty(t, notes, "other numbers, the same holes")
	}
	require.Contains(t, string(wrote[0].Text), "tools T5")
	bad := newSmall()
	bad.job = strings.Replace(bad.job, `"boards":`, `"magazine": [{"place": 0, "tool": "x"}], "boards":`, 1)
	_, err = job.Load(bad.files(), "job.json")
	require.ErrorIs(t, err, tooling.ErrValue)
	require.ErrorContains(t, err, "magazine[0].place")
}

// asked is the small job with a writing section.
func asked(section string) small {
	s := newSmall()
	s.job = strings.Replace(s.job, `"boards":`, `"writing": `+section+`, "boards":`, 1)
	return s
}

// What the job file wants of the programs stands in them, and they pass their
// check; without the section they are the same as ever.
func TestTheJobFileSaysHowToWrite(t *testing.T) {
	plain := programs(t, plan(t, load(t, asked(`{}`))))
	require.Equal(t, plain, written(t, asked(`{}`)), "the default of the file is the writer's")
	for name, c := range map[string]struct {
		section string
		has     []string
		without string
		same    bool // the holes and paths are where they were
	}{
		"inch":          {`{"units": "inch", "zeros": "LZ", "digits": [2, 5], "feed_unit": "inch/min"}`, []string{"\nINCH,LZ,00.00000\n", "FEED_UNIT=inch/min"}, "METRIC", true},
		"inch alone":    {`{"units": "inch"}`, []string{"\nINCH"}, "METRIC", true},
		"without feeds": {`{"no_feeds": true}`, []string{tooling.NoFeedsText}, "\nT1C1.000F", true},
		"header":        {`{"words": ["FMAT,2", "DETECT,ON"], "header": ["second shift"], "crlf": true, "end": "M00"}`, []string{"FMAT,2\r\nDETECT,ON\r\n", "second shift", "\r\nM00\r\n"}, "M30", true},
		"no words":      {`{"words": []}`, []string{"M48"}, "FMAT", true},
		"canned slots":  {`{"slots": "G85"}`, []string{"G85"}, "", false},
		"routed slots":  {`{"slots": "rout"}`, []string{"M15"}, "G85", false},
		"table":         {`{"tool_order": "diameter", "index": true}`, []string{"\nT0202\n"}, "", true},
		"steps":         {`{"incremental": true}`, []string{"\nG91\n"}, "", true},
		"repeats":       {`{"rows": true, "patterns": true}`, []string{"\nR", "M02X"}, "", true},
		"split":         {`{"max_bytes": 3000}`, []string{"carried on, the same stack stays pinned"}, "", false},
		"from the pin":  {`{"frames": [{"set_up": 1, "origin": "pin", "quarters": 1}]}`, []string{"origin at panel X60.000 Y5.000, turned 90 degrees, face up"}, "", false},
		"other face":    {`{"frames": [{"set_up": 2, "origin": "centre", "face_down": true}]}`, []string{"origin at panel X60.000 Y50.000, turned 0 degrees, face down"}, "", false},
		"corner":        {`{"frames": [{"set_up": 1, "origin": "corner", "quarters": 2}]}`, []string{"origin at panel X0.000 Y0.000, turned 180 degrees"}, "", false},
		"a datum":       {`{"frames": [{"set_up": 1, "datum_mm": [10, 20]}]}`, []string{"origin at panel X10.000 Y20.000"}, "", false},
	} {
		t.Run(name, func(t *testing.T) {
			wrote := written(t, asked(c.section))
			var all strings.Builder
			for _, f := range wrote {
				all.Write(f.Text)
			}
			for _, has := range c.has {
				require.Contains(t, all.String(), has)
			}
			if c.without != "" {
				require.NotContains(t, all.String(), c.without)
			}
			for i := 0; c.same && i < len(plain); i++ {
				old, err := nc.Parse(plain[i].Text, nc.ReadOptions{})
				require.NoError(t, err)
				back, err := nc.Parse(wrote[i].Text, nc.ReadOptions{})
				require.NoError(t, err)
				notes, err := nc.Compare(old, back, 0.001)
				require.NoError(t, err)
				require.Empty(t, notes, "the same holes and paths")
			}
		})
	}
}

// written are the programs of a job, written as its file asks and checked.
func written(t *testing.T, s small) []job.Program {
	t.Helper()
	p := plan(t, load(t, s))
	wrote, report, err := p.Programs(context.Background(), job.WriteOptions{Program: p.Job.Writing})
	require.NoError(t, err)
	require.NoError(t, report.Err())
	return wrote
}

// A frame stands among the findings once, and stays when the lot changes.
func TestFramesStayWithTheJob(t *testing.T) {
	p := plan(t, load(t, asked(`{"frames": [{"set_up": 1, "origin": "centre"}]}`)))
	more, err := p.For(context.Background(), 500)
	require.NoError(t, err)
	require.Equal(t, []job.SetUpFrame{{SetUp: 1, Frame: tooling.Frame{Datum: orb.Point{60, 50}}}}, p.Job.Frames)
	for _, p := range []job.Plan{p, more} {
		require.Equal(t, tooling.Frame{Datum: orb.Point{60, 50}}, p.Drill[0].Frame)
		require.Zero(t, p.Rout[0].Frame)
		n := 0
		for _, f := range p.Report {
			if f.Rule == "frame" {
				n++
			}
		}
		require.Equal(t, 1, n)
	}
	_, err = job.Make(context.Background(), load(t, asked(`{"frames": [{"set_up": 3}]}`)), job.Options{})
	require.ErrorContains(t, err, "writing.frames[0]")
	require.ErrorIs(t, err, tooling.ErrValue)
}

// The section is written as it was read: no header words are not the usual ones.
func TestWritingIsWrittenAsRead(t *testing.T) {
	for want, w := range map[string]job.WritingFile{
		`{}`:           {},
		`{"words":[]}`: {Words: []string{}},
		`{"digits":[2,5],"frames":[{"set_up":1,"origin":"pin","quarters":2}]}`: {Digits: [2]int{2, 5}, Frames: []job.FrameFile{{SetUp: 1, Origin: "pin", Quarters: 2}}},
	} {
		got, err := json.Marshal(w)
		require.NoError(t, err)
		require.Equal(t, want, string(got))
	}
}

// What the section gets wrong is refused with its key, before anything is planned.
func TestWritingIsRefused(t *testing.T) {
	for section, want := range map[string]string{
		`{"units": "cm"}`:                                                  "writing.units",
		`{"zeros": "lz"}`:                                                  "writing.zeros",
		`{"digits": [3, 9]}`:                                               "writing.digits[1]",
		`{"feed_unit": "m/s"}`:                                             "writing.feed_unit",
		`{"slots": "G86"}`:                                                 "writing.slots",
		`{"tool_order": "size"}`:                                           "writing.tool_order",
		`{"end": "M02"}`:                                                   "writing.end",
		`{"max_bytes": -1}`:                                                "writing.max_bytes",
		`{"words": ["HELLO"]}`:                                             "writing: ",
		`{"incremental": true, "patterns": true}`:                          "writing: ",
		`{"header": ["two\nlines"]}`:                                       "writing: ",
		`{"frames": [{"set_up": 0}]}`:                                      "writing.frames[0].set_up",
		`{"frames": [{"set_up": 1, "quarters": 4}]}`:                       "writing.frames[0].quarters",
		`{"frames": [{"set_up": 1, "datum_mm": [1e300, 0]}]}`:              "writing.frames[0].datum_mm",
		`{"frames": [{"set_up": 1, "origin": "middle"}]}`:                  "writing.frames[0].origin",
		`{"frames": [{"set_up": 9, "origin": "pin"}]}`:                     "writing.frames[0].origin",
		`{"frames": [{"set_up": 1, "origin": "pin", "datum_mm": [1, 1]}]}`: "writing.frames[0].datum_mm",
		`{"frames": [{"set_up": 1}, {"set_up": 1}]}`:                       "writing.frames[1].set_up",
	} {
		_, err := job.Load(asked(section).files(), "job.json")
		require.Error(t, err, section)
		require.ErrorContains(t, err, want, section)
	}
}

// Every word of the section has its own meaning to the writer, and none of them
// that of another: so has the word that is not said.
func TestWordsOfTheWritingSection(t *testing.T) {
	usual := nc.WriteOptions{Units: nc.Millimetres, Zeros: nc.DecimalPoint}
	for section, change := range map[string]func(*nc.WriteOptions){
		`{}`:                         func(*nc.WriteOptions) {},
		`{"units": "mm"}`:            func(*nc.WriteOptions) {},
		`{"units": "inch"}`:          func(o *nc.WriteOptions) { o.Units, o.Digits = nc.Inches, nc.Digits{Int: 2, Dec: 5} },
		`{"zeros": "decimal"}`:       func(*nc.WriteOptions) {},
		`{"zeros": "LZ"}`:            func(o *nc.WriteOptions) { o.Zeros = nc.LeadingZeros },
		`{"zeros": "TZ"}`:            func(o *nc.WriteOptions) { o.Zeros = nc.TrailingZeros },
		`{"digits": [4, 2]}`:         func(o *nc.WriteOptions) { o.Digits = nc.Digits{Int: 4, Dec: 2} },
		`{"feed_unit": "m/min"}`:     func(o *nc.WriteOptions) { o.FeedUnit = nc.MetresPerMinute },
		`{"feed_unit": "mm/min"}`:    func(o *nc.WriteOptions) { o.FeedUnit = nc.MillimetresPerMinute },
		`{"feed_unit": "mm/s"}`:      func(o *nc.WriteOptions) { o.FeedUnit = nc.MillimetresPerSecond },
		`{"slots": "hits"}`:          func(*nc.WriteOptions) {},
		`{"slots": "G85"}`:           func(o *nc.WriteOptions) { o.Slots = nc.SlotG85 },
		`{"slots": "rout"}`:          func(o *nc.WriteOptions) { o.Slots = nc.SlotRout },
		`{"tool_order": "use"}`:      func(*nc.WriteOptions) {},
		`{"tool_order": "number"}`:   func(o *nc.WriteOptions) { o.Table = nc.TableByNumber },
		`{"tool_order": "diameter"}`: func(o *nc.WriteOptions) { o.Table = nc.TableByDiameter },
		`{"end": "M00"}`:             func(o *nc.WriteOptions) { o.End = "M00" },
		`{"header": ["a", "b"]}`:     func(o *nc.WriteOptions) { o.Header = []string{"a", "b"} },
		`{"words": []}`:              func(o *nc.WriteOptions) { o.Words = []string{} },
		`{"crlf": true}`:             func(o *nc.WriteOptions) { o.CRLF = true },
		`{"no_feeds": true}`:         func(o *nc.WriteOptions) { o.NoFeeds = true },
		`{"index": true}`:            func(o *nc.WriteOptions) { o.Index = true },
		`{"incremental": true}`:      func(o *nc.WriteOptions) { o.Incremental = true },
		`{"rows": true}`:             func(o *nc.WriteOptions) { o.Rows = true },
		`{"patterns": true}`:         func(o *nc.WriteOptions) { o.Patterns = true },
		`{"max_bytes": 5000}`:        func(o *nc.WriteOptions) { o.MaxBytes = 5000 },
		`{"compensated": true}`:      func(o *nc.WriteOptions) { o.Compensated = true },
	} {
		want := usual
		change(&want)
		require.Equal(t, want, load(t, asked(section)).Writing, section)
	}
}

// Parts of a pass are numbered from one in the order they run, each a whole
// program; a pass in one has no number.
func TestPartsOfAPassAreNumbered(t *testing.T) {
	p := plan(t, load(t, newSmall()))
	whole, _, err := p.Programs(context.Background(), job.WriteOptions{})
	require.NoError(t, err)
	parts, _, err := p.Programs(context.Background(), job.WriteOptions{Program: nc.WriteOptions{MaxBytes: 3000}})
	require.NoError(t, err)
	of := map[string][]string{}
	for _, f := range parts {
		of[f.Pass] = append(of[f.Pass], f.File)
	}
	most := 0
	for _, f := range whole {
		base := strings.TrimSuffix(f.File, ".nc")
		want := []string{f.File}
		if n := len(of[f.Pass]); n > 1 {
			want, most = nil, max(most, n)
			for k := range n {
				want = append(want, fmt.Sprintf("%s-part%d.nc", base, k+1))
			}
		}
		require.Equal(t, want, of[f.Pass], f.Pass)
	}
	require.Greater(t, most, 1, "no pass was cut")
}

package sheet

import (
	"encoding/base64"
	"encoding/binary"
	"math"
	"slices"
	"strconv"
	"strings"

	"example.org/pinstack/tooling/picture"
	"github.com/paulmach/orb"
)

// The scene as the page's script reads it. Hits are numbers in base64, little
// endian, 12 to 20 bytes each, so that 20,000 of them take some 400 kB.

type pageScene struct {
	Width  int64       `json:"w"` // um, as all lengths here
	Height int64       `json:"h"`
	Layers []pageLayer `json:"layers"`
	Styles []pageStyle `json:"styles"` // looks, by number from 1
	Passes []pagePass  `json:"passes"`
}

type pageStyle struct {
	Ink  string       `json:"ink"`
	Sign []pageStroke `json:"sign"`
}

type pageStroke struct {
	Points [][2]int `json:"p"`
	Closed bool     `json:"c"`
}

type pageLayer struct {
	Name     string     `json:"name"`
	Kind     string     `json:"kind"`
	Pass     string     `json:"pass,omitempty"`
	SetUp    int        `json:"setUp,omitempty"` // absent: in all of them
	Run      int        `json:"run,omitempty"`
	Diameter float64    `json:"d,omitempty"` // mm
	Start    int64      `json:"start,omitempty"`
	Style    int        `json:"style,omitempty"`
	Hits     *pageHits  `json:"hits,omitempty"`
	Marks    []pageMark `json:"marks,omitempty"`
}

// pageHits holds the hits and slots of a run, entry by entry.
type pageHits struct {
	Count  int      `json:"n"`
	Places string   `json:"xy"`             // int32 x and y, um
	Ends   string   `json:"to,omitempty"`   // int32 x and y of the other end; absent: no slots
	Widths string   `json:"wide,omitempty"` // int32, um; absent: all are Width
	Width  int64    `json:"width"`
	Times  string   `json:"ms,omitempty"` // uint32, ms of machine time at the end; absent: not timed
	Roles  []string `json:"roles,omitempty"`
	Role   string   `json:"role,omitempty"`  // uint8 into Roles; absent: all are Roles[0]
	Files  []string `json:"files,omitempty"` // where they come from; absent: not told
	File   string   `json:"file,omitempty"`  // uint8 into Files; absent: all are from Files[0]
	Lines  string   `json:"line,omitempty"`  // uint32 line within the file, 0: none; absent: all none
	Labels []string `json:"labels,omitempty"`
}

// pageMark is any other mark: shape, points in um, and what shapes need beside.
type pageMark struct {
	Shape  string     `json:"s"`
	Points [][2]int64 `json:"p"`
	Center *[2]int64  `json:"c,omitempty"`
	Clock  bool       `json:"cw,omitempty"`
	Width  int64      `json:"w,omitempty"`
	Label  string     `json:"l,omitempty"`
	Role   string     `json:"r,omitempty"`
	Source string     `json:"src,omitempty"`
	Number int        `json:"n,omitempty"`
	Time   int64      `json:"ms,omitempty"`
}

type pagePass struct {
	Name      string    `json:"name"`
	SetUp     int       `json:"setUp"`
	Stage     string    `json:"stage"`
	Operation string    `json:"op"`
	Time      int64     `json:"ms"`    // one load, without loading
	Clock     string    `json:"clock"` // the same, as the tables write it
	Runs      []pageRun `json:"runs"`
}

type pageRun struct {
	Number int     `json:"run"`
	Tool   string  `json:"tool"`
	Text   string  `json:"text"`
	Size   string  `json:"size"` // mm, of the tool
	Work   string  `json:"work"`
	Clock  string  `json:"clock"` // its time, as the tables write it
	Hits   int     `json:"hits"`
	Paths  int     `json:"paths,omitempty"`
	Limit  int     `json:"limit,omitempty"` // hits of a bit where the control counts them
	Shares []Share `json:"shares,omitempty"`
}

func micro(mm float64) int64         { return int64(math.Round(mm * 1000)) }
func milli(seconds float64) int64    { return int64(math.Round(seconds * 1000)) }
func spot(p orb.Point) [2]int64      { return [2]int64{micro(p[0]), micro(p[1])} }
func packed(b []byte) string         { return base64.StdEncoding.EncodeToString(b) }
func put(dst []byte, n int64) []byte { return binary.LittleEndian.AppendUint32(dst, uint32(int32(n))) }

// pageData gathers what the script needs of sheet and scene.
func (s *Sheet) pageData(scene *picture.Scene) pageScene {
	d := pageScene{Width: micro(scene.Width), Height: micro(scene.Height), Layers: []pageLayer{}, Passes: []pagePass{}}
	most := 1
	for i, l := range scene.Layers {
		p := pageLayer{Name: l.Name, Kind: string(l.Kind), Pass: l.Pass, SetUp: l.SetUp, Run: l.Run, Diameter: l.Diameter, Start: milli(l.Start), Style: scene.StyleNumber(i)}
		most = max(most, min(p.Style, 16))
		if len(l.Marks) == 0 {
			continue
		}
		if l.Kind == picture.Hits && plainHits(l.Marks) {
			p.Hits = packHits(l.Marks)
		} else {
			for _, m := range l.Marks {
				p.Marks = append(p.Marks, packMark(m))
			}
		}
		d.Layers = append(d.Layers, p)
	}
	for n := 1; n <= most; n++ {
		look := picture.StyleOf(n)
		style := pageStyle{Ink: look.Ink}
		for _, k := range look.Sign {
			style.Sign = append(style.Sign, pageStroke{k.Points, k.Closed})
		}
		d.Styles = append(d.Styles, style)
	}
	for _, p := range s.Passes {
		q := pagePass{Name: p.Name, SetUp: p.SetUp, Stage: stage(p.Stage), Operation: p.Operation, Time: milli(p.LoadSeconds), Clock: Clock(p.LoadSeconds), Runs: []pageRun{}}
		for _, r := range p.Runs {
			q.Runs = append(q.Runs, pageRun{r.Number, r.tools(), size(r.Diameter) + " mm " + r.Kind + ", " + r.Work, size(r.Diameter), r.Work, Clock(r.Seconds), r.Hits, r.Paths, r.Limit, r.Shares})
		}
		d.Passes = append(d.Passes, q)
	}
	return d
}

// plainHits reports whether all marks are hits or slots.
func plainHits(marks []picture.Mark) bool {
	return !slices.ContainsFunc(marks, func(m picture.Mark) bool { return m.Shape != picture.Circle && m.Shape != picture.Slot })
}

func packHits(marks []picture.Mark) *pageHits {
	h := &pageHits{Count: len(marks), Width: micro(marks[0].Width)}
	var xy, ends, widths, times, lines []byte
	var roles, files names
	slots, mixed, timed, labelled, lined := false, false, false, false, false
	for _, m := range marks {
		from := spot(m.Points[0])
		to := spot(m.Points[len(m.Points)-1])
		slots = slots || from != to
		mixed = mixed || micro(m.Width) != h.Width
		timed = timed || m.Seconds > 0
		labelled = labelled || m.Label != ""
		xy = put(put(xy, from[0]), from[1])
		ends = put(put(ends, to[0]), to[1])
		widths = put(widths, micro(m.Width))
		times = put(times, milli(m.Seconds))
		roles.add(m.Role)
		name, line := cut(m.Source)
		files.add(name)
		lined = lined || line > 0
		lines = put(lines, int64(line))
		h.Labels = append(h.Labels, m.Label)
	}
	h.Places = packed(xy)
	if slots {
		h.Ends = packed(ends)
	}
	if mixed {
		h.Widths = packed(widths)
	}
	if timed {
		h.Times = packed(times)
	}
	h.Roles, h.Role = roles.packed()
	if files.told() {
		h.Files, h.File = files.packed()
	}
	if lined {
		h.Lines = packed(lines)
	}
	if !labelled {
		h.Labels = nil
	}
	return h
}

// names gathers words that repeat, as a list of the different ones and one byte
// for each entry.
type names struct {
	list []string
	at   []byte
}

// add notes one entry; what no longer fits a byte counts as the first word.
func (n *names) add(word string) {
	k := slices.Index(n.list, word)
	if k < 0 && len(n.list) < 256 {
		k = len(n.list)
		n.list = append(n.list, word)
	}
	n.at = append(n.at, byte(max(k, 0)))
}

// told reports whether any entry has a word, and all have their own.
func (n *names) told() bool {
	return len(n.list) < 256 && slices.ContainsFunc(n.list, func(s string) bool { return s != "" })
}

// packed returns the words and, where there are several, the bytes.
func (n *names) packed() (list []string, at string) {
	if len(n.list) > 1 {
		at = packed(n.at)
	}
	return n.list, at
}

// cut takes "file:line" apart; a source of another form has line 0.
func cut(source string) (file string, line int) {
	i := strings.LastIndexByte(source, ':')
	if i < 0 {
		return source, 0
	}
	n, err := strconv.Atoi(source[i+1:])
	if err != nil || n < 1 || n > math.MaxInt32 {
		return source, 0
	}
	return source[:i], n
}

func packMark(m picture.Mark) pageMark {
	p := pageMark{Shape: m.Shape.String(), Clock: m.Clockwise, Width: micro(m.Width), Label: m.Label, Role: m.Role, Source: m.Source, Number: m.Number, Time: milli(m.Seconds)}
	for _, q := range m.Points {
		p.Points = append(p.Points, spot(q))
	}
	if m.Shape == picture.Arc {
		c := spot(m.Center)
		p.Center = &c
	}
	return p
}

package artwork

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// Profile makes boards and score lines of what the layer draws.
//
// Strokes count by their centre lines. Those drawn twice, also in part, count
// once. Ends are joined within the first of ProfileOptions.Joins that closes
// everything that closes within any of them; Profile.Join says which was needed.
// Closed contours that lie in no other are outlines, those in them cut-outs, as
// far as frames, marks and text do not hide among them: see [Pick].
//
// What is drawn beside the boards is listed in Profile.Items and in the report.
//
// Errors: [*OpenError] with both ends and the gap for an outline or a cut-out that
// does not close; [*AmbiguousError]; [*ReadError] wrapping [ErrCrossing],
// [ErrNoProfile], [ErrUnsupported], [ErrLimit] or [ErrOptions]. The cost is
// O(n log2 n) for n strokes that do not lie in heaps.
func (l *Layer) Profile(o ProfileOptions) (*Profile, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	m := &maker{layer: l, options: o.filled(), profile: &Profile{}, scored: map[identity]bool{}}
	if err := m.make(); err != nil {
		return nil, err
	}
	return m.profile, nil
}

// maker is the work on one layer.
type maker struct {
	layer   *Layer
	options ProfileOptions
	joins   []float64 // nm
	profile *Profile

	graph    *graph
	loops    []loop  // closed, sound, not text
	broken   []loop  // closed, but crossing themselves
	pieces   []piece // open
	across   []piece // open, and ran from a contour to a contour
	clashes  []clash
	tree     nest
	branches []point
	gapAt    point             // an end of the widest gap that was bridged
	scored   map[identity]bool // score lines kept
}

func (m *maker) make() error {
	for _, j := range m.options.Joins {
		m.joins = append(m.joins, j*1e6)
	}
	edges := m.gather()
	if m.layer.Function == FunctionScore {
		return m.scoreLayer()
	}
	if err := m.connect(edges); err != nil {
		return err
	}
	if err := m.regions(); err != nil {
		return err
	}
	if len(m.loops) > maxLoops {
		return m.fail(ErrLimit, fmt.Sprintf("%d closed contours", len(m.loops)), fmt.Sprintf("at most %d", maxLoops))
	}
	m.dropLoopsTwice()
	m.findText()
	if err := m.findClashes(); err != nil {
		return err
	}
	m.tree = newNest(m.loops, m.options.Holes)
	boards, err := m.choose()
	if err != nil {
		return err
	}
	if err := m.checkOpen(boards); err != nil {
		return err
	}
	return m.build(boards)
}

// maxLoops bounds the closed contours of a layer: no profile comes near it.
const maxLoops = 20_000

func (m *maker) fail(err error, found, expected string) error {
	return &ReadError{Source: tooling.Source{File: m.layer.File}, Err: err, Found: found, Expected: expected}
}

// source is where a stroke stands in the file.
func (m *maker) source(stroke int32) tooling.Source {
	s := tooling.Source{File: m.layer.File}
	if stroke >= 0 && int(stroke) < len(m.layer.Strokes) {
		s.Line, s.Column = m.layer.Strokes[stroke].Line, m.layer.Strokes[stroke].Column
	}
	return s
}

func (m *maker) loopSource(l *loop) tooling.Source {
	if !l.filled {
		return m.source(l.stroke)
	}
	g := m.layer.Regions[l.stroke]
	return tooling.Source{File: m.layer.File, Line: g.Line, Column: g.Column}
}

func (m *maker) note(rule, detail string, at tooling.Source, value, limit float64, places ...orb.Point) {
	m.profile.Report.Add(tooling.Finding{Rule: rule, OK: true, Source: at, Detail: detail, Value: value, Limit: limit, Places: places})
}

// gather sorts the strokes: score lines, strokes that take away, and edges.
func (m *maker) gather() []edge {
	var edges []edge
	for i, s := range m.layer.Strokes {
		at := m.source(int32(i))
		switch {
		case s.Clear:
			m.note("clear-stroke", "a stroke in clear polarity draws no edge and is left out", at, 0, 0, s.From)
			continue
		case m.scores(s):
			m.score(s, at)
			continue
		case s.Turn == 0 && s.From == s.To:
			m.note("no-length", "a stroke of no length is left out", at, 0, 0, s.From)
			continue
		}
		e := edge{arc: arc{from: toPoint(s.From), to: toPoint(s.To), turn: s.Turn}, width: s.Width, stroke: int32(i)}
		if s.Turn != 0 {
			e.center = [2]float64{s.Center[0] * 1e6, s.Center[1] * 1e6}
			e = m.flat(e, at)
		}
		edges = append(edges, e)
	}
	for _, f := range m.layer.Flashes {
		item := Item{Kind: KindFlash, Box: orb.Bound{Min: f.At, Max: f.At}, Source: tooling.Source{File: m.layer.File, Line: f.Line, Column: f.Column}}
		if m.layer.Function == FunctionScore {
			item.Kind, item.Line = KindScore, contour.Contour{Start: f.At}
		}
		m.item(item, "flash", "an aperture set down draws no edge and is left out")
	}
	if m.layer.Function == FunctionOther {
		m.note("layer-function", "the file says that it is no profile layer", tooling.Source{File: m.layer.File}, 0, 0)
	}
	return edges
}

// shortArc is the length below which an arc is a line, nm: its bend is below what
// the file's digits tell.
const shortArc = 500

// flat turns an arc that is too short to bend into a line. Between ends that are
// nearly one, only an arc of less than half a turn is short.
func (m *maker) flat(e edge, at tooling.Source) edge {
	if e.full() || e.from.distance(e.to) > shortArc || e.sweep() > 3 {
		return e
	}
	m.note("arc-short", "an arc under 0.5 um is taken as a line", at, e.length()/1e6, shortArc/1e6, e.from.orb())
	e.turn, e.center = 0, [2]float64{}
	return e
}

// scores reports whether a stroke draws a score: by the layer's function, the
// aperture's function or its code.
func (m *maker) scores(s Stroke) bool {
	if m.layer.Function == FunctionScore {
		return true
	}
	if s.Aperture < 0 || s.Aperture >= len(m.layer.Apertures) {
		return false
	}
	a := m.layer.Apertures[s.Aperture]
	f := strings.ToLower(a.Function)
	return slices.Contains(m.options.ScoreCodes, a.Code) || strings.Contains(f, "vcut") || strings.Contains(f, "score")
}

// connect makes loops and open pieces of the edges.
func (m *maker) connect(edges []edge) error {
	tell := func(rule, detail string, list []edge) {
		for _, e := range list {
			m.note(rule, detail, m.source(e.stroke), 0, 0, e.from.orb())
		}
	}
	edges, twice := dropTwice(edges)
	tell("stroke-twice", "a stroke is drawn twice and counts once", twice)
	split, ok := splitOverlaps(edges)
	if !ok {
		return heapError(m.source(edges[0].stroke), edges[0].from.orb())
	}
	edges, part := dropTwice(split)
	tell("stroke-overlap", "a stroke lies on a longer one and counts once where they run together", part)
	g, vanished := newGraph(edges)
	tell("stroke-short", "a stroke under 1 um is left out", vanished)
	g.join(m.joins[len(m.joins)-1])
	m.graph = g
	n, hub := g.cycles()
	if hub != nil {
		return heapError(tooling.Source{File: m.layer.File}, hub.orb())
	}
	m.branches, m.across = n.branches, newPieces(g, n.across)
	for _, w := range n.walks {
		m.keep(g.assemble(w, m.joins))
	}
	for _, e := range g.circles {
		m.keep(circleLoop(e))
	}
	m.pieces = newPieces(g, n.loose)
	slices.SortStableFunc(m.loops, func(a, b loop) int { return int(a.stroke) - int(b.stroke) })
	return nil
}

// heapError refuses drawings whose strokes lie in heaps, as in hatched or shaded areas.
func heapError(at tooling.Source, p orb.Point) error {
	return &ReadError{Source: at, Err: ErrLimit, Found: fmt.Sprintf("a heap of strokes near X%.4f Y%.4f", p[0], p[1]),
		Expected: fmt.Sprintf("at most %d strokes of contours that meet in a point or lie on one another", looked)}
}

// keep sorts a loop by whether it is sound.
func (m *maker) keep(l loop) {
	switch {
	case l.err == nil:
		m.loops = append(m.loops, l)
	case errors.Is(l.err, contour.ErrEmpty) || min(l.box.width(), l.box.height()) < alike:
		m.note("loop-empty", "a closed line encloses nothing and is left out", m.loopSource(&l), 0, 0, l.line.Start)
	default:
		m.broken = append(m.broken, l)
	}
}

// item lists something that is no edge of a board.
func (m *maker) item(i Item, rule, detail string) {
	m.profile.Items = append(m.profile.Items, i)
	places := i.Ends
	if len(places) == 0 {
		places = []orb.Point{i.Box.Min}
	}
	m.note(rule, detail, i.Source, 0, 0, places...)
}

func (b rect) bound() orb.Bound {
	return orb.Bound{Min: orb.Point{b.x0 / 1e6, b.y0 / 1e6}, Max: orb.Point{b.x1 / 1e6, b.y1 / 1e6}}
}

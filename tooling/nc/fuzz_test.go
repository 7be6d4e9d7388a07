package nc_test

import (
	"errors"
	"math"
	"slices"
	"testing"

	"example.org/pinstack/tooling/nc"
)

// fuzzLimits keeps a fuzzed reading small.
var fuzzLimits = nc.ReadOptions{MaxBytes: 1 << 20, MaxBlocks: 50_000, MaxOps: 20_000, MaxNesting: 4, MaxTools: 100}

// addSeeds gives the corpus to a fuzz target.
func addSeeds(f *testing.F) {
	for _, src := range corpus(f) {
		f.Add(src)
	}
}

// FuzzRead checks that no input panics, that the limits hold, that both doors
// agree, that errors carry their place and that the text round-trips.
func FuzzRead(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := nc.Parse(src, fuzzLimits)
		if err != nil {
			var se *nc.SyntaxError
			var ae *nc.AmbiguousError
			var le *nc.LimitError
			switch {
			case errors.As(err, &se):
				if se.Line < 1 || se.Column < 1 || se.Err == nil {
					t.Fatalf("no place: %#v", se)
				}
			case errors.As(err, &le):
				if le.Line < 1 || le.Found <= le.Max {
					t.Fatalf("no limit: %#v", le)
				}
			case errors.As(err, &ae):
				if ae.Line < 1 || ae.Column < 1 || len(ae.Candidates) == 0 {
					t.Fatalf("no candidates: %#v", ae)
				}
			default:
				t.Fatalf("an untyped error: %v", err)
			}
		}
		q := sameThroughBothDoors(t, src, fuzzLimits)
		if (p == nil) != (q == nil) {
			t.Fatal("two readings of one text differ")
		}
		if p == nil {
			return
		}
		n := 0
		for op := range p.Ops() {
			n++
			for _, v := range []float64{op.From[0], op.From[1], op.To[0], op.To[1], op.Diameter} {
				if !(math.Abs(v) <= 20_000) {
					t.Fatalf("a coordinate off the machine: %v", op)
				}
			}
		}
		if n > fuzzLimits.MaxOps || len(p.Tools) > fuzzLimits.MaxTools || p.Lines() > fuzzLimits.MaxBlocks {
			t.Fatalf("a limit is exceeded: %d operations, %d tools, %d lines", n, len(p.Tools), p.Lines())
		}
		if len(p.Notes) > 300 {
			t.Fatalf("a flood of %d notes", len(p.Notes))
		}
		if _, err := p.Summary(); err != nil {
			t.Fatal(err)
		}
		if notes, err := nc.Compare(p, q, 0); err != nil || len(notes) > 0 {
			t.Fatalf("a program differs from itself: %v %v", notes, err)
		}
	})
}

// FuzzRewrite checks that what is read can be written in a form of at least
// its resolution and reads back as the same operations; where the writer
// refuses it must have a reason that the reader has noted.
func FuzzRewrite(f *testing.F) {
	addSeeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		p, err := nc.Parse(src, fuzzLimits)
		if err != nil {
			return
		}
		for _, o := range []nc.WriteOptions{{Digits: nc.Digits{Int: 5, Dec: 6}, NoFeeds: true}, {Digits: nc.Digits{Int: 5, Dec: 6}, NoFeeds: true, Rows: true, CRLF: true}} {
			rewrite(t, p, o)
		}
	})
}

// rewrite writes a program with nanometre digits and compares what is made.
func rewrite(t testing.TB, p *nc.Program, o nc.WriteOptions) {
	var in []nc.Op
	odd := len(p.Notes) > 0
	used := map[int]bool{}
	for op, err := range p.Ops() {
		if err != nil {
			t.Fatal(err)
		}
		switch op.Kind {
		case nc.OpUnknown:
			continue
		case nc.OpStop, nc.OpDwell, nc.OpComment, nc.OpMessage:
			continue
		case nc.OpTool:
			used[op.Tool] = true
			if p.Tool(op.Tool) == nil || p.Tool(op.Tool).Diameter == 0 {
				op.Tool = 0
			}
		}
		in = append(in, op)
	}
	var tools []nc.ToolDef
	for _, d := range p.Tools {
		if d.Diameter > 0 {
			d.Feed, d.Speed = 0, 0
			d.HasZ = false
			tools = append(tools, d)
		}
	}
	w, err := nc.Build(slices.Values(in), tools, o)
	if err != nil {
		var be *nc.BuildError
		if !errors.As(err, &be) || be.Index < 0 && be.Detail == "" {
			t.Fatalf("an untyped error: %v", err)
		}
		if !odd && !mayRefuse(in) {
			t.Fatalf("a program without a note cannot be written: %v", err)
		}
		return
	}
	q, err := nc.Parse([]byte(text(t, w)), nc.ReadOptions{})
	if err != nil {
		t.Fatalf("what was written cannot be read: %v\n%s", err, text(t, w))
	}
	// An arc whose centre is not in the middle of its ends can only be written
	// with one radius: what it differs by, the comparison must allow.
	tol := 0.000002
	for _, op := range in {
		if op.Kind == nc.OpArc {
			from := math.Hypot(op.From[0]-op.Center[0], op.From[1]-op.Center[1])
			to := math.Hypot(op.To[0]-op.Center[0], op.To[1]-op.Center[1])
			tol = max(tol, math.Abs(from-to)+0.000002)
		}
	}
	notes, err := nc.Compare(p, q, tol)
	if err != nil {
		t.Fatal(err)
	}
	notes = slices.DeleteFunc(notes, func(n nc.Note) bool { return n.Rule == "missing" && len(n.Detail) > 4 && n.Detail[:4] == "word" })
	if len(notes) > 0 {
		t.Fatalf("the rewritten program makes something else: %+v\n%s", notes, text(t, w))
	}
}

// mayRefuse tells whether a stream holds what the strict writer refuses and
// the liberal reader has no reason to remark on: a plunge without a rapid move,
// and coordinates beyond the writer's 10 m after rounding.
func mayRefuse(in []nc.Op) bool {
	mode := nc.OpHit
	for _, op := range in {
		switch op.Kind {
		case nc.OpPlunge:
			if mode != nc.OpRapid {
				return true
			}
		case nc.OpHit, nc.OpSlot, nc.OpRapid, nc.OpRetract, nc.OpCircle:
			mode = op.Kind
			if op.Kind == nc.OpRetract {
				mode = nc.OpRapid
			}
		}
		if op.Kind == nc.OpCircle && op.Diameter > 10_000 {
			return true
		}
	}
	return false
}

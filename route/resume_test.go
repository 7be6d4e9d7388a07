package route_test

import (
	"encoding/json"
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling"
)

// TestResume stops a pass before each of its paths, and once more in the rest:
// what is left is written, checked with what was cut before, and sums up to the
// whole.
func TestResume(t *testing.T) {
	in := samples()["sharp inside corners"]
	in.Panel.KeepOuts = []tooling.KeepOut{{Name: "clamp", Min: orb.Point{40, 0}, Max: orb.Point{60, 5}, Height: 9}}
	l := lay(t, in)
	p := plan(t, l, route.Options{CleanUp: 0.8})[0]
	s := setUp(t, in, p, 1)
	for k := range s.Tools {
		s.Tools[k].Life, s.Tools[k].PerLoad = 150, 4
	}
	whole, err := p.Mount(s, in.Machine)
	if err != nil {
		t.Fatal(err)
	}
	before, _ := json.Marshal(whole)
	stops := 0
	for _, r := range whole.Runs {
		for k := range r.Paths {
			stops++
			rest, err := route.Resume(whole, route.Stop{Run: r.Number, Path: k}, in)
			if err != nil {
				t.Fatal(err)
			}
			if err := route.Check(l, rest, parse(t, text(t, rest))).Err(); err != nil {
				t.Errorf("run %d path %d: %v", r.Number, k, err)
			}
			cut, done, all := 0.0, 0.0, 0.0
			for _, q := range rest.Runs {
				cut += q.Cut
				sum := 0.0
				for _, c := range q.Cutters {
					sum += c.Cut
				}
				if math.Abs(sum-q.Cut) > 0.01 {
					t.Errorf("run %d path %d: cutters make %v of %v mm", r.Number, k, sum, q.Cut)
				}
			}
			for _, d := range rest.Done {
				for _, q := range d.Paths {
					done += q.Length()
				}
			}
			for _, q := range whole.Runs {
				all += q.Cut
			}
			if math.Abs(cut+done-all) > 0.05 {
				t.Errorf("run %d path %d: %v mm done and %v left of %v", r.Number, k, done, cut, all)
			}
			again, err := route.Resume(rest, route.Stop{Run: rest.Runs[0].Number, Path: len(rest.Runs[0].Paths) - 1}, in)
			if err != nil {
				t.Fatal(err)
			}
			if err := route.Check(l, again, parse(t, text(t, again))).Err(); err != nil {
				t.Errorf("run %d path %d, stopped again: %v", r.Number, k, err)
			}
		}
	}
	if stops < 6 {
		t.Errorf("only %d places to stop at", stops)
	}
	if after, _ := json.Marshal(whole); string(after) != string(before) {
		t.Error("Resume changed the pass it was asked of")
	}
	for _, at := range []route.Stop{{}, {Run: 9}, {Run: 1, Path: -1}, {Run: 1, Path: 99}} {
		var me *route.MountError
		if _, err := route.Resume(whole, at, in); !errors.Is(err, route.ErrStop) || !errors.As(err, &me) {
			t.Errorf("stop %+v gives %v", at, err)
		}
	}
	if _, err := route.Resume(p, route.Stop{Run: 1}, in); !errors.Is(err, route.ErrUnmounted) {
		t.Errorf("an unmounted pass gives %v", err)
	}
}

// TestResumeForgetsNothing takes what was cut before away again: then the check
// finds the edges uncut.
func TestResumeForgetsNothing(t *testing.T) {
	l := lay(t, samples()["one board"])
	p := mounted(t, l, route.Options{})
	rest, err := route.Resume(p, route.Stop{Run: 1, Path: 2}, l.Input)
	if err != nil {
		t.Fatal(err)
	}
	rest.Done = nil
	if got := broken(route.Check(l, rest, parse(t, text(t, rest)))); len(got) == 0 || got[0] != "uncut-edge" {
		t.Errorf("refused by %v, want uncut-edge", got)
	}
}

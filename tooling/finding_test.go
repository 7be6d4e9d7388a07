package tooling_test

import (
	"errors"
	"fmt"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

func TestReport(t *testing.T) {
	var r tooling.Report
	r.Note("web", "T1/T2", "thin web", 0.4, 0.5, orb.Point{1, 1})
	for i := range 5 {
		r.Refuse("hole-missing", "T1", "not drilled", float64(i), 0, orb.Point{float64(i), 0})
	}
	r.Note("web", "T1/T2", "thin web", 0.2, 0.5, orb.Point{2, 2})
	r.Note("web", "T1/T2", "thin web", 0.3, 0.5)
	r.Refuse("hole-moved", "", "moved", 0.02, 0, orb.Point{0, 0}, orb.Point{1, 0}, orb.Point{2, 0}, orb.Point{3, 0})
	want := tooling.Report{
		{Rule: "web", OK: true, Tool: "T1/T2", Detail: "thin web", Value: 0.2, Limit: 0.5, Count: 3, Places: []orb.Point{{1, 1}, {2, 2}}},
		{Rule: "hole-missing", Tool: "T1", Detail: "not drilled", Value: 4, Count: 5, Places: []orb.Point{{0, 0}, {1, 0}, {2, 0}}},
		{Rule: "hole-moved", Detail: "moved", Value: 0.02, Count: 1, Places: []orb.Point{{0, 0}, {1, 0}, {2, 0}}},
	}
	if diff := cmp.Diff(want, r); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	var e *tooling.CheckError
	if !errors.As(r.Err(), &e) || len(e.Findings) != 2 || r.OK() {
		t.Errorf("got %v", r.Err())
	}
	if (tooling.Report{want[0]}).Err() != nil {
		t.Error("a note must not refuse")
	}
}

// What is added is copied: the caller's places do not change under a report.
func TestReportOwnsItsPlaces(t *testing.T) {
	places := []orb.Point{{1, 1}}
	var r tooling.Report
	r.Note("rule", "", "detail", 0, 0, places...)
	places[0] = orb.Point{9, 9}
	if r[0].Places[0] != (orb.Point{1, 1}) {
		t.Errorf("got %v", r[0].Places)
	}
}

func TestInputErrors(t *testing.T) {
	list := tooling.InputErrors{
		{Source: tooling.Source{File: "a.json", Path: "x"}, Found: "1", Expected: "2", Err: tooling.ErrValue},
		{Source: tooling.Source{File: "a.json", Line: 3, Column: 4, Tool: "T2"}, Err: tooling.ErrMissing},
		{Expected: "more", Err: tooling.ErrDepth},
	}
	for i, want := range []string{
		"a.json x: tooling: value out of range: found 1, expected 2",
		"a.json:3:4 T2: tooling: value missing",
		"tooling: the stack is too deep for the tool, expected more",
	} {
		if got := list[i].Error(); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
	if got, want := list.Error(), list[0].Error()+" (and 2 more)"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got := list[:1].Error(); got != list[0].Error() {
		t.Errorf("got %q", got)
	}
	if !errors.Is(list.Err(), tooling.ErrDepth) || errors.Is(list.Err(), tooling.ErrPlaces) {
		t.Error("errors.Is must look at all of them")
	}
	if got := (tooling.Source{File: "a", Line: 3}).String(); got != "a:3" {
		t.Errorf("got %q", got)
	}
}

func TestCautions(t *testing.T) {
	a := tooling.Cautions()
	a[0] = ""
	if tooling.Cautions()[0] == "" || len(tooling.Cautions()) < 8 {
		t.Error("cautions must be whole and the caller's own copy")
	}
}

func ExampleReport() {
	var r tooling.Report
	r.Note("web", "T1/T2", "thin web between holes", 0.45, 0.50, orb.Point{12.5, 8})
	r.Refuse("hole-missing", "T1", "a hole of the input is not in the program", 0, 0, orb.Point{20, 30})
	r.Refuse("hole-missing", "T1", "a hole of the input is not in the program", 0, 0, orb.Point{21, 30})
	fmt.Println(r.OK())
	fmt.Println(r.Err())
	// Output:
	// false
	// refused by rule hole-missing: a hole of the input is not in the program (T1), 2 times, first at X20.000 Y30.000
}

func ExampleCheckError() {
	err := &tooling.CheckError{Findings: tooling.Report{
		{Rule: "speed-missing", Detail: "no speed", Source: tooling.Source{File: "plated.drl", Line: 4}, Count: 1},
		{Rule: "feed-missing", Detail: "no feed", Count: 1},
	}}
	fmt.Println(err)
	// Output: refused by rule speed-missing: no speed at plated.drl:4 (and 1 more findings)
}

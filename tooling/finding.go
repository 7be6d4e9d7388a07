package tooling

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// Finding is one thing a reader, planner or check has to say, grouped: Count
// occurrences under one rule for one tool (or tool pair), with the worst
// value and up to three places.
type Finding struct {
	Rule   string      `json:"rule"`             // what was checked, such as "hole-missing"
	OK     bool        `json:"ok"`               // false: the program must not be written
	Source Source      `json:"source,omitzero"`  // where the input came from
	Tool   string      `json:"tool,omitempty"`   // tool, or "A/B" for a pair
	Detail string      `json:"detail"`           // one sentence for the operator
	Value  float64     `json:"value,omitempty"`  // the worst value, in the rule's unit
	Limit  float64     `json:"limit,omitempty"`  // what Value is held against, in its unit
	Count  int         `json:"count"`            // how often
	Places []orb.Point `json:"places,omitempty"` // up to three, mm
}

// maxPlaces bounds the places kept in a grouped finding: enough to look at,
// never a flood.
const maxPlaces = 3

// Report is a list of findings. The zero value is an empty report.
type Report []Finding

// Add puts a finding into the report. A finding with the rule, state, tool
// and detail of an earlier one is merged with it: counts add up, the first
// three places stay, and the worse value wins, where worse means farther from
// the limit.
func (r *Report) Add(f Finding) {
	if f.Count == 0 {
		f.Count = 1
	}
	for i := range *r {
		g := &(*r)[i]
		if g.Rule != f.Rule || g.OK != f.OK || g.Tool != f.Tool || g.Detail != f.Detail || g.Source.File != f.Source.File {
			continue
		}
		g.Count += f.Count
		if distance(f.Value, f.Limit) > distance(g.Value, g.Limit) {
			g.Value, g.Limit = f.Value, f.Limit
		}
		for _, p := range f.Places {
			if len(g.Places) < maxPlaces {
				g.Places = append(g.Places, p)
			}
		}
		return
	}
	if len(f.Places) > maxPlaces {
		f.Places = f.Places[:maxPlaces]
	}
	f.Places = slices.Clone(f.Places)
	*r = append(*r, f)
}

func distance(value, limit float64) float64 {
	if value > limit {
		return value - limit
	}
	return limit - value
}

// Refuse adds a finding that is not OK.
func (r *Report) Refuse(rule, tool, detail string, value, limit float64, places ...orb.Point) {
	r.Add(Finding{Rule: rule, Tool: tool, Detail: detail, Value: value, Limit: limit, Places: places})
}

// Note adds a finding that informs and does not refuse.
func (r *Report) Note(rule, tool, detail string, value, limit float64, places ...orb.Point) {
	r.Add(Finding{Rule: rule, OK: true, Tool: tool, Detail: detail, Value: value, Limit: limit, Places: places})
}

// OK tells whether no finding refuses.
func (r Report) OK() bool {
	return !slices.ContainsFunc(r, func(f Finding) bool { return !f.OK })
}

// Err is nil when every finding is OK, else a [*CheckError] with those that
// are not.
func (r Report) Err() error {
	var bad Report
	for _, f := range r {
		if !f.OK {
			bad = append(bad, f)
		}
	}
	if bad == nil {
		return nil
	}
	return &CheckError{Findings: bad}
}

// CheckError says why a program must not be written.
type CheckError struct {
	Findings Report // none of them OK
}

// Error names the first finding and the count of the rest.
func (e *CheckError) Error() string {
	if len(e.Findings) == 0 {
		return "refused: no finding given"
	}
	f := e.Findings[0]
	var b strings.Builder
	fmt.Fprintf(&b, "refused by rule %s: %s", f.Rule, f.Detail)
	if f.Tool != "" {
		b.WriteString(" (" + f.Tool + ")")
	}
	if at := f.Source.String(); at != "" {
		b.WriteString(" at " + at)
	}
	if f.Count > 1 {
		fmt.Fprintf(&b, ", %d times", f.Count)
	}
	if len(f.Places) > 0 {
		fmt.Fprintf(&b, ", first at X%.3f Y%.3f", f.Places[0][0], f.Places[0][1])
	}
	if n := len(e.Findings); n > 1 {
		fmt.Fprintf(&b, " (and %d more findings)", n-1)
	}
	return b.String()
}

package stack

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"time"

	"example.org/pinstack/tooling"
)

// Bounds of a problem. They keep every sum of two below inside 64 bits: time in
// nanoseconds, money in billionths, path in micrometres.
const (
	maxLot     = 10_000_000
	maxSetUps  = 100
	maxWorks   = 1000            // in a set-up
	maxHits    = 100_000_000     // in a load
	maxChanges = 10_000          // in a load
	maxCut     = 1e8             // mm in a load
	maxPart    = 250 * time.Hour // one part of one work in a load
	maxLotNs   = int64(4e18)     // about 126 years
	maxMoney   = int64(4e18)     // 4e9 money
	maxFactor  = 1e6             // options in money or mm
)

// Validate returns nil or [tooling.InputErrors] with a path for each fault,
// such as "set_ups[0][3].hits"; the faults of rules and machine are listed
// under "rules" and "machine". Of the panel only thickness and laminate
// are looked at.
func (p Problem) Validate() error {
	var v tooling.Validation
	v.Count("lot", p.Lot, 1, maxLot)
	v.Within("panel.thickness_mm", p.Panel.Thickness, 0.05, 20, "mm")
	if p.Panel.Material == "" {
		v.Add("panel.material", tooling.ErrMissing, "nothing", "a material's name")
	}
	v.Within("panel.copper_um", p.Panel.Copper, 0, 1000, "um")
	v.Count("panel.layers", p.Panel.Layers, 0, 100)
	nested(&v, "rules", p.Rules.Validate())
	nested(&v, "machine", p.Machine.Validate())
	v.Count("set_ups", len(p.SetUps), 1, maxSetUps)
	crib := make(map[string]tooling.Tool)
	for s, works := range p.SetUps {
		path := fmt.Sprintf("set_ups[%d]", s)
		validateSetUp(&v, path, works)
		for i, w := range works {
			if t, ok := crib[w.Tool.ID]; ok && t != w.Tool {
				v.Add(fmt.Sprintf("%s[%d].tool", path, i), tooling.ErrConflict, "another tool named "+strconv.Quote(w.Tool.ID), "the same tool everywhere")
			}
			crib[w.Tool.ID] = w.Tool
		}
	}
	return v.Err()
}

// nested lists the errors of a part under the part's own path.
func nested(v *tooling.Validation, path string, err error) {
	var list tooling.InputErrors
	if !errors.As(err, &list) {
		return
	}
	for _, e := range list {
		c := *e
		c.Source.Path = path + "." + c.Source.Path
		v.Errs = append(v.Errs, &c)
	}
}

func validateSetUp(v *tooling.Validation, path string, works []Work) {
	v.Count(path, len(works), 1, maxWorks)
	type key struct {
		pass  string
		place int
	}
	seen := make(map[key]int, len(works))
	for i, w := range works {
		p := path + "[" + strconv.Itoa(i) + "]"
		w.validate(v, p)
		k := key{w.Pass, w.Place}
		first, ok := seen[k]
		if !ok {
			seen[k] = i
			continue
		}
		if f := works[first]; f.Tool != w.Tool || f.Infeed != w.Infeed || f.Operation != w.Operation {
			v.Add(p+".place", tooling.ErrConflict, fmt.Sprintf("T%d of pass %s with tool %s", w.Place, w.Pass, w.Tool.ID),
				fmt.Sprintf("tool, operation and infeed of [%d] at the same place, %s", first, f.Tool.ID))
		}
	}
}

func (w Work) validate(v *tooling.Validation, p string) {
	if err := (tooling.Crib{Tools: []tooling.Tool{w.Tool}}).Validate(); err != nil {
		var list tooling.InputErrors
		errors.As(err, &list)
		for _, e := range list {
			c := *e
			c.Source.Path = p + ".tool" + c.Source.Path[len("tools[0]"):]
			v.Errs = append(v.Errs, &c)
		}
	}
	v.Count(p+".hits", w.Hits, 0, maxHits)
	v.Within(p+".cut_mm", w.Cut, 0, maxCut, "mm")
	v.Count(p+".plunges", w.Plunges, 0, maxHits)
	v.Count(p+".changes", w.Changes, 0, maxChanges)
	v.Within(p+".tolerance_mm", w.Tolerance, 0, 100, "mm")
	v.Within(p+".after_mm", w.After, 0, 100, "mm")
	for _, d := range []struct {
		name string
		d    time.Duration
	}{{"travel", w.Travel}, {"trip", w.Trip}, {"fixed", w.Fixed}} {
		if d.d < 0 || d.d > maxPart {
			v.Add(p+"."+d.name, tooling.ErrValue, d.d.String(), "0 to "+maxPart.String())
		}
	}
	if w.Tool.Kind == tooling.Cutter && w.Hits > 0 {
		v.Add(p+".hits", tooling.ErrConflict, strconv.Itoa(w.Hits)+" hits of a cutter", "path only")
	}
	if w.Tool.Kind != tooling.Cutter && (w.Cut > 0 || w.Plunges > 0 || w.Fixed > 0) {
		v.Add(p+".cut_mm", tooling.ErrConflict, "path, plunges or rout time of a bit", "hits only")
	}
	v.Within(p+".infeed", w.Infeed, 0, 1, "")
	w.validatePieces(v, p)
}

// validatePieces wants pieces that add up to the work.
func (w Work) validatePieces(v *tooling.Validation, p string) {
	sum := 0.0
	for i, c := range w.Pieces {
		if !(c >= 0 && c <= maxCut) { // the path is only spelt out where it is wanted
			v.Within(p+".pieces["+strconv.Itoa(i)+"]", c, 0, maxCut, "hits or mm")
		}
		sum += c
	}
	whole := float64(w.Hits) + w.Cut
	if slack := 0.001 * float64(1+len(w.Pieces)); w.Pieces != nil && !(math.Abs(sum-whole) <= slack) {
		v.Add(p+".pieces", tooling.ErrConflict, fmt.Sprintf("pieces of %.3f hits or mm in all", sum), fmt.Sprintf("the whole work of %.3f", whole))
	}
}

// Validate returns nil or [tooling.InputErrors] with the field of each fault.
func (o Options) Validate() error {
	var v tooling.Validation
	switch o.Objective {
	case "", LeastCost, LeastTime:
	default:
		v.Add("objective", tooling.ErrValue, strconv.Quote(string(o.Objective)), "cost or time")
	}
	switch o.Mode {
	case "", Split, Spares:
	default:
		v.Add("mode", tooling.ErrValue, strconv.Quote(string(o.Mode)), "split or spares")
	}
	switch o.Policy {
	case "", Fresh, WholeLoads:
	case CarryOn:
		if o.Mode != Spares {
			v.Add("policy", tooling.ErrConflict, "carry-on without spares", "mode spares: only a control that counts can carry on")
		}
	default:
		v.Add("policy", tooling.ErrValue, strconv.Quote(string(o.Policy)), "fresh, whole-loads or carry-on")
	}
	v.Count("height", o.Height, 0, 50)
	v.Count("tiers", o.Tiers, 0, maxWorks)
	v.Within("hour_price", o.HourPrice, 0, maxFactor, "money/h")
	v.Within("second_pass_mm", o.SecondPass, 0, 10, "mm")
	for i, r := range o.Speeds {
		v.Within("speeds["+strconv.Itoa(i)+"]", r, 0.1, 1, "of the table's speed")
	}
	if len(o.Speeds) > 0 || o.Taylor != (tooling.Taylor{}) {
		nested(&v, "taylor", o.Taylor.Validate())
	}
	if o.Due < 0 {
		v.Add("due", tooling.ErrValue, o.Due.String(), "0 or more")
	}
	return v.Err()
}

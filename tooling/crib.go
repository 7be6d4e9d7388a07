package tooling

import (
	"cmp"
	"fmt"
	"slices"
)

// Crib is the tool store: what can be put into the magazine.
type Crib struct {
	Tools []Tool `json:"tools"`
}

// maxTools bounds a crib read from a file.
const maxTools = 10_000

// Validate returns nil or [InputErrors] with a JSON path for each fault:
// numbers out of range, unknown kinds, names given twice.
func (c Crib) Validate() error {
	var v Validation
	c.validate(&v, "")
	return v.Err()
}

func (c Crib) validate(v *Validation, prefix string) {
	v.Count(prefix+"tools", len(c.Tools), 1, maxTools)
	seen := make(map[string]int, len(c.Tools))
	for i, t := range c.Tools {
		path := index(prefix+"tools", i)
		t.validate(v, path)
		if first, ok := seen[t.ID]; ok {
			v.Add(path+".id", ErrDuplicate, quote(t.ID), fmt.Sprintf("a name not used by tools[%d]", first))
		}
		seen[t.ID] = i
	}
}

// Choose returns one tool of the crib for each size, in the order of the
// sizes: of the stock bits that leave the size within its tolerance, the one
// nearest to the drilled diameter that [Rules.Allowance] asks for. Of two
// equally near the larger wins for plated holes, the smaller for others; of
// equal diameters the earlier in the crib.
//
// Only bits are chosen; routed features choose cutters in package route.
//
// Where rules.ShareBits is set, a size may give up its nearest bit for one
// that another size of the same plating already uses, so long as the finished
// size stays within its tolerance less the process spread; press-fit holes
// never share, and a via, open below, may lose no more than it may gain.
// Places, when positive, is the number of tools the magazine holds.
//
// Errors are [InputErrors] wrapping [ErrValue] for sizes that are none, and
// [*InputError] wrapping [ErrNoTool] or [ErrPlaces]; the path names the size
// as "sizes[i]". Cost O(sizes x tools).
func (c Crib) Choose(sizes []Size, rules Rules, places int) ([]Tool, error) {
	var v Validation
	for i, s := range sizes {
		s.validate(&v, index("sizes", i))
	}
	if err := v.Err(); err != nil {
		return nil, err
	}
	out := make([]Tool, len(sizes))
	for i, s := range sizes {
		target := rules.Allowance.Target(s)
		t, ok := c.nearest(s, target, func(t Tool) bool { return fits(rules.Allowance, s, t) })
		if !ok {
			t, ok = c.nearest(s, target, func(Tool) bool { return true })
			return nil, noTool(i, s, target, t, ok)
		}
		out[i] = t
	}
	if rules.ShareBits {
		share(sizes, out, rules)
	}
	if n := distinct(out); places > 0 && n > places {
		return nil, &InputError{
			Source: Source{Path: "sizes"}, Found: fmt.Sprintf("%d tools", n),
			Expected: fmt.Sprintf("at most the %d places of the magazine", places), Err: ErrPlaces,
		}
	}
	return out, nil
}

func noTool(i int, s Size, target float64, t Tool, ok bool) error {
	found := "no bit at all"
	if ok {
		found = fmt.Sprintf("%s of %.3f mm as the nearest", t.ID, t.Diameter)
	}
	minus, plus := s.Tolerance()
	return &InputError{
		Source: Source{Path: index("sizes", i)}, Found: found,
		Expected: fmt.Sprintf("a bit near %.3f mm for %s %.3f mm (-%.3f +%.3f)", target, s.Basis, s.Diameter, minus, plus),
		Err:      ErrNoTool,
	}
}

// nearest returns the bit nearest to the target among those allowed.
func (c Crib) nearest(s Size, target float64, allowed func(Tool) bool) (Tool, bool) {
	best, found := Tool{}, false
	for _, t := range c.Tools {
		if t.Kind != Bit || !allowed(t) {
			continue
		}
		if !found || nearer(t.Diameter, best.Diameter, target, s.Plated) {
			best, found = t, true
		}
	}
	return best, found
}

func nearer(a, b, target float64, larger bool) bool {
	da, db := Nanometres(a-target), Nanometres(b-target)
	if da < 0 {
		da = -da
	}
	if db < 0 {
		db = -db
	}
	if da != db {
		return da < db
	}
	if larger {
		return a > b
	}
	return a < b
}

// fits tells whether bit t leaves size s inside its tolerance.
func fits(a Allowance, s Size, t Tool) bool {
	minus, plus := s.Tolerance()
	return inside(a, s, t, minus, plus)
}

// fitsShared is stricter: what the process spreads, in mm a side, is kept
// back, and the open lower end of a via counts as its upper one, or the vias
// of a board would all end on its smallest bit.
func fitsShared(a Allowance, s Size, t Tool, spread float64) bool {
	minus, plus := s.Tolerance()
	return inside(a, s, t, min(minus, max(plus, s.Minus))-spread, plus-spread)
}

func inside(a Allowance, s Size, t Tool, minus, plus float64) bool {
	got := Nanometres(a.Result(s, t.Diameter))
	return got >= Nanometres(s.Diameter-minus) && got <= Nanometres(s.Diameter+plus)
}

// share goes through the sizes from the smallest bit up. Each takes the bit
// nearest to its own among those kept for another size of the same plating
// that leave it within its tolerance; where there is none its own bit is
// kept too.
func share(sizes []Size, tools []Tool, rules Rules) {
	order := make([]int, len(sizes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(tools[a].Diameter, tools[b].Diameter)
	})
	var kept [2]Crib // bits of unplated and of plated sizes
	for _, i := range order {
		s := sizes[i]
		if s.Kind() == PressFit {
			continue
		}
		side := &kept[0]
		if s.Plated {
			side = &kept[1]
		}
		t, ok := side.nearest(s, tools[i].Diameter, func(t Tool) bool {
			return t.Diameter == tools[i].Diameter || fitsShared(rules.Allowance, s, t, rules.Spread)
		})
		if !ok {
			side.Tools = append(side.Tools, tools[i])
			continue
		}
		tools[i] = t
	}
}

func distinct(tools []Tool) int {
	seen := make(map[string]bool, len(tools))
	for _, t := range tools {
		seen[t.ID] = true
	}
	return len(seen)
}

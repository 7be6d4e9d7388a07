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
// sizes: the stock bit nearest to the drilled diameter that [Rules.Allowance]
// asks for. Of two equally near the larger wins for plated holes, the smaller
// for others; of equal diameters the earlier in the crib.
//
// Only bits are chosen; routed features choose cutters in package route. The
// finished diameter must come out within the size's tolerance.
//
// Where rules.ShareBits is set, a size may give up its nearest bit for one
// that another size of the same plating already uses, so long as the finished
// size stays within its tolerance less the process spread; press-fit holes
// never share. Places, when positive, is the number of tools the magazine
// holds.
//
// Errors are [*InputError] wrapping [ErrNoTool] or [ErrPlaces]; the path
// names the size as "sizes[i]". Cost O(sizes x tools).
func (c Crib) Choose(sizes []Size, rules Rules, places int) ([]Tool, error) {
	out := make([]Tool, len(sizes))
	for i, s := range sizes {
		t, ok := c.nearest(s, rules.Allowance.Target(s))
		if !ok || !fits(rules.Allowance, s, t, 0) {
			return nil, noTool(i, s, rules.Allowance.Target(s), t, ok)
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

func (c Crib) nearest(s Size, target float64) (Tool, bool) {
	best, found := Tool{}, false
	for _, t := range c.Tools {
		if t.Kind != Bit {
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

// fits tells whether bit t leaves size s inside its tolerance less spread mm
// a side.
func fits(a Allowance, s Size, t Tool, spread float64) bool {
	minus, plus := s.Tolerance()
	got := a.Result(s, t.Diameter)
	return Nanometres(got) >= Nanometres(s.Diameter-minus+spread) && Nanometres(got) <= Nanometres(s.Diameter+plus-spread)
}

// share goes through the sizes from the smallest bit up and lets each take the
// first bit already kept for another size of the same plating that leaves it
// within its tolerance; else its own bit is kept too.
func share(sizes []Size, tools []Tool, rules Rules) {
	order := make([]int, len(sizes))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(tools[a].Diameter, tools[b].Diameter)
	})
	type bit struct {
		tool   Tool
		plated bool
	}
	var kept []bit
	for _, i := range order {
		if sizes[i].Kind() == PressFit {
			continue
		}
		k := slices.IndexFunc(kept, func(b bit) bool {
			return b.plated == sizes[i].Plated && fits(rules.Allowance, sizes[i], b.tool, rules.Spread)
		})
		if k < 0 {
			kept = append(kept, bit{tools[i], sizes[i].Plated})
			continue
		}
		tools[i] = kept[k].tool
	}
}

func distinct(tools []Tool) int {
	seen := make(map[string]bool, len(tools))
	for _, t := range tools {
		seen[t.ID] = true
	}
	return len(seen)
}

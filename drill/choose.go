package drill

import (
	"cmp"
	"errors"
	"slices"

	"example.org/pinstack/tooling"
)

// Routed returns the indices of the holes that are routed, not drilled: round
// holes whose drilled diameter exceeds Rules.MaxDrill, and slots for whose
// width the crib has neither a slot bit nor a bit within tolerance. They
// belong to package route, in a rout pass of their own stage.
func (in Input) Routed() []int {
	var out []int
	wide := map[tooling.Size]bool{}
	for i, h := range in.Holes {
		routed := in.Rules.Allowance.Target(h.Size) > in.Rules.MaxDrill
		if h.IsSlot() && !routed {
			known := false
			if routed, known = wide[h.Size]; !known {
				_, err := in.slotTool(h.Size)
				routed = err != nil
				wide[h.Size] = routed
			}
		}
		if routed {
			out = append(out, i)
		}
	}
	return out
}

// slotTool chooses for a slot's width: a slot bit where one fits, else a bit.
func (in Input) slotTool(s tooling.Size) (tooling.Tool, error) {
	var slotBits tooling.Crib
	for _, t := range in.Crib.Tools {
		if t.Kind == tooling.SlotBit {
			t.Kind = tooling.Bit // Choose looks at bits only
			slotBits.Tools = append(slotBits.Tools, t)
		}
	}
	if got, err := slotBits.Choose([]tooling.Size{s}, in.Rules, 0); err == nil {
		got[0].Kind = tooling.SlotBit
		return got[0], nil
	}
	got, err := in.Crib.Choose([]tooling.Size{s}, in.Rules, 0)
	if err != nil {
		return tooling.Tool{}, err
	}
	return got[0], nil
}

// tools chooses a tool for every hole that is drilled, in the order of the
// holes; routed ones get the zero tool. Plated and unplated holes, and round
// ones and slots, are chosen for apart.
func (in Input) tools() ([]tooling.Tool, error) {
	out := make([]tooling.Tool, len(in.Holes))
	routed := make([]bool, len(in.Holes))
	for _, i := range in.Routed() {
		routed[i] = true
	}
	var sizes []tooling.Size
	first := map[tooling.Size]int{} // a hole of each round size, for messages
	slots := map[tooling.Size]tooling.Tool{}
	for i, h := range in.Holes {
		if routed[i] {
			continue
		}
		if h.IsSlot() {
			t, known := slots[h.Size]
			if !known {
				var err error
				if t, err = in.slotTool(h.Size); err != nil {
					return nil, in.fault(i, err, "", "")
				}
				slots[h.Size] = t
			}
			out[i] = t
			continue
		}
		if _, known := first[h.Size]; !known {
			first[h.Size] = i
			sizes = append(sizes, h.Size)
		}
	}
	slices.SortFunc(sizes, compareSizes)
	chosen, err := in.Crib.Choose(sizes, in.Rules, in.Machine.Places)
	if err != nil {
		return nil, in.chooseFault(err, sizes, first)
	}
	bits := make(map[tooling.Size]tooling.Tool, len(sizes))
	for i, s := range sizes {
		bits[s] = chosen[i]
	}
	for i, h := range in.Holes {
		if !routed[i] && !h.IsSlot() {
			out[i] = bits[h.Size]
		}
	}
	return out, nil
}

func compareSizes(a, b tooling.Size) int {
	plated := func(s tooling.Size) int {
		if s.Plated {
			return 0
		}
		return 1
	}
	return cmp.Or(
		cmp.Compare(plated(a), plated(b)), cmp.Compare(a.Diameter, b.Diameter), cmp.Compare(a.Basis, b.Basis),
		cmp.Compare(a.Class, b.Class), cmp.Compare(a.Minus, b.Minus), cmp.Compare(a.Plus, b.Plus),
	)
}

// chooseFault names the first hole of the size for which the crib had no bit.
func (in Input) chooseFault(err error, sizes []tooling.Size, first map[tooling.Size]int) error {
	var ie *tooling.InputError
	if !errors.As(err, &ie) || !errors.Is(err, tooling.ErrNoTool) {
		return err
	}
	for _, s := range sizes {
		if _, e := in.Crib.Choose([]tooling.Size{s}, in.Rules, 0); e != nil {
			i := first[s]
			return in.fault(i, tooling.ErrNoTool, ie.Found, ie.Expected)
		}
	}
	return err
}

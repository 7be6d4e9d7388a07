package main

import (
	"fmt"
	"slices"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// warn says what the counts of worn tools leave out: what tools that stay for several
// loads made in loads before the one that came to a halt, and what those of this rest
// make in its own first load before the next. A saved rest is of one load, and new
// tools for all spindles have made nothing.
func (r *result) warn(planned, rest stack.SetUp, s stop, runs []int) {
	kept := slices.DeleteFunc(slices.Clone(runs), func(run int) bool {
		share, _ := planned.Share(s.pass, run)
		return run < s.run || share.Keep < 2 && planned.Policy != stack.CarryOn
	})
	if len(kept) > 0 && planned.Loads > 1 && !s.fresh && r.Rest == 1 {
		r.Kept = append(r.Kept, fmt.Sprintf("tools of %s stay for several loads, and what they made in loads before this one is not counted here: "+
			"after a stop in load 2 or later give all spindles new tools and say -fresh", tooling.Numbers("run", "", kept)))
	}
	if rest.Loads > 1 {
		r.Kept = append(r.Kept, fmt.Sprintf("the rest takes %d loads, and its tools are counted for one: have new ones ready for each", rest.Loads))
	}
}

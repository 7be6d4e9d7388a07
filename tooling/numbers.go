package tooling

import (
	"fmt"
	"slices"
	"strings"
)

// NoFeedsText is what the opening message of a program without feeds and
// speeds says.
const NoFeedsText = "no feeds and speeds in this program: set them from the sheet"

// Numbers names a list of numbers for an operator, runs of them as from and
// to: "tools T1 to T4, T9" for the noun "tool" and the mark "T". Order and
// repetitions do not count; an empty list is "no tool".
func Numbers(noun, mark string, list []int) string {
	list = slices.Clone(list)
	slices.Sort(list)
	list = slices.Compact(list)
	switch len(list) {
	case 0:
		return "no " + noun
	case 1:
		return fmt.Sprintf("%s %s%d", noun, mark, list[0])
	}
	var parts []string
	for i := 0; i < len(list); {
		k := i
		for k+1 < len(list) && list[k+1] == list[k]+1 {
			k++
		}
		switch {
		case k > i+1 || k == i+1 && len(list) == 2:
			parts = append(parts, fmt.Sprintf("%s%d to %s%d", mark, list[i], mark, list[k]))
		default:
			for _, n := range list[i : k+1] {
				parts = append(parts, fmt.Sprintf("%s%d", mark, n))
			}
		}
		i = k + 1
	}
	return noun + "s " + strings.Join(parts, ", ")
}

package tooling

import (
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"
)

// AllSpindles is the message at which parked spindles are taken back into use.
const AllSpindles = "STOP: take all spindles of the load into use again"

// TakeOutWaste is the message after a path that frees waste.
const TakeOutWaste = "STOP: spindles off, take the waste that has come loose out of every stack"

// ParkAllBut is the message before what only some spindles make, from 1.
func ParkAllBut(spindles []int) string {
	names := make([]string, len(spindles))
	for i, n := range spindles {
		names[i] = fmt.Sprint(n)
	}
	return "STOP: park all spindles but " + strings.Join(names, " and ")
}

// CheckSpindles tells what is wrong with a list of spindles of which so many are in
// use, counted from 1; both texts are empty where nothing is.
func CheckSpindles(spindles []int, use int) (found, expected string) {
	for i, n := range spindles {
		if n < 1 || n > use {
			return fmt.Sprintf("spindle %d", n), fmt.Sprintf("1 to %d, those in use", use)
		}
		if slices.Contains(spindles[:i], n) {
			return fmt.Sprintf("spindle %d twice", n), "each spindle once"
		}
	}
	return "", ""
}

// CheckArea tells what a box in mm should have been; empty where nothing is wrong.
func CheckArea(b orb.Bound) (expected string) {
	for _, x := range [4]float64{b.Min[0], b.Min[1], b.Max[0], b.Max[1]} {
		if !InRange(x) {
			return "finite lengths within 10 m"
		}
	}
	if b.Min[0] > b.Max[0] || b.Min[1] > b.Max[1] {
		return "the lower left corner first"
	}
	return ""
}

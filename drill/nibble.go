package drill

import (
	"math"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling"
)

// Pitch returns the largest hit pitch in mm at which a bit of diameter d mm
// leaves bumps of at most h mm along a slot: two hits p apart leave a scallop
// h = (d - sqrt(d^2 - p^2))/2, so p = 2 sqrt(h (d - h)) (plane geometry). It
// is d for h >= d/2 and 0 for h <= 0.
func Pitch(d, h float64) float64 {
	switch {
	case h <= 0:
		return 0
	case h >= d/2:
		return d
	}
	return 2 * math.Sqrt(float64(h*(d-h)))
}

// Nibble returns the hits that make a slot of width d mm between the centres
// a and b with bumps of at most h mm, in the order they are made: both ends
// and the places a diameter apart first, so that the bit is loaded evenly,
// then the middle of every gap, level by level, until no gap is wider than
// [Pitch]. The last level sweeps from a to b, so that the bit leaves within a
// pitch of b. A slot without length is one hit.
//
// The first hit is at a. Places are snapped to 1 um, the grid programs are
// written on. A slot without length, or with ends or a width that are no
// lengths, is one hit at a; there are never more than a million gaps.
func Nibble(a, b orb.Point, d, h float64) []orb.Point {
	if l := (Hole{At: a, To: b}).Length(); !(l > 0 && l <= 3*tooling.MaxLength && d > 0) {
		return []orb.Point{a}
	}
	a, b = snapMicro(a), snapMicro(b)
	l := Hole{At: a, To: b}.Length()
	if l == 0 {
		return []orb.Point{a}
	}
	pitch := Pitch(d, h)
	gaps := max(1, int(min(l/d, maxGaps)))
	levels := 0
	for l/float64(gaps<<levels) > pitch && gaps<<(levels+1) <= maxGaps {
		levels++
	}
	whole := gaps << levels
	at := func(k int) orb.Point {
		if k == whole {
			return b
		}
		t := float64(k) / float64(whole)
		return orb.Point{onGrid(a[0] + float64((b[0]-a[0])*t)), onGrid(a[1] + float64((b[1]-a[1])*t))}
	}
	out := make([]orb.Point, 0, whole+1)
	out = append(out, a, b)
	for k := gaps - 1; k > 0; k-- { // from b back to a
		out = append(out, at(k<<levels))
	}
	for level := 1; level <= levels; level++ {
		step := 1 << (levels - level)
		if (levels-level)%2 == 0 { // the last level runs from a to b, the one before back, and so on
			for k := step; k < whole; k += 2 * step {
				out = append(out, at(k))
			}
		} else {
			for k := whole - step; k > 0; k -= 2 * step {
				out = append(out, at(k))
			}
		}
	}
	if levels == 0 && gaps > 1 {
		// nothing to halve: leave at b by going there last
		out = append(out[:1], append(reversed(out[2:]), b)...)
	}
	return out
}

// maxGaps bounds the halving: no slot that can be drilled comes near it.
const maxGaps = 1 << 20

func reversed(ps []orb.Point) []orb.Point {
	out := make([]orb.Point, len(ps))
	for i, p := range ps {
		out[len(ps)-1-i] = p
	}
	return out
}

func onGrid(mm float64) float64 { return float64(roundMicro(mm)) / 1000 }

// slotPilots returns the two pilot hits of a short slot, whose finishing hits
// would lean into one another: holes of diameter p side by side inside it,
// touching its round ends, 0.1 mm apart; p is (L + D)/2 - 0.1 or the next
// smaller bit (from memory).
func slotPilots(s Hole, d, p float64) [2]orb.Point {
	l := s.Length()
	ux, uy := (s.To[0]-s.At[0])/l, (s.To[1]-s.At[1])/l
	in := (d - p) / 2 // from a slot centre outwards to the pilot's centre
	return [2]orb.Point{
		{onGrid(s.At[0] - float64(ux*in)), onGrid(s.At[1] - float64(uy*in))},
		{onGrid(s.To[0] + float64(ux*in)), onGrid(s.To[1] + float64(uy*in))},
	}
}

// shortSlotPilot is the diameter in mm wanted for the pilots of a short slot.
func shortSlotPilot(s Hole, d float64) float64 {
	return tooling.Snap((s.Length()+d)/2 - 0.1)
}

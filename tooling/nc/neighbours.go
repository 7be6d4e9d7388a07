package nc

import (
	"cmp"
	"slices"
)

// judgedHits bounds the hits whose neighbours are looked at.
const judgedHits = 1000

// usualPitches are distances of neighbouring holes in nanometres: connector,
// header and package pitches in common use.
var usualPitches = [...]int64{
	400_000, 500_000, 635_000, 650_000, 800_000, 1_000_000, 1_270_000, 1_500_000, 2_000_000,
	2_500_000, 2_540_000, 3_500_000, 3_810_000, 5_000_000, 5_080_000, 7_620_000,
}

// neighbours returns the share of hits whose nearest other hit lies a usual
// pitch away, within 5 um, and the share that overlaps another hole. Hits on
// the same spot are left out. O(n^2) at worst for at most judgedHits hits.
func neighbours(hits []judgedHit) (onGrid, overlap float64) {
	slices.SortFunc(hits, func(a, b judgedHit) int {
		return cmp.Or(cmp.Compare(a.x, b.x), cmp.Compare(a.y, b.y), cmp.Compare(a.d, b.d))
	})
	hits = slices.CompactFunc(hits, func(a, b judgedHit) bool { return a.x == b.x && a.y == b.y })
	if len(hits) < 2 {
		return 0, 0
	}
	var widest int64
	for _, h := range hits {
		widest = max(widest, h.d)
	}
	grid, over := 0, 0
	for i := range hits {
		near, touch := -1.0, false // mm2
		for _, step := range [2]int{1, -1} {
			for j := i + step; j >= 0 && j < len(hits); j += step {
				reach := max(hits[j].x-hits[i].x, hits[i].x-hits[j].x)
				dx, dy := millimetres(reach), millimetres(hits[j].y-hits[i].y)
				if near >= 0 && float64(dx*dx) > near && reach > widest {
					break
				}
				d2 := float64(dx*dx) + float64(dy*dy)
				if near < 0 || d2 < near {
					near = d2
				}
				sum := millimetres(hits[i].d+hits[j].d) / 2
				touch = touch || d2 < float64(sum*sum)
			}
		}
		for _, p := range usualPitches {
			lo, hi := millimetres(p-5000), millimetres(p+5000)
			if near >= float64(lo*lo) && near <= float64(hi*hi) {
				grid++
				break
			}
		}
		if touch {
			over++
		}
	}
	return float64(grid) / float64(len(hits)), float64(over) / float64(len(hits))
}

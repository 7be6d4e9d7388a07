package drill

import (
	"fmt"
	"math"
	"slices"

	"example.org/pinstack/tooling"
)

// lastPlace is the largest tool number in use in the pass or its set-up.
func lastPlace(p Pass) int {
	last := p.SetUp.LastPlace()
	for _, r := range p.Runs {
		for _, b := range r.Bits {
			last = max(last, b.Place)
		}
	}
	return last
}

// deal cuts a run anew among the bits that were left at hit number last: the
// one at work first, replaced where it broke, then those planned, then as many
// more as are needed.
func (j *resumer) deal(r *Run, was Run, last int) error {
	k := 0
	for k < len(was.Bits)-1 && was.Bits[k].First+was.Bits[k].Hits <= last {
		k++
	}
	b := was.Bits[k]
	worn := 0
	if j.at.Run == was.Number && !j.at.Fresh && j.at.some(j.from) {
		made := max(0, last-b.First)
		worn = max(made, b.Worn+max(0, last-max(b.First, was.Again)))
	}
	var places []int
	for _, b := range was.Bits[k:] {
		places = append(places, b.Place)
	}
	n := len(r.Hits)
	r.Bits, r.Limit = nil, 0 // a rest selects every bit by its own T
	if n == 0 {
		return nil
	}
	life := int(min(math.Floor(r.Life), math.MaxInt32))
	first := min(life, life-worn+r.Again)
	starts := j.cut(r.Hits, life, first)
	if starts == nil { // the bit at work has not enough left for anything
		places, worn = places[1:], 0
		starts = j.cut(r.Hits, life, life)
	}
	if starts == nil {
		return j.fault(ErrSetUp, fmt.Sprintf("bits of %d hits for run %d", life, r.Number), "bits that last a whole slot")
	}
	for len(places) < len(starts) {
		places = append(places, j.next)
		j.next++
	}
	for i, from := range starts {
		to := n
		if i+1 < len(starts) {
			to = starts[i+1]
		}
		r.Bits = append(r.Bits, Bit{Place: places[i], First: from, Hits: to - from})
	}
	r.Bits[0].Worn = worn
	return nil
}

// cut divides hits among as few bits as possible, the first of which has only
// so many left; nil where no number of bits does.
func (j *resumer) cut(hits []Hit, life, first int) []int {
	if first < 1 || life < 1 {
		return nil
	}
	for k := 1 + max(0, len(hits)-first+life-1)/life; k <= min(len(hits), j.in.Machine.Places); k++ {
		if starts := cutWorn(hits, k, life, first, j.in.Machine.Travel(), j.in.Machine.ChangeAt); starts != nil {
			return starts
		}
	}
	return nil
}

// wornBefore is how many hits more than the program's the bit in a place will
// have made on the spindles that kept theirs.
func (r Run) wornBefore(place int) int {
	k := slices.IndexFunc(r.Bits, func(b Bit) bool { return b.Place == place })
	if k < 0 {
		return 0
	}
	b := r.Bits[k]
	parked := min(max(0, r.Again-b.First), b.Hits) // made without them
	return max(0, b.Worn-parked)
}

// feed is how a run is made on the machine of the rest: as mounted, or slower
// at the same chip load where its spindles do not reach the speed.
func (j *resumer) feed(r Run) (tooling.Feed, error) {
	m := j.in.Machine
	f, ok := r.Feed.Lowered(m.Speeds())
	if !ok {
		return f, j.fault(ErrSetUp, fmt.Sprintf("run %d at %.0f rev/min", r.Number, f.Speed), fmt.Sprintf("at least the machine's %.0f rev/min", m.MinSpeed))
	}
	return f, nil
}

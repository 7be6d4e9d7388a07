package route

import (
	"fmt"
)

// lastPlace is the largest tool number in use in the pass or its set-up.
func lastPlace(p Pass) int {
	last := p.SetUp.LastPlace()
	for _, r := range p.Runs {
		for _, c := range r.Cutters {
			last = max(last, c.Place)
		}
	}
	return last
}

// lengthOf is the length in mm of paths, each to the micrometre.
func lengthOf(paths []Path) float64 {
	sum := 0.0
	for _, p := range paths {
		sum += micro(p.Length())
	}
	return micro(sum)
}

// deal divides a run anew among the cutters that were left after path number
// last: the one at work first, replaced where it broke, then those planned,
// then as many more as are needed.
func (j *resumer) deal(r *Run, was Run, last int) error {
	k := 0
	for k < len(was.Cutters)-1 && was.Cutters[k].First+was.Cutters[k].Paths <= last {
		k++
	}
	worn := 0.0
	if b := was.Cutters[k]; j.at.Run == was.Number && !j.at.Fresh && j.at.some(j.from) {
		end := min(max(last, b.First)+1, b.First+b.Paths) // the path that was being cut is worn off whole
		made, kept := was.Paths[b.First:end], was.Paths[min(max(b.First, was.Again), end):end]
		worn = micro(max(lengthOf(made), b.Worn+lengthOf(kept)))
	}
	var places []int
	for _, c := range was.Cutters[k:] {
		places = append(places, c.Place)
	}
	first := min(r.Life, r.Life-worn+lengthOf(r.Paths[:r.Again]))
	travel, change := j.in.Machine.Travel(), j.in.Machine.ChangeAt
	starts := divideWorn(r.Paths, j.in.Machine.Places, r.Life, first, travel, change)
	if starts == nil { // the cutter at work has not enough left for anything
		places, worn = places[1:], 0
		starts = divide(r.Paths, j.in.Machine.Places, r.Life, travel, change)
	}
	if starts == nil {
		return j.fault(ErrSetUp, fmt.Sprintf("cutters of %.0f mm for run %d", r.Life, r.Number), "cutters that last a whole path, and a place for each")
	}
	for len(places) < len(starts) {
		places = append(places, j.next)
		j.next++
	}
	if at, ok := r.seat(starts, places, j.out.Around, j.in.Machine, j.out.Panel); !ok {
		return j.fault(ErrObstacle, fmt.Sprintf("no way between X%.3f Y%.3f and the change position", at[0], at[1]), "room for the foot between the keep-outs")
	}
	r.Cutters[0].Worn = worn
	return nil
}

// wornBefore is how many mm more than the program's the cutter in a place will
// have cut on the spindles that kept theirs.
func (r *Run) wornBefore(place int) float64 {
	for _, c := range r.Cutters {
		if c.Place == place {
			end := min(max(c.First, r.Again), c.First+c.Paths)
			return max(0, c.Worn-lengthOf(r.Paths[c.First:end]))
		}
	}
	return 0
}

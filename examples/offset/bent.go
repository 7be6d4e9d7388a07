package main

// mostBent is how much longer than its chord a gap may be: round a corner or over a
// notch it would leave more of the edge uncut than a tab is worth.
const mostBent = 1.1

// bent finds a gap near a place between lo and hi, bent or not.
func (s *spreader) bent(near, lo, hi float64, thick bool) (gap, bool) {
	const looks = 128
	// No further than its share where as many gaps as the loop has room for stood evenly.
	most := max(1, int(s.total/(s.width+leastCut)))
	reach := min(s.total/2, s.total/float64(most))
	for k := range looks {
		m := near + reach*float64(k/2)/looks*float64(1-k%2*2)
		if g, ok := s.around(m); ok && g.from >= lo && g.to <= hi && (!thick || s.thick(g)) && s.keeps(g) {
			return g, true
		}
	}
	return gap{}, false
}

// around is the gap about a place whose ends are the width apart as the crow flies,
// since that is what is left between the swept ends.
func (s *spreader) around(m float64) (gap, bool) {
	across := func(half float64) float64 { return apart(s.at(m-half), s.at(m+half)) }
	lo, hi := s.width/2*(1-1e-12), s.width/2
	for across(hi) < s.width {
		if hi *= 1.01; hi > s.total/2 || hi > mostBent*s.width/2 {
			return gap{}, false
		}
	}
	for range 60 {
		if mid := (lo + hi) / 2; across(mid) < s.width {
			lo = mid
		} else {
			hi = mid
		}
	}
	return gap{m - hi, m + hi}, true
}

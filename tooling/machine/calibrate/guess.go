package calibrate

// guess reads a start off the log: the speeds that long moves reached on the
// average, which is less than the axis' own (from above the search would find
// no slope), and the accelerations of short ones without any settle; medians of changes and loads.
func (p *problem) guess() values {
	v := of(p.base)
	var fast, quick [2][]float64
	var deep, changes, loads []float64
	for _, s := range p.samples {
		if s.changes > 0 && len(s.hops) == 0 && s.loads == 0 {
			changes = append(changes, s.seconds/s.changes)
		}
		if s.loads > 0 && len(s.hops) == 0 && s.changes == 0 {
			loads = append(loads, s.seconds/s.loads)
		}
		if len(s.hops) != 1 {
			continue
		}
		h := s.hops[0]
		if h.Depth > 0 {
			deep = append(deep, 2*h.Depth*float64(max(h.Count, 1))/s.seconds)
			continue
		}
		axis, d := 0, abs(h.DX)
		if abs(h.DY) > d {
			axis, d = 1, abs(h.DY)
		}
		t := s.seconds / float64(max(h.Count, 1))
		if d > 0 {
			fast[axis] = append(fast[axis], d/t)
			quick[axis] = append(quick[axis], 4*d/(t*t))
		}
	}
	for axis, k := range [2]int{xSpeed, ySpeed} {
		if len(fast[axis]) > 0 {
			v[k] = bounded(k, quantile(fast[axis], 0.9))
			v[k+1] = bounded(k+1, quantile(quick[axis], 0.75))
			v[k+2] = 100 * v[k+1]
		}
	}
	if len(deep) > 0 {
		v[zSpeed] = bounded(zSpeed, quantile(deep, 0.9))
	}
	if len(changes) > 0 {
		v[change] = median(changes)
	}
	if len(loads) > 0 {
		v[load] = median(loads)
	}
	return v
}

// bounded keeps a start finite, far outside of what is plausible.
func bounded(k int, x float64) float64 { return min(max(x, traits[k].lo/1000), traits[k].hi*1000) }

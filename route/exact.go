package route

// exact is dynamic programming over subsets (R. Bellman, Dynamic programming
// treatment of the travelling salesman problem, J. ACM 9(1), 1962), with the
// entry of the last visit in the state.
func (o *orderer) exact() sequence {
	n := len(o.visits)
	s := sequence{entry: make([]int, n)}
	if n == 0 {
		return s
	}
	first := o.first
	nodes := first[n]
	need := make([]uint32, n)
	for a := range n {
		for b := range n {
			if o.before[a][b] {
				need[b] |= 1 << a
			}
		}
	}
	cost := make([]int64, nodes<<n)
	from := make([]int32, nodes<<n)
	for i := range cost {
		cost[i] = unreached
	}
	for i, v := range o.visits {
		if need[i] != 0 {
			continue
		}
		for e := range v.ends {
			at := (1<<i)*nodes + first[i] + e
			cost[at], from[at] = o.leg(-1, 0, i, e), -1
		}
	}
	for set := 1; set < 1<<n; set++ {
		for i := range n {
			for e := range o.visits[i].ends {
				c := cost[set*nodes+first[i]+e]
				if c >= unreached {
					continue
				}
				for j := range n {
					if set&(1<<j) != 0 || need[j]&^uint32(set) != 0 {
						continue
					}
					for f := range o.visits[j].ends {
						o.tried++
						at := (set|1<<j)*nodes + first[j] + f
						if d := c + o.leg(i, e, j, f); d < cost[at] {
							cost[at], from[at] = d, int32(first[i]+e)
						}
					}
				}
			}
		}
	}
	owner := func(node int) int {
		i := 0
		for first[i+1] <= node {
			i++
		}
		return i
	}
	full := 1<<n - 1
	s.cost = unreached
	last := 0
	for i := range n {
		for e := range o.visits[i].ends {
			if d := cost[full*nodes+first[i]+e] + o.leg(i, e, -1, 0); d < s.cost {
				s.cost, last = d, first[i]+e
			}
		}
	}
	s.order = make([]int, n)
	for k, set := n-1, full; k >= 0; k-- {
		i := owner(last)
		s.order[k], s.entry[i] = i, last-first[i]
		last, set = int(from[set*nodes+last]), set&^(1<<i)
	}
	return s
}

package drill

import (
	"fmt"
	"slices"

	"github.com/paulmach/orb"

	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// counted lists the first hit of each bit where the control changes after
// limit hits and the first bit has made worn of them already; nil for a limit
// that is none. A run without hits has one bit.
func counted(hits, limit, worn int) []int {
	if limit < 1 || worn < 0 || worn >= limit {
		return nil
	}
	out := []int{0}
	for at := limit - worn; at < hits; at += limit {
		out = append(out, at)
	}
	return out
}

// limit is the hit limit of at most life, for at most k bits, whose changes
// cost the least time in a load; of equal ones the lowest, which deals the
// hits out most evenly. 0 where k bits do not reach.
func limit(hits []Hit, k, life int, travel machine.Travel, change orb.Point) int {
	n := len(hits)
	if k < 1 || life < 1 {
		return 0
	}
	trips := trips(hits, travel, change)
	best, cost := 0, int64(0)
	for l := max(1, (n+k-1)/k); l <= min(life, max(n, 1)); l++ {
		sum := int64(0)
		for at := l; at < n; at += l {
			sum += trips[at]
		}
		if best == 0 || sum < cost {
			best, cost = l, sum
		}
	}
	return best
}

// Load returns the mounted pass as load n of its set-up runs it, from 1: the
// program is the same in all of them, but bits that stay carry their wear into
// it ([Bit.Worn]), and one that is carried on to the end of its life is changed
// at another hit. Load(1) is the pass itself. The error is [ErrUnmounted], or
// wraps [ErrSetUp] for a load that the set-up does not have.
func (p Pass) Load(n int) (Pass, error) {
	if !p.Mounted() {
		return Pass{}, ErrUnmounted
	}
	if n < 1 || n > max(1, p.SetUp.Loads) || p.Rest != nil && n > 1 {
		return Pass{}, fmt.Errorf("%w: load %d, set-up %d has %d", ErrSetUp, n, p.SetUp.Number, p.SetUp.Loads)
	}
	out := p
	out.Runs = slices.Clone(p.Runs)
	for i := range out.Runs {
		r := &out.Runs[i]
		if len(r.Bits) == 0 || n == 1 {
			continue
		}
		share, _ := p.SetUp.Share(p.Name, r.Number)
		first := r.Bits[0].Place
		switch {
		case r.carried(p.SetUp):
			worn := int(int64(n-1) * int64(len(r.Hits)) % int64(r.Limit))
			r.Bits = bitsAt(counted(len(r.Hits), r.Limit, worn), len(r.Hits), first)
			r.Bits[0].Worn = worn
		case share.Keep > 1:
			r.Bits = slices.Clone(r.Bits)
			r.Bits[0].Worn = (n - 1) % share.Keep * len(r.Hits)
		}
	}
	return out, nil
}

// selected lists the bits of the run that the program selects by their T: the
// first alone, with all hits, where the control takes the others by itself.
func (r Run) selected() []Bit {
	if r.Limit == 0 || len(r.Bits) == 0 {
		return r.Bits
	}
	return []Bit{{Place: r.Bits[0].Place, Hits: len(r.Hits)}}
}

// places lists the places that the run's bits stand in: with a hit limit those
// that any load may need.
func (p Pass) places(r Run) []int {
	var out []int
	for _, b := range r.Bits {
		out = append(out, b.Place)
	}
	if share, ok := p.SetUp.Share(p.Name, r.Number); ok && r.Limit > 0 && len(out) > 0 {
		for len(out) < share.PerLoad {
			out = append(out, out[len(out)-1]+1)
		}
	}
	return out
}

// sparesText says in a program what the control does at the hit limit.
func (p Pass) sparesText(r Run) string {
	s := fmt.Sprintf(", hit limit %d", r.Limit)
	places := p.places(r)
	switch n := len(places); {
	case n == 2:
		s += fmt.Sprintf(", then the spare in T%d", places[1])
	case n > 2:
		s += fmt.Sprintf(", then the spares in T%d to T%d", places[1], places[n-1])
	}
	if r.carried(p.SetUp) {
		s += ", counted on from load to load"
	}
	return s
}

// tierText names the tier of the pass; empty where it is not cut into tiers.
func (p Pass) tierText() string {
	if p.SetUp.Tiers < 2 {
		return ""
	}
	return fmt.Sprintf(" tier %d of %d", p.SetUp.Tier, p.SetUp.Tiers)
}

// carried tells whether the run's bits stay until their hit limit.
func (r Run) carried(s stack.SetUp) bool { return r.Limit > 0 && s.Policy == stack.CarryOn }

// Lot returns the machine time of all loads of a mounted pass by cause,
// without loading: the loads of the set-up times [Pass.Estimate], and where
// bits are carried on the changes that fall into other loads. What single
// tools did is left out. The error is [ErrUnmounted]. Cost O(hits).
func (p Pass) Lot(m machine.Machine) (machine.Estimate, error) {
	one, err := p.Estimate(m)
	if err != nil {
		return one, err
	}
	loads := int64(max(1, p.SetUp.Loads))
	out := one.Times(loads)
	floor := out.Floor
	out.Floor = 0
	for _, r := range p.Runs {
		if !r.carried(p.SetUp) {
			continue
		}
		first := r.changes(1) // what Estimate counted, in every load
		for at, n := range r.changes(loads) {
			if n -= first[at] * loads; n != 0 {
				d := p.detour(m, r, at).Times(n)
				floor += d.Change // the bound of travel holds for every way through the hits
				out = out.Add(d)
			}
		}
	}
	if one.Floor > 0 {
		out.Floor = floor
	}
	return out, nil
}

// detour is what a change of the bit before a hit of a run adds to a load.
func (p Pass) detour(m machine.Machine, r Run, at int) machine.Estimate {
	from, to := machine.Step{Kind: machine.Move, To: p.place(r.Hits[at-1].At)}, machine.Step{Kind: machine.Move, To: p.place(r.Hits[at].At)}
	direct := m.Time(slices.Values([]machine.Step{from, to}))
	via := m.Time(slices.Values([]machine.Step{from, {Kind: machine.Change, To: m.ChangeAt}, to}))
	return via.Add(direct.Times(-1))
}

// changes counts, for every hit of the run, in how many of the loads a bit is
// changed before it. The first hit follows the change of the run and never
// counts.
func (r Run) changes(loads int64) []int64 {
	n, limit := int64(len(r.Hits)), int64(r.Limit)
	out := make([]int64, n)
	if n == 0 {
		return out
	}
	// The k-th change comes before hit k limit of all loads together; from one
	// change at a hit to the next at the same one are n / gcd(n, limit) changes.
	most := (n*loads - 1) / limit
	period := n / gcd(n, limit)
	for k := int64(1); k <= min(most, period); k++ {
		at := k * limit % n
		if at > 0 {
			out[at] += (most-k)/period + 1
		}
	}
	return out
}

// countedChanges tells of every hit of the pass in order whether the control
// changes the bit before it in any load.
func (p Pass) countedChanges() []bool {
	var out []bool
	for _, r := range p.Runs {
		at := make([]bool, len(r.Hits))
		if r.carried(p.SetUp) {
			for k, n := range r.changes(int64(max(1, p.SetUp.Loads))) {
				at[k] = n > 0
			}
		} else if r.Limit > 0 {
			for _, b := range r.Bits {
				at[b.First] = at[b.First] || b.First > 0
			}
		}
		out = append(out, at...)
	}
	return out
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

package drill

import (
	"fmt"
	"math"
	"slices"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/stack"
)

// Mount returns the pass as it will run in a set-up: each run gets its depth,
// feeds and life from the set-up, and where it outlives its bit it is cut
// among further bits where the extra trips cost least. Tool numbers count
// through all passes of the set-up, so that one magazine holds them.
//
// The pass itself is not changed. Errors wrap [ErrSetUp]: a set-up that does
// not know a run or has another tool for it, too few bits, more tools than the
// machine has places.
func (p Pass) Mount(s stack.SetUp, m machine.Machine) (Pass, error) {
	if p.Rest != nil {
		return Pass{}, fmt.Errorf("%w: pass %s is the rest after a stop and mounted already", ErrSetUp, p.Name)
	}
	if s.Height < 1 {
		return Pass{}, fmt.Errorf("%w: height %d", ErrSetUp, s.Height)
	}
	out := p
	out.SetUp = s
	out.SetUp.Tools = slices.Clone(s.Tools)
	out.Runs = slices.Clone(p.Runs)
	for i := range out.Runs {
		if err := out.Runs[i].mount(p.Name, s, m); err != nil {
			return Pass{}, err
		}
	}
	return out, nil
}

func (r *Run) mount(pass string, s stack.SetUp, m machine.Machine) error {
	share, ok := s.Share(pass, r.Number)
	if !ok {
		return fmt.Errorf("%w: set-up %d has no share for pass %s run %d", ErrSetUp, s.Number, pass, r.Number)
	}
	if share.Tool != r.Tool {
		return fmt.Errorf("%w: set-up %d has tool %s for pass %s run %d, which is planned with %s", ErrSetUp, s.Number, share.Tool.ID, pass, r.Number, r.Tool.ID)
	}
	place := s.FirstPlace(pass, r.Number)
	r.Feed, r.Depth, r.Life = share.Feed, share.Depth, share.Life
	if r.Slow {
		r.Feed = halved(r.Feed)
	}
	life := int(min(math.Floor(r.Life), math.MaxInt32))
	starts := cutRun(r.Hits, share.PerLoad, life, m.Travel(), m.ChangeAt)
	if starts == nil {
		return fmt.Errorf("%w: %d bits of %d hits do not make the %d hits of pass %s run %d", ErrSetUp, share.PerLoad, life, len(r.Hits), pass, r.Number)
	}
	if last := place + len(starts) - 1; last > m.Places {
		return fmt.Errorf("%w: tool T%d of pass %s run %d, the magazine has %d places", ErrSetUp, last, pass, r.Number, m.Places)
	}
	r.Bits = make([]Bit, len(starts))
	for k, first := range starts {
		end := len(r.Hits)
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		r.Bits[k] = Bit{Place: place + k, First: first, Hits: end - first}
	}
	return nil
}

// slowShare is the share of the infeed at which short slots are made.
const slowShare = 0.5

// halved is the feed of short slots: half the infeed at the same speed.
func halved(f tooling.Feed) tooling.Feed {
	f.Infeed = max(1, math.Floor(f.Infeed*slowShare))
	f.ChipLoad = tooling.Snap(f.Infeed / f.Speed)
	return f
}

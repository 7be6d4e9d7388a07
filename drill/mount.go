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
// A set-up that is one of several tiers takes the runs it has a share of, and
// no others: mount the pass in each tier of the set-up and every run is made
// once.
//
// In bit mode spares a run is one tool number with a hit limit ([Run.Limit])
// and its bits are those of the first load, see [Pass.Load]. Where bits are
// carried on the limit is their life; else it is the one at which a load's
// changes cost least. Runs of slots are cut as in mode split, since a control
// that counts hits could change the bit within a slot.
//
// The pass itself is not changed. Errors wrap [ErrSetUp]: a set-up that does
// not know a run or has another tool for it, too few bits, more tools than the
// machine has places, a tier without a run of the pass.
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
	if s.Tiers > 1 {
		out.Runs = slices.DeleteFunc(out.Runs, func(r Run) bool {
			_, ok := s.Share(p.Name, r.Number)
			return !ok
		})
		if len(out.Runs) == 0 {
			return Pass{}, fmt.Errorf("%w: set-up %d, tier %d of %d, has no run of pass %s", ErrSetUp, s.Number, s.Tier, s.Tiers, p.Name)
		}
	}
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
	r.Feed, r.Depth, r.Life, r.Limit = share.Feed, share.Depth, share.Life, 0
	if r.Slow {
		r.Feed = halved(r.Feed)
	}
	life := int(min(math.Floor(r.Life), math.MaxInt32))
	var starts []int
	switch {
	case s.Mode != stack.Spares || r.pieces() != nil:
		starts = cutRun(r.Hits, share.PerLoad, life, m.Travel(), m.ChangeAt)
	case s.Policy == stack.CarryOn || share.PerLoad == 1:
		r.Limit, starts = life, counted(len(r.Hits), life, 0)
	default:
		r.Limit = limit(r.Hits, share.PerLoad, life, m.Travel(), m.ChangeAt)
		starts = counted(len(r.Hits), r.Limit, 0)
	}
	if starts == nil || len(starts) > share.PerLoad {
		return fmt.Errorf("%w: %d bits of %d hits do not make the %d hits of pass %s run %d", ErrSetUp, share.PerLoad, life, len(r.Hits), pass, r.Number)
	}
	if last := place + max(len(starts), first(r.Limit > 0, share.PerLoad)) - 1; last > m.Places {
		return fmt.Errorf("%w: tool T%d of pass %s run %d, the magazine has %d places", ErrSetUp, last, pass, r.Number, m.Places)
	}
	r.Bits = bitsAt(starts, len(r.Hits), place)
	return nil
}

// bitsAt gives each part of a run its bit, in places from the first.
func bitsAt(starts []int, hits, place int) []Bit {
	out := make([]Bit, len(starts))
	for k, from := range starts {
		end := hits
		if k+1 < len(starts) {
			end = starts[k+1]
		}
		out[k] = Bit{Place: place + k, First: from, Hits: end - from}
	}
	return out
}

// slowShare is the share of the infeed at which short slots are made.
const slowShare = 0.5

// halved is the feed of short slots: half the infeed at the same speed.
func halved(f tooling.Feed) tooling.Feed {
	f.Infeed = max(1, math.Floor(f.Infeed*slowShare))
	f.ChipLoad = tooling.Snap(f.Infeed / f.Speed)
	return f
}

package machine

import (
	"iter"
	"time"
)

// Timed yields every step with the machine time at its end, counted from the
// start of the sequence at the change position, by the clock of
// [Machine.Time]: the last time is the total of its estimate. It is what a
// controller or a player runs along. Times never fall; breaking off the loop
// ends the steps too. Each range over the result counts from 0 again. Cost
// O(steps), nothing allocated but the tool list of the clock.
func (m Machine) Timed(steps iter.Seq[Step]) iter.Seq2[time.Duration, Step] {
	return func(yield func(time.Duration, Step) bool) {
		clock := m.Clock()
		var at time.Duration
		for s := range steps {
			at += clock.Tick(s)
			if !yield(at, s) {
				return
			}
		}
	}
}

package tour

import (
	"context"
	"time"
)

// budget is asked often whether the time is up. It remembers a yes.
type budget struct {
	ctx  context.Context
	end  time.Time // zero: no deadline
	now  func() time.Time
	done Status // TimedOut or Cancelled once over
}

// over polls the context and the clock.
func (b *budget) over() bool {
	if b.done != Done {
		return true
	}
	if b.ctx.Err() != nil {
		b.done = Cancelled
	} else if !b.end.IsZero() && !b.now().Before(b.end) {
		b.done = TimedOut
	}
	return b.done != Done
}

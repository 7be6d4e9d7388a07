package route

import (
	"errors"
	"fmt"

	"example.org/pinstack/route/contour"
)

// usable tells whether a contour can bound a board: nil, or an error that
// wraps [ErrCrossing], [ErrOpen] or [ErrBoard] and the contour's own.
func usable(cs ...contour.Contour) error {
	for i, c := range cs {
		if err := c.Validate(); err != nil {
			return kind(err)
		}
		if !c.Closed() {
			return fmt.Errorf("%w: contour %d ends at X%.4f Y%.4f", ErrOpen, i, c.End()[0], c.End()[1])
		}
	}
	return nil
}

func kind(err error) error {
	switch {
	case errors.Is(err, contour.ErrCrossing):
		return fmt.Errorf("%w: %w", ErrCrossing, err)
	case errors.Is(err, contour.ErrOpen):
		return fmt.Errorf("%w: %w", ErrOpen, err)
	}
	return fmt.Errorf("%w: %w", ErrBoard, err)
}

package calibrate

import (
	"errors"
	"fmt"
)

// ErrTooFew is what a [*DataError] wraps.
var ErrTooFew = errors.New("calibrate: too little data")

// DataError says of what the log holds too little.
type DataError struct {
	What      string // what is counted, such as "rows with a stroke"
	Got, Need int
}

// Error prints what was found and what is needed.
func (e *DataError) Error() string {
	return fmt.Sprintf("%v: found %d %s, expected at least %d", ErrTooFew, e.Got, e.What, e.Need)
}

// Unwrap gives [ErrTooFew].
func (e *DataError) Unwrap() error { return ErrTooFew }

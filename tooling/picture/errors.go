package picture

import (
	"errors"
	"fmt"
)

// ErrScene is wrapped by every error that says a scene cannot be drawn.
var ErrScene = errors.New("picture: scene cannot be drawn")

// MarkError says which mark of a scene cannot be drawn and why. It wraps
// [ErrScene].
type MarkError struct {
	Layer string // name of the layer; empty for the scene itself
	Kind  Kind
	Index int    // index of the mark in its layer; -1: the layer or the scene itself
	Field string // the field at fault
	Found string // what stands there
	Want  string // what was expected
}

// Error names the place, what was found and what was expected.
func (e *MarkError) Error() string {
	at := "scene"
	switch {
	case e.Index >= 0:
		at = fmt.Sprintf("layer %q (%s), mark %d", e.Layer, e.Kind, e.Index)
	case e.Kind != "" || e.Layer != "":
		at = fmt.Sprintf("layer %q (%s)", e.Layer, e.Kind)
	}
	return fmt.Sprintf("picture: %s: %s is %s, want %s", at, e.Field, e.Found, e.Want)
}

// Unwrap returns [ErrScene].
func (e *MarkError) Unwrap() error { return ErrScene }

package stack_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/stack"
)

// A saved set-up within bounds is let through, one beyond any machine is named.
func TestSavedSetUp(t *testing.T) {
	for _, c := range []struct {
		name, path string
		change     func(*stack.SetUp)
	}{
		{"sound", "", func(*stack.SetUp) {}},
		{"height", "set_up.height", func(s *stack.SetUp) { s.Height = stack.MostSpindles + 1 }},
		{"spindles", "set_up.spindles", func(s *stack.SetUp) { s.Spindles = -1 }},
		{"place", "set_up.tools[0].place", func(s *stack.SetUp) { s.Tools[0].Place = stack.MostPlaces + 1 }},
		{"bits", "set_up.tools[0].tools_per_load", func(s *stack.SetUp) { s.Tools[0].PerLoad = -1 }},
	} {
		s := stack.SetUp{Height: 3, Spindles: 6, Tools: []stack.Share{{Place: 1, PerLoad: 2}}}
		c.change(&s)
		v := tooling.Validation{File: "pass.json"}
		s.ValidateSaved(&v, "set_up")
		if c.path == "" {
			require.NoError(t, v.Err())
		} else {
			require.ErrorContains(t, v.Err(), c.path, c.name)
		}
	}
}

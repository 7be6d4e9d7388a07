package drill_test

import (
	"context"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/picture"
	"example.org/pinstack/tooling/stack"
)

func TestZeroValues(t *testing.T) {
	var p drill.Pass
	assert.False(t, p.Mounted())
	assert.Zero(t, p.Hits())
	assert.Zero(t, p.Holes())
	assert.Empty(t, p.Work())
	_, err := p.Mount(stack.SetUp{}, machine.Machine{})
	require.ErrorIs(t, err, drill.ErrSetUp)
	m, err := p.Mount(stack.SetUp{Height: 1}, machine.Machine{})
	require.NoError(t, err, "a pass without runs mounts anywhere")
	e, err := m.Estimate(machine.Machine{})
	require.NoError(t, err)
	assert.Zero(t, e.Total())
	var s picture.Scene
	p.Draw(&s, nil)
	assert.Empty(t, s.Layers)

	var h drill.Hole
	assert.False(t, h.IsSlot())
	assert.Zero(t, h.Length())
	assert.Equal(t, tooling.AfterPlating, h.Stage())

	var in drill.Input
	assert.Empty(t, in.Routed())
	require.Error(t, in.Validate())
	_, err = drill.Plan(context.Background(), in, drill.Options{})
	require.Error(t, err)
	report, err := drill.Inspect(in)
	require.NoError(t, err)
	assert.Empty(t, report)
	assert.False(t, drill.Check(in, p, &nc.Program{}).OK())

	assert.Empty(t, drill.Place(nil, tooling.Panel{}))
	holes, report, err := drill.Distinct(nil, false)
	require.NoError(t, err)
	assert.Empty(t, holes)
	assert.Empty(t, report)
	holes, report, err = drill.Read(&nc.Program{}, "", drill.Marking{})
	require.NoError(t, err)
	assert.Empty(t, holes)
	assert.Empty(t, report)
	assert.Equal(t, []orb.Point{{}}, drill.Nibble(orb.Point{}, orb.Point{}, 0, 0))

	for _, err := range []error{&drill.HoleError{Err: drill.ErrTool}, &drill.ReadError{Err: drill.ErrWord}} {
		assert.NotEmpty(t, err.Error())
	}
}

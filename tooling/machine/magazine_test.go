package machine_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
)

func TestMagazineDealsOutItsPlaces(t *testing.T) {
	m := machine.Magazine{{12, "0.80"}, {3, "0.80"}, {4, "0.80"}, {7, "1.00"}}
	require.NoError(t, m.Validate("job.json", 60))
	l := m.Load()
	got, err := l.Take("0.80", 2, true)
	require.NoError(t, err)
	require.Equal(t, []int{3, 4}, got, "in a row")
	got, err = l.Take("0.80", 1, false)
	require.NoError(t, err)
	require.Equal(t, []int{12}, got)
	_, err = l.Take("0.80", 1, false)
	require.ErrorIs(t, err, machine.ErrMagazine)
	require.Contains(t, err.Error(), "0.80 has 0 free, 1 needed")
	got, err = m.Load().Take("0.80", 3, false)
	require.NoError(t, err)
	require.Equal(t, []int{12, 3, 4}, got, "in the order of the map")
	_, err = m.Load().Take("0.80", 3, true)
	require.ErrorContains(t, err, "0.80 has 3 free, 3 in a row needed")
	_, err = machine.Magazine(nil).Load().Take("2.00", 1, false)
	require.ErrorIs(t, err, machine.ErrMagazine)
	require.ErrorIs(t, machine.Magazine{{61, "0.80"}}.Validate("job.json", 60), tooling.ErrValue)
	require.ErrorIs(t, machine.Magazine{{1, "0.80"}, {1, "1.00"}}.Validate("job.json", 60), tooling.ErrDuplicate)
	require.ErrorIs(t, machine.Magazine{{1, ""}}.Validate("job.json", 60), tooling.ErrMissing)
}

package route_test

import (
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route"
	"example.org/pinstack/tooling/machine"
)

// Cutters move to the places the shop keeps them in.
func TestInMagazineNumbersByPlace(t *testing.T) {
	p := mounted(t, lay(t, input(sensor(), panel(100, 80, orb.Point{10, 10}))), route.Options{})
	var shop machine.Magazine
	for _, r := range p.Runs {
		for range r.Cutters {
			shop = append(shop, machine.Place{Number: 30 + len(shop), Tool: r.Tool.ID})
		}
	}
	numbered, err := p.InMagazine(shop.Load())
	require.NoError(t, err)
	want := 30
	for _, r := range numbered.Runs {
		for _, c := range r.Cutters {
			require.Equal(t, want, c.Place)
			want++
		}
	}
	_, err = p.InMagazine(machine.Magazine{}.Load())
	require.ErrorIs(t, err, machine.ErrMagazine)
	_, err = route.Pass{}.InMagazine(shop.Load())
	require.ErrorIs(t, err, route.ErrUnmounted)
}

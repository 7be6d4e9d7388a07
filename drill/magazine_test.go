package drill_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/tooling/machine"
)

// Bits move to the places the shop keeps them in; the pass given stays as it is.
func TestInMagazineNumbersByPlace(t *testing.T) {
	p := mountAll(t, small(), 24)[0]
	var shop machine.Magazine
	place, stands := 40, map[int]string{}
	for _, r := range p.Runs {
		for range r.Bits {
			shop = append(shop, machine.Place{Number: place, Tool: r.Tool.ID})
			stands[place] = r.Tool.ID
			place++
		}
	}
	numbered, err := p.InMagazine(shop.Load())
	require.NoError(t, err)
	seen := map[int]bool{}
	for k, r := range numbered.Runs {
		for i, b := range r.Bits {
			require.False(t, seen[b.Place], "place %d holds one bit", b.Place)
			seen[b.Place] = true
			require.Equal(t, r.Tool.ID, stands[b.Place])
			require.Less(t, p.Runs[k].Bits[i].Place, 40, "the pass itself is not changed")
		}
	}

	_, err = p.InMagazine(shop[1:].Load())
	require.ErrorIs(t, err, machine.ErrMagazine)
	_, err = drill.Pass{}.InMagazine(shop.Load())
	require.ErrorIs(t, err, drill.ErrUnmounted)
}

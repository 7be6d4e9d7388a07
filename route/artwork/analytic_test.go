package artwork_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"

	"example.org/pinstack/route/artwork"
)

func profileOf(t *testing.T, src []byte, o artwork.ProfileOptions) *artwork.Profile {
	t.Helper()
	l, err := artwork.Read(src, "drawn.gbr", artwork.Options{})
	require.NoError(t, err)
	p, err := l.Profile(o)
	require.NoError(t, err)
	return p
}

// Shapes of known area, drawn in every form and both quadrant modes, have it to 1e-9
// of it; and every form of one quadrant mode gives the same contour, bit for bit.
func TestAnalyticShapesInEveryForm(t *testing.T) {
	for _, s := range shapes() {
		first := map[bool]*artwork.Profile{}
		for _, f := range forms() {
			p := newPen(f)
			s.draw(p)
			name := fmt.Sprintf("%s, %v", s.name, f)
			got := profileOf(t, p.end(), artwork.ProfileOptions{})
			require.Len(t, got.Boards, 1, name)
			require.Len(t, got.Boards[0].CutOuts, s.cutOuts, name)
			want := s.area * unit * unit
			require.LessOrEqual(t, math.Abs(got.Boards[0].Area()-want)/want, 1e-9, name)
			length := s.length * unit
			require.LessOrEqual(t, math.Abs(got.Boards[0].Outline.Length()-length)/length, 1e-9, name)
			if first[f.single] == nil {
				first[f.single] = got
				continue
			}
			for i := range got.Boards { // the same but for where it stands in the file
				a, b := first[f.single].Boards[i], got.Boards[i]
				if diff := cmp.Diff(a.Outline, b.Outline); diff != "" {
					t.Fatalf("%s: (-first +this):\n%s", name, diff)
				}
				require.Equal(t, a.CutOuts, b.CutOuts, name)
			}
		}
	}
}

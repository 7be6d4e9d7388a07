package job_test

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// rescale divides every number after X, Y, A and C in a line by 25.4,
// exactly, and prints 8 decimals.
func rescale(t *testing.T, line string) string {
	t.Helper()
	var b strings.Builder
	for i := 0; i < len(line); {
		c := line[i]
		b.WriteByte(c)
		i++
		if !strings.ContainsRune("XYAC", rune(c)) {
			continue
		}
		end := i
		for end < len(line) && strings.IndexByte("0123456789.-", line[end]) >= 0 {
			end++
		}
		r, ok := new(big.Rat).SetString(line[i:end])
		require.True(t, ok, line)
		b.WriteString(r.Quo(r, big.NewRat(254, 10)).FloatString(8))
		i = end
	}
	return b.String()
}

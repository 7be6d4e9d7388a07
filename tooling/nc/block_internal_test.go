package nc

import (
	"testing"
	"unsafe"
)

// TestBlockSize holds the promise that a parsed line costs eight bytes.
func TestBlockSize(t *testing.T) {
	if n := unsafe.Sizeof(block{}); n > 8 {
		t.Errorf("a block takes %d bytes, at most 8", n)
	}
}

// TestSignOf compares the exact sign with small and with large factors.
func TestSignOf(t *testing.T) {
	for _, c := range []struct {
		a, b, c, d int64
		want       int
	}{
		{2, 3, 5, 1, 1}, {2, 3, 6, 1, 0}, {2, 3, 7, 1, -1},
		{-2, 3, 6, 1, -1}, {-2, -3, 6, 1, 0}, {2, -3, -7, 1, 1},
		{maxNano, maxNano, maxNano - 1, maxNano + 1, 1}, // differs by one in 1e20
		{maxNano, -maxNano, -maxNano, maxNano, 0},
		{-maxNano, maxNano, maxNano - 1, -maxNano - 1, -1},
	} {
		if got := signOf(c.a, c.b, c.c, c.d); got != c.want {
			t.Errorf("sign of %d*%d - %d*%d: got %d, want %d", c.a, c.b, c.c, c.d, got, c.want)
		}
	}
}

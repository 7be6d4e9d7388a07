package sheet_test

import (
	"bytes"
	"os"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestPageGolden(t *testing.T) {
	s, scene := greenhouse()
	var b bytes.Buffer
	require.NoError(t, s.WriteHTML(&b, scene))
	golden(t, "sheet.html", b.Bytes())
}

func TestPageSizeAtTwentyThousandHits(t *testing.T) {
	s, scene := backplane(20_000)
	var b bytes.Buffer
	require.NoError(t, s.WriteHTML(&b, scene))
	t.Logf("page of 20,000 hits: %d bytes", b.Len())
	if b.Len() >= 3_000_000 {
		t.Errorf("page of 20,000 hits has %d bytes, want below 3,000,000", b.Len())
	}
	if d := os.Getenv("OUT"); d != "" {
		os.WriteFile(d, b.Bytes(), 0o644)
	}
}

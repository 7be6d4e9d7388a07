package sheet_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	name = filepath.Join("testdata", "greenhouse", name)
	if *update {
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("%s changed (-want +got); run with -update after looking at it:\n%s", name, diff)
	}
}

func TestTextGolden(t *testing.T) {
	s, _ := greenhouse()
	var b bytes.Buffer
	require.NoError(t, s.WriteText(&b))
	golden(t, "sheet.txt", b.Bytes())
	for i, line := range bytes.Split(b.Bytes(), []byte("\n")) {
		if n := len([]rune(string(line))); n > 100 {
			t.Errorf("line %d has %d columns, want at most 100: %s", i+1, n, line)
		}
	}
}

package picture_test

import (
	"bytes"
	"encoding/xml"
	"flag"
	"io"
	"os"
	"path/filepath"
	"testing"

	"example.org/pinstack/tooling/picture"
	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

var update = flag.Bool("update", false, "write the golden files anew")

func svg(t testing.TB, s *picture.Scene) []byte {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, s.WriteSVG(&b))
	return b.Bytes()
}

// wellFormed reads the whole document as XML.
func wellFormed(t testing.TB, doc []byte) {
	t.Helper()
	for d := xml.NewDecoder(bytes.NewReader(doc)); ; {
		_, err := d.Token()
		if err == io.EOF {
			return
		}
		require.NoError(t, err)
	}
}

func TestGolden(t *testing.T) {
	got := svg(t, sample())
	wellFormed(t, got)
	name := filepath.Join("testdata", "scene", "sample.svg")
	if *update {
		require.NoError(t, os.WriteFile(name, got, 0o644))
	}
	want, err := os.ReadFile(name)
	require.NoError(t, err)
	if diff := cmp.Diff(string(want), string(got)); diff != "" {
		t.Errorf("picture changed (-want +got); run with -update after looking at it:\n%s", diff)
	}
}

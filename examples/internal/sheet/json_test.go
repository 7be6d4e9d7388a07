package sheet_test

import (
	"bytes"
	"encoding/json"
	"math"
	"testing"

	"example.org/pinstack/examples/internal/sheet"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"github.com/stretchr/testify/require"
)

func TestJSONGolden(t *testing.T) {
	s, _ := greenhouse()
	var b bytes.Buffer
	require.NoError(t, s.WriteJSON(&b))
	golden(t, "sheet.json", b.Bytes())

	var back sheet.Sheet
	d := json.NewDecoder(&b)
	d.DisallowUnknownFields()
	require.NoError(t, d.Decode(&back))
	if diff := cmp.Diff(*s, back, cmpopts.EquateApprox(0, 5e-7), cmpopts.EquateEmpty()); diff != "" {
		t.Errorf("read back differs (-written +read):\n%s", diff)
	}
}

// TestJSONKeys holds the keys that programs outside may rely on.
func TestJSONKeys(t *testing.T) {
	s, _ := greenhouse()
	var b bytes.Buffer
	require.NoError(t, s.WriteJSON(&b))
	var got map[string]any
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	first := func(v any, key string) map[string]any { return v.(map[string]any)[key].([]any)[0].(map[string]any) }
	pass := first(got, "passes")
	for _, row := range []struct {
		in   map[string]any
		keys []string
	}{
		{got, []string{"schema", "job", "panels", "passes", "lot_seconds", "cost_per_panel", "cost_split", "bits", "checks", "findings"}},
		{pass, []string{"name", "set_up", "stage", "operation", "height", "loads", "load_seconds", "hits", "holes", "cut_mm", "runs"}},
		{first(pass, "runs"), []string{"tool", "diameter_mm", "hits", "tools_per_load", "depth_into_backup_mm", "travel_mm", "travel_seconds"}},
		{first(got, "bits"), []string{"diameter_mm", "kind", "count"}},
		{first(got, "checks"), []string{"rule", "ok", "detail"}},
	} {
		for _, k := range row.keys {
			require.Contains(t, row.in, k)
		}
	}
	require.EqualValues(t, sheet.Schema, got["schema"])
}

func TestJSONListsAreNeverNull(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, (&sheet.Sheet{}).WriteJSON(&b))
	require.NotContains(t, b.String(), "null")
}

func TestJSONRoundsTheLastBits(t *testing.T) {
	a, _ := greenhouse()
	b, _ := greenhouse()
	b.Passes[0].Runs[0].Travel = math.Nextafter(b.Passes[0].Runs[0].Travel, 0)
	b.LotTime.Rout = math.Nextafter(b.LotTime.Rout, 1e9)
	var x, y bytes.Buffer
	require.NoError(t, a.WriteJSON(&x))
	require.NoError(t, b.WriteJSON(&y))
	require.Equal(t, x.String(), y.String())
}

func TestJSONRefusesWhatIsNoNumber(t *testing.T) {
	for _, v := range []float64{math.NaN(), math.Inf(1)} {
		s, _ := greenhouse()
		s.LotTime.Rout = v
		var b bytes.Buffer
		require.ErrorContains(t, s.WriteJSON(&b), `job "greenhouse-sensor"`)
		require.Zero(t, b.Len())
	}
	s, _ := greenhouse()
	require.ErrorIs(t, s.WriteJSON(&failing{0, bytes.ErrTooLarge}), bytes.ErrTooLarge)
}

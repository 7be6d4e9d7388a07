package calibrate_test

import (
	"context"
	"encoding/json"
	"errors"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/machine"
	"example.org/pinstack/tooling/machine/calibrate"
)

func TestZeroValues(t *testing.T) {
	if _, err := calibrate.Fit(context.Background(), nil, calibrate.Options{}); !errors.Is(err, calibrate.ErrTooFew) {
		t.Errorf("no rows: got %v", err)
	}
	if _, err := calibrate.Fit(context.Background(), make([]calibrate.Row, 30), calibrate.Options{}); !errors.Is(err, tooling.ErrValue) {
		t.Errorf("zero rows: got %v", err)
	}
	if _, ok := (calibrate.Result{}).Parameter("x.speed"); ok {
		t.Error("a zero result has no parameters")
	}
	if got := (&calibrate.DataError{}).Error(); got == "" {
		t.Error("no text")
	}
	row, err := calibrate.FromSteps(machine.Machine{}, func(func(machine.Step) bool) {}, 0)
	if err != nil || row.Kind != calibrate.Pass || row.Hops != nil {
		t.Errorf("no steps: got %+v, %v", row, err)
	}
}

// A fitted machine is stored and loaded like any other, and stays calibrated.
func TestFittedMachineIsStored(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 12))
	r, err := calibrate.Fit(context.Background(), shopLog(rng, truth(rng), 300, 0.02, 0.02), calibrate.Options{})
	if err != nil {
		t.Fatal(err)
	}
	src, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	var stored calibrate.Result
	if err := json.Unmarshal(src, &stored); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(r, stored); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	src, err = json.Marshal(r.Machine)
	if err != nil {
		t.Fatal(err)
	}
	back, err := machine.Decode(src, "hall2.json", machine.Machine{})
	if err != nil || !back.Calibrated {
		t.Fatalf("got %+v, %v", back, err)
	}
	if diff := cmp.Diff(r.Machine, back); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
}

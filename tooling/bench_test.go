package tooling_test

import (
	"encoding/json"
	"math/rand/v2"
	"testing"

	"example.org/pinstack/tooling"
)

func BenchmarkLoadCrib(b *testing.B) {
	src, err := json.Marshal(tooling.DefaultCrib())
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(src)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := tooling.LoadCrib(src, "crib.json"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkChoose(b *testing.B) {
	crib, rules := tooling.DefaultCrib(), tooling.DefaultRules()
	rules.ShareBits = true
	var sizes []tooling.Size
	for _, s := range randomSizes(rand.New(rand.NewPCG(1, 1)), 200) {
		if _, err := crib.Choose([]tooling.Size{s}, rules, 0); err == nil && len(sizes) < 40 {
			sizes = append(sizes, s)
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := crib.Choose(sizes, rules, 0); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLifeAt(b *testing.B) {
	life := tooling.DefaultLife()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := life.At(tooling.FR4, tooling.Bit, 0.33, 4.8); err != nil {
			b.Fatal(err)
		}
	}
}

package artwork_test

import (
	"errors"
	"math"
	"os"
	"path/filepath"
	"testing"

	"example.org/pinstack/route/artwork"
	"example.org/pinstack/route/contour"
	"example.org/pinstack/tooling"
)

// seeds adds the corpus to a fuzz target.
func seeds(f *testing.F) {
	files, err := filepath.Glob(filepath.Join(corpus, "*.gbr"))
	if err != nil || len(files) == 0 {
		f.Fatal("no corpus", err)
	}
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(src)
	}
}

var small = artwork.Options{MaxBytes: 1 << 16, MaxObjects: 5000, MaxApertures: 200, MaxDepth: 4}

// typed reports whether an error is one of the package's own.
func typed(err error) bool {
	var r *artwork.ReadError
	var o *artwork.OpenError
	var a *artwork.AmbiguousError
	return errors.As(err, &r) || errors.As(err, &o) || errors.As(err, &a)
}

// FuzzRead reads anything: no panic, typed errors with a place, and layers that keep
// their limits.
func FuzzRead(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		l, err := artwork.Read(src, "fuzz.gbr", small)
		if err != nil {
			var r *artwork.ReadError
			if !errors.As(err, &r) || r.Source.Line < 1 || r.Source.Column < 1 {
				t.Fatalf("%v", err)
			}
			return
		}
		if len(l.Strokes)+len(l.Flashes) > small.MaxObjects || len(l.Apertures) > small.MaxApertures {
			t.Fatalf("%d strokes, %d flashes, %d apertures", len(l.Strokes), len(l.Flashes), len(l.Apertures))
		}
		for _, s := range l.Strokes {
			for _, v := range []float64{s.From[0], s.From[1], s.To[0], s.To[1]} {
				if !tooling.InRange(v) {
					t.Fatalf("%+v", s)
				}
			}
			if math.IsNaN(s.Center[0]+s.Center[1]) || s.Aperture >= len(l.Apertures) || s.Line < 1 || s.Column < 1 {
				t.Fatalf("%+v", s)
			}
		}
		for _, r := range l.Regions {
			for _, c := range r.Contours {
				if !c.Closed() {
					t.Fatalf("an open region %+v", c)
				}
			}
		}
	})
}

// FuzzProfile makes boards of anything that reads: no panic, typed errors, and boards
// that are sound.
func FuzzProfile(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, src []byte) {
		l, err := artwork.Read(src, "fuzz.gbr", small)
		if err != nil {
			return
		}
		for _, o := range []artwork.ProfileOptions{{}, {Pick: artwork.PickOuter}} {
			p, err := l.Profile(o)
			if err != nil {
				if !typed(err) {
					t.Fatalf("%v", err)
				}
				continue
			}
			for _, b := range p.Boards {
				if b.Outline.Area() <= 0 {
					t.Fatalf("area %v", b.Outline.Area())
				}
				region := append([]contour.Contour{b.Outline}, b.CutOuts...)
				if err := contour.ValidateRegion(region); err != nil {
					t.Fatal(err)
				}
				for _, c := range b.CutOuts {
					if c.Area() >= 0 {
						t.Fatalf("cut-out area %v", c.Area())
					}
				}
			}
		}
	})
}

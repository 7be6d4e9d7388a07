package contour_test

import (
	"encoding/binary"
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"example.org/pinstack/route/contour"
)

// decode reads contours from bytes, five a move: what it is, then two coordinates
// of two bytes each on a coarse grid, where degenerate cases are common. A few
// codes stand for values that no file should have.
func decode(data []byte) []contour.Contour {
	var region []contour.Contour
	var c contour.Contour
	odd := [...]float64{math.NaN(), math.Inf(1), 1e300, -1e300, 1e-300, 9999.9, 1e-9, 1e-7}
	started := false
	for ; len(data) >= 5 && len(region) < 8; data = data[5:] {
		x := float64(int16(binary.LittleEndian.Uint16(data[1:]))) / 64
		y := float64(int16(binary.LittleEndian.Uint16(data[3:]))) / 64
		p := orb.Point{x, y}
		switch k := data[0]; {
		case k >= 248:
			p[int(data[1])%2] = odd[k-248]
			c.Moves = append(c.Moves, contour.Move{To: p})
		case !started:
			c, started = contour.Contour{Start: p}, true
		case k < 8:
			c.Moves = append(c.Moves, contour.Move{To: c.Start})
			region, started = append(region, c), false
		case k < 100:
			c.Moves = append(c.Moves, contour.Move{To: p})
		case k < 110:
			c.Moves = append(c.Moves, contour.Move{To: c.End(), Center: p, Turn: int8(k%2)*2 - 1})
		case k < 240:
			// Half circles keep their ends on the grid, other arcs any angle.
			angle := float64(int(k)-175) / 21
			if angle != 0 && p != c.End() {
				c.Moves = append(c.Moves, bulge(c.End(), p, angle))
			}
		default:
			c.Moves = append(c.Moves, contour.Move{To: p, Center: orb.Point{y, x}, Turn: int8(k) - 124})
		}
	}
	if started {
		region = append(region, c)
	}
	return region
}

func encode(kind byte, x, y float64) []byte {
	b := []byte{kind, 0, 0, 0, 0}
	binary.LittleEndian.PutUint16(b[1:], uint16(int16(x*64)))
	binary.LittleEndian.PutUint16(b[3:], uint16(int16(y*64)))
	return b
}

func seeds(f *testing.F) {
	join := func(parts ...[]byte) (out []byte) {
		for _, p := range parts {
			out = append(out, p...)
		}
		return out
	}
	square := join(encode(50, 0, 0), encode(50, 10, 0), encode(50, 10, 10), encode(50, 0, 10), encode(0, 0, 0))
	f.Add(square, 1.2)
	f.Add(join(square, encode(50, 3, 3), encode(50, 7, 3), encode(50, 7, 7), encode(0, 0, 0)), -1.0)
	f.Add(join(encode(50, 0, 0), encode(50, 10, 0), encode(241-66, 10, 4), encode(50, 0, 4), encode(200, 0, 0), encode(0, 0, 0)), -2.0)
	f.Add(join(encode(50, 5, 0), encode(101, 0, 0)), 3.0)
	f.Add(join(encode(50, 0, 0), encode(248, 1, 1), encode(0, 0, 0)), 0.5)
	f.Add(join(encode(50, 0, 0), encode(50, 10, 0), encode(250, 1, 1), encode(0, 0, 0)), math.Inf(1))
}

// FuzzOffset: no panic, no endless loop, faults typed; and what comes back keeps its
// distance.
func FuzzOffset(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte, distance float64) {
		if len(data) > 2000 {
			return
		}
		region := decode(data)
		got, err := contour.Offset(region, distance)
		if err != nil {
			var e *contour.ContourError
			if !errors.As(err, &e) {
				t.Fatalf("untyped error %v", err)
			}
			if errors.Is(err, contour.ErrUnresolved) {
				t.Fatalf("%v by %g: %v", region, distance, err)
			}
			return
		}
		if distance == 0 {
			return
		}
		source := contour.NewIndex(region)
		for _, c := range got.Loops {
			if !c.Closed() {
				t.Fatalf("open loop %v", c)
			}
			from := c.Start
			for _, m := range c.Moves {
				part := contour.Contour{Start: from, Moves: []contour.Move{m}}
				l := part.Length()
				for k := range 5 {
					p, _ := part.At(l * float64(k) / 4)
					if d := source.Distance(p); math.Abs(d-math.Abs(distance)) > micrometre {
						t.Fatalf("%v by %g: %v is at distance %g", region, distance, p, d)
					}
				}
				from = m.To
			}
		}
	})
}

// FuzzMethods: no method panics or hangs, whatever the contour.
func FuzzMethods(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, data []byte, v float64) {
		if len(data) > 2000 {
			return
		}
		for _, c := range decode(data) {
			c.Length()
			c.Area()
			c.Bound()
			c.Distance(orb.Point{v, 1})
			c.Contains(orb.Point{v, 1})
			c.At(v)
			c.Reverse().Rotate(int(data[0])).Mirror().Translate(v, v)
			if c.Validate() != nil {
				continue
			}
			c.Cut(v, v/2)
			c.Split(v)
			c.AppendRing(nil, v)
			if _, err := contour.FitArcs(c, v); err == nil && !(v > 0) {
				t.Fatalf("tolerance %g accepted", v)
			}
			if !c.Closed() {
				if _, err := contour.OffsetPath(c, v); errors.Is(err, contour.ErrUnresolved) {
					t.Fatal(err)
				}
			}
		}
	})
}

package artwork

import (
	"fmt"
	"math"
	"strings"

	"example.org/pinstack/tooling"
)

// stroke is the width of what the aperture draws, mm: a rectangle's lesser side,
// since it may be drawn along either.
func (a Aperture) stroke() float64 {
	switch a.Shape {
	case ShapeRectangle, ShapeObround:
		return min(a.Width, a.Height)
	}
	return a.Width
}

// String names the shape.
func (s Shape) String() string {
	names := [...]string{"circle", "rectangle", "obround", "polygon", "macro", "block"}
	if s < 0 || int(s) >= len(names) {
		return fmt.Sprintf("Shape(%d)", int(s))
	}
	return names[s]
}

// define reads the rest of an aperture definition: D and its code, the template's
// name, and its sizes behind a comma with X between them.
func (r *reader) define(b []byte, at int) error {
	word := compact(b)
	fail := func(expected string) error { return r.failHere(at, ErrAperture, excerpt(b), expected) }
	if word == "" || word[0] != 'D' && word[0] != 'd' {
		return fail("D, a code, a template")
	}
	i := 1
	code := 0
	for i < len(word) && digit(word[i]) && code < 1e8 {
		code = code*10 + int(word[i]-'0')
		i++
	}
	if code < 10 {
		return fail("an aperture code from D10 on")
	}
	name, sizes, _ := strings.Cut(word[i:], ",")
	a := Aperture{Code: code, Function: r.attribute[".AperFunction"]}
	a.Line, a.Column = r.scan.position(r.scan.offset(at))
	v, err := r.sizes(sizes)
	if err == "" {
		err = a.template(name, v)
	}
	if err == "unknown" {
		if !r.macros[name] {
			r.note("macro-undefined", "an aperture names a template that is not defined: its size is not known", at)
		}
		a.Shape, err = ShapeMacro, ""
	}
	if err != "" {
		return fail(err)
	}
	return r.addAperture(a, at)
}

// sizes reads the numbers of a definition in mm; the string says what is wrong.
func (r *reader) sizes(s string) (v []float64, wrong string) {
	if s == "" {
		return nil, ""
	}
	for part := range strings.SplitSeq(strings.ToUpper(s), "X") {
		x, ok := decimal([]byte(part))
		if !ok {
			return nil, "numbers with X between them"
		}
		v = append(v, x)
		if len(v) > 64 {
			return nil, "at most 64 numbers"
		}
	}
	return v, ""
}

// template fills the size from the numbers of a standard template; "unknown" for
// any other, else what was expected.
func (a *Aperture) template(name string, v []float64) string {
	least, lengths := 1, len(v)
	switch strings.ToUpper(name) {
	case "C":
		a.Shape = ShapeCircle
	case "R":
		a.Shape, least = ShapeRectangle, 2
	case "O":
		a.Shape, least = ShapeObround, 2
	case "P":
		a.Shape, least = ShapePolygon, 2
		lengths = 1
	default:
		return "unknown"
	}
	if len(v) < least {
		return fmt.Sprintf("at least %d sizes", least)
	}
	for _, x := range v[:lengths] {
		if x < 0 || math.IsInf(x, 0) {
			return "sizes that are not negative"
		}
	}
	a.Width, a.Height = v[0], v[0]
	hole := 1
	switch a.Shape {
	case ShapeRectangle, ShapeObround:
		a.Height, hole = v[1], 2
	case ShapePolygon:
		hole = 3
	}
	if len(v) > hole {
		a.Hole = v[hole]
	}
	return ""
}

// addAperture keeps a definition, its sizes in mm.
func (r *reader) addAperture(a Aperture, at int) error {
	if !r.unitsSet {
		r.unscaled = append(r.unscaled, len(r.layer.Apertures))
	} else if !a.scale(r.layer.Format.Inch) {
		return r.failHere(at, ErrAperture, "an aperture beyond 10 m", "a size")
	}
	if len(r.layer.Apertures) == r.options.MaxApertures {
		return r.failHere(at, ErrLimit, fmt.Sprintf("more than %d apertures", r.options.MaxApertures), "fewer")
	}
	if k, again := r.codes[a.Code]; again {
		if b := r.layer.Apertures[k]; b.Shape != a.Shape || b.Width != a.Width || b.Height != a.Height {
			r.note("aperture-again", "an aperture is defined again with another size: from there on the last one counts", at)
		}
	}
	r.codes[a.Code] = len(r.layer.Apertures)
	r.layer.Apertures = append(r.layer.Apertures, a)
	return nil
}

// scale turns the sizes from the file's unit into mm; false where they are out of range.
func (a *Aperture) scale(inch bool) bool {
	unit := 1.0
	if inch {
		unit = 25.4
	}
	for _, v := range []*float64{&a.Width, &a.Height, &a.Hole} {
		if *v *= unit; !tooling.InRange(*v) {
			return false
		}
		*v = tooling.Snap(*v)
	}
	return true
}

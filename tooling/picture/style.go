package picture

// Style is the look of one run of hits.
type Style struct {
	Ink  string   // colour, "#rrggbb"
	Sign []Stroke // symbol
}

// inks returns the colours of runs. Neighbours in the list differ in lightness
// as well as in hue, and all stand out on a pale ground.
func inks() []string {
	return []string{"#0a5c8c", "#c24f0a", "#1f2326", "#8c3f86", "#0b7a63", "#8a6500", "#4a63c8", "#a81f45"}
}

// StyleOf returns the look with this number, from 1. There are 16 symbols and 8
// colours; numbers above 16 repeat, 0 and below are taken as 1.
func StyleOf(number int) Style {
	n := max(number, 1) - 1
	g, c := glyphs(), inks()
	return Style{Ink: c[n%len(c)], Sign: g[n%len(g)]}
}

// StyleNumber returns the number of the look of a layer, given by its index: its
// own where it has one, else its place among the layers of hits that have
// marks, from 1. A layer that shows no hits and an index out of range give 0.
func (s *Scene) StyleNumber(layer int) int {
	if layer < 0 || layer >= len(s.Layers) || s.Layers[layer] == nil {
		return 0
	}
	l := s.Layers[layer]
	if l.Kind != Hits && l.Kind != Perforation {
		return 0
	}
	if l.Style > 0 {
		return l.Style
	}
	n := 1
	for _, o := range s.Layers[:layer] {
		if o != nil && o.Kind == Hits && len(o.Marks) > 0 {
			n++
		}
	}
	return n
}

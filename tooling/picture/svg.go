package picture

import (
	"encoding/xml"
	"io"
	"slices"
	"strconv"
	"strings"
)

// WriteSVG writes the scene as one SVG image: the panel to scale with its layers
// in drawing order, title, legend, scale bar and origin. User units are
// micrometres and the image asks for its true size, so that a print at 100 % is
// full size. It is self-contained, uses no style sheet and no names (id), so
// several may stand in one page.
//
// It returns a [*MarkError] and writes nothing when Validate refuses the scene,
// or the error of w. Characters of texts that XML cannot carry appear as U+FFFD.
// It costs O(points) time and memory.
func (s *Scene) WriteSVG(w io.Writer) error {
	return s.write(w, true)
}

// WriteFigure writes the scene as [Scene.WriteSVG] does, less title and legend: for
// a page that has its own.
func (s *Scene) WriteFigure(w io.Writer) error { return s.write(w, false) }

func (s *Scene) write(w io.Writer, explained bool) error {
	if err := s.Validate(); err != nil {
		return err
	}
	_, err := w.Write(s.svg(explained))
	return err
}

// svg draws a valid scene, with title and legend if it is to be explained.
func (s *Scene) svg(explained bool) []byte {
	width, height := micro(s.Width), micro(s.Height)
	d := &drawing{unit: max(max(width, height)/300, 1)}
	u := d.unit
	layers := s.drawn()
	d.frame = frame{left: u * 14, base: u*3 + height}
	d.right = d.left + width
	full := um{x: d.left + width + u*8, y: d.base + u*14}
	var columns int64
	if explained {
		d.base = u*16 + height
		full.x = d.left + max(width+u*14, legendWidth*u)
		columns = d.legendColumns(full.x - d.left)
		rows := (int64(len(layers)) + columns - 1) / columns
		full.y = d.base + u*20 + rows*legendRow*u
	}
	d.out = append(d.out, `<svg xmlns="http://www.w3.org/2000/svg" width="`...)
	d.out = appendMM(d.out, full.x)
	d.out = append(d.out, `mm" height="`...)
	d.out = appendMM(d.out, full.y)
	d.out = append(d.out, `mm" viewBox="0 0 `+itoa(full.x)+" "+itoa(full.y)+`" font-family="sans-serif" role="img">`+"\n<title>"...)
	d.out = appendText(d.out, s.Title)
	d.out = append(d.out, "</title>\n"...)

	d.ground(width, height)
	for _, l := range layers {
		d.layer(l.Layer, l.style)
	}
	if explained {
		d.text(um{d.left, u * 9}, u*6, `fill="`+ink+`" font-weight="bold"`, s.Title)
		d.legend(layers, um{d.left, d.base + u*24}, columns)
	}
	d.origin()
	d.scale(width)
	d.out = append(d.out, "</svg>\n"...)
	return d.out
}

// drawnLayer is a layer with the number of its style.
type drawnLayer struct {
	*Layer
	style int
}

// drawn returns the layers that have marks in drawing order: by kind, then as
// they stand in the scene.
func (s *Scene) drawn() []drawnLayer {
	var list []drawnLayer
	for i, l := range s.Layers {
		if len(l.Marks) > 0 {
			list = append(list, drawnLayer{l, s.StyleNumber(i)})
		}
	}
	slices.SortStableFunc(list, func(a, b drawnLayer) int { return order(a.Kind) - order(b.Kind) })
	return list
}

// ground draws the panel itself.
func (d *drawing) ground(width, height int64) {
	var p path
	p.move(um{d.left, d.base})
	p.line(um{d.left + width, d.base})
	p.line(um{d.left + width, d.base - height})
	p.line(um{d.left, d.base - height})
	p.close()
	d.path(&p, `fill="`+laminate+`" stroke="`+ink+`" stroke-width="`+itoa(d.hair()*3)+`"`)
}

// appendText appends a text escaped for XML.
func appendText(dst []byte, s string) []byte {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a Builder never fails
	return append(dst, b.String()...)
}

// appendMM appends micrometres as millimetres with three decimals.
func appendMM(dst []byte, n int64) []byte {
	return strconv.AppendFloat(dst, float64(n)/1000, 'f', 3, 64)
}

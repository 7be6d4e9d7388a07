package sheet

import (
	"io"

	"example.org/pinstack/tooling/picture"
)

// WriteHTML writes the sheet as one page with the scene in it.
func (s *Sheet) WriteHTML(w io.Writer, scene *picture.Scene) error {
	return scene.WriteSVG(w)
}

package picture

import "io"

// WriteSVG writes the scene.
func (s *Scene) WriteSVG(w io.Writer) error {
	if err := s.Validate(); err != nil {
		return err
	}
	_, err := io.WriteString(w, `<svg xmlns="http://www.w3.org/2000/svg"/>`)
	return err
}

package sheet

import (
	"fmt"
	"html/template"
	"strings"

	"example.org/pinstack/tooling/picture"
)

// symbol draws the sign that a run has in the picture, to stand in its row of
// the table: so the table is the legend. A run that is not in the picture has
// none.
func symbol(scene *picture.Scene, p Pass, r Run) template.HTML {
	for i, l := range scene.Layers {
		if l.Pass != p.Name || l.SetUp != 0 && l.SetUp != p.SetUp || l.Run != r.Number || len(l.Marks) == 0 {
			continue
		}
		switch l.Kind {
		case picture.Path:
			return `<svg class="sym" viewBox="-12 -12 24 24" aria-hidden="true"><path d="M-8 0H8" stroke="#6d4a9c" stroke-opacity=".35" stroke-width="9" stroke-linecap="round"/><path d="M6 0L-4-4.500V4.500Z" fill="#6d4a9c"/></svg>`
		case picture.Hits:
			return hitSymbol(picture.StyleOf(scene.StyleNumber(i)))
		}
	}
	return ""
}

// hitSymbol draws the disc and the strokes of a look.
func hitSymbol(look picture.Style) template.HTML {
	var d strings.Builder
	for _, k := range look.Sign {
		for i, q := range k.Points {
			command := 'L'
			if i == 0 {
				command = 'M'
			}
			fmt.Fprintf(&d, "%c%d %d", command, q[0], q[1])
		}
		if k.Closed {
			d.WriteByte('Z')
		}
	}
	return template.HTML(fmt.Sprintf(`<svg class="sym" viewBox="-12 -12 24 24" aria-hidden="true"><circle r="4" fill="%s" fill-opacity=".5"/><path d="%s" fill="none" stroke="%s" stroke-width="2"/></svg>`, look.Ink, d.String(), look.Ink))
}

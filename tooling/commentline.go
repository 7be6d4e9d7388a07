package tooling

import "strings"

// CommentLine is text as it may stand in one comment line of a program: control
// characters, line ends among them, become spaces.
func CommentLine(text string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, text)
}

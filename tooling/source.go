package tooling

import (
	"strconv"
	"strings"
)

// Source says where an input came from. Zero fields are unknown.
type Source struct {
	File   string `json:"file,omitempty"`
	Line   int    `json:"line,omitempty"`   // 1-based
	Column int    `json:"column,omitempty"` // 1-based, in bytes
	Path   string `json:"path,omitempty"`   // JSON path, such as "boards[2].outline"
	Tool   string `json:"tool,omitempty"`   // as the file names it, such as "T3"
}

// String prints the known parts, such as "plated.drl:12:4 T3"; empty for the
// zero value.
func (s Source) String() string {
	var b strings.Builder
	b.WriteString(s.File)
	if s.Line > 0 {
		b.WriteString(":" + strconv.Itoa(s.Line))
		if s.Column > 0 {
			b.WriteString(":" + strconv.Itoa(s.Column))
		}
	}
	for _, part := range []string{s.Path, s.Tool} {
		if part == "" {
			continue
		}
		if b.Len() > 0 {
			b.WriteByte(' ')
		}
		b.WriteString(part)
	}
	return b.String()
}

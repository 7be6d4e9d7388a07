// Package progress shows a line that is rewritten while a plan is made, on a
// terminal only.
package progress

import (
	"fmt"
	"os"
	"strings"
)

// Line is a progress line. Make it with [New].
type Line struct {
	out *os.File
}

// New returns a line on a file, silent unless the file is a terminal.
func New(f *os.File) *Line {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		f = nil
	}
	return &Line{out: f}
}

// Say shows what is being done.
func (l *Line) Say(format string, args ...any) {
	if l.out == nil {
		return
	}
	fmt.Fprintf(l.out, "\r\x1b[K"+format, args...)
}

// Pass shows how far the ordering of a pass has come: runs done of all, as a
// bar too, and hits ordered so far.
func (l *Line) Pass(pass string, done, of int, hits int64) {
	const width = 24
	full := 0
	if of > 0 {
		full = min(width*done/of, width)
	}
	l.Say("ordering %-9s [%s%s] run %d of %d, %d hits", pass, strings.Repeat("=", full), strings.Repeat(" ", width-full), done, of, hits)
}

// Done clears the line.
func (l *Line) Done() { l.Say("") }

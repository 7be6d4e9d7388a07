// Package progress shows a line that is rewritten while a plan is made, on a
// terminal only.
package progress

import (
	"fmt"
	"os"
)

// Line is a progress line. Make it with [New].
type Line struct {
	out   *os.File
	shown bool
}

// New returns a line on a file, silent unless the file is a terminal.
func New(f *os.File) *Line {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		f = nil
	}
	return &Line{out: f}
}

// Pass shows how far the ordering of a pass has come: runs done of all, and
// hits ordered so far.
func (l *Line) Pass(pass string, done, of int, hits int64) {
	if l.out == nil {
		return
	}
	l.shown = true
	fmt.Fprintf(l.out, "\r\x1b[Kordering %s: run %d of %d, %d hits", pass, done, of, hits)
}

// Done clears the line.
func (l *Line) Done() {
	if l.shown {
		fmt.Fprint(l.out, "\r\x1b[K")
	}
}

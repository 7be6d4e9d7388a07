// Package progress shows a line that is rewritten while a plan is made, on a
// terminal only.
package progress

import (
	"fmt"
	"io"
	"os"
	"strings"
)

// width of the bar in letters.
const width = 24

// Line is a progress line. Make it with [New]; the zero value is silent.
type Line struct {
	out io.Writer // nil: silent
}

// New returns a line on a file, silent unless the file is a terminal.
func New(f *os.File) *Line {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return &Line{}
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

// Pass returns what the planners call as they go: it shows how far a pass has
// come in what is done to it, its parts done of all, as a bar too, and how many
// things, such as hits, that makes so far.
func (l *Line) Pass(doing, things string) func(pass string, done, of int, n int64) {
	return func(pass string, done, of int, n int64) {
		full := 0
		if of > 0 {
			full = min(width*done/of, width)
		}
		l.Say("%s %-9s [%s%s] %d of %d, %d %s", doing, pass, strings.Repeat("=", full), strings.Repeat(" ", width-full), done, of, n, things)
	}
}

// Done clears the line.
func (l *Line) Done() { l.Say("") }

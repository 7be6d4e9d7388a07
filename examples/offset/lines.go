package main

import (
	"bufio"
	"fmt"
	"io"
	"os"
	"strings"
)

// maxLine is the longest line read, bytes: some millions of points.
const maxLine = 256 << 20

// file does the lines of one file, one after the other, so that a file may be larger
// than memory. A line that cannot be done gives its error in place of a result, and the
// lines after it are still done; then the file is not done as a whole.
func (s *settings) file(name string, out io.Writer) (whole bool, err error) {
	f, err := os.Open(name)
	if err != nil {
		return false, err
	}
	defer f.Close()
	whole = true
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, maxLine)
	for n := 1; lines.Scan(); n++ {
		line := lines.Text()
		if n == 1 {
			line = strings.TrimPrefix(line, "\ufeff") // the byte order mark of some editors
		}
		label, text, named := strings.Cut(line, "\t")
		if !named {
			label, text = fmt.Sprintf("%s:%d", name, n), label
		}
		if strings.TrimSpace(text) == "" && !named {
			continue
		}
		r, err := s.offset(label, text)
		if err != nil {
			whole = false
			r = &result{Schema: schema, Name: label, Error: err.Error()}
		}
		if err := s.print(out, r); err != nil {
			return false, err
		}
	}
	if err := lines.Err(); err != nil {
		return false, fmt.Errorf("%s: %w", name, err)
	}
	return whole, nil
}

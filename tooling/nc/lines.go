package nc

// maxLine is the longest line read, in bytes.
const maxLine = 1 << 20

// cutLine finds the first line of b: its length without the line end, and the
// bytes to skip to the next one. CR LF, LF and a lone CR end a line. ok is
// false when the end may still be to come.
func cutLine(b []byte, last bool) (length, skip int, ok bool) {
	for i, c := range b {
		if c > '\r' {
			continue
		}
		if c == '\n' {
			return i, i + 1, true
		}
		if c == '\r' {
			if i+1 < len(b) {
				if b[i+1] == '\n' {
					return i, i + 2, true
				}
				return i, i + 1, true
			}
			if last {
				return i, i + 1, true
			}
			return 0, 0, false
		}
	}
	if last && len(b) > 0 {
		return len(b), len(b), true
	}
	return 0, 0, false
}

// bomLength returns the length of a UTF-8 byte-order mark at the start of b.
func bomLength(b []byte) int {
	if len(b) >= 3 && b[0] == 0xEF && b[1] == 0xBB && b[2] == 0xBF {
		return 3
	}
	return 0
}

// wide tells what a text of wider characters than single bytes is written in, ""
// for one of single bytes: by its mark, or, since some tools leave it out, by
// its first characters, every other byte of which is 0.
func wide(b []byte) string {
	if len(b) >= 2 {
		switch {
		case b[0] == 0xFF && b[1] == 0xFE:
			return "little-endian UTF-16 or UTF-32 by its byte-order mark"
		case b[0] == 0xFE && b[1] == 0xFF:
			return "big-endian UTF-16 by its byte-order mark"
		}
	}
	if len(b) >= 5 { // two characters and half of the next, or a leader of nulls might do the same
		switch {
		case b[0] != 0 && b[1] == 0 && b[2] != 0 && b[3] == 0 && b[4] != 0:
			return "little-endian UTF-16 without a byte-order mark"
		case b[0] == 0 && b[1] != 0 && b[2] == 0 && b[3] != 0 && b[4] == 0:
			return "big-endian UTF-16 without a byte-order mark"
		}
	}
	return ""
}

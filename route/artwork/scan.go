package artwork

// scanner cuts a file into its blocks: what stands before each '*', without the
// line breaks that may fall anywhere, inside words too. It keeps where every
// byte of the block came from, so that an error can point at it.
type scanner struct {
	src      []byte
	pos      int
	extended bool    // between two '%'
	text     []byte  // of the block, line breaks taken out
	at       []int32 // offset in src of each byte of text
	cut      int     // what ended the block: '*', '%', or 0 for the end of the file
	line     int     // of lineAt, 1-based
	lineAt   int     // offset at which line begins
}

// token is what next found.
type token int

const (
	tokenEnd     token = iota
	tokenBlock         // text and at hold it
	tokenOpen          // '%' that begins extended commands
	tokenClose         // '%' that ends them
	tokenTooLong       // a block beyond maxBlock
)

// maxBlock is the longest block accepted, in bytes: no command of the format
// comes near it, so a longer one is no artwork.
const maxBlock = 1 << 20

func newScanner(src []byte) scanner {
	s := scanner{src: src, line: 1}
	if len(src) >= 3 && src[0] == 0xEF && src[1] == 0xBB && src[2] == 0xBF {
		s.pos = 3 // byte-order mark
	}
	return s
}

func blank(c byte) bool { return c <= ' ' }

func lineBreak(c byte) bool { return c == '\n' || c == '\r' }

// next finds the next block or '%'. Each byte is looked at once.
func (s *scanner) next() token {
	for s.pos < len(s.src) && (blank(s.src[s.pos]) || s.src[s.pos] == '*') {
		s.pos++
	}
	if s.pos >= len(s.src) {
		return tokenEnd
	}
	if s.src[s.pos] == '%' {
		s.pos++
		s.extended = !s.extended
		if s.extended {
			return tokenOpen
		}
		return tokenClose
	}
	s.text, s.at, s.cut = s.text[:0], s.at[:0], 0
	fresh := false // the last byte was a line break
	for ; s.pos < len(s.src); s.pos++ {
		c := s.src[s.pos]
		switch {
		case c == '*':
			s.pos++
			s.cut = '*'
			return tokenBlock
		case c == '%' && (fresh || !s.comment()):
			s.cut = '%'
			return tokenBlock
		case lineBreak(c):
			fresh = true
			continue
		}
		fresh = false
		if len(s.text) == maxBlock {
			return tokenTooLong
		}
		s.text = append(s.text, c)
		s.at = append(s.at, int32(s.pos))
	}
	return tokenBlock
}

// comment reports whether the block collected so far is a comment, in which
// '%' is a character like any other.
func (s *scanner) comment() bool { return isComment(s.text) }

func isComment(b []byte) bool {
	if len(b) < 2 || (b[0] != 'G' && b[0] != 'g') {
		return false
	}
	if b[1] == '4' {
		return len(b) == 2 || b[2] < '0' || b[2] > '9'
	}
	return len(b) >= 3 && b[1] == '0' && b[2] == '4' && (len(b) == 3 || b[3] < '0' || b[3] > '9')
}

// position is the line and column of an offset, both from 1, the column in
// bytes. Offsets that do not go back to a line before, as those of blocks in turn,
// take linear time together; the others are looked for from the beginning.
func (s *scanner) position(offset int) (line, column int) {
	if offset < s.lineAt {
		s.line, s.lineAt = 1, 0
	}
	for i := s.lineAt; i < offset && i < len(s.src); i++ {
		c := s.src[i]
		if c == '\n' || c == '\r' && (i+1 >= len(s.src) || s.src[i+1] != '\n') {
			s.line++
			s.lineAt = i + 1
		}
	}
	return s.line, offset - s.lineAt + 1
}

// offset is where byte i of the block stands in the file; beyond its end, the
// place where the block was cut.
func (s *scanner) offset(i int) int {
	if i < len(s.at) {
		return int(s.at[i])
	}
	return min(s.pos, len(s.src))
}

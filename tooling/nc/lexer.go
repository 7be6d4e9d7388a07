package nc

import (
	"bytes"
	"fmt"
)

// maxCodes is how many G or M words one block may carry.
const maxCodes = 6

// code is one G or M word.
type code struct {
	num    int
	col    int // 0-based byte of the letter
	digits int // how many are written
}

// words is one block taken apart. Letters other than G and M appear once
// before and, for X, Y, Z and A, once after a canned word (G84, G85, G87).
type words struct {
	src      []byte
	seen     uint32 // bit per letter, A = 0
	seen2    uint32 // after a canned word
	val      [26]number
	val2     [26]number
	col      [26]int
	col2     [26]int
	g, m     [maxCodes]code
	ng, nm   int
	canned   code // num 0 for none
	deleted  bool // began with "/"
	percent  bool // "%" alone
	ident    []byte
	identCol int
	text     []byte // rest of the block after M47 or an M word with a comma
	comments [2]span
	ncomment int
	open     bool // a "(" without its ")"
	nulls    bool // a NUL byte was passed by
	comma    int  // 0-based byte of a comma that stands for a point, -1 for none
}

// span is a comment without its marks.
type span struct{ from, to int }

// has tells whether the letter stands in the block.
func (w *words) has(letter byte) bool { return w.seen&(1<<(letter-'A')) != 0 }

// has2 tells whether the letter stands behind the canned word.
func (w *words) has2(letter byte) bool { return w.seen2&(1<<(letter-'A')) != 0 }

// get returns the number of a letter.
func (w *words) get(letter byte) number { return w.val[letter-'A'] }

// lexError is a lexical mistake at a 0-based byte of the block.
type lexError struct {
	col      int
	err      error
	found    string
	expected string
}

// upper folds ASCII letters to upper case and leaves other bytes alone.
func upper(c byte) byte {
	if c >= 'a' && c <= 'z' {
		return c - 'a' + 'A'
	}
	return c
}

func isLetter(c byte) bool { return upper(c) >= 'A' && upper(c) <= 'Z' }

func isDigit(c byte) bool { return c >= '0' && c <= '9' }

// quoteByte renders what stands at b[i] for an error message.
func quoteByte(b []byte, i int) string {
	if i >= len(b) {
		return "the end of the line"
	}
	if b[i] < 0x20 || b[i] >= 0x7F {
		return fmt.Sprintf("byte 0x%02X", b[i])
	}
	return fmt.Sprintf("%q", string(b[i:i+1]))
}

// lex takes one line apart. The words refer to b.
func (w *words) lex(b []byte) *lexError {
	w.src = b
	w.seen, w.seen2, w.ng, w.nm, w.ncomment = 0, 0, 0, 0, 0
	w.canned = code{}
	w.deleted, w.percent, w.open, w.nulls, w.comma = false, false, false, false, -1
	w.ident, w.text = nil, nil
	first := true // nothing but a block number or "/" yet
	for i := 0; i < len(b); {
		c := b[i]
		switch {
		case c == ' ' || c == '\t' || c == fileMark:
			i++
			continue
		case c == 0:
			w.nulls = true
			i++
			continue
		case c == ';':
			w.comment(i+1, len(b))
			return nil
		case c == '(':
			end := i + 1
			for end < len(b) && b[end] != ')' {
				end++
			}
			w.comment(i+1, end)
			w.open = w.open || end == len(b)
			i = end + 1
			continue
		case c == '/' && first && !w.deleted:
			w.deleted = true
			i++
			continue
		case c == '%' && first:
			w.percent = true
			first = false
			i++
			continue
		case !isLetter(c) || w.percent:
			return &lexError{i, ErrSyntax, quoteByte(b, i), "a word, a comment or the end of the line"}
		}
		letter := upper(c)
		if letter == 'N' && first && i+1 < len(b) && isDigit(b[i+1]) {
			for i++; i < len(b) && isDigit(b[i]); i++ {
			}
			continue
		}
		if letter != 'X' && letter != 'Y' && letter != 'G' && i+1 < len(b) && (isLetter(b[i+1]) || b[i+1] == ',') {
			if !first {
				return &lexError{i, ErrSyntax, fmt.Sprintf("%q", clip(b[i:])), "a letter with a number"}
			}
			end := i
			for end < len(b) && b[end] != ';' {
				end++
			}
			w.ident, w.identCol = trimRight(b[i:end]), i
			if end < len(b) {
				w.comment(end+1, len(b))
			}
			return nil
		}
		first = false
		n, end, ok := parseNumber(b, i+1)
		if ok && commaPoint(b, end) && n.frac < 0 && bytes.IndexByte(decimalLetters, letter) >= 0 {
			w.comma = end
			n, end, ok = parseComma(b, i+1)
		}
		if !ok {
			return &lexError{i + 1, ErrNumber, quoteByte(b, end), fmt.Sprintf("a number of at most %d digits after %c", maxDigits, letter)}
		}
		if e := w.word(letter, i, n, b[i:end]); e != nil {
			return e
		}
		i = end
		comma := i < len(b) && b[i] == ','
		if letter == 'M' && (comma || n.mant == 47) {
			if comma {
				i++
			}
			w.text = b[i:]
			return nil
		}
	}
	return nil
}

// endsFirst tells whether a block that could not be taken apart begins with M30
// alone: what follows it stands after the end.
func (w *words) endsFirst() bool {
	return w.nm == 1 && w.m[0].num == 30 && w.m[0].digits == 2 && w.ng == 0 && w.seen == 0 && w.canned.num == 0
}

// decimalLetters take lengths and rates, which some writers give a comma for a
// point.
var decimalLetters = []byte("XYCAIJFSBZ")

// commaPoint tells whether a comma with a digit behind it stands at b[i].
func commaPoint(b []byte, i int) bool { return i+1 < len(b) && b[i] == ',' && isDigit(b[i+1]) }

// parseComma is parseNumber with a comma for the point.
func parseComma(b []byte, i int) (number, int, bool) {
	const longest = 2 * maxDigits // a number that is longer is none
	text := append([]byte(nil), b[i:min(len(b), i+longest)]...)
	text[bytes.IndexByte(text, ',')] = '.'
	n, end, ok := parseNumber(text, 0)
	return n, i + end, ok
}

// word stores one letter with its number.
func (w *words) word(letter byte, col int, n number, src []byte) *lexError {
	switch letter {
	case 'G', 'M':
		if n.frac >= 0 || n.neg || n.mant > 999 {
			return &lexError{col, ErrNumber, fmt.Sprintf("%q", clip(src)), fmt.Sprintf("%c with a whole number up to 999", letter)}
		}
		num := int(n.mant)
		if letter == 'G' && (num == 84 || num == 85 || num == 87) {
			if w.canned.num != 0 {
				return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), "one canned word in a block"}
			}
			w.canned = code{num, col, int(n.digits)}
			return nil
		}
		list, count := &w.g, &w.ng
		if letter == 'M' {
			list, count = &w.m, &w.nm
		}
		if letter == 'G' && w.seen&^(1<<('T'-'A')) != 0 {
			return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), "G words before the coordinates"}
		}
		if *count == maxCodes {
			return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), fmt.Sprintf("at most %d %c words in a block", maxCodes, letter)}
		}
		(*list)[*count] = code{num, col, int(n.digits)}
		*count++
		return nil
	}
	k := letter - 'A'
	if w.canned.num != 0 {
		if w.seen2&(1<<k) != 0 {
			return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), fmt.Sprintf("%c once", letter)}
		}
		w.seen2 |= 1 << k
		w.val2[k], w.col2[k] = n, col
		return nil
	}
	if w.seen&(1<<k) != 0 {
		return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), fmt.Sprintf("%c once in a block", letter)}
	}
	if letter == 'T' && (w.has('X') || w.has('Y')) {
		return &lexError{col, ErrSyntax, fmt.Sprintf("%q", clip(src)), "the tool before the coordinates"}
	}
	w.seen |= 1 << k
	w.val[k], w.col[k] = n, col
	return nil
}

// comment keeps the first two comments of a block; further ones stay in the
// source only.
func (w *words) comment(from, to int) {
	if w.ncomment < len(w.comments) {
		w.comments[w.ncomment] = span{from, to}
		w.ncomment++
	}
}

// trimRight drops blanks at the end.
func trimRight(b []byte) []byte {
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}

// clip shortens text for messages.
func clip(b []byte) string {
	const most = 40
	if len(b) > most {
		return string(b[:most]) + "..."
	}
	return string(b)
}

package artwork

import (
	"fmt"
	"strings"
)

// extendedNames are the two letters of the commands between '%' that are known.
const extendedNames = " FS MO AD AM AB SR LP LM LR LS TF TA TO TD IN LN IP AS OF SF MI IR KO IF PF RO IC "

// extendedName is the known command that a block begins with, or "".
func extendedName(b []byte) string {
	for len(b) > 0 && blank(b[0]) {
		b = b[1:]
	}
	if len(b) < 2 {
		return ""
	}
	name := strings.ToUpper(string(b[:2]))
	if strings.Contains(extendedNames, " "+name+" ") {
		return name
	}
	return ""
}

// extended does what a command between '%' says.
func (r *reader) extended(name string) error {
	skip := 0
	for blank(r.scan.text[skip]) {
		skip++
	}
	at := skip + 2
	rest := r.scan.text[at:]
	switch name {
	case "FS":
		return r.format(rest, at)
	case "MO":
		word := strings.ToUpper(compact(rest))
		if word != "MM" && word != "IN" {
			return r.failHere(at, ErrUnits, excerpt(rest), "MM or IN")
		}
		return r.units(word == "IN", "MO"+word, at)
	case "AD":
		return r.define(rest, at)
	case "AM":
		r.macro = true
		macro := compact(rest)
		r.note("macro-skipped", "an aperture macro is not read: its strokes and flashes have no size", at)
		r.macros[macro] = true
		return nil
	case "AB":
		return r.blockCommand(rest, at)
	case "SR":
		return r.repeat(rest, at)
	case "LP":
		switch strings.ToUpper(compact(rest)) {
		case "D":
			r.clear = false
		case "C":
			r.clear = true
		default:
			return r.failHere(at, ErrSyntax, excerpt(rest), "D or C")
		}
		return nil
	case "LM", "LR", "LS":
		return r.loadTransform(name, rest, at)
	case "TF", "TA", "TO", "TD":
		r.attributeCommand(name[1], string(rest), at)
		return nil
	}
	return r.deprecated(name, rest, at)
}

// compact is a text without its blanks.
func compact(b []byte) string {
	var s strings.Builder
	for _, c := range b {
		if !blank(c) {
			s.WriteByte(c)
		}
	}
	return s.String()
}

// deprecated takes the commands that the format still knows but that nobody
// should write: those that name things are passed over, those that move or
// scale the image are refused unless they leave it as it is.
func (r *reader) deprecated(name string, rest []byte, at int) error {
	word := strings.ToUpper(compact(rest))
	plain := false
	expected := "the image as its coordinates say"
	switch name {
	case "IN", "LN", "PF", "IC":
		plain = true
	case "IP":
		if word == "NEG" {
			r.note("image-negative", "the image is called negative: its strokes are read as they are drawn", at)
			return nil
		}
		plain = word == "POS" || word == ""
	case "AS":
		plain = word == "AXBY" || word == ""
	case "OF", "MI":
		plain = pairIs(word, 0)
	case "SF":
		plain = pairIs(word, 1)
	case "IR":
		v, ok := decimal([]byte(word))
		plain = word == "" || ok && v == 0
	case "IF":
		expected = "all of the image in one file"
	}
	if !plain {
		return r.failHere(at, ErrUnsupported, fmt.Sprintf("%s %s", name, excerpt(rest)), expected)
	}
	r.note("deprecated", "names of image or layer, and settings that change nothing, are not used", at)
	return nil
}

// pairIs reports whether a word such as A1B1 sets both axes to v. An axis that it
// leaves out keeps its default, which is v.
func pairIs(word string, v float64) bool {
	for word != "" {
		if word[0] != 'A' && word[0] != 'B' {
			return false
		}
		word = word[1:]
		end := strings.IndexAny(word, "AB")
		if end < 0 {
			end = len(word)
		}
		if x, ok := decimal([]byte(word[:end])); !ok || x != v {
			return false
		}
		word = word[end:]
	}
	return true
}

// unknown passes over a command that is not known.
func (r *reader) unknown() error {
	r.note("unknown-command", "a command between '%' is not known and not used", 0)
	return nil
}

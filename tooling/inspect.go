package tooling

import (
	"bytes"
	"encoding"
	"encoding/json"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// maxNesting bounds how deep a configuration file may nest.
const maxNesting = 100

// inspector walks JSON text beside the type it is meant for and finds what
// encoding/json lets pass in silence: a key given twice (the last one wins
// there), a key in other letter case, a point with one or three numbers, null
// for a number, text that is not UTF-8. It also knows the full path of a fault, with indices.
type inspector struct {
	src  []byte
	file string
	dec  *json.Decoder
	path []string // "name" or "[3]"
}

// inspect reports the first fault of src as text for a value of type t, or
// nil. The syntax must already be known to be good.
func inspect(src []byte, file string, t reflect.Type) error {
	in := inspector{src: src, file: file, dec: json.NewDecoder(bytes.NewReader(src))}
	in.dec.UseNumber()
	return in.value(t)
}

// checkText reports the first byte that is not UTF-8.
func checkText(src []byte, file string) error {
	for i := 0; i < len(src); {
		r, n := utf8.DecodeRune(src[i:])
		if r == utf8.RuneError && n == 1 {
			in := inspector{src: src, file: file}
			return in.fault(int64(i), fmt.Sprintf("byte 0x%02x", src[i]), "UTF-8 text")
		}
		i += n
	}
	return nil
}

func (in *inspector) fault(at int64, found, expected string) *InputError {
	line, column := position(in.src, at)
	return &InputError{
		Source: Source{File: in.file, Line: line, Column: column, Path: in.where()},
		Found:  found, Expected: expected, Err: ErrSyntax,
	}
}

func (in *inspector) where() string {
	var b strings.Builder
	for _, s := range in.path {
		if b.Len() > 0 && s[0] != '[' {
			b.WriteByte('.')
		}
		b.WriteString(s)
	}
	return b.String()
}

// next returns the offset of the next token's first byte.
func (in *inspector) next() int64 {
	at := in.dec.InputOffset()
	for at < int64(len(in.src)) && strings.IndexByte(" \t\r\n,:", in.src[at]) >= 0 {
		at++
	}
	return at
}

var (
	jsonType = reflect.TypeFor[json.Unmarshaler]()
	textType = reflect.TypeFor[encoding.TextUnmarshaler]()
)

// plain strips pointers; it returns nil for types whose text the walker does
// not judge: interfaces and those that read themselves.
func plain(t reflect.Type) reflect.Type {
	for t != nil {
		p := reflect.PointerTo(t)
		if t.Kind() == reflect.Interface || p.Implements(jsonType) || p.Implements(textType) {
			return nil
		}
		if t.Kind() != reflect.Pointer {
			return t
		}
		t = t.Elem()
	}
	return nil
}

func (in *inspector) value(t reflect.Type) error {
	at := in.next()
	if len(in.path) > maxNesting {
		return in.fault(at, "deeper nesting", fmt.Sprintf("at most %d levels", maxNesting))
	}
	may := t == nil || t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Map // be null
	t = plain(t)
	token, err := in.dec.Token()
	if err != nil {
		return syntax(in.src, in.file, err, in.dec.InputOffset())
	}
	switch v := token.(type) {
	case json.Delim:
		if v == '{' {
			return in.object(at, t)
		}
		return in.list(at, t)
	case json.Number:
		return in.number(at, t, string(v))
	case string:
		if t != nil && t.Kind() != reflect.String && !(t.Kind() == reflect.Slice && t.Elem().Kind() == reflect.Uint8) {
			return in.fault(at, "text", wanted(t))
		}
	case bool:
		if t != nil && t.Kind() != reflect.Bool {
			return in.fault(at, strconv.FormatBool(v), wanted(t))
		}
	case nil:
		if t != nil && !may {
			return in.fault(at, "null", wanted(t)+", or no such key")
		}
	}
	return nil
}

func (in *inspector) object(at int64, t reflect.Type) error {
	var fields map[string]reflect.Type
	var elem reflect.Type
	switch {
	case t == nil:
	case t.Kind() == reflect.Struct:
		fields = jsonFields(t)
	case t.Kind() == reflect.Map:
		elem = t.Elem()
	default:
		return in.fault(at, "an object", wanted(t))
	}
	seen := make(map[string]int64)
	for in.dec.More() {
		at := in.next()
		token, err := in.dec.Token()
		if err != nil {
			return syntax(in.src, in.file, err, in.dec.InputOffset())
		}
		key, _ := token.(string)
		in.path = append(in.path, printable(key))
		if first, ok := seen[key]; ok {
			line, column := position(in.src, first)
			again := in.fault(at, "the key again", fmt.Sprintf("one value; it is given at line %d, column %d", line, column))
			again.Err = ErrDuplicate
			return again
		}
		seen[key] = at
		want := elem
		if fields != nil {
			f, ok := fields[key]
			if !ok {
				return in.fault(at, "an unknown key", "one of "+known(fields))
			}
			want = f
		}
		if err := in.value(want); err != nil {
			return err
		}
		in.path = in.path[:len(in.path)-1]
	}
	_, err := in.dec.Token()
	return err
}

func (in *inspector) list(at int64, t reflect.Type) error {
	var elem reflect.Type
	switch {
	case t == nil:
	case t.Kind() == reflect.Slice, t.Kind() == reflect.Array:
		elem = t.Elem()
	default:
		return in.fault(at, "a list", wanted(t))
	}
	n := 0
	for in.dec.More() {
		in.path = append(in.path, "["+strconv.Itoa(n)+"]")
		if err := in.value(elem); err != nil {
			return err
		}
		in.path = in.path[:len(in.path)-1]
		n++
	}
	if t != nil && t.Kind() == reflect.Array && n != t.Len() {
		return in.fault(at, fmt.Sprintf("a list of %d", n), wanted(t))
	}
	_, err := in.dec.Token()
	return err
}

func (in *inspector) number(at int64, t reflect.Type, text string) error {
	if t == nil {
		return nil
	}
	var err error
	switch t.Kind() {
	case reflect.Float32, reflect.Float64:
		_, err = strconv.ParseFloat(text, t.Bits())
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		_, err = strconv.ParseInt(text, 10, t.Bits())
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		_, err = strconv.ParseUint(text, 10, t.Bits())
	default:
		return in.fault(at, "the number "+text, wanted(t))
	}
	if err != nil {
		return in.fault(at, "the number "+text, wanted(t)+" of the usual range")
	}
	return nil
}

// wanted says in words what JSON a type is written as.
func wanted(t reflect.Type) string {
	switch t.Kind() {
	case reflect.Struct, reflect.Map:
		return "an object"
	case reflect.Slice:
		return "a list"
	case reflect.Array:
		return fmt.Sprintf("a list of exactly %d", t.Len())
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	case reflect.Float32, reflect.Float64:
		return "a number"
	}
	return "a whole number"
}

// jsonFields returns the keys of a struct and their types.
func jsonFields(t reflect.Type) map[string]reflect.Type {
	fields := make(map[string]reflect.Type)
	for _, f := range reflect.VisibleFields(t) {
		name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case !f.IsExported(), f.Tag.Get("json") == "-", f.Anonymous && name == "":
			continue
		case name == "":
			name = f.Name
		}
		fields[name] = f.Type
		if strings.Contains(options, "string") {
			fields[name] = nil
		}
	}
	return fields
}

func known(fields map[string]reflect.Type) string {
	keys := make([]string, 0, len(fields))
	for k := range fields {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return strings.Join(keys, ", ")
}

// printable keeps a hostile key from flooding or breaking a message.
func printable(key string) string {
	if q := quote(key); q != `"`+key+`"` || key == "" || key[0] == '[' {
		return q
	}
	return key
}

// quote puts text from a file in quotes, shortened and with escapes.
func quote(s string) string {
	const most = 40
	if len(s) > most {
		s = strings.ToValidUTF8(s[:most], "") + "..."
	}
	return strconv.Quote(s)
}

package tooling

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
)

// maxJSON bounds a configuration file, in bytes.
const maxJSON = 64 << 20

// Decode reads one JSON value into dst, strictly. Errors are: unknown keys (in
// any other letter case too), a key given twice, a point without exactly two
// numbers, null for a number, text or object, numbers that do not fit, bytes
// that are not UTF-8 and text after the value. Each is an [*InputError] with
// file, line, column and JSON path; it wraps [ErrSyntax], or [ErrDuplicate]
// for a repeated key. Fields absent from src keep the value dst had, so that a
// file may override defaults; after an error dst is not to be used.
func Decode(src []byte, file string, dst any) error {
	if len(src) > maxJSON {
		return &InputError{Source: Source{File: file}, Err: ErrSyntax, Found: fmt.Sprintf("%d bytes", len(src)), Expected: fmt.Sprintf("at most %d", maxJSON)}
	}
	if err := checkText(src, file); err != nil {
		return err
	}
	var raw json.RawMessage // checks the syntax of the whole text
	if err := json.Unmarshal(src, &raw); err != nil {
		return syntax(src, file, err, 0)
	}
	if err := inspect(src, file, reflect.TypeOf(dst)); err != nil {
		return err
	}
	if err := json.Unmarshal(src, dst); err != nil {
		return syntax(src, file, err, 0)
	}
	return nil
}

// DecodeSchema is [Decode] for a value that carries its version under the key
// "schema". Another version than want is refused before anything else is looked
// at: an [*InputError] wrapping [ErrSchema], or [ErrMissing] where there is none.
func DecodeSchema(src []byte, file string, want int, dst any) error {
	var head struct {
		Schema *json.Number `json:"schema"`
	}
	if len(src) <= maxJSON && json.Unmarshal(src, &head) == nil { // faults are reported by Decode below
		at := Source{File: file, Path: "schema"}
		switch {
		case head.Schema == nil:
			return &InputError{Source: at, Err: ErrMissing, Expected: fmt.Sprintf("the version, %d", want)}
		case *head.Schema != json.Number(fmt.Sprint(want)):
			return &InputError{Source: at, Err: ErrSchema, Found: head.Schema.String(), Expected: fmt.Sprintf("version %d", want)}
		}
	}
	return Decode(src, file, dst)
}

func syntax(src []byte, file string, err error, offset int64) error {
	var own *InputError
	if errors.As(err, &own) && own.Source.File == "" { // from a type that reads itself, which knows neither file nor line
		inner := *own
		inner.Source.File, inner.Source.Line, inner.Source.Column = file, 0, 0
		return &inner
	}
	out := &InputError{Source: Source{File: file}, Err: ErrSyntax, Found: err.Error()}
	var se *json.SyntaxError
	var te *json.UnmarshalTypeError
	switch {
	case errors.As(err, &se):
		offset, out.Expected = se.Offset-1, "one JSON value" // Offset counts the offending byte
	case errors.As(err, &te):
		offset = te.Offset
		out.Source.Path, out.Found, out.Expected = te.Field, te.Value, "a value of type "+te.Type.String()
	}
	out.Source.Line, out.Source.Column = position(src, offset)
	return out
}

// position turns the index of a byte into line and column, both from 1.
func position(src []byte, offset int64) (line, column int) {
	before := src[:min(max(offset, 0), int64(len(src)))]
	line = bytes.Count(before, []byte{'\n'}) + 1
	column = len(before) - bytes.LastIndexByte(before, '\n')
	return line, column
}

// LoadCrib reads and validates a crib from JSON: {"tools": [...]}. Errors are
// [*InputError] or [InputErrors] that name the file and JSON path.
func LoadCrib(src []byte, file string) (Crib, error) {
	var c Crib
	if err := Decode(src, file, &c); err != nil {
		return Crib{}, err
	}
	v := Validation{File: file}
	c.validate(&v, "")
	if err := v.Err(); err != nil {
		return Crib{}, err
	}
	return c, nil
}

// LoadRules reads rules from JSON over [DefaultRules] and validates them. A
// table given replaces the default table whole. Errors as for [LoadCrib].
func LoadRules(src []byte, file string) (Rules, error) {
	r := DefaultRules()
	var tables struct {
		Feeds *json.RawMessage `json:"feeds"`
		Life  *json.RawMessage `json:"life"`
	}
	if json.Unmarshal(src, &tables) == nil { // faults are reported by Decode below
		if tables.Feeds != nil {
			r.Feeds = FeedTable{}
		}
		if tables.Life != nil {
			r.Life = LifeTable{}
		}
	}
	if err := Decode(src, file, &r); err != nil {
		return Rules{}, err
	}
	v := Validation{File: file}
	r.validate(&v, "")
	if err := v.Err(); err != nil {
		return Rules{}, err
	}
	return r, nil
}

// LoadPanel reads and validates a panel from JSON; its lengths are snapped to
// whole nanometres. Errors as for [LoadCrib].
func LoadPanel(src []byte, file string) (Panel, error) {
	var p Panel
	if err := Decode(src, file, &p); err != nil {
		return Panel{}, err
	}
	v := Validation{File: file}
	p.validate(&v, "")
	if err := v.Err(); err != nil {
		return Panel{}, err
	}
	return p.snapped(), nil
}

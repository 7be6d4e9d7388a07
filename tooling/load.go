package tooling

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
)

// maxJSON bounds a configuration file, in bytes.
const maxJSON = 64 << 20

// Decode reads one JSON value into dst, strictly: unknown keys, trailing text
// and numbers that do not fit are errors. The error is an [*InputError] with
// file, line, column and, where JSON knows it, the path; it wraps
// [ErrSyntax]. Fields absent from src keep the value dst had, so that a file
// may override defaults.
func Decode(src []byte, file string, dst any) error {
	if len(src) > maxJSON {
		return &InputError{Source: Source{File: file}, Err: ErrSyntax, Found: fmt.Sprintf("%d bytes", len(src)), Expected: fmt.Sprintf("at most %d", maxJSON)}
	}
	dec := json.NewDecoder(bytes.NewReader(src))
	dec.DisallowUnknownFields()
	if err := dec.Decode(dst); err != nil {
		return syntax(src, file, err, dec.InputOffset())
	}
	if _, err := dec.Token(); !errors.Is(err, io.EOF) {
		line, column := position(src, dec.InputOffset())
		return &InputError{
			Source: Source{File: file, Line: line, Column: column}, Err: ErrSyntax,
			Found: "more text", Expected: "the end of the file",
		}
	}
	return nil
}

func syntax(src []byte, file string, err error, offset int64) error {
	out := &InputError{Source: Source{File: file}, Err: ErrSyntax, Found: err.Error()}
	var se *json.SyntaxError
	var te *json.UnmarshalTypeError
	switch {
	case errors.As(err, &se):
		offset = se.Offset
	case errors.As(err, &te):
		offset = te.Offset
		out.Source.Path, out.Found, out.Expected = te.Field, te.Value, "a value of type "+te.Type.String()
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		offset = int64(len(src))
		out.Found, out.Expected = "the end of the file", "a complete JSON value"
	}
	out.Source.Line, out.Source.Column = position(src, offset)
	return out
}

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
	return c, v.Err()
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
	return r, v.Err()
}

// LoadPanel reads and validates a panel from JSON. Errors as for [LoadCrib].
func LoadPanel(src []byte, file string) (Panel, error) {
	var p Panel
	if err := Decode(src, file, &p); err != nil {
		return Panel{}, err
	}
	v := Validation{File: file}
	p.validate(&v, "")
	return p, v.Err()
}

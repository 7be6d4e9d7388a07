package sheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"reflect"
)

// WriteJSON writes the sheet as one indented JSON object, see [Sheet] for its
// keys. Numbers are rounded to six decimals, so that the last bits of a
// processor's arithmetic never show, and lists are never null. It returns an
// error for numbers that JSON cannot hold (NaN, infinities), before anything is
// written, or the error of w.
func (s *Sheet) WriteJSON(w io.Writer) error {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetIndent("", "  ")
	e.SetEscapeHTML(false)
	if err := e.Encode(tidy(reflect.ValueOf(*s)).Interface()); err != nil {
		return fmt.Errorf("sheet: job %q: %w", s.Job, err)
	}
	_, err := w.Write(b.Bytes())
	return err
}

// tidy copies a value with its numbers rounded and its nil lists made empty.
func tidy(v reflect.Value) reflect.Value {
	c := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Float64:
		c.SetFloat(round6(v.Float()))
	case reflect.Struct:
		for i := range v.NumField() {
			c.Field(i).Set(tidy(v.Field(i)))
		}
	case reflect.Slice:
		c.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			c.Index(i).Set(tidy(v.Index(i)))
		}
	case reflect.Array:
		for i := range v.Len() {
			c.Index(i).Set(tidy(v.Index(i)))
		}
	default:
		c.Set(v)
	}
	return c
}

// round6 rounds to six decimals where that is more than the number's own
// precision.
func round6(v float64) float64 {
	if math.Abs(v) >= 1e9 || math.IsNaN(v) {
		return v
	}
	return math.Round(v*1e6) / 1e6
}

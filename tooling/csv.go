package tooling

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// LoadFeedsCSV reads and validates a feed table from comma separated text
// (RFC 4180). The first row names the columns, in any order, by the JSON keys
// of [FeedRow]; empty cells are zero.
// Errors are [*InputError] or [InputErrors] that name file, line and
// "rows[i].column".
func LoadFeedsCSV(src []byte, file string) (FeedTable, error) {
	rows, lines, err := DecodeRows[FeedRow](src, file, maxTools)
	if err != nil {
		return FeedTable{}, err
	}
	t := FeedTable{Rows: rows}
	v := Validation{File: file}
	t.validate(&v, "")
	if err := withLines(v.Errs, lines); err != nil {
		return FeedTable{}, err
	}
	return t, nil
}

// LoadLifeCSV reads and validates a life table as [LoadFeedsCSV] does, by the
// JSON keys of [LifeRow]. Fall and factors do not fit into rows: they are set
// on the result; without them no depth past a diameter's last row is allowed.
func LoadLifeCSV(src []byte, file string) (LifeTable, error) {
	rows, lines, err := DecodeRows[LifeRow](src, file, maxTools)
	if err != nil {
		return LifeTable{}, err
	}
	t := LifeTable{Rows: rows}
	v := Validation{File: file}
	t.validate(&v, "")
	if err := withLines(v.Errs, lines); err != nil {
		return LifeTable{}, err
	}
	return t, nil
}

// CSV returns the rows as [LoadFeedsCSV] reads them.
func (t FeedTable) CSV() []byte { return writeRows(t.Rows) }

// CSV returns the rows as [LoadLifeCSV] reads them; fall and factors are not
// in it.
func (t LifeTable) CSV() []byte { return writeRows(t.Rows) }

// withLines adds the line of its row to each error and sorts by it.
func withLines(list InputErrors, lines []int) error {
	for _, e := range list {
		e.Source.Path = strings.TrimPrefix(e.Source.Path, ".")
		var row int
		if n, _ := fmt.Sscanf(e.Source.Path, "rows[%d]", &row); n == 1 {
			e.Source.Line = lines[row]
		}
	}
	slices.SortStableFunc(list, func(a, b *InputError) int { return cmp.Compare(a.Source.Line, b.Source.Line) })
	return list.Err()
}

// column is one column of a table: its name and the field it fills.
type column struct {
	name  string
	field int
}

// columnsOf returns the columns of a row type, in the order of its fields.
func columnsOf[R any]() []column {
	t := reflect.TypeFor[R]()
	var out []column
	for i := range t.NumField() {
		if name, _, _ := strings.Cut(t.Field(i).Tag.Get("json"), ","); name != "" && name != "-" {
			out = append(out, column{name, i})
		}
	}
	return out
}

// DecodeRows reads comma separated text (RFC 4180) into rows of R, a struct
// whose exported fields are text, numbers or whole numbers, and returns the
// line each row stands on. The first row names the columns, in any order, by
// the JSON keys of R; fields without one, or with "-", have no column; empty
// cells are zero. At most limit rows are read. Errors are [*InputError] with
// file, line, column and "rows[i].column", wrapping [ErrSyntax],
// [ErrDuplicate] or, for too many rows, [ErrValue].
func DecodeRows[R any](src []byte, file string, limit int) (rows []R, lines []int, err error) {
	if len(src) > maxJSON {
		return nil, nil, &InputError{Source: Source{File: file}, Err: ErrSyntax, Found: fmt.Sprintf("%d bytes", len(src)), Expected: fmt.Sprintf("at most %d", maxJSON)}
	}
	if err := checkText(src, file); err != nil {
		return nil, nil, err
	}
	r := csv.NewReader(bytes.NewReader(src))
	r.TrimLeadingSpace = true
	head, err := r.Read()
	if err != nil {
		return nil, nil, csvFault(err, file, "a row of column names")
	}
	columns, err := header(head, columnsOf[R](), r, file)
	if err != nil {
		return nil, nil, err
	}
	for {
		cells, err := r.Read()
		if errors.Is(err, io.EOF) {
			return rows, lines, nil
		}
		if err != nil {
			return nil, nil, csvFault(err, file, fmt.Sprintf("%d cells", len(columns)))
		}
		line, _ := r.FieldPos(0)
		if len(rows) >= limit {
			return nil, nil, &InputError{Source: Source{File: file, Line: line}, Err: ErrValue, Found: "one more row", Expected: fmt.Sprintf("at most %d rows", limit)}
		}
		var row R
		for i, cell := range cells {
			if expected := fill(reflect.ValueOf(&row).Elem().Field(columns[i].field), cell); expected != "" {
				line, at := r.FieldPos(i)
				return nil, nil, &InputError{
					Source: Source{File: file, Line: line, Column: at, Path: index("rows", len(rows)) + "." + columns[i].name},
					Found:  quote(cell), Expected: expected, Err: ErrSyntax,
				}
			}
		}
		rows, lines = append(rows, row), append(lines, line)
	}
}

// header matches the first row with the columns of a table.
func header(head []string, all []column, r *csv.Reader, file string) ([]column, error) {
	var out []column
	for i, cell := range head {
		line, at := r.FieldPos(i)
		fault := &InputError{Source: Source{File: file, Line: line, Column: at}, Found: "column " + quote(cell), Err: ErrSyntax}
		found := false
		for _, c := range all {
			if c.name == strings.TrimSpace(cell) {
				out, found = append(out, c), true
			}
		}
		if !found {
			names := make([]string, len(all))
			for k, c := range all {
				names[k] = c.name
			}
			fault.Expected = "one of " + strings.Join(names, ", ")
			return nil, fault
		}
		for _, c := range out[:len(out)-1] {
			if c == out[len(out)-1] {
				fault.Err, fault.Expected = ErrDuplicate, "each column once"
				return nil, fault
			}
		}
	}
	return out, nil
}

// fill sets a field from a cell; it returns what it expected when it cannot.
func fill(field reflect.Value, cell string) (expected string) {
	if field.Kind() == reflect.String {
		field.SetString(cell)
		return ""
	}
	if cell = strings.TrimSpace(cell); cell == "" {
		return ""
	}
	if field.CanInt() {
		n, err := strconv.ParseInt(cell, 10, field.Type().Bits())
		if err != nil {
			return "a whole number"
		}
		field.SetInt(n)
		return ""
	}
	x, err := strconv.ParseFloat(cell, 64)
	if err != nil || strings.ContainsAny(cell, "_xXpPnN") { // plain decimals only, as in JSON
		return "a number"
	}
	field.SetFloat(x)
	return ""
}

func csvFault(err error, file, expected string) error {
	out := &InputError{Source: Source{File: file}, Found: err.Error(), Expected: expected, Err: ErrSyntax}
	var pe *csv.ParseError
	switch {
	case errors.As(err, &pe):
		out.Source.Line, out.Source.Column, out.Found = pe.Line, pe.Column, pe.Err.Error()
	case errors.Is(err, io.EOF):
		out.Source.Line, out.Found = 1, "the end of the file"
	}
	return out
}

func writeRows[R any](rows []R) []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b) // writes to memory cannot fail
	columns := columnsOf[R]()
	cells := make([]string, len(columns))
	for i, c := range columns {
		cells[i] = c.name
	}
	_ = w.Write(cells)
	for _, row := range rows {
		for i, c := range columns {
			switch f := reflect.ValueOf(row).Field(c.field); f.Kind() {
			case reflect.String:
				cells[i] = f.String()
			default:
				cells[i] = strconv.FormatFloat(f.Float(), 'f', -1, 64)
			}
		}
		_ = w.Write(cells)
	}
	w.Flush()
	return b.Bytes()
}

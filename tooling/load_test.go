package tooling_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"example.org/pinstack/tooling"
)

// places strips the marks § from a text and returns it with the line and
// column (in bytes, from 1) of the first.
func places(marked string) (text string, line, column int) {
	before, after, _ := strings.Cut(marked, "§")
	return before + after, strings.Count(before, "\n") + 1, len(before) - strings.LastIndexByte(before, '\n')
}

const goodTool = `{"id": "B1", "kind": "bit", "diameter_mm": 1, "flute_mm": 10, "price": 1}`

func TestDecodeRefuses(t *testing.T) {
	for _, row := range []struct {
		name, reason string
		src          string // § stands before the byte the error points at
		path         string
		want         error
		expected     string
	}{
		{"empty", "no value at all", `§`, "", tooling.ErrSyntax, "one JSON value"},
		{"cut off", "the file ends early", "{\"tools\": [\n" + goodTool + "§,", "", tooling.ErrSyntax, "one JSON value"},
		{"trailing", "a second value after the first", `{"tools": []} §{}`, "", tooling.ErrSyntax, "one JSON value"},
		{"not JSON", "broken text", "{\n  §tools: []}", "", tooling.ErrSyntax, "one JSON value"},
		{"unknown key", "a misspelt key is not ignored", `{"tools": [{§"diametre_mm": 1}]}`, "tools[0].diametre_mm", tooling.ErrSyntax, "diameter_mm"},
		{"other case", "keys are exact", `{§"Tools": []}`, "Tools", tooling.ErrSyntax, "one of tools"},
		{"repeated key", "the last would win in silence", "{\"tools\": [" + goodTool + ",\n{\"id\": \"B2\", \"diameter_mm\": 1,\n §\"diameter_mm\": 2}]}", "tools[1].diameter_mm", tooling.ErrDuplicate, "line 2"},
		{"text for number", "a quoted number", `{"tools": [{"diameter_mm": §"1"}]}`, "tools[0].diameter_mm", tooling.ErrSyntax, "a number"},
		{"number for text", "a bare name", `{"tools": [{"id": §7}]}`, "tools[0].id", tooling.ErrSyntax, "text"},
		{"bool for list", "wrong kind", `{"tools": §true}`, "tools", tooling.ErrSyntax, "a list"},
		{"list for object", "wrong kind", `{"tools": [§[]]}`, "tools[0]", tooling.ErrSyntax, "an object"},
		{"object for number", "wrong kind", `{"tools": [{"price": §{}}]}`, "tools[0].price", tooling.ErrSyntax, "a number"},
		{"beyond float64", "1e999 is not infinity", `{"tools": [{"price": §1e999}]}`, "tools[0].price", tooling.ErrSyntax, "usual range"},
		{"fraction for count", "half a piece", `{"tools": [{"stock": §0.5}]}`, "tools[0].stock", tooling.ErrSyntax, "a whole number"},
		{"not UTF-8", "would be replaced in silence", "{\"tools\": [{\"id\": \"B§\xff\"}]}", "", tooling.ErrSyntax, "UTF-8"},
		{"null for a number", "would leave the default in silence", `{"tools": [{"price": §null}]}`, "tools[0].price", tooling.ErrSyntax, "a number, or no such key"},
		{"null for a tool", "would be an empty one", `{"tools": [§null]}`, "tools[0]", tooling.ErrSyntax, "an object"},
		{"top is a list", "wrong kind", `§[]`, "", tooling.ErrSyntax, "an object"},
		{"odd key", "a key that is no name is quoted", `{§"a\nb": 1}`, `"a\nb"`, tooling.ErrSyntax, "tools"},
	} {
		t.Run(row.name, func(t *testing.T) {
			src, line, column := places(row.src)
			_, err := tooling.LoadCrib([]byte(src), "crib.json")
			var e *tooling.InputError
			if !errors.As(err, &e) || !errors.Is(err, row.want) {
				t.Fatalf("%s: got %v, want an InputError of %v", row.reason, err, row.want)
			}
			want := tooling.Source{File: "crib.json", Line: line, Column: column, Path: row.path}
			if diff := cmp.Diff(want, e.Source); diff != "" {
				t.Errorf("%s (-want +got):\n%s%v", row.reason, diff, err)
			}
			if !strings.Contains(e.Expected, row.expected) {
				t.Errorf("got expected %q, want it to say %q", e.Expected, row.expected)
			}
		})
	}
}

func TestDecodePoints(t *testing.T) {
	for _, row := range []struct{ src, found string }{
		{`{"at": §[1]}`, "a list of 1"},
		{`{"at": §[1, 2, 3]}`, "a list of 3"},
	} {
		src, _, column := places(row.src)
		var dst struct {
			At [2]float64 `json:"at"`
		}
		err := tooling.Decode([]byte(src), "p.json", &dst)
		want := &tooling.InputError{
			Source: tooling.Source{File: "p.json", Line: 1, Column: column, Path: "at"}, Found: row.found, Expected: "a list of exactly 2", Err: tooling.ErrSyntax,
		}
		var got *tooling.InputError
		if !errors.As(err, &got) {
			t.Fatalf("%s: got %v", row.src, err)
		}
		if got.Source != want.Source || got.Found != want.Found || got.Expected != want.Expected {
			t.Errorf("%s: got %v, want %v", row.src, got, want)
		}
	}
}

// anything has a field of every shape the walker knows.
type anything struct {
	Embedded
	Raw    any                `json:"raw"`
	Named  map[string]float64 `json:"named"`
	Bytes  []byte             `json:"bytes"`
	Ptr    *float64           `json:"ptr"`
	Flag   bool               `json:"flag"`
	Small  uint8              `json:"small"`
	Quoted int                `json:"quoted,string"`
	Plain  string
	Hidden string `json:"-"`
}

// Embedded is promoted into anything.
type Embedded struct {
	Inner int `json:"inner"`
}

func TestDecodeShapes(t *testing.T) {
	two := 2.0
	src := `{"inner": 1, "raw": {"x": [1, "y", null]}, "named": {"a": 1, "A": 2}, "bytes": "aGk=", "ptr": 2, "flag": true,
		"small": 255, "quoted": "5", "Plain": "z"}`
	var got anything
	if err := tooling.Decode([]byte(src), "", &got); err != nil {
		t.Fatal(err)
	}
	want := anything{
		Embedded: Embedded{1}, Raw: map[string]any{"x": []any{1.0, "y", nil}}, Named: map[string]float64{"a": 1, "A": 2},
		Bytes: []byte("hi"), Ptr: &two, Flag: true, Small: 255, Quoted: 5, Plain: "z",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got):\n%s", diff)
	}
	for _, bad := range []string{
		`{"small": 256}`, `{"small": -1}`, `{"flag": 1}`, `{"flag": "no"}`, `{"ptr": []}`, `{"Hidden": "x"}`, `{"raw": {"x": 1, "x": 2}}`,
		`{"named": {"a": 1, "a": 1}}`, `{"named": {"a": "b"}}`, `{"named": 3}`, `{"quoted": "five"}`, `{"bytes": "?"}`, `{"": 1}`,
		`{"` + strings.Repeat("k", 1000) + `": 1}`,
		`{"raw": ` + strings.Repeat("[", 200) + strings.Repeat("]", 200) + `}`,
		`{"raw": ` + strings.Repeat("[", 20_000) + strings.Repeat("]", 20_000) + `}`,
	} {
		err := tooling.Decode([]byte(bad), "x.json", new(anything))
		if !errors.Is(err, tooling.ErrSyntax) && !errors.Is(err, tooling.ErrDuplicate) {
			t.Errorf("%.60s: got %v", bad, err)
		}
		if err != nil && len(err.Error()) > 2000 {
			t.Errorf("%.60s: message of %d bytes", bad, len(err.Error()))
		}
	}
	if err := tooling.Decode([]byte(`{"ptr": null, "named": null, "bytes": null, "raw": null}`), "", new(anything)); err != nil {
		t.Errorf("null where there may be nothing: %v", err)
	}
	if _, err := tooling.LoadRules([]byte(`{"life": null}`), "rules.json"); !errors.Is(err, tooling.ErrSyntax) {
		t.Errorf("no life table: got %v", err)
	}
	var nothing any
	if err := tooling.Decode([]byte(`{"a": [1]}`), "", &nothing); err != nil {
		t.Errorf("into any: %v", err)
	}
}

func TestDecodeTooLong(t *testing.T) {
	if testing.Short() {
		t.Skip("64 MiB of text")
	}
	err := tooling.Decode(make([]byte, 64<<20+1), "big.json", new(anything))
	if !errors.Is(err, tooling.ErrSyntax) || !strings.Contains(err.Error(), "at most 67108864") {
		t.Errorf("got %v", err)
	}
}

// strict reads itself and hands on its own typed error.
type strict struct{}

func (s *strict) UnmarshalJSON([]byte) error {
	return &tooling.InputError{Source: tooling.Source{Path: "inner"}, Err: tooling.ErrValue}
}

func TestDecodeKeepsTypedErrors(t *testing.T) {
	err := tooling.Decode([]byte(`{"s": 1}`), "s.json", &struct {
		S strict `json:"s"`
	}{})
	var e *tooling.InputError
	if !errors.As(err, &e) || !errors.Is(err, tooling.ErrValue) || e.Source != (tooling.Source{File: "s.json", Path: "inner"}) {
		t.Errorf("got %v, want the field's own error with the file", err)
	}
}

func TestDecodeOverDefaults(t *testing.T) {
	r, err := tooling.LoadRules([]byte(`{"share_bits": true, "stack": {"backup_mm": 2}}`), "rules.json")
	if err != nil {
		t.Fatal(err)
	}
	want := tooling.DefaultRules()
	want.ShareBits, want.Stack.Backup = true, 2
	if diff := cmp.Diff(want, r); diff != "" {
		t.Errorf("only what the file gives may change (-want +got):\n%s", diff)
	}
}

func TestLoadRulesReplacesTables(t *testing.T) {
	src := `{
		"feeds": {"rows": [{"material": "PI", "kind": "bit", "diameter_mm": 1, "surface_m_per_min": 150, "chip_load_mm": 0.03, "retract_mm_per_min": 20000}]},
		"life": {"rows": [{"material": "PI", "kind": "bit", "diameter_mm": 1, "depth_mm": 3.2, "life": 800}]}
	}`
	r, err := tooling.LoadRules([]byte(src), "rules.json")
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Feeds.Rows) != 1 || len(r.Life.Rows) != 1 || r.Life.Fall != (tooling.Fall{}) {
		t.Errorf("tables must be replaced whole: got %+v %+v", r.Feeds, r.Life)
	}
	if _, err := r.Feed(tooling.Tool{Kind: tooling.Bit, Diameter: 1}, tooling.FR4, tooling.SpeedLimits{}); !errors.Is(err, tooling.ErrNoRow) {
		t.Errorf("a material without rows: got %v", err)
	}
}

func TestLoadersValidate(t *testing.T) {
	_, ruleErr := tooling.LoadRules([]byte(`{"max_drill_mm": -1}`), "f.json")
	_, syntaxErr := tooling.LoadRules([]byte(`{"max_drill_mm": "wide"}`), "f.json")
	_, panelErr := tooling.LoadPanel([]byte(`{"width_mm": 1e300, "height_mm": 200, "thickness_mm": 1.6, "material": "FR-4"}`), "f.json")
	_, shapeErr := tooling.LoadPanel([]byte(`[]`), "f.json")
	for want, err := range map[string]error{"max_drill_mm": ruleErr, "max_drill_mm ": syntaxErr, "width_mm": panelErr, "": shapeErr} {
		var e *tooling.InputError
		if !errors.As(err, &e) || e.Source.File != "f.json" || e.Source.Path != strings.TrimSpace(want) {
			t.Errorf("%q: got %v", want, err)
		}
	}
}

func TestLoadSnapsPanel(t *testing.T) {
	p, err := tooling.LoadPanel([]byte(`{"width_mm": 300.0000004, "height_mm": 200, "thickness_mm": 1.6, "material": "FR-4", "copper_um": 35, "layers": 4,
		"boards": [{"board": 0, "at_mm": [10.00000049, 5]}],
		"features": [{"role": "pin", "at_mm": [5.00000001, 100], "diameter_mm": 3.175}],
		"keep_outs": [{"name": "clamp", "min_mm": [0.00000001, 0], "max_mm": [10, 10], "height_mm": 8}],
		"scores": [[[0, 50.00000001], [300, 50.00000001]]]}`), "panel.json")
	if err != nil {
		t.Fatal(err)
	}
	if p.Width != 300 || p.Boards[0].Offset[0] != 10 || p.Features[0].At[0] != 5 || p.KeepOuts[0].Min[0] != 0 || p.Scores[0][0][1] != 50 {
		t.Errorf("not snapped to nanometres: %+v", p)
	}
	if got := p.Laminate(); got != (tooling.Laminate{Material: "FR-4", Copper: 35, Layers: 4}) {
		t.Errorf("laminate: got %+v", got)
	}
}

func ExampleDecode() {
	var size struct {
		Width float64 `json:"width_mm"`
	}
	err := tooling.Decode([]byte("{\n  \"width_mm\": 300,\n  \"width_mm\": 310\n}"), "panel.json", &size)
	fmt.Println(err)
	// Output:
	// panel.json:3:3 width_mm: tooling: given twice: found the key again, expected one value; it is given at line 2, column 3
}

func ExampleLoadCrib() {
	crib, err := tooling.LoadCrib([]byte(`{"tools": [
		{"id": "B1.00", "kind": "bit", "diameter_mm": 1, "flute_mm": 10.5, "price": 1.2, "repoints": 3, "repoint_price": 0.35}
	]}`), "crib.json")
	fmt.Println(crib.Tools[0].ID, crib.Tools[0].Flute, err)
	_, err = tooling.LoadCrib([]byte(`{"tools": [{"id": "B1.00", "kind": "bit", "diameter_mm": 1e300, "flute_mm": 10.5, "price": 1}]}`), "crib.json")
	fmt.Println(err)
	// Output:
	// B1.00 10.5 <nil>
	// crib.json tools[0].diameter_mm: tooling: value out of range: found 1e+300, expected 0.01 to 50 mm
}

func ExampleLoadRules() {
	rules, err := tooling.LoadRules([]byte(`{"stack": {"max_height": 3}}`), "rules.json")
	fmt.Println(rules.Stack.MaxHeight, rules.Stack.Backup, err)
	// Output: 3 2.5 <nil>
}

func ExampleLoadPanel() {
	_, err := tooling.LoadPanel([]byte(`{"width_mm": 300, "height_mm": 200, "thickness_mm": 1.6, "material": "FR-4",
		"features": [{"role": "pin", "at_mm": [299, 100], "diameter_mm": 3.175}]}`), "panel.json")
	fmt.Println(err)
	// Output:
	// panel.json features[0].at_mm: tooling: value out of range: found X299.000 Y100.000, expected a place on the panel
}

func TestDecodeSchema(t *testing.T) {
	type saved struct {
		Schema int `json:"schema"`
		Hits   int `json:"hits"`
	}
	for _, c := range []struct {
		name, reason, src string
		err               error
	}{
		{"this version", "read", `{"schema": 3, "hits": 7}`, nil},
		{"an older version", "its keys may mean something else", `{"schema": 2, "hits": 7}`, tooling.ErrSchema},
		{"a newer version", "said before its unknown keys are", `{"schema": 4, "strokes": 7}`, tooling.ErrSchema},
		{"half a version", "no whole number", `{"schema": 3.5, "hits": 7}`, tooling.ErrSchema},
		{"no version", "never guessed", `{"hits": 7}`, tooling.ErrMissing},
		{"version null", "none", `{"schema": null}`, tooling.ErrMissing},
		{"version in words", "no number", `{"schema": [3]}`, tooling.ErrSyntax},
		{"two versions", "which one?", `{"schema": 3, "schema": 3}`, tooling.ErrDuplicate},
		{"unknown key", "must not be ignored", `{"schema": 3, "strokes": 7}`, tooling.ErrSyntax},
		{"no JSON", "cut off", `{"schema": 3`, tooling.ErrSyntax},
	} {
		var got saved
		err := tooling.DecodeSchema([]byte(c.src), "saved.json", 3, &got)
		if c.err == nil {
			if err != nil || got != (saved{3, 7}) {
				t.Errorf("%s: %v, %v: %s", c.name, got, err, c.reason)
			}
			continue
		}
		var ie *tooling.InputError
		if !errors.Is(err, c.err) || !errors.As(err, &ie) || ie.Source.File != "saved.json" {
			t.Errorf("%s: got %v, want %v: %s", c.name, err, c.err, c.reason)
		}
	}
}

package job_test

import (
	"bytes"
	"context"
	"errors"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/require"

	"example.org/pinstack/drill"
	"example.org/pinstack/route"
	"example.org/pinstack/route/job"
	"example.org/pinstack/tooling"
	"example.org/pinstack/tooling/nc"
	"example.org/pinstack/tooling/stack"
)

// replace changes a file's text, which must be there.
func replace(file, old, with string) func(*testing.T, fstest.MapFS) {
	return func(t *testing.T, files fstest.MapFS) {
		t.Helper()
		src := files[file].Data
		require.True(t, bytes.Contains(src, []byte(old)), "%s has no %q", file, old)
		files[file].Data = bytes.Replace(src, []byte(old), []byte(with), 1)
	}
}

// as tells whether an error is of a type; the tests name the type they want.
func as[E error](err error) bool {
	var e E
	return errors.As(err, &e)
}

func TestBadInputIsATypedErrorAndWritesNothing(t *testing.T) {
	for _, c := range []struct {
		name, reason string
		change       func(*testing.T, fstest.MapFS)
		typed        func(error) bool
		is           error
		says         []string // parts of the message: the place, what was found
	}{
		{"no units", "the file states none and the coordinates have no point", func(t *testing.T, f fstest.MapFS) {
			f["plated.drl"].Data = []byte("M48\nT1C0.1\n%\nT1\nX10000Y20000\nX15000Y25000\nM30\n")
		}, as[*nc.AmbiguousError], nil, []string{"plated.drl"}},
		{"no sizes", "finished or drilled is never assumed for plated holes", replace("job.json", `"sizes": "finished", `, ""), as[*drill.ReadError], drill.ErrSizes, []string{"plated.drl:3", "T1"}},
		{"no marking", "plated or not is never assumed", replace("job.json", `, "plating": "plated"`, ""), as[*drill.ReadError], drill.ErrMarking, []string{"plated.drl"}},
		{"hit with no tool", "which bit?", replace("plated.drl", "G05\nT1\n", "G05\n"), as[*nc.SyntaxError], nc.ErrNoTool, []string{"plated.drl:9"}},
		{"tool without diameter", "which bit?", replace("plated.drl", "T1C0.800", "T1"), as[*nc.SyntaxError], nc.ErrToolDiameter, []string{"plated.drl", "T1"}},
		{"no bit in the crib", "9 mm is no stock bit, and the rules are told not to rout it", func(t *testing.T, f fstest.MapFS) {
			replace("unplated.drl", "T2C5.000", "T2C7.300")(t, f)
			replace("job.json", `"rules": {`, `"rules": {"max_drill_mm": 8, `)(t, f)
		}, as[*drill.HoleError], tooling.ErrNoTool, []string{"unplated.drl:", "7.300"}},
		{"hole off the panel", "it would be drilled into the table", func(t *testing.T, f fstest.MapFS) {
			replace("unplated.drl", "X5.080Y5.080", "X-15.080Y5.080")(t, f)
			replace("job.json", `"outline": "outline.rte", `, "")(t, f)
		}, as[*drill.HoleError], drill.ErrOffPanel, []string{"unplated.drl:9", "T1"}},
		{"hole off its board", "it would be drilled into waste", replace("unplated.drl", "X5.080Y5.080", "X-15.080Y5.080"), as[*route.BoardError], route.ErrRegistration, []string{"unplated.drl:9", "T1", "1 of 3 holes"}},
		{"hole under a pin", "the bit would hit steel", replace("job.json", `"at_mm": [56, 95]`, `"at_mm": [22, 71]`), as[*drill.HoleError], drill.ErrKeepOut, []string{"plated.drl", "pin"}},
		{"outline crosses itself", "which side is the board?", replace("outline.rte", "G01X38.100Y0.000\nG01X38.100Y60.960", "G01X38.100Y60.960\nG01X38.100Y0.000"), as[*route.ReadError], route.ErrCrossing, []string{"outline.rte:"}},
		{"outline open", "it cannot be cut out", replace("outline.rte", "G01X0.000Y2.540\nM16", "G01X0.000Y3.540\nM16"), as[*route.OpenError], route.ErrOpen, []string{"outline.rte:", "1.0000 mm apart"}},
		{"gap narrower than the cutter", "both boards would be cut into", replace("job.json", `"step_mm": [45, 0]`, `"step_mm": [39.5, 0]`), as[*route.BoardError], route.ErrGap, []string{"board 0 and board 1"}},
		{"tab longer than its edge", "it would leave the edge", replace("job.json", `"outline": "outline.rte",`, `"outline": "outline.rte", "tabs": [{"at_mm": [38.1, 30], "width_mm": 70}],`), as[*route.BoardError], route.ErrTabLong, []string{"tab"}},
		{"hole cut by an outline", "half a hole is not what was ordered", replace("unplated.drl", "X5.080Y5.080", "X1.000Y25.000"), as[*route.BoardError], nil, []string{"unplated.drl"}},
		{"clean-up by no cutter of the crib", "which cutter?", replace("job.json", `"rules": {`, `"rout": {"clean_up_mm": 0.77}, "rules": {`), as[*tooling.InputError], route.ErrNoCutter, []string{"job.json rout.clean_up_mm", "0.770 mm"}},
		{"open path without a file", "nothing to cut", replace("job.json", `"outline": "outline.rte",`, `"outline": "outline.rte", "open_paths": [{"file": ""}],`), as[tooling.InputErrors], tooling.ErrMissing, []string{"boards[0].open_paths[0].file"}},
		{"open paths without an outline", "nothing is routed", replace("job.json", `"outline": "outline.rte",`, `"open_paths": [{"file": "slits.rte"}],`), as[tooling.InputErrors], tooling.ErrMissing, []string{"boards[0].outline"}},
		{"open paths that close", "a cut-out drops its waste", replace("job.json", `"outline": "outline.rte",`, `"outline": "outline.rte", "open_paths": [{"file": "outline.rte"}],`), as[*route.ReadError], route.ErrOpenPath, []string{"outline.rte:", "closed"}},
		{"height impossible for a flute", "the shank would enter the stack", replace("job.json", `"panels": 10`, `"panels": 10, "height": 9`), nil, nil, []string{"9"}},
		{"lot of zero", "nothing to make", replace("job.json", `"panels": 10`, `"panels": 0`), as[tooling.InputErrors], tooling.ErrValue, []string{"job.json panels", "found 0"}},
		{"NaN in JSON", "no number", replace("job.json", `"width_mm": 120`, `"width_mm": NaN`), as[*tooling.InputError], tooling.ErrSyntax, []string{"job.json:3"}},
		{"1e300 in JSON", "no length", replace("job.json", `"width_mm": 120`, `"width_mm": 1e300`), as[tooling.InputErrors], tooling.ErrValue, []string{"width_mm", "1e+300"}},
		{"1e400 in JSON", "no float64", replace("job.json", `"width_mm": 120`, `"width_mm": 1e400`), as[*tooling.InputError], tooling.ErrSyntax, []string{"job.json:3"}},
		{"unknown key", "a misspelt key must not be ignored", replace("job.json", `"panels": 10`, `"panles": 10`), as[*tooling.InputError], tooling.ErrSyntax, []string{"panles"}},
		{"key twice", "which one holds?", replace("job.json", `"panels": 10`, `"panels": 10, "panels": 20`), as[*tooling.InputError], nil, []string{"panels"}},
		{"truncated drill file", "half the holes", func(t *testing.T, f fstest.MapFS) {
			src := f["plated.drl"].Data
			f["plated.drl"].Data = src[:len(src)/2]
		}, as[*nc.SyntaxError], nc.ErrTruncated, []string{"plated.drl"}},
		{"truncated job file", "half a job", func(t *testing.T, f fstest.MapFS) { f["job.json"].Data = f["job.json"].Data[:300] }, as[*tooling.InputError], tooling.ErrSyntax, []string{"job.json"}},
		{"a billion hits", "memory is bounded", replace("plated.drl", "T2\nX7.620Y50.800\n", "T2\nX7.620Y50.800\nR999999999X0.001\n"), as[*nc.LimitError], nc.ErrLimit, []string{"plated.drl"}},
		{"missing file", "named, not opened", replace("job.json", `"plated.drl"`, `"other.drl"`), as[*tooling.InputError], tooling.ErrMissing, []string{"other.drl"}},
		{"unknown machine", "no preset", replace("job.json", `"ball screw"`, `"steam"`), as[tooling.InputErrors], tooling.ErrValue, []string{"steam", "ball screw"}},
		{"machine file missing", "named, not opened", replace("job.json", `"machine": "ball screw"`, `"machine": "ball screw", "machine_file": "hall2.json"`), as[*tooling.InputError], tooling.ErrMissing, []string{"hall2.json"}},
		{"machine file of another form", "a key that is none", func(t *testing.T, f fstest.MapFS) {
			replace("job.json", `"machine": "ball screw"`, `"machine": "ball screw", "machine_file": "hall2.json"`)(t, f)
			f["hall2.json"] = &fstest.MapFile{Data: []byte(`{"speed": 3}`)}
		}, as[*tooling.InputError], tooling.ErrSyntax, []string{"hall2.json", "speed"}},
		{"other schema", "made for another version", replace("job.json", `"schema": 1`, `"schema": 2`), as[*tooling.InputError], tooling.ErrSchema, []string{"job.json schema", "found 2, expected version 1"}},
		{"schema 0", "no version has it", replace("job.json", `"schema": 1`, `"schema": 0`), as[*tooling.InputError], tooling.ErrSchema, []string{"job.json schema", "found 0, expected version 1"}},
		{"no schema", "never guessed", replace("job.json", `"schema": 1, `, ``), as[*tooling.InputError], tooling.ErrMissing, []string{"job.json schema", "missing, expected the version, 1"}},
		{"material without rows", "feeds are not guessed", replace("job.json", `"FR-4"`, `"slate"`), nil, nil, []string{"slate"}},
		{"contradictory marking", "the file says plated, the job unplated", replace("unplated.drl", "METRIC\n", "METRIC\n;TYPE=PLATED\n"), as[*drill.ReadError], drill.ErrMarking, []string{"unplated.drl"}},
		{"same place, other size", "which bit?", replace("plated.drl", "T2\n", "T2\n"+xy(5.08, 30.48)+"\n"), as[*drill.HoleError], drill.ErrDuplicate, []string{"plated.drl"}},
		{"job name with a path", "programs are written where they belong", replace("job.json", `"job": "small"`, `"job": "../small"`), as[tooling.InputErrors], tooling.ErrValue, []string{"job"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			files := newSmall().files()
			c.change(t, files)
			dir := t.TempDir()
			err := make1(files, dir)
			require.Error(t, err, c.reason)
			if c.typed != nil {
				require.True(t, c.typed(err), "%T: %v", err, err)
			}
			if c.is != nil {
				require.ErrorIs(t, err, c.is)
			}
			for _, part := range c.says {
				require.Contains(t, err.Error(), part)
			}
			require.False(t, strings.Contains(err.Error(), "\n"), "one line: %v", err)
			left, _ := os.ReadDir(dir)
			require.Empty(t, left, "nothing may be written")
		})
	}
}

// make1 runs the whole way from files to files.
func make1(files fstest.MapFS, dir string) error {
	j, err := job.Load(files, "job.json")
	if err != nil {
		return err
	}
	p, err := job.Make(context.Background(), j, job.Options{})
	if err != nil {
		return err
	}
	_, _, err = p.Write(context.Background(), dir, job.WriteOptions{})
	return err
}

func TestImpossibleHeightNamesItsRule(t *testing.T) {
	files := newSmall().files()
	replace("job.json", `"panels": 10`, `"panels": 10, "height": 9`)(t, files)
	err := make1(files, t.TempDir())
	var none *stack.InfeasibleError
	require.ErrorAs(t, err, &none)
	require.NotEmpty(t, none.Refused)
}

package job_test

import (
	"go/ast"
	"go/parser"
	"go/printer"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/stretchr/testify/require"
)

// examples are the Example functions in the tests of a package, by name.
func (s surface) examples(t *testing.T) map[string]*ast.FuncDecl {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", "..", filepath.FromSlash(s.name), "*_test.go"))
	require.NoError(t, err)
	out := map[string]*ast.FuncDecl{}
	for _, name := range files {
		f, err := parser.ParseFile(s.set, name, nil, 0)
		require.NoError(t, err)
		for _, d := range f.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && strings.HasPrefix(f.Name.Name, "Example") {
				out[f.Name.Name] = f
			}
		}
	}
	return out
}

// looked is a look at an error, which a tutorial leaves out.
var looked = regexp.MustCompile(`(?m)^\t*if err != nil \{\n\t*log\.Fatal\(err\)\n\t*\}\n`)

// lines are the lines of a text without their indent, empty ones left out.
func lines(text string) []string {
	var out []string
	for line := range strings.SplitSeq(text, "\n") {
		if line = strings.TrimSpace(line); line != "" {
			out = append(out, line)
		}
	}
	return out
}

// Each package begins with a tutorial. Its code is that of a tested example, word
// for word, but for the looks at errors: what the documentation says compiles
// and prints what it should.
func TestTutorialsAreTestedExamples(t *testing.T) {
	for _, s := range surfaces(t) {
		t.Run(s.name, func(t *testing.T) {
			_, text, ok := strings.Cut(s.doc.Doc, "# Tutorial\n")
			require.True(t, ok, "doc.go has no section Tutorial")
			text, _, _ = strings.Cut(text, "\n# ")
			var told strings.Builder
			for line := range strings.SplitSeq(text, "\n") {
				if strings.HasPrefix(line, "\t") {
					told.WriteString(line + "\n")
				}
			}
			example := s.examples(t)["Example_tutorial"]
			require.NotNil(t, example, "no Example_tutorial")
			var body strings.Builder
			require.NoError(t, (&printer.Config{Mode: printer.TabIndent, Tabwidth: 8}).Fprint(&body, s.set, example.Body))
			code := looked.ReplaceAllString(body.String(), "")
			code = strings.TrimSuffix(strings.TrimPrefix(code, "{"), "}")
			if diff := cmp.Diff(lines(code), lines(told.String())); diff != "" {
				t.Errorf("-Example_tutorial +doc.go:\n%s", diff)
			}
		})
	}
}

// Every entry point that may fail or run long is called in an example of its own
// package, so that go doc shows how.
func TestEveryEntryPointHasAnExample(t *testing.T) {
	entries := map[string][]string{}
	for name, list := range sweeping {
		entries[name] = append(entries[name], list...)
	}
	for name := range searching {
		at := strings.Index(name, ".")
		entries[name[:at]] = append(entries[name[:at]], name[at+1:])
	}
	for _, s := range surfaces(t) {
		called := map[string]bool{}
		for _, f := range s.examples(t) {
			ast.Inspect(f, func(n ast.Node) bool {
				if sel, ok := n.(*ast.SelectorExpr); ok {
					called[sel.Sel.Name] = true
				}
				return true
			})
		}
		slices.Sort(entries[s.name])
		for _, entry := range entries[s.name] {
			if !called[entry[strings.LastIndex(entry, ".")+1:]] {
				t.Errorf("%s.%s is in no example of its package", s.name, entry)
			}
		}
	}
}

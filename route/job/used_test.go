package job_test

import (
	"encoding/json"
	"errors"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// compiled is a package as go list describes it, tests among them.
type compiled struct {
	ImportPath, Dir, Export, ForTest string
	GoFiles                          []string
	ImportMap                        map[string]string
}

// compiledPackages lists the module's packages, their tests and everything
// they import, with the files that hold what each exports.
func compiledPackages(t *testing.T) map[string]compiled {
	t.Helper()
	cmd := exec.Command("go", "list", "-export", "-test", "-deps", "-json=ImportPath,Dir,Export,ForTest,GoFiles,ImportMap", "./...")
	cmd.Dir = "../.."
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	require.NoError(t, err, stderr.String())
	all := map[string]compiled{}
	decoder := json.NewDecoder(strings.NewReader(string(out)))
	for {
		var p compiled
		err := decoder.Decode(&p)
		if errors.Is(err, io.EOF) {
			return all
		}
		require.NoError(t, err)
		all[p.ImportPath] = p
	}
}

// usedIn calls use for what every identifier of a package's tests, or of an
// example program, stands for, and for the named type of every value in them.
func usedIn(t *testing.T, all map[string]compiled, p compiled, use func(types.Object)) {
	t.Helper()
	set := token.NewFileSet()
	var files []*ast.File
	for _, name := range p.GoFiles {
		f, err := parser.ParseFile(set, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
		require.NoError(t, err)
		files = append(files, f)
	}
	open := func(path string) (io.ReadCloser, error) {
		if other, ok := p.ImportMap[path]; ok {
			path = other
		}
		return os.Open(all[path].Export)
	}
	info := types.Info{Uses: map[*ast.Ident]types.Object{}, Types: map[ast.Expr]types.TypeAndValue{}}
	config := types.Config{Importer: importer.ForCompiler(set, "gc", open)}
	path, _, _ := strings.Cut(p.ImportPath, " ")
	_, err := config.Check(path, set, files, &info)
	require.NoError(t, err)
	shows := func(at token.Pos) bool {
		return strings.HasPrefix(path, module+"examples/") || strings.HasSuffix(set.Position(at).Filename, "_test.go")
	}
	for name, object := range info.Uses {
		if shows(name.Pos()) {
			use(object)
		}
	}
	for expression, value := range info.Types {
		if named := namedOf(value.Type); named != nil && shows(expression.Pos()) {
			use(named.Obj())
		}
	}
}

// namedOf is the named type that a type is or points to, or nil.
func namedOf(t types.Type) *types.Named {
	t = types.Unalias(t)
	if p, ok := t.(*types.Pointer); ok {
		t = types.Unalias(p.Elem())
	}
	named, _ := t.(*types.Named)
	return named
}

// called is an exported name as it is asked for: package.Name, or
// package.Type.Method.
func called(o types.Object) string {
	if o.Pkg() == nil || !o.Exported() {
		return ""
	}
	path := strings.TrimPrefix(o.Pkg().Path(), module)
	f, ok := o.(*types.Func)
	if !ok {
		return path + "." + o.Name()
	}
	receiver := f.Origin().Signature().Recv()
	if receiver == nil {
		return path + "." + o.Name()
	}
	if named := namedOf(receiver.Type()); named != nil {
		return path + "." + named.Obj().Name() + "." + o.Name()
	}
	return path + "." + o.Name()
}

// implied are methods that the standard library calls through an interface.
var implied = []string{"Error", "Unwrap", "String", "MarshalJSON", "UnmarshalJSON", "MarshalText", "UnmarshalText"}

// What nobody shows the use of, and nothing tests, is not exported.
func TestEveryExportedNameIsUsed(t *testing.T) {
	if testing.Short() {
		t.Skip("type-checks the module and all of its tests")
	}
	all := compiledPackages(t)
	used := map[string]bool{}
	for path, p := range all {
		if strings.HasPrefix(path, module) && (p.ForTest != "" || strings.HasPrefix(path, module+"examples/")) && len(p.GoFiles) > 0 && !strings.HasSuffix(path, ".test") {
			usedIn(t, all, p, func(o types.Object) { used[called(o)] = true })
		}
	}
	names := 0
	for _, s := range surfaces(t) {
		var own []string
		for _, v := range s.values() {
			own = append(own, v.name)
		}
		for _, f := range s.funcs() {
			receiver := strings.TrimPrefix(f.Recv, "*")
			switch {
			case receiver == "":
				own = append(own, f.Name)
			case !slices.Contains(implied, f.Name):
				own = append(own, receiver+"."+f.Name)
			}
		}
		for _, typ := range s.doc.Types {
			own = append(own, typ.Name)
		}
		names += len(own)
		for _, name := range own {
			if !used[s.name+"."+name] {
				t.Errorf("%s.%s is exported, and neither an example nor a test uses it", s.name, name)
			}
		}
	}
	if !t.Failed() {
		t.Logf("%d exported names, every one used in an example or a test", names)
	}
}

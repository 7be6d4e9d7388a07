package job_test

import (
	"bytes"
	"go/ast"
	"go/build"
	"go/doc"
	"go/parser"
	"go/printer"
	"go/token"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// surface is what a package of the house exports, with its documentation.
type surface struct {
	name string // as in house
	doc  *doc.Package
	set  *token.FileSet
}

// read parses a package of the house without its tests.
func read(t *testing.T, name string) surface {
	t.Helper()
	dir := filepath.Join("..", "..", filepath.FromSlash(name))
	found, err := build.ImportDir(dir, 0)
	require.NoError(t, err)
	s := surface{name: name, set: token.NewFileSet()}
	var files []*ast.File
	for _, file := range found.GoFiles {
		f, err := parser.ParseFile(s.set, filepath.Join(dir, file), nil, parser.ParseComments)
		require.NoError(t, err)
		files = append(files, f)
	}
	s.doc, err = doc.NewFromFiles(s.set, files, module+name)
	require.NoError(t, err)
	return s
}

// surfaces reads the packages of the house that exist.
func surfaces(t *testing.T) []surface {
	t.Helper()
	var out []surface
	for _, path := range list(t, "./drill/...", "./route/...", "./tooling/...") {
		if !strings.Contains(path, "/internal/") {
			out = append(out, read(t, strings.TrimPrefix(path, module)))
		}
	}
	require.NotEmpty(t, out)
	return out
}

// text prints a piece of a declaration on one line.
func (s surface) text(node any) string {
	var b bytes.Buffer
	if err := printer.Fprint(&b, s.set, node); err != nil {
		panic(err)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// spec is one exported name of a const or var declaration.
type spec struct {
	name, value string // value with its type, "" where it is implied
	doc         bool   // it, or the group it stands in, has a comment
}

// specs lists the exported names of a declaration in their order.
func (s surface) specs(values []*doc.Value) []spec {
	var out []spec
	for _, v := range values {
		for _, any := range v.Decl.Specs {
			one := any.(*ast.ValueSpec)
			for i, name := range one.Names {
				if !name.IsExported() {
					continue
				}
				var value string
				if one.Type != nil {
					value = " " + s.text(one.Type)
				}
				if v.Decl.Tok == token.CONST && i < len(one.Values) {
					value += " = " + s.text(one.Values[i])
				}
				out = append(out, spec{name.Name, value, v.Doc != "" || one.Doc.Text() != "" || one.Comment.Text() != ""})
			}
		}
	}
	return out
}

// field is one exported field of a struct.
type field struct {
	name, typ, tag string
	comment        string // beside it and above it
}

// fields lists the exported fields of a type, none where it is no struct.
func (s surface) fields(t *doc.Type) []field {
	one, ok := t.Decl.Specs[0].(*ast.TypeSpec).Type.(*ast.StructType)
	if !ok {
		return nil
	}
	var out []field
	for _, f := range one.Fields.List {
		tag := ""
		if f.Tag != nil {
			tag = f.Tag.Value
		}
		comment := f.Doc.Text() + f.Comment.Text()
		for _, name := range f.Names {
			if name.IsExported() {
				out = append(out, field{name.Name, s.text(f.Type), tag, comment})
			}
		}
		if len(f.Names) == 0 && ast.IsExported(strings.TrimPrefix(s.text(f.Type), "*")) {
			out = append(out, field{s.text(f.Type), "embedded", tag, comment})
		}
	}
	return out
}

// kind is the type behind a name: struct for one, its own text for others.
func (s surface) kind(t *doc.Type) string {
	one := t.Decl.Specs[0].(*ast.TypeSpec)
	if _, ok := one.Type.(*ast.StructType); ok {
		return "struct"
	}
	return s.text(one.Type)
}

// signature is a function's declaration without its body and comment.
func (s surface) signature(f *doc.Func) string {
	decl := *f.Decl
	decl.Body, decl.Doc = nil, nil
	return s.text(&decl)
}

// funcs lists all functions and methods: free ones, constructors, methods.
func (s surface) funcs() []*doc.Func {
	out := append([]*doc.Func(nil), s.doc.Funcs...)
	for _, t := range s.doc.Types {
		out = append(append(out, t.Funcs...), t.Methods...)
	}
	return out
}

// values lists all constants and variables, those of types included.
func (s surface) values() []spec {
	values := append(append([]*doc.Value(nil), s.doc.Consts...), s.doc.Vars...)
	for _, t := range s.doc.Types {
		values = append(append(values, t.Consts...), t.Vars...)
	}
	return s.specs(values)
}

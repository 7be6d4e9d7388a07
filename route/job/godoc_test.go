package job_test

import (
	"go/ast"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// unit finds a unit in a comment or a JSON name. Shares, factors and counts
// are units too: they say that there is none.
var unit = regexp.MustCompile(`(?i)\b(mm2?|mm/s[23]?|mm/min|um|nm|nanometres?|millimetres?|metres?|inch|rev/min|degrees?|rad|radians|` +
	`seconds|minutes|s|ns|money|percent|share|fraction|ratio|factor|exponent|units?|points|effort|kicks|hits|ppm)\b|%|` +
	`_(mm|deg|seconds|rev_per_min|mm_per_min|mm_per_rev|m_per_min|factor|ratio)\b`)

// measures tells the types whose value says nothing without a unit. A
// time.Duration carries its own.
func measures(typ string) bool {
	typ = strings.TrimLeft(typ, "[]*.0123456789 ")
	return slices.Contains([]string{"float64", "float32", "orb.Point", "orb.Ring", "orb.Bound"}, typ)
}

// Every exported name has a comment, and every length, speed, price or share
// among fields, parameters and results says its unit: beside it, above it, or
// in the comment of the type or function it belongs to.
func TestEveryNameIsDocumentedWithItsUnit(t *testing.T) {
	for _, s := range surfaces(t) {
		var names, bare, numbers, unitless int
		name := func(what string, documented bool) {
			names++
			if !documented {
				bare++
				t.Errorf("%s: %s has no comment", s.name, what)
			}
		}
		number := func(what, comment string) {
			numbers++
			if !unit.MatchString(comment) {
				unitless++
				t.Errorf("%s: %s says no unit: %q", s.name, what, comment)
			}
		}
		general := unit.MatchString(unitsOf(s.doc.Doc))
		for _, v := range s.values() {
			name(v.name, v.doc)
		}
		for _, f := range s.funcs() {
			what := f.Name
			if f.Recv != "" {
				what = f.Recv + "." + f.Name
			}
			name(what, f.Doc != "")
			for _, list := range []*ast.FieldList{f.Decl.Type.Params, f.Decl.Type.Results} {
				for _, p := range fieldsOf(list) {
					if measures(s.text(p.Type)) && !general {
						number(what, f.Doc)
					}
				}
			}
		}
		for _, typ := range s.doc.Types {
			name(typ.Name, typ.Doc != "")
			for _, f := range s.fields(typ) {
				if measures(f.typ) {
					number(typ.Name+"."+f.name, f.comment+" "+f.tag+" "+typ.Doc)
				}
			}
		}
		t.Logf("%-28s exported names: %3d, without a comment: %d; lengths and other measures: %3d, without a unit: %d", s.name, names, bare, numbers, unitless)
	}
}

// unitsOf is the part of a package comment that speaks of units.
func unitsOf(comment string) string {
	_, after, found := strings.Cut(comment, "# Units")
	if !found {
		return ""
	}
	section, _, _ := strings.Cut(after, "\n# ")
	return section
}

func fieldsOf(l *ast.FieldList) []*ast.Field {
	if l == nil {
		return nil
	}
	return l.List
}

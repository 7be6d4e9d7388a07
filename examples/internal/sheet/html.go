package sheet

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"slices"
	"strings"

	"example.org/pinstack/tooling/picture"
)

// parts holds the page's template, style and script.
//
//go:embed page
var parts embed.FS

// page is what the template sees.
type page struct {
	*Sheet
	Style  template.CSS
	Script template.JS
	Data   template.JS // JSON; < and > in it are escaped
}

// WriteHTML writes the sheet as one page with the scene in it; see the package
// comment. The panel's picture is printed once for each pass. It returns the
// error of scene.Validate, of the sheet's numbers where JSON cannot hold them
// (NaN, infinities), or of w; nothing is written in the first two cases.
func (s *Sheet) WriteHTML(w io.Writer, scene *picture.Scene) error {
	if err := scene.Validate(); err != nil {
		return err
	}
	p := page{Sheet: s}
	if _, err := json.Marshal(s); err != nil {
		return fmt.Errorf("sheet: job %q: %w", s.Job, err)
	}
	data, err := json.Marshal(s.pageData(scene))
	if err != nil {
		return fmt.Errorf("sheet: job %q: %w", s.Job, err)
	}
	p.Data = template.JS(data)
	style, err := parts.ReadFile("page/sheet.css")
	if err != nil {
		return err
	}
	code, err := script()
	if err != nil {
		return err
	}
	p.Style, p.Script = template.CSS(style), template.JS(code)
	pictures, err := s.pictures(scene)
	if err != nil {
		return err
	}
	t, err := template.New("page.html").Funcs(functions(s)).Funcs(template.FuncMap{
		"picture": func(p Pass) template.HTML { return pictures[passKey{p.Name, p.SetUp}] },
		"symbol":  func(p Pass, r Run) template.HTML { return symbol(scene, p, r) },
	}).ParseFS(parts, "page/page.html")
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := t.Execute(&b, p); err != nil {
		return fmt.Errorf("sheet: job %q: %w", s.Job, err)
	}
	_, err = w.Write(b.Bytes())
	return err
}

// script joins the files of the script in the order of their names, as one
// function of the page. The words of the page are shown before it makes the
// picture; a mark on the document tells when it is done.
func script() (string, error) {
	names, err := fs.Glob(parts, "page/script/*.js")
	if err != nil {
		return "", err
	}
	var b strings.Builder
	b.WriteString("'use strict';\nrequestAnimationFrame(() => setTimeout(() => {\n")
	for _, name := range names {
		part, err := parts.ReadFile(name)
		if err != nil {
			return "", err
		}
		b.Write(part)
	}
	b.WriteString("document.documentElement.dataset.ready = 'yes';\n}));\n")
	return b.String(), nil
}

// passKey tells passes apart: one may be made in several set-ups.
type passKey struct {
	name  string
	setUp int
}

// pictures draws each pass for paper and for readers without script.
func (s *Sheet) pictures(scene *picture.Scene) (map[passKey]template.HTML, error) {
	list := make(map[passKey]template.HTML, len(s.Passes))
	for _, pass := range s.Passes {
		var b bytes.Buffer
		part := scene.Pass(pass.Name, pass.SetUp)
		part.Title = fmt.Sprintf("%s, set-up %d, pass %s", scene.Title, pass.SetUp, pass.Name)
		if err := part.WriteFigure(&b); err != nil {
			return nil, err
		}
		list[passKey{pass.Name, pass.SetUp}] = template.HTML(b.String())
	}
	return list, nil
}

// functions are the words of the template; they are those of the text sheet, so
// both show the same figures.
func functions(s *Sheet) template.FuncMap {
	return template.FuncMap{
		"clock": Clock, "count": count, "size": size, "sizes": sizes, "brief": brief, "place": place, "places": places,
		"fixed": fixed, "dash": dash, "gap": gap, "stage": stage, "tolerance": tolerance, "plating": plating,
		"measured": measured, "percent": percent, "money": s.money, "stock": stock, "verdict": verdict, "remark": remark,
		"lot":      s.panels,
		"tools":    Run.tools,
		"label":    Bit.label,
		"inc":      func(i int) int { return i + 1 },
		"um":       micro,
		"share":    share,
		"wide":     func(part, whole float64) bool { return whole > 0 && part > whole/8 },
		"passes":   s.passesOf,
		"curves":   s.curves,
		"proven":   Pass.proven,
		"shareEnd": func(b Share) int { return b.First + b.Hits - 1 },
		"short":    func(b Bit) bool { return b.Stock >= 0 && b.Stock < b.Count },
		"good":     s.passed,
		"passed":   s.passedRules,
		"remarks":  func() int { return len(s.Checks) - s.passed() + len(s.Findings) },
		"state":    func() string { return s.State().String() },
	}
}

// share returns a part of a whole in per cent for the width of a bar.
func share(part, whole float64) string {
	if whole <= 0 || part <= 0 {
		return "0"
	}
	return fixed(100*min(part/whole, 1), 2)
}

// passesOf returns the passes of a set-up.
func (s *Sheet) passesOf(setUp int) []Pass {
	var list []Pass
	for _, p := range s.Passes {
		if p.SetUp == setUp {
			list = append(list, p)
		}
	}
	return list
}

// proven reports whether a run of the pass has a proven bound of its travel.
func (p Pass) proven() bool {
	return slices.ContainsFunc(p.Runs, func(r Run) bool { return r.BoundS > 0 })
}

package nc

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

// FileFunction is what TF.FileFunction says about a file. The zero value
// means that nothing was said.
type FileFunction struct {
	Plating string // "plated", "unplated", "mixed" or ""
	From    int    // first layer drilled, 1 on the entry side; 0 not said
	To      int    // last layer drilled
	Kind    string // "PTH", "NPTH", "Blind", "Buried" or ""
}

// toolAttributes is what TA comments say about the tools that follow.
type toolAttributes struct {
	marking  string
	function string
	pending  []int // indices into Program.Attributes
}

// maxAttributes bounds the attributes kept.
const maxAttributes = 10_000

// comment reads what a comment says and hands body comments out.
func (it *interp) comment(b []byte, col int) error {
	text := bytes.TrimSpace(b)
	if name, values, ok := attribute(b); ok {
		it.attribute(name, values, col)
	} else if marking, ok := typeComment(b); ok {
		if marking == "" && it.marking != "" {
			it.note("marking-ends", col, 0, fmt.Sprintf("%q is no kind of hole that is known: the tools after it are no longer %s", clip(text), it.marking))
		}
		it.marking, it.bodyMark = marking, !it.header
	} else if first, marking, ok := startComment(b); ok && len(it.starts) < DefaultMaxTools {
		it.starts = append(it.starts, markingStart{first, marking})
	} else if tool, d, u, ok := toolComment(b); ok && len(it.described) < DefaultMaxTools {
		it.described = append(it.described, described{tool, d, u, wordedMarking(b), it.line})
	}
	if it.header || !it.headered && !it.moved && it.tool == 0 {
		return nil
	}
	return it.emit(&step{kind: OpComment, tool: it.tool, line: it.line, text: string(text)})
}

// attribute keeps an attribute comment and takes what the trade uses of it.
func (it *interp) attribute(name string, values []string, col int) {
	if len(it.facts.Attributes) < maxAttributes {
		it.facts.Attributes = append(it.facts.Attributes, Attribute{Name: name, Values: values, Line: it.line})
	} else {
		it.note("many-attributes", col, 0, "further attributes are not listed")
	}
	switch {
	case strings.EqualFold(name, "TF.FileFunction"):
		it.fileFunction(values, col)
	case strings.EqualFold(name, "TA.AperFunction"):
		it.attr.marking, it.attr.function = markingOf(values), functionOf(values)
		it.attr.pending = append(it.attr.pending[:0], len(it.facts.Attributes)-1)
		for _, v := range values {
			if strings.EqualFold(v, "Blind") || strings.EqualFold(v, "Buried") || strings.EqualFold(v, "BackDrill") {
				it.note("blind-span", col, 0, fmt.Sprintf("%s holes: not for a through pass", v))
			}
		}
	case len(name) > 2 && strings.EqualFold(name[:3], "TA."):
		it.attr.pending = append(it.attr.pending, len(it.facts.Attributes)-1)
	case strings.EqualFold(name, "TD") || strings.EqualFold(name, "TD.AperFunction"):
		it.attr = toolAttributes{}
	}
}

// fileFunction reads Plated,1,4,PTH and the like.
func (it *interp) fileFunction(values []string, col int) {
	f := &it.facts.Function
	for _, v := range values {
		switch {
		case strings.EqualFold(v, "Plated"):
			f.Plating = plated
		case strings.EqualFold(v, "NonPlated"):
			f.Plating = unplated
		case strings.EqualFold(v, "MixedPlating"):
			f.Plating = "mixed"
		case strings.EqualFold(v, "PTH"), strings.EqualFold(v, "NPTH"):
			f.Kind = strings.ToUpper(v)
		case strings.EqualFold(v, "Blind"):
			f.Kind = "Blind"
		case strings.EqualFold(v, "Buried"):
			f.Kind = "Buried"
		default:
			if n, err := strconv.Atoi(v); err == nil && n > 0 && n < 1000 {
				if f.From == 0 {
					f.From = n
				} else {
					f.To = n
				}
			}
		}
	}
	if f.Kind == "Blind" || f.Kind == "Buried" {
		it.note("blind-span", col, 0, fmt.Sprintf("%s holes, layer %d to %d: not for a through pass", f.Kind, f.From, f.To))
	}
}

// attributeTool gives a new tool what comments say about it.
func (it *interp) attributeTool(k, col int) {
	t := &it.facts.Tools[k]
	if it.attr.function != "" {
		t.Function = it.attr.function
	}
	for i, a := range it.attr.pending {
		if a >= len(it.facts.Attributes) {
			continue
		}
		if held := it.facts.Attributes[a]; held.Tool == 0 {
			it.facts.Attributes[a].Tool = t.Number
		} else if len(it.facts.Attributes) < maxAttributes {
			held.Tool = t.Number
			it.facts.Attributes = append(it.facts.Attributes, held)
			it.attr.pending[i] = len(it.facts.Attributes) - 1
		}
	}
	for _, m := range [3]string{it.attr.marking, it.marking, it.startedMarking(t.Number)} {
		if m != "" {
			it.mark(t, m, col)
		}
	}
	for _, d := range it.described {
		if d.tool == t.Number && d.marking != "" && d.marking != t.Marking {
			it.mark(t, d.marking, col)
		}
	}
	if m := it.facts.Function.Plating; m == plated || m == unplated {
		it.mark(t, m, col)
	}
}

// markingStart is the first tool number of a marking, told in a comment.
type markingStart struct {
	first   int
	marking string
}

// startedMarking is the marking whose numbers begin nearest at or below the
// tool's; "" for none.
func (it *interp) startedMarking(tool int) string {
	best := markingStart{}
	for _, s := range it.starts {
		if s.first <= tool && s.first > best.first {
			best = s
		}
	}
	return best.marking
}

// finishTools gives the tools the file's word, which may have come after them.
func (it *interp) finishTools() {
	m := it.facts.Function.Plating
	if m != plated && m != unplated {
		return
	}
	for i := range it.facts.Tools {
		t := &it.facts.Tools[i]
		it.line = t.Line
		it.mark(t, m, 0)
	}
}

package artwork

import (
	"fmt"
	"strings"
)

// attributeCommand takes TF, TA, TO or TD.
func (r *reader) attributeCommand(kind byte, rest string, at int) {
	name, fields, has := strings.Cut(strings.TrimSpace(rest), ",")
	name = strings.TrimSpace(name)
	if kind == 'D' {
		if name == "" {
			clear(r.attribute)
		} else {
			delete(r.attribute, name)
		}
		return
	}
	var values []string
	if has {
		values = strings.Split(strings.TrimSpace(fields), ",")
	}
	if len(r.layer.Attributes) == r.options.MaxApertures {
		r.note("attributes-many", "more attributes than the limit: the others are not kept", at)
		return
	}
	line, column := r.scan.position(r.scan.offset(at))
	r.layer.Attributes = append(r.layer.Attributes, Attribute{Kind: kind, Name: name, Values: values, Line: line, Column: column})
	if kind == 'A' {
		r.attribute[name] = strings.Join(values, ",")
	}
}

// comment looks for an attribute in a comment: "G04 #@! TF.FileFunction,Profile,NP".
func (r *reader) comment(text []byte) {
	s := string(text)
	i := strings.Index(s, "#@!")
	if i < 0 {
		return
	}
	i += len("#@!")
	for i < len(s) && blank(s[i]) {
		i++
	}
	if len(s) < i+2 || s[i] != 'T' || !strings.ContainsRune("FAOD", rune(s[i+1])) {
		return
	}
	r.attributeCommand(s[i+1], s[i+2:], i+2)
}

// functionOf is the layer's function by its last file function attribute.
func functionOf(attributes []Attribute) Function {
	f := FunctionUnknown
	for _, a := range attributes {
		if a.Kind != 'F' || a.Name != ".FileFunction" || len(a.Values) == 0 {
			continue
		}
		switch strings.ToLower(a.Values[0]) {
		case "profile":
			f = FunctionProfile
		case "vcut", "vcutmap":
			f = FunctionScore
		case "plated", "nonplated":
			f = FunctionOther
			if last := strings.ToLower(a.Values[len(a.Values)-1]); last == "rout" || last == "mixed" {
				f = FunctionRout
			}
		default:
			f = FunctionOther
		}
	}
	return f
}

// String names the function.
func (f Function) String() string {
	names := [...]string{"unknown", "profile", "rout", "score", "other"}
	if f < 0 || int(f) >= len(names) {
		return fmt.Sprintf("Function(%d)", int(f))
	}
	return names[f]
}

package job

import (
	"bytes"
	"encoding/json"
)

// lineWidth is how long a line of a written job file may grow before its value
// is spread over several.
const lineWidth = 150

// Encode writes the job file as [Load] reads it: the same keys in the order
// of [File], values that fit on a line not spread over several. The errors are
// those of Load for the file itself.
func (f File) Encode() ([]byte, error) {
	if err := f.validate(""); err != nil {
		return nil, err
	}
	raw, err := json.Marshal(f)
	if err != nil {
		return nil, err
	}
	var b bytes.Buffer
	err = spread(&b, raw, "")
	b.WriteByte('\n')
	return b.Bytes(), err
}

// spread writes a JSON value on one line, or the members of an object or array
// on lines of their own.
func spread(b *bytes.Buffer, raw json.RawMessage, indent string) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	dec.UseNumber()
	open, err := dec.Token()
	if err != nil {
		return err
	}
	bracket, composite := open.(json.Delim)
	if !composite || len(indent)+len(raw) <= lineWidth {
		b.Write(spaced(raw))
		return nil
	}
	b.WriteString(bracket.String())
	for n := 0; dec.More(); n++ {
		if n > 0 {
			b.WriteByte(',')
		}
		b.WriteString("\n" + indent + "  ")
		if bracket == '{' {
			key, err := dec.Token()
			if err != nil {
				return err
			}
			quoted, err := json.Marshal(key)
			if err != nil {
				return err
			}
			b.Write(append(quoted, ": "...))
		}
		var member json.RawMessage
		if err := dec.Decode(&member); err != nil {
			return err
		}
		if err := spread(b, member, indent+"  "); err != nil {
			return err
		}
	}
	closing := map[json.Delim]string{'{': "}", '[': "]"}[bracket]
	b.WriteString("\n" + indent + closing)
	return nil
}

// spaced puts a blank after each comma and colon outside of texts.
func spaced(raw []byte) (out []byte) {
	quoted := false
	for i, c := range raw {
		if c == '"' && !escaped(raw[:i]) {
			quoted = !quoted
		}
		out = append(out, c)
		if !quoted && (c == ',' || c == ':') {
			out = append(out, ' ')
		}
	}
	return out
}

// escaped tells whether what follows stands behind an odd number of
// backslashes.
func escaped(before []byte) bool {
	n := 0
	for n < len(before) && before[len(before)-1-n] == '\\' {
		n++
	}
	return n%2 == 1
}

package nc

import "io"

// ToolDef is one entry of a program's tool table. Zero values of Feed, Speed,
// Retract and HitLimit mean that the file has none (F00 and S00 count as none).
type ToolDef struct {
	Number   int
	Diameter float64 // mm
	Feed     float64 // mm/min, infeed of a bit or feed of a cutter
	Speed    float64 // rev/min
	Retract  float64 // mm/min
	Z        float64 // mm, tip against the backup's upper face, negative into it; see HasZ
	HasZ     bool    // Z was written and is not 0, which stands for none
	HitLimit int     // hits before the next tool of the size is taken
	Line     int     // 1-based line of the definition, 0 for none
	Marking  string  // "plated", "unplated" or "" from TYPE comments and attributes
	Function string  // "via", "component", "mechanical" or "" from attributes
}

// Attribute is one attribute comment, such as "#@! TF.FileFunction,Plated,1,4,PTH".
type Attribute struct {
	Name   string   // "TF.FileFunction"
	Values []string // "Plated", "1", "4", "PTH"
	Tool   int      // tool it holds for, 0 for the file
	Line   int      // 1-based
}

// Note is a finding about a program: something decided, odd or kept without
// being understood. Notes of one rule and tool are grouped.
type Note struct {
	Rule   string // short name, see the package comment
	Line   int    // first place, 1-based; 0 for the whole file
	Column int    // 1-based, in bytes
	Tool   int    // 0 for none
	Count  int    // how often
	Lines  []int  // the first three places
	Detail string // what was found at the first place and what was made of it
}

// Program is a program as text with its reading. Make one with [Parse] or [Build].
type Program struct {
	Tools      []ToolDef   // in the order of definition
	Attributes []Attribute // in the order of the file
	Notes      []Note      // sorted by line, then rule

	Units     Units
	UnitsHow  How
	Zeros     Zeros
	ZerosHow  How
	Digits    Digits
	DigitsHow How

	FeedUnit FeedUnit     // unit of F and B words
	Function FileFunction // what TF.FileFunction says

	source []byte
	blocks []block
	read   ReadOptions
	form   form
}

// block is one line of the source: 8 bytes, so that a program of a million
// hits costs its text and 8 MB.
type block struct {
	offset uint32
	length uint32
}

// WriteTo writes the program's text: for a parsed program the bytes of its
// source, one for one.
func (p *Program) WriteTo(w io.Writer) (int64, error) {
	n, err := w.Write(p.source)
	if err == nil && n < len(p.source) {
		err = io.ErrShortWrite
	}
	return int64(n), err
}

// Lines returns how many lines the text has.
func (p *Program) Lines() int { return len(p.blocks) }

// Text returns line n, counted from 1, without its end; nil when there is
// none. The bytes are the program's own and must not be changed.
func (p *Program) Text(n int) []byte {
	if n < 1 || n > len(p.blocks) {
		return nil
	}
	b := p.blocks[n-1]
	return p.source[b.offset : b.offset+b.length : b.offset+b.length]
}

// Tool returns the table entry of a number, nil when there is none.
func (p *Program) Tool(number int) *ToolDef {
	for i := range p.Tools {
		if p.Tools[i].Number == number {
			return &p.Tools[i]
		}
	}
	return nil
}

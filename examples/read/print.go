package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
)

// print writes a reading as text: first what the numbers were taken for, since all
// that follows hangs on it.
func (r reading) print(w io.Writer) error {
	var b bytes.Buffer
	fmt.Fprintln(&b, r.File)
	if r.Error != "" {
		fmt.Fprintf(&b, "  not read: %s\n", r.Error)
		for _, c := range r.Candidates {
			fmt.Fprintf(&b, "    could be %s\n", c)
		}
		_, err := b.WriteTo(w)
		return err
	}
	fmt.Fprintf(&b, "  %s, %s\n", strings.Join(strings.Fields(r.Units+" "+r.Zeros+" "+r.Digits), " "), r.How)
	table := tabwriter.NewWriter(&b, 0, 0, 2, ' ', tabwriter.AlignRight)
	fmt.Fprintln(table, "\ttool\tmm\thits\tslots\trout mm\tmarking\t")
	for _, t := range r.Tools {
		fmt.Fprintf(table, "\tT%d\t%.3f\t%d\t%d\t%.3f\t%s\t\n", t.Tool, t.Diameter, t.Hits, t.Slots, t.Rout, t.Marking)
	}
	table.Flush()
	if r.Box != nil {
		fmt.Fprintf(&b, "  box X%.3f to %.3f, Y%.3f to %.3f mm; %d duplicate hits\n", r.Box[0], r.Box[2], r.Box[1], r.Box[3], r.Duplicates)
	}
	for _, f := range r.Findings {
		fmt.Fprintf(&b, "  line %d: %s x%d: %s\n", f.Line, f.Rule, f.Count, f.Detail)
	}
	_, err := b.WriteTo(w)
	return err
}

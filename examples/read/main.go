// Command read says what a drill or rout program holds and how its numbers
// were understood.
//
//	go run ./examples/read [-json] [-units mm|inch] [-zeros LZ|TZ|decimal] [-digits I:F] FILE...
//
// The flags say what a file leaves open; where a file says otherwise it is
// followed, and a finding tells. With -json each file is one JSON line, whose first
// key "schema" is the number of its form. The exit status is 1 when any file could not be read.
package main

import (
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"

	"example.org/pinstack/tooling/nc"
)

func main() {
	asJSON := flag.Bool("json", false, "print one JSON line a file")
	units := flag.String("units", "", "mm or inch, where a file does not say")
	zeros := flag.String("zeros", "", "LZ, TZ or decimal, where a file does not say")
	digits := flag.String("digits", "", "digits before and after the point, such as 2:4, where a file does not say")
	flag.Parse()
	o, err := options(*units, *zeros, *digits)
	if err == nil && flag.NArg() == 0 {
		err = errors.New("no file named")
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "read:", err)
		os.Exit(2)
	}
	good, err := run(os.Stdout, flag.Args(), o, *asJSON)
	if err != nil {
		fmt.Fprintln(os.Stderr, "read:", err)
	}
	if !good || err != nil {
		os.Exit(1)
	}
}

// options turns the flags into what the reader is told.
func options(units, zeros, digits string) (o nc.ReadOptions, err error) {
	switch units {
	case "":
	case "mm":
		o.Units = nc.Millimetres
	case "inch":
		o.Units = nc.Inches
	default:
		return o, fmt.Errorf("-units is %q, expected mm or inch", units)
	}
	switch zeros {
	case "":
	case "LZ":
		o.Zeros = nc.LeadingZeros
	case "TZ":
		o.Zeros = nc.TrailingZeros
	case "decimal":
		o.Zeros = nc.DecimalPoint
	default:
		return o, fmt.Errorf("-zeros is %q, expected LZ, TZ or decimal", zeros)
	}
	if digits != "" {
		if _, err := fmt.Sscanf(digits+"\n", "%d:%d\n", &o.Digits.Int, &o.Digits.Dec); err != nil || o.Digits.Int < 1 || o.Digits.Dec < 0 || o.Digits.Int+o.Digits.Dec > 12 {
			return o, fmt.Errorf("-digits is %q, expected such as 2:4", digits)
		}
	}
	return o, nil
}

// run reads every file, prints what it holds, and tells whether all could be
// read: one that could not does not keep the others from being read. The error is
// that of printing.
func run(w io.Writer, files []string, o nc.ReadOptions, asJSON bool) (good bool, err error) {
	good = true
	for _, name := range files {
		r := read(name, o)
		good = good && r.Error == ""
		if asJSON {
			err = json.NewEncoder(w).Encode(r)
		} else {
			err = r.print(w)
		}
		if err != nil {
			return false, err
		}
	}
	return good, nil
}

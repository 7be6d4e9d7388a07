// Offset reads outlines as WKT and prints the path of a cutter along them.
//
//	offset [-json] -cutter MM [-side outside|inside] [-fit MM] [-tabs N] [-tab-width MM] FILE...
//
// Each line of a file is one POLYGON or MULTIPOLYGON in millimetres, or a name, a
// tab and one of these; lines of white space are left out, and so are heights and
// measures of points. For each one the
// program prints the paths, what the cutter cannot reach, and a check of the
// result that only measures distances, from the printed path to the lines as they were
// given. With -json that is one JSON object a line, whose first key "schema" is the
// number of its form.
//
// -side outside grows the region by the cutter's radius: the path runs outside the
// shells and inside their holes. -side inside shrinks it. -fit MM first finds the
// arcs that were written as chords, within that tolerance; 0, the default, takes
// the chords as they are.
//
// -tabs N leaves N webs of -tab-width MM standing on every loop round material, as
// evenly as straight stretches in front of material that can hold them allow; the
// width is that between the swept ends. A loop without room for them is an error.
// What their places leave to be wished is told in findings, by rule, with up to
// three places each:
//
//	tab-bent      tabs on an arc or another bent stretch: the straight ones have no
//	              place for all tabs of the loop, three or more round its centroid;
//	              value and limit are the longest gap and a straight one, mm
//	tab-thin      the material behind a tab, or what is left across the channel, is
//	              thinner than a millimetre and than the web; value is the thinnest, mm
//	tab-centroid  the centroid of a part lies outside the polygon of its tabs, so that
//	              it may tip; value is how far, mm
//
// A line that is no valid region gives its name and the error; the others are still
// done, and the exit status is 1 at the end. It is 2 where the program was called
// wrongly.
package main

// The files follow the way of the data: lines.go and wkt.go read, region.go refuses what
// is no region, offset.go has the work done, tabs.go leaves tabs, grid.go rounds,
// measure.go checks what will be printed, print.go prints it. Package route leaves tabs,
// too, but on boards that lie on a panel; here any region will do.

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"time"
)

func main() {
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// settings are what the flags say.
type settings struct {
	json   bool
	cutter float64 // diameter, mm
	side   string
	fit    float64 // tolerance, mm, 0 for none
	tabs   int     // webs a loop, 0 for none
	web    float64 // their width, mm
	now    func() time.Time
}

func run(args []string, stdout, stderr io.Writer) int {
	s := settings{now: time.Now}
	f := flag.NewFlagSet("offset", flag.ContinueOnError)
	f.SetOutput(stderr)
	f.BoolVar(&s.json, "json", false, "print one JSON object for each geometry")
	f.Float64Var(&s.cutter, "cutter", 0, "cutter diameter in `mm`")
	f.StringVar(&s.side, "side", "outside", "`outside` grows the region, inside shrinks it")
	f.Float64Var(&s.fit, "fit", 0, "find arcs within this tolerance in `mm`; 0 takes chords as they are")
	f.IntVar(&s.tabs, "tabs", 0, "webs left standing on every loop round material")
	f.Float64Var(&s.web, "tab-width", 3, "width of a web, mm")
	if err := f.Parse(args); err != nil {
		return 2
	}
	if err := s.validate(f.Args()); err != nil {
		fmt.Fprintln(stderr, "offset:", err)
		return 2
	}
	out := bufio.NewWriter(stdout)
	status := 0
	for _, name := range f.Args() {
		whole, err := s.file(name, out)
		if err != nil {
			fmt.Fprintln(stderr, "offset:", err)
		}
		if err != nil || !whole {
			status = 1
		}
	}
	if err := out.Flush(); err != nil {
		fmt.Fprintln(stderr, "offset:", err)
		return 1
	}
	return status
}

// inside tells whether the cutter belongs inside the region.
func (s *settings) inside() bool { return s.side == "inside" }

func (s *settings) validate(files []string) error {
	switch {
	case !(s.cutter > 0) || math.IsInf(s.cutter, 0):
		return fmt.Errorf("-cutter %g: want a diameter above 0", s.cutter)
	case s.side != "outside" && s.side != "inside":
		return fmt.Errorf("-side %q: want outside or inside", s.side)
	case !(s.fit >= 0) || math.IsInf(s.fit, 0):
		return fmt.Errorf("-fit %g: want 0 or a tolerance above it", s.fit)
	case s.tabs < 0 || s.tabs > 10_000:
		return fmt.Errorf("-tabs %d: want 0 to 10000", s.tabs)
	case !(s.web > 0) || math.IsInf(s.web, 0):
		return fmt.Errorf("-tab-width %g: want a width above 0", s.web)
	case len(files) == 0:
		return fmt.Errorf("no file given")
	}
	return nil
}

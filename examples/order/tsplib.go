package main

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"example.org/pinstack/drill/tour"
	"github.com/paulmach/orb"
)

// instance is one tour to find.
type instance struct {
	name   string
	points []orb.Point
	items  []tour.Item // instead of points where some have two ends
	edges  string      // EDGE_WEIGHT_TYPE; "" for a drill program
}

// maxPoints bounds what a file may ask for.
const maxPoints = 5_000_000

// syntaxError is a fault in a .tsp file.
type syntaxError struct {
	file string
	line int
	what string
}

func (e *syntaxError) Error() string { return fmt.Sprintf("%s:%d: %s", e.file, e.line, e.what) }

// readTSP reads a TSPLIB file of two-dimensional points (G. Reinelt, TSPLIB - a
// traveling salesman problem library, ORSA Journal on Computing 3, 1991).
func readTSP(r io.Reader, file string) (instance, error) {
	in := instance{name: file}
	scan := bufio.NewScanner(r)
	line, want, section := 0, -1, false
	fault := func(format string, args ...any) error {
		return &syntaxError{file, line, fmt.Sprintf(format, args...)}
	}
	var seen []bool
	for scan.Scan() {
		line++
		text := strings.TrimSpace(scan.Text())
		switch {
		case text == "":
			continue
		case text == "EOF":
			section = false
		case section && text[0] >= '0' && text[0] <= '9':
			id, p, err := node(text)
			if err != nil {
				return in, fault("%v", err)
			}
			if id < 1 || id > want {
				return in, fault("node %d, expected 1 to %d", id, want)
			}
			if seen[id-1] {
				return in, fault("node %d a second time", id)
			}
			seen[id-1] = true
			in.points[id-1] = p
		default:
			section = false
			key, value, _ := strings.Cut(text, ":")
			key, value = strings.TrimSpace(key), strings.TrimSpace(value)
			switch key {
			case "NAME":
				in.name = value
			case "TYPE":
				if value != "TSP" {
					return in, fault("TYPE is %q, expected TSP", value)
				}
			case "DIMENSION":
				n, err := strconv.Atoi(value)
				if err != nil || n < 0 || n > maxPoints {
					return in, fault("DIMENSION is %q, expected 0 to %d", value, maxPoints)
				}
				want = n
			case "EDGE_WEIGHT_TYPE":
				if _, ok := weights(value); !ok {
					return in, fault("EDGE_WEIGHT_TYPE is %q, expected EUC_2D, CEIL_2D or MAX_2D", value)
				}
				in.edges = value
			case "NODE_COORD_SECTION":
				if want < 0 {
					return in, fault("NODE_COORD_SECTION before DIMENSION")
				}
				section = true
				if seen == nil {
					in.points, seen = make([]orb.Point, want), make([]bool, want)
				}
			case "COMMENT", "NODE_COORD_TYPE", "DISPLAY_DATA_TYPE":
			default:
				return in, fault("found %q, expected a keyword of a point file", key)
			}
		}
	}
	if err := scan.Err(); err != nil {
		return in, fmt.Errorf("%s: %w", file, err)
	}
	if in.edges == "" {
		return in, fault("no EDGE_WEIGHT_TYPE")
	}
	if seen == nil {
		return in, fault("no NODE_COORD_SECTION")
	}
	for i, ok := range seen {
		if !ok {
			return in, fault("node %d is missing", i+1)
		}
	}
	return in, nil
}

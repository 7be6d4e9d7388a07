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

// A tspReader gathers what a file says, line by line.
type tspReader struct {
	instance
	file    string
	line    int
	want    int    // DIMENSION, -1 before it
	section bool   // within the coordinates
	seen    []bool // by node
}

func (t *tspReader) fault(format string, args ...any) error {
	return &syntaxError{t.file, t.line, fmt.Sprintf(format, args...)}
}

// readTSP reads a TSPLIB file of two-dimensional points (G. Reinelt, TSPLIB - a
// traveling salesman problem library, ORSA Journal on Computing 3, 1991).
func readTSP(r io.Reader, file string) (instance, error) {
	t := tspReader{instance: instance{name: file}, file: file, want: -1}
	scan := bufio.NewScanner(r)
	for scan.Scan() {
		t.line++
		text := strings.TrimSpace(scan.Text())
		var err error
		switch {
		case text == "":
		case text == "EOF":
			t.section = false
		case t.section && text[0] >= '0' && text[0] <= '9':
			err = t.node(text)
		default:
			key, value, _ := strings.Cut(text, ":")
			err = t.keyword(strings.TrimSpace(key), strings.TrimSpace(value))
		}
		if err != nil {
			return t.instance, err
		}
	}
	if err := scan.Err(); err != nil {
		return t.instance, fmt.Errorf("%s: %w", file, err)
	}
	return t.instance, t.complete()
}

// keyword takes what a line of the head says; in doubt it refuses, since a word passed over
// could change what the coordinates mean.
func (t *tspReader) keyword(key, value string) error {
	t.section = false
	switch key {
	case "NAME":
		t.name = value
	case "TYPE":
		if value != "TSP" {
			return t.fault("TYPE is %q, expected TSP", value)
		}
	case "DIMENSION":
		n, err := strconv.Atoi(value)
		if err != nil || n < 0 || n > maxPoints {
			return t.fault("DIMENSION is %q, expected 0 to %d", value, maxPoints)
		}
		t.want = n
	case "EDGE_WEIGHT_TYPE":
		if _, ok := weights(value); !ok {
			return t.fault("EDGE_WEIGHT_TYPE is %q, expected EUC_2D, CEIL_2D or MAX_2D", value)
		}
		t.edges = value
	case "NODE_COORD_SECTION":
		if t.want < 0 {
			return t.fault("NODE_COORD_SECTION before DIMENSION")
		}
		t.section = true
		if t.seen == nil {
			t.points, t.seen = make([]orb.Point, t.want), make([]bool, t.want)
		}
	case "COMMENT", "NODE_COORD_TYPE", "DISPLAY_DATA_TYPE":
	default:
		return t.fault("found %q, expected a keyword of a point file", key)
	}
	return nil
}

// node takes the place of a node.
func (t *tspReader) node(text string) error {
	id, p, err := node(text)
	switch {
	case err != nil:
		return t.fault("%v", err)
	case id < 1 || id > len(t.seen):
		return t.fault("node %d, expected 1 to %d", id, len(t.seen))
	case t.seen[id-1]:
		return t.fault("node %d a second time", id)
	}
	t.seen[id-1], t.points[id-1] = true, p
	return nil
}

// complete tells what is missing at the end.
func (t *tspReader) complete() error {
	if t.edges == "" {
		return t.fault("no EDGE_WEIGHT_TYPE")
	}
	if t.seen == nil {
		return t.fault("no NODE_COORD_SECTION")
	}
	for i, ok := range t.seen {
		if !ok {
			return t.fault("node %d is missing", i+1)
		}
	}
	return nil
}

package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"example.org/pinstack/drill/tour"
	"github.com/paulmach/orb"
)

// node reads "id x y".
func node(text string) (id int, p orb.Point, err error) {
	next := func() string {
		text = strings.TrimLeft(text, " \t")
		k := strings.IndexAny(text, " \t")
		if k < 0 {
			k = len(text)
		}
		word := text[:k]
		text = text[k:]
		return word
	}
	id, err = strconv.Atoi(next())
	for k := 0; k < 2 && err == nil; k++ {
		p[k], err = strconv.ParseFloat(next(), 64)
		if err == nil && (math.IsNaN(p[k]) || math.IsInf(p[k], 0)) {
			err = errors.New("a coordinate is not finite")
		}
	}
	if err == nil && strings.TrimSpace(text) != "" {
		err = fmt.Errorf("found %q after the coordinates", strings.TrimSpace(text))
	}
	return id, p, err
}

// weights is the metric of an EDGE_WEIGHT_TYPE.
func weights(name string) (tour.Metric, bool) {
	switch name {
	case "EUC_2D":
		return tour.Rounded(), true
	case "CEIL_2D":
		return tour.Ceiling(), true
	case "MAX_2D":
		return tour.Chebyshev(), true
	}
	return tour.Metric{}, false
}

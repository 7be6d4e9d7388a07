// Package contour holds closed and open contours of lines and true arcs, their
// measures, and their offset by a signed distance.
package contour

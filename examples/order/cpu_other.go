//go:build !unix

package main

import "time"

var begun = time.Now()

// cpuSeconds is the wall time since the start where CPU time is not to be had.
func cpuSeconds() float64 { return time.Since(begun).Seconds() }

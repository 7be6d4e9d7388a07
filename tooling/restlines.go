package tooling

import "fmt"

// RestLines is what the header of the rest of a pass says of the stops that led to it:
// stops are where each was in turn, such as "after hit 20 of run 1". Numbers of a later
// one count in the rest after the one before it, and the lines say so. Again and left
// are counts in words, such as "2 hits made again" and "1 hole".
func RestLines(stops []string, again, left string) []string {
	last := len(stops) - 1
	where := func(n int) string {
		if n == 0 {
			return stops[n]
		}
		return fmt.Sprintf("%s of rest %d", stops[n], n)
	}
	name := "rest"
	if last > 0 {
		name = fmt.Sprintf("rest %d", last+1)
	}
	lines := []string{fmt.Sprintf("%s of the pass %s, %s, %s left out", name, where(last), again, left)}
	for n := range last {
		lines = append(lines, fmt.Sprintf("rest %d was that %s", n+1, where(n)))
	}
	return lines
}

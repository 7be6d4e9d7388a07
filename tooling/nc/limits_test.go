package nc_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"example.org/pinstack/tooling/nc"
	"github.com/stretchr/testify/require"
)

// Every limit of a reading is met exactly by what is just so long, and one less
// refuses it with the limit's name, the most and what was found.
func TestLimitsOfAReading(t *testing.T) {
	src := body("T1", "X1.0Y1.0", "R3X1.0", "M25", "X2.0Y2.0", "X3.0Y2.0", "M25", "X4.0Y4.0", "M01", "R2M02X1.0", "M01", "M02Y5.0", "M08", "X9.0Y9.0G85X10.0Y9.0", "; a remark", "T2", "X1.0Y5.0")
	operations := len(ops(t, parse(t, src)))
	for _, c := range []struct {
		name string
		most int
		set  func(*nc.ReadOptions, int)
	}{
		{"bytes", len(src), func(o *nc.ReadOptions, n int) { o.MaxBytes = n }},
		{"blocks", strings.Count(src, "\n"), func(o *nc.ReadOptions, n int) { o.MaxBlocks = n }},
		{"operations", operations, func(o *nc.ReadOptions, n int) { o.MaxOps = n }},
		{"tools", 2, func(o *nc.ReadOptions, n int) { o.MaxTools = n }},
		{"nesting", 2, func(o *nc.ReadOptions, n int) { o.MaxNesting = n }},
	} {
		o := nc.ReadOptions{File: "f.drl"}
		c.set(&o, c.most)
		_, err := nc.Parse([]byte(src), o)
		require.NoError(t, err, c.name)
		c.set(&o, c.most-1)
		_, err = nc.Parse([]byte(src), o)
		var over *nc.LimitError
		require.ErrorAs(t, err, &over, c.name)
		require.ErrorIs(t, err, nc.ErrLimit)
		require.Equal(t, "f.drl", over.File)
		require.Equal(t, c.name, over.Limit)
		require.Equal(t, c.most-1, over.Max)
		require.Equal(t, c.most, over.Found)
	}
	// Every place where operations are counted stops at the first too many.
	for most := 1; most < operations; most++ {
		_, err := nc.Parse([]byte(src), nc.ReadOptions{MaxOps: most})
		var over *nc.LimitError
		require.ErrorAs(t, err, &over, "%d", most)
		require.Equal(t, most, over.Max)
		require.Greater(t, over.Found, most)
	}
	far := 0.0
	for _, op := range ops(t, parse(t, src)) {
		far = max(far, op.To[0], op.To[1])
	}
	for reach, ok := range map[float64]bool{far: true, far - 1e-6: false, 10_000: true} {
		_, err := nc.Parse([]byte(src), nc.ReadOptions{MaxReach: reach})
		if ok {
			require.NoError(t, err, "%v", reach)
		} else {
			require.ErrorIs(t, err, nc.ErrRange, "%v", reach)
		}
	}
}

// Ten thousand attributes are kept, what comes after is counted.
func TestManyAttributes(t *testing.T) {
	for n, more := range map[int]int{10_000: 0, 10_003: 3} {
		src := body(strings.Repeat("; #@! TA.AperFunction,Other,x\n", n)+"T1", "X1.0Y1.0")
		p := parse(t, src)
		require.Len(t, p.Attributes, 10_000)
		count := 0
		for _, note := range p.Notes {
			if note.Rule == "many-attributes" {
				count = note.Count
			}
		}
		require.Equal(t, more, count)
	}
}

// Two hundred and fifty-six groups of notes are told apart, further ones together.
func TestManyNotes(t *testing.T) {
	for _, n := range []int{255, 256, 257, 300} {
		var table, work strings.Builder
		for k := range n {
			fmt.Fprintf(&table, "T%dC0.800\n", k+1)
			fmt.Fprintf(&work, "T%d\nX1.0Y1.0G85X1.0Y1.0\n", k+1) // a slot without a length
		}
		p := parse(t, "M48\nMETRIC\n"+table.String()+"%\n"+work.String()+"M30\n")
		told, more := 0, 0
		for _, note := range p.Notes {
			switch note.Rule {
			case "zero-slot":
				told++
			case "more":
				more = note.Count
			}
		}
		require.Equal(t, min(n, 256), told, "%d", n)
		require.Equal(t, max(n-256, 0), more, "%d", n)
	}
}

// An ambiguous file is named before its line, a text without a name is not.
func TestAmbiguousFilesAreNamed(t *testing.T) {
	src := []byte("M48\nT1C0.1\n%\nT1\nX10000Y20000\nX15000Y25000\nM30\n")
	var open *nc.AmbiguousError
	_, err := nc.Parse(src, nc.ReadOptions{File: "gauge.drl"})
	require.True(t, errors.As(err, &open))
	require.True(t, strings.HasPrefix(err.Error(), "gauge.drl:5:1: nc: no units: "), "%v", err)
	_, err = nc.Parse(src, nc.ReadOptions{})
	require.True(t, strings.HasPrefix(err.Error(), "5:1: nc: no units: "), "%v", err)
}

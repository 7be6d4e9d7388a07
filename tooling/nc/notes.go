package nc

import (
	"cmp"
	"slices"
)

// notePlaces is how many places a note lists.
const notePlaces = 3

// maxNotes bounds the groups of notes; what comes later joins a last group.
const maxNotes = 256

// noteKey is what notes are grouped by.
type noteKey struct {
	rule string
	tool int
}

// noteBook groups findings as they come.
type noteBook struct {
	notes []Note
	index map[noteKey]int
}

// seen counts one more of a known group. It is asked first, so that the
// detail is only put into words once a group.
func (nb *noteBook) seen(rule string, tool, line int) bool {
	k, ok := nb.index[noteKey{rule, tool}]
	if !ok {
		return false
	}
	n := &nb.notes[k]
	n.Count++
	if len(n.Lines) < notePlaces {
		n.Lines = append(n.Lines, line)
	}
	return true
}

// add opens a group.
func (nb *noteBook) add(n Note) {
	if nb.index == nil {
		nb.index = make(map[noteKey]int)
	}
	if len(nb.notes) >= maxNotes {
		if nb.seen("more", 0, n.Line) {
			return
		}
		n.Rule, n.Tool, n.Detail = "more", 0, "further findings, not listed"
	}
	if nb.seen(n.Rule, n.Tool, n.Line) {
		return
	}
	if n.Count == 0 {
		n.Count = 1
	}
	if len(n.Lines) == 0 && n.Line > 0 {
		n.Lines = []int{n.Line}
	}
	nb.index[noteKey{n.Rule, n.Tool}] = len(nb.notes)
	nb.notes = append(nb.notes, n)
}

// sortNotes orders notes by line, rule and tool.
func sortNotes(notes []Note) {
	slices.SortStableFunc(notes, func(a, b Note) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Rule, b.Rule), cmp.Compare(a.Tool, b.Tool))
	})
}

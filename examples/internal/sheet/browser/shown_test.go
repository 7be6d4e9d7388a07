package browser

import (
	"fmt"
	"slices"
	"strings"
)

// harvest gives every line of the page that holds a figure, in the page's order:
// a row of a table, an item of a list, a heading, a text of a plot; its parts are
// joined by bars. What is drawn is told in numbers: bars by their width, dots by
// their height, buttons by the place that they show. Player and pictures are
// compared elsewhere.
const harvest = `(() => {
  const lines = [];
  const parts = e => {
    const walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), list = [];
    while (walk.nextNode()) {
      const text = walk.currentNode.data.replace(/\s+/g, " ").trim(), jump = walk.currentNode.parentNode.closest(".goto");
      if (text) list.push(jump ? text + " at " + jump.dataset.x + "," + jump.dataset.y : text);
    }
    return list;
  };
  const elements = "h1, .top .note, .verdict, .facts li, .picker .of, .picker button, h2, h3, section:not(.viewer) li, tbody tr, .pinning > div, .remark, summary, .shares p, .split span, figcaption, .curve .dot, .curve text, .curve p, .hash";
  for (const e of document.querySelectorAll(elements)) {
    let line = parts(e).join("|");
    if (e.matches(".split span")) line = "bar " + e.style.width;
    if (e.matches(".dot")) line = "dot " + e.getAttribute("cy");
    if (e.matches(".high.strong")) line += " chosen";
    if (/\d/.test(line)) lines.push(line);
  }
  return lines;
})()`

// figures compares every figure of the page with the JSON of the same job.
func (p tab) figures(j job) {
	p.Helper()
	for _, c := range differences(eval[[]string](p, harvest), j.lines()) {
		p.Error(c)
	}
}

// differences says which lines stand on one side only, or else which is the
// first out of its place.
func differences(shown, told []string) []string {
	var list []string
	left := make(map[string]int)
	for _, l := range told {
		left[l]++
	}
	for _, l := range shown {
		if left[l]--; left[l] < 0 {
			list = append(list, fmt.Sprintf("page shows %q, JSON says no such thing", l))
		}
	}
	clear(left)
	for _, l := range shown {
		left[l]++
	}
	for _, l := range told {
		if left[l]--; left[l] < 0 {
			list = append(list, fmt.Sprintf("JSON says %q, page shows no such thing", l))
		}
	}
	if len(list) > 0 || slices.Equal(shown, told) {
		return list
	}
	for i := range told {
		if shown[i] != told[i] {
			return []string{fmt.Sprintf("line %d: page shows %q, JSON says %q", i+1, shown[i], told[i])}
		}
	}
	return nil
}

// numbered reports whether a line holds a figure.
func numbered(line string) bool { return strings.ContainsAny(line, "0123456789") }

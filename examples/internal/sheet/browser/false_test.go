package browser

import (
	"context"
	"fmt"
	"path/filepath"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// falsify lists every figure that the page shows in words and tables, and what
// a drawn one is set to, to be made false one after the other.
const falsify = `(() => {
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), places = [];
  const add = (where, what, get, set) => { for (const m of get().matchAll(/\d+/g)) places.push({ where, what: what || get(), at: m.index, get, set }); };
  while (walk.nextNode()) {
    const n = walk.currentNode, e = n.parentElement;
    if (!/\d/.test(n.data) || e.closest("script, style, .stage, figure.paper, thead")) continue;
    const where = e.closest(".facts, .top, .picker, .care, .pinning, .runs, .travel, .shares, .curve, .verdicts, .checks, .key, .heights, .hash, h2, h3") || e.closest("section, table");
    add(where.className || where.tagName.toLowerCase(), "", () => n.data, s => n.data = s);
  }
  for (const e of document.querySelectorAll(".split span")) add("bar", "", () => e.style.width, s => e.style.width = s);
  for (const e of document.querySelectorAll(".curve .dot")) add("dot", "", () => e.getAttribute("cy"), s => e.setAttribute("cy", s));
  for (const e of document.querySelectorAll(".goto")) for (const k of ["x", "y"]) add("goto", e.textContent, () => e.dataset[k], s => e.dataset[k] = s);
  window.falsified = places;
  return places.map(p => [p.where, p.what.trim()]);
})()`

// one makes figure k false by its first digit, harvests, and puts it right again.
const one = `(() => {
  const p = falsified[%d], was = p.get();
  p.set(was.slice(0, p.at) + (Number(was[p.at]) + 1) %% 10 + was.slice(p.at + 1));
  const shown = %s;
  p.set(was);
  return shown;
})()`

// TestFalseFigures makes every figure of the golden page false, one at a time,
// and demands that the comparison with the JSON notices each.
func TestFalseFigures(t *testing.T) {
	golden := filepath.Join("..", "testdata", "greenhouse")
	j := read(t, filepath.Join(golden, "sheet.json"))
	timed, stop := context.WithTimeout(browse(t), 2*time.Minute)
	defer stop()
	p := tab{t, timed}
	p.do(chromedp.Navigate("file://"+dressed(t, filepath.Join(golden, "sheet.html"))), chromedp.WaitVisible(chromedp.CSS("#glass")))
	p.wait("the picture is never ready", func() bool { return eval[bool](p, `document.documentElement.dataset.ready === "yes"`) })
	told := j.lines()
	p.figures(j)
	kinds := make(map[string]int)
	for k, figure := range eval[[][2]string](p, falsify) {
		kinds[figure[0]]++
		if shown := eval[[]string](p, fmt.Sprintf(one, k, harvest)); len(differences(shown, told)) == 0 {
			t.Errorf("%s: a false figure in %q passes", figure[0], figure[1])
		}
	}
	p.figures(j)
	t.Logf("figures made false: %v", kinds)
	for _, kind := range []string{"facts", "runs full", "pinning", "key full", "curve", "travel", "shares", "verdicts full", "bar", "dot", "goto"} {
		if kinds[kind] == 0 {
			t.Errorf("no figure of kind %q was made false", kind)
		}
	}
}

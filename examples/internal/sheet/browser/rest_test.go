package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// rest is as much of what examples/restart prints as is compared with its page.
type rest struct {
	Pass       string     `json:"pass"`
	Hits       int        `json:"remaining_hits"`
	Paths      int        `json:"remaining_paths"`
	HitsAgain  int        `json:"repeated_hits"`
	PathsAgain int        `json:"repeated_paths"`
	Seconds    float64    `json:"seconds"`
	Page       string     `json:"page"`
	Checks     []struct{} `json:"checks"`
	LeftOut    []struct {
		At  [2]float64 `json:"at_mm"`
		Why string     `json:"why"`
	} `json:"left_out"`
}

// TestRests opens the sheets of rests after a stop, where PINSTACK_RESTS names a
// directory with what examples/restart printed of each.
func TestRests(t *testing.T) {
	dir := os.Getenv("PINSTACK_RESTS")
	if dir == "" {
		t.Skip("PINSTACK_RESTS names no rests; the gate does")
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.json"))
	if err != nil || len(files) == 0 {
		t.Fatalf("PINSTACK_RESTS=%s holds no NAME.json (%v)", dir, err)
	}
	ctx := browse(t)
	for _, file := range files {
		t.Run(strings.TrimSuffix(filepath.Base(file), ".json"), func(t *testing.T) {
			raw, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var r rest
			if err := json.Unmarshal(raw, &r); err != nil {
				t.Fatal(err)
			}
			page, end := chromedp.NewContext(ctx)
			defer end()
			if err := chromedp.Do(page); err != nil {
				t.Fatal(err)
			}
			complaints := listen(t, page)
			timed, stop := context.WithTimeout(page, time.Minute)
			defer stop()
			p := tab{t, timed}
			p.do(chromedp.Navigate("file://"+r.Page), chromedp.WaitVisible(chromedp.CSS("#glass")))
			p.wait("the picture is never ready", func() bool { return eval[bool](p, `document.documentElement.dataset.ready === "yes"`) })
			p.shot("opened")
			p.rest(r)
			p.fits()
			p.legible()
			for _, c := range complaints() {
				t.Errorf("the page complained: %s", c)
			}
		})
	}
}

// rest compares the page with what was printed: work, time, checks, and each
// place that is left out, which the picture shows when asked; then it plays.
func (p tab) rest(r rest) {
	p.expect("kind of sheet", eval[string](p, `document.querySelector(".kicker").textContent`), "Job sheet: the rest after a stop")
	p.expect("time", p.text("lot-time"), clock(r.Seconds))
	p.expect("verdict", eval[string](p, `document.querySelector(".verdict b").textContent`), fmt.Sprintf("%d of %d", len(r.Checks), len(r.Checks)))
	column := 11 // hits of a drill run, paths of a rout run
	p.expect("work", fmt.Sprint(eval[int](p, fmt.Sprintf(`[...document.querySelectorAll("table.runs tbody tr")].reduce((n, r) => n + Number(r.children[%d].textContent), 0)`, column))), fmt.Sprint(r.Hits+r.Paths))
	// How often a finding of rule left-out was made, by its detail.
	shown := eval[map[string]int](p, `Object.fromEntries([...document.querySelectorAll(".verdicts tr.note")].filter(r => r.children[2].textContent.startsWith("left-out")).map(r => [r.children[4].textContent, Number(r.children[3].textContent)]))`)
	want := make(map[string]int)
	for _, l := range r.LeftOut {
		if l.Why == "scrapped" {
			want["left out, in an area given up"]++
		} else {
			want[fmt.Sprintf("left out for you to deal with: %s at X%.3f Y%.3f", l.Why, l.At[0], l.At[1])]++
		}
	}
	p.expect("what is left out", fmt.Sprint(shown), fmt.Sprint(want))
	p.expect("what is made again", fmt.Sprint(eval[int](p, `[...document.querySelectorAll(".verdicts tr.note")].filter(r => r.children[2].textContent.startsWith("made-again")).reduce((n, r) => n + Number(r.children[3].textContent), 0)`)), fmt.Sprint(r.HitsAgain+r.PathsAgain))
	p.choose(2) // the first run
	p.do(chromedp.Focus(chromedp.CSS("#glass")), chromedp.KeyEvent(kb.Home))
	before := p.text("now-time")
	p.do(chromedp.KeyEvent(" "))
	p.wait("nothing moves while playing", func() bool { return p.text("now-time") != before })
	p.do(chromedp.KeyEvent(" "))
}

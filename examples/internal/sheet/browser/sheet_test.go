package browser

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// job is as much of the sheet's JSON as is compared with the page.
type job struct {
	Job          string  `json:"job"`
	LotSeconds   float64 `json:"lot_seconds"`
	CostPerPanel float64 `json:"cost_per_panel"`
	Passes       []struct {
		Name        string  `json:"name"`
		Operation   string  `json:"operation"`
		LoadSeconds float64 `json:"load_seconds"`
		Runs        []struct {
			Run      int     `json:"run"`
			Tool     int     `json:"tool"`
			Diameter float64 `json:"diameter_mm"`
			Hits     int     `json:"hits"`
			Paths    int     `json:"paths"`
		} `json:"runs"`
	} `json:"passes"`
	Bits []struct {
		Diameter float64 `json:"diameter_mm"`
		Count    int     `json:"count"`
	} `json:"bits"`
	Checks []struct {
		OK bool `json:"ok"`
	} `json:"checks"`
}

// sheets lists pages with the JSON that they must agree with.
func sheets(t *testing.T) map[string][2]string {
	golden := filepath.Join("..", "testdata", "greenhouse")
	list := map[string][2]string{"golden": {filepath.Join(golden, "sheet.html"), filepath.Join(golden, "sheet.json")}}
	dir := os.Getenv("PINSTACK_SHEETS")
	if dir == "" {
		return list
	}
	pages, err := filepath.Glob(filepath.Join(dir, "*", "sheet.html"))
	if err != nil || len(pages) == 0 {
		t.Fatalf("PINSTACK_SHEETS=%s holds no page NAME/sheet.html (%v)", dir, err)
	}
	for _, p := range pages {
		name := filepath.Base(filepath.Dir(p))
		list[name] = [2]string{p, filepath.Join(dir, name+".json")}
	}
	return list
}

// clock writes seconds as the sheet must, by its own arithmetic.
func clock(seconds float64) string {
	if seconds < 59.95 {
		return fmt.Sprintf("%.1f s", seconds)
	}
	d := time.Duration(math.Round(seconds)) * time.Second
	text := fmt.Sprintf("%d min %d s", int(d.Minutes())%60, int(d.Seconds())%60)
	if h := int(d.Hours()); h > 0 {
		text = fmt.Sprintf("%d h ", h) + text
	}
	return text
}

func TestSheets(t *testing.T) {
	ctx := browse(t)
	for name, files := range sheets(t) {
		t.Run(name, func(t *testing.T) {
			raw, err := os.ReadFile(files[1])
			if err != nil {
				t.Fatal(err)
			}
			var j job
			if err := json.Unmarshal(raw, &j); err != nil {
				t.Fatal(err)
			}
			file, err := filepath.Abs(files[0])
			if err != nil {
				t.Fatal(err)
			}
			page, end := chromedp.NewContext(ctx)
			defer end()
			if err := chromedp.Do(page); err != nil { // opens the tab, which lives as long as page
				t.Fatal(err)
			}
			complaints := listen(t, page)
			timed, stop := context.WithTimeout(page, 2*time.Minute)
			defer stop()
			p := tab{t, timed}
			p.do(chromedp.Navigate("file://"+file), chromedp.WaitVisible(chromedp.CSS("#glass")), chromedp.Sleep(300*time.Millisecond))
			t.Logf("first paint after %.0f ms", eval[float64](p, `performance.getEntriesByName("first-contentful-paint")[0].startTime`))
			p.figures(j)
			p.passes(j)
			p.pointing(j)
			p.finding()
			p.paper(j)
			for _, c := range complaints() {
				t.Errorf("the page complained: %s", c)
			}
		})
	}
}

// figures compares the head and the tables.
func (p tab) figures(j job) {
	p.expect("lot time", p.text("lot-time"), clock(j.LotSeconds))
	p.expect("cost", strings.Fields(p.text("cost"))[0], fmt.Sprintf("%.2f", j.CostPerPanel))
	good := 0
	for _, c := range j.Checks {
		if c.OK {
			good++
		}
	}
	p.expect("verdict", eval[string](p, `document.querySelector(".verdict").textContent`), fmt.Sprintf("%d of %d checks passed", good, len(j.Checks)))
	for _, s := range j.Passes {
		for _, r := range s.Runs {
			row := eval[string](p, fmt.Sprintf(`document.querySelector('table[data-pass="%s"] tr[data-run="%d"]').innerText`, s.Name, r.Run))
			for _, want := range []string{fmt.Sprintf("T%d", r.Tool), fmt.Sprintf("%.2f", r.Diameter)} {
				if !strings.Contains(row, want) {
					p.Errorf("pass %s run %d: table shows %q, want %s in it", s.Name, r.Run, row, want)
				}
			}
		}
	}
	body := eval[string](p, `document.body.innerText`)
	for _, b := range j.Bits {
		if !strings.Contains(body, fmt.Sprintf("%.2f", b.Diameter)) {
			p.Errorf("no tool of %.2f mm on the page", b.Diameter)
		}
	}
}

// choose presses the nth button of the list of passes and runs.
func (p tab) choose(n int) {
	p.Helper()
	p.run(fmt.Sprintf(`document.querySelectorAll("#picker button")[%d].click()`, n))
}

// passes goes through passes and runs and plays each.
func (p tab) passes(j job) {
	n := 1 // the first button is the whole panel
	for i, s := range j.Passes {
		p.choose(n)
		p.expect("pass "+s.Name+" time", eval[string](p, fmt.Sprintf(`document.querySelectorAll("#picker button")[%d].querySelector(".t").textContent`, n)), clock(s.LoadSeconds))
		n++
		for _, r := range s.Runs {
			p.choose(n)
			n++
			total := r.Hits
			if s.Operation == "rout" {
				total = r.Paths
			}
			where := fmt.Sprintf("pass %s run %d", s.Name, r.Run)
			p.do(chromedp.Focus(chromedp.CSS("#glass")), chromedp.KeyEvent(kb.End))
			p.expect(where+" at its end", p.text("now-hit"), fmt.Sprintf("%d of %d", total, total))
			if tool := p.text("now-tool"); !strings.HasSuffix(tool, fmt.Sprintf("%.2f mm", r.Diameter)) {
				p.Errorf("%s: tool shown as %q, want %.2f mm", where, tool, r.Diameter)
			}
			p.do(chromedp.KeyEvent(kb.Home))
			p.expect(where+" at its start", p.text("now-hit"), fmt.Sprintf("1 of %d", total))
			before := p.text("now-time")
			p.do(chromedp.SetValue(chromedp.CSS("#speed"), "60"), chromedp.Click(chromedp.CSS("#play")))
			p.wait(where+": nothing moves while playing", func() bool { return p.text("now-time") != before })
			p.choose(n - 1) // stops
		}
		p.choose(n - len(s.Runs) - 1)
		p.run(`(e => { e.value = (Number(e.min) + Number(e.max)) / 2; e.dispatchEvent(new Event("input")); })(document.getElementById("time"))`)
		p.do(chromedp.Sleep(100 * time.Millisecond))
		p.shot(fmt.Sprintf("pass-%d-%s", i+1, s.Name))
	}
}

// sweep moves the pointer over the picture until a hit answers.
const sweep = `(() => {
  const g = document.getElementById("glass"), r = g.getBoundingClientRect(), tip = document.getElementById("tip");
  for (let y = 20; y < r.height - 20; y += 5) for (let x = 20; x < r.width - 80; x += 5) {
    g.dispatchEvent(new PointerEvent("pointermove", { clientX: r.left + x, clientY: r.top + y, bubbles: true }));
    if (!tip.hidden && tip.textContent.startsWith("hit ")) return tip.textContent;
  }
  return "";
})()`

// place reads, past the page's own script, where hit n of a run lies.
const place = `((pass, run, n) => {
  const l = JSON.parse(document.getElementById("scene").textContent).layers.find(l => l.pass === pass && l.run === run && l.hits);
  const b = Uint8Array.from(atob(l.hits.xy), c => c.charCodeAt(0)), v = new DataView(b.buffer);
  const mm = i => (v.getInt32(i, true) / 1000).toFixed(3);
  return "X" + mm(8 * (n - 1)) + " Y" + mm(8 * (n - 1) + 4);
})(%q, %d, %d)`

// pointing hovers over a hit of the first drill pass.
func (p tab) pointing(j job) {
	for _, s := range j.Passes {
		if s.Operation != "drill" {
			continue
		}
		p.run(fmt.Sprintf(`[...document.querySelectorAll("#picker button.pass")].find(b => b.firstChild.firstChild.textContent === %q).click()`, s.Name))
		p.do(chromedp.Click(chromedp.CSS("#zoom-all")), chromedp.Sleep(200*time.Millisecond))
		tip := eval[string](p, sweep)
		var n, of, run int
		lines := strings.Split(tip, "\n")
		if _, err := fmt.Sscanf(lines[0], "hit %d of %d", &n, &of); err != nil || len(lines) < 3 {
			p.Fatalf("no hit answers the pointer: %q", tip)
		}
		if _, err := fmt.Sscanf(lines[1][strings.LastIndex(lines[1], " run "):], " run %d", &run); err != nil {
			p.Fatalf("the hit names no run: %q", tip)
		}
		r := s.Runs[run-1]
		p.expect("hits of the run pointed at", fmt.Sprint(of), fmt.Sprint(r.Hits))
		if !strings.HasPrefix(lines[1], fmt.Sprintf("%.2f mm", r.Diameter)) {
			p.Errorf("pointed at %q, want a size of %.2f mm", lines[1], r.Diameter)
		}
		p.expect("place pointed at", lines[2], eval[string](p, fmt.Sprintf(place, s.Name, run, n)))
		return
	}
}

// finding jumps to a finding's place, where the sheet has one.
func (p tab) finding() {
	if eval[int](p, `document.querySelectorAll(".goto").length`) == 0 {
		return
	}
	p.run(`document.querySelector(".goto").click()`)
	p.do(chromedp.Sleep(300 * time.Millisecond))
	if !eval[bool](p, `document.querySelector("#picker button.whole").getAttribute("aria-pressed") === "true"`) {
		p.Error("a finding's place is not shown on the whole panel")
	}
	p.shot("finding")
}

// paper prints the page and looks at what a printer would get.
func (p tab) paper(j job) {
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		return err
	}))
	if eval[string](p, `getComputedStyle(document.getElementById("viewer")).display`) != "none" {
		p.Error("the player is printed")
	}
	if n := eval[int](p, `[...document.querySelectorAll("figure.paper svg")].filter(s => s.getBoundingClientRect().height > 50).length`); n != len(j.Passes) {
		p.Errorf("%d pictures are printed, want one for each of %d passes", n, len(j.Passes))
	}
	pdf := get(p, chromedp.PrintToPDF(chromedp.PDFPreferCSSPageSize()))
	if !strings.HasPrefix(string(pdf), "%PDF-") {
		p.Error("the print is no PDF")
	}
	p.keep("sheet.pdf", pdf)
	p.Logf("print: %d bytes", len(pdf))
}

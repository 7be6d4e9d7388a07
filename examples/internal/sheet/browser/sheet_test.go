package browser

import (
	"context"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// sheets lists pages with the JSON that they must agree with.
func sheets(t *testing.T) map[string][2]string {
	golden := filepath.Join("..", "testdata", "greenhouse")
	list := map[string][2]string{"golden": {dressed(t, filepath.Join(golden, "sheet.html")), filepath.Join(golden, "sheet.json")}}
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

// dressed returns a file of the page kept as golden with its scripts and style
// put back: the golden file holds their names only.
func dressed(t *testing.T, golden string) string {
	t.Helper()
	page, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	parts := 0
	full := regexp.MustCompile(`/\* (page/\S+) \*/`).ReplaceAllFunc(page, func(name []byte) []byte {
		text, err := os.ReadFile(filepath.Join("..", string(name[3:len(name)-3])))
		if err != nil {
			t.Fatal(err)
		}
		parts++
		return text
	})
	if parts != 9 {
		t.Fatalf("the golden page names %d scripts and styles, expected 9", parts)
	}
	file := filepath.Join(t.TempDir(), "sheet.html")
	if err := os.WriteFile(file, full, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
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
	list := sheets(t)
	for _, name := range slices.Sorted(maps.Keys(list)) {
		files := list[name]
		t.Run(name, func(t *testing.T) {
			j := read(t, files[1])
			file, err := filepath.Abs(files[0])
			if err != nil {
				t.Fatal(err)
			}
			info, err := os.Stat(file)
			if err != nil {
				t.Fatal(err)
			}
			t.Logf("page: %d bytes", info.Size())
			if info.Size() > 3_000_000 {
				t.Error("larger than 3 MB")
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
			p.do(chromedp.Navigate("file://"+file), chromedp.WaitVisible(chromedp.CSS("#glass")))
			p.wait("the picture is never ready", func() bool { return eval[bool](p, `document.documentElement.dataset.ready === "yes"`) })
			p.wait("the page is never painted", func() bool {
				return eval[int](p, `performance.getEntriesByName("first-contentful-paint").length`) > 0
			})
			t.Logf("first paint after %.0f ms", eval[float64](p, `performance.getEntriesByName("first-contentful-paint")[0].startTime`))
			p.shot("opened")
			p.figures(j)
			p.fits()
			p.legible()
			p.passes(j)
			p.keys()
			p.pointing(j)
			p.smooth()
			p.finding(j)
			p.paper(j)
			for _, c := range complaints() {
				t.Errorf("the page complained: %s", c)
			}
		})
	}
}

// fits holds that nothing runs out of the window sideways, nor out of its cell.
func (p tab) fits() {
	if over := eval[string](p, `[...document.querySelectorAll("body *")].filter(e => e.offsetWidth && e.getBoundingClientRect().right > document.documentElement.clientWidth + 1 && !e.closest(".glass")).map(e => e.tagName + "." + e.className).join(" ")`); over != "" {
		p.Errorf("wider than the window: %s", over)
	}
}

// legible holds that every word stands out from what is behind it by the contrast
// that WCAG 2.1 asks for, success criterion 1.4.3: 4.5 to 1.
func (p tab) legible() {
	const faint = `(() => {
	  const parts = c => c.match(/[\d.]+/g).map(Number);
	  const light = c => { const [r, g, b] = parts(c).map(v => (v /= 255, v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4)); return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
	  const behind = e => { for (; e; e = e.parentElement) { const b = getComputedStyle(e).backgroundColor; if ((parts(b)[3] ?? 1) > 0.5) return b; } return "rgb(255, 255, 255)"; };
	  const words = e => [...e.childNodes].filter(n => n.nodeType === 3).map(n => n.textContent.trim()).join(" ");
	  const ratio = e => { const [a, b] = [light(getComputedStyle(e).color), light(behind(e))]; return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05); };
	  return [...document.querySelectorAll("body *")].filter(e => e.offsetWidth && words(e) && ratio(e) < 4.5).map(e => ratio(e).toFixed(1) + " of " + words(e).slice(0, 30)).join("; ");
	})()`
	if list := eval[string](p, faint); list != "" {
		p.Errorf("hard to read, contrast: %s", list)
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
			where := fmt.Sprintf("pass %s run %d", s.Name, r.Number)
			p.do(chromedp.Focus(chromedp.CSS("#glass")), chromedp.KeyEvent(kb.End))
			p.expect(where+" at its end", p.text("now-hit"), fmt.Sprintf("%d of %d", total, total))
			p.expect(where+", its time as in the table", p.text("now-time"), clock(r.Seconds)+" of "+clock(r.Seconds))
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

// keys works the picture from the keyboard alone.
func (p tab) keys() {
	p.choose(2) // the first run
	p.run(`(h => { h.tabIndex = -1; h.focus(); })(document.querySelector("h1"))`)
	seen := map[string]bool{}
	for range 60 { // Tab reaches every control of the viewer, and each shows that it is reached
		p.do(chromedp.KeyEvent(kb.Tab))
		where := eval[string](p, `(e => e.closest(".viewer") ? e.id || e.className : "")(document.activeElement)`)
		if where == "" && len(seen) > 0 {
			break
		}
		if where == "" {
			continue
		}
		seen[where] = true
		if !eval[bool](p, `(e => [e, e.parentNode].some(x => { const s = getComputedStyle(x); return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2; }))(document.activeElement)`) {
			p.Errorf("%s shows no focus", where)
		}
	}
	for _, want := range []string{"glass", "time", "play", "back", "next", "speed", "pass", "run"} {
		if !seen[want] {
			p.Errorf("Tab never reaches %s", want)
		}
	}
	p.do(chromedp.Focus(chromedp.CSS("#glass")), chromedp.KeyEvent(kb.Home))
	first := p.text("now-hit")
	p.do(chromedp.KeyEvent("."))
	if p.text("now-hit") == first {
		p.Error("full stop does not step")
	}
	p.do(chromedp.KeyEvent(","))
	p.expect("comma steps back", p.text("now-hit"), first)
	before := eval[string](p, `document.getElementById("bar").textContent`)
	p.do(chromedp.KeyEvent("+"), chromedp.KeyEvent("+"), chromedp.KeyEvent("+"), chromedp.KeyEvent("+"), chromedp.KeyEvent(kb.ArrowLeft))
	p.wait("plus does not enlarge", func() bool { return eval[string](p, `document.getElementById("bar").textContent`) != before })
	p.shot("enlarged")
	p.do(chromedp.KeyEvent("0"), chromedp.KeyEvent(" "))
	p.wait("space does not play", func() bool { return p.text("play") == "Pause" })
	p.do(chromedp.KeyEvent(" "))
	p.wait("space does not pause", func() bool { return p.text("play") == "Play" })
}

// smooth plays and enlarges the first pass and prints how even the frames come.
func (p tab) smooth() {
	p.choose(1)
	const gaps = `new Promise(done => { let last = performance.now(), worst = 0, n = 0; const start = last;
	  %s
	  requestAnimationFrame(function tick(t) { worst = Math.max(worst, t - last); last = t; n++; %s
	    if (t - start < 1500) requestAnimationFrame(tick); else done(n + " frames in 1.5 s, the longest gap " + Math.round(worst) + " ms"); }); })`
	await := func(script string) string {
		return get(p, chromedp.Evaluate[string](script, chromedp.EvalAwaitPromise))
	}
	p.Logf("playing: %s", await(fmt.Sprintf(gaps, `document.getElementById("speed").value = "600"; document.getElementById("play").click();`, "")))
	p.choose(1)
	p.Logf("enlarging: %s", await(fmt.Sprintf(gaps, "", `document.getElementById("glass").dispatchEvent(new WheelEvent("wheel", { deltaY: n < 40 ? -40 : 40, clientX: 500, clientY: 500, cancelable: true }));`)))
	p.do(chromedp.Click(chromedp.CSS("#zoom-all")))
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

// place reads, past the page's own script, where hit n of a run lies and the
// line of the file that it comes from.
const place = `((pass, setUp, run, n) => {
  const l = JSON.parse(document.getElementById("scene").textContent).layers.find(l => l.pass === pass && (l.setUp || setUp) === setUp && l.run === run && l.hits);
  const bytes = text => Uint8Array.from(atob(text), c => c.charCodeAt(0)), h = l.hits, v = new DataView(bytes(h.xy).buffer);
  const mm = i => (v.getInt32(i, true) / 1000).toFixed(3);
  const file = h.files && h.files[h.file ? bytes(h.file)[n - 1] : 0], line = h.line ? new DataView(bytes(h.line).buffer).getInt32(4 * (n - 1), true) : 0;
  return "X" + mm(8 * (n - 1)) + " Y" + mm(8 * (n - 1) + 4) + (file ? "\n" + (line ? "from " + file + ", line " + line : file) : "");
})(%q, %d, %d, %d)`

// pointing hovers over a hit of the first drill pass.
func (p tab) pointing(j job) {
	button := 1
	for _, s := range j.Passes {
		if s.Operation != "drill" {
			button += 1 + len(s.Runs)
			continue
		}
		p.choose(button)
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
		for _, r := range s.Runs { // in a tier their numbers do not begin at 1
			if r.Number != run {
				continue
			}
			p.expect("hits of the run pointed at", fmt.Sprint(of), fmt.Sprint(r.Hits))
			if !strings.HasPrefix(lines[1], fmt.Sprintf("%.2f mm", r.Diameter)) {
				p.Errorf("pointed at %q, want a size of %.2f mm", lines[1], r.Diameter)
			}
		}
		want := strings.Split(eval[string](p, fmt.Sprintf(place, s.Name, s.SetUp, run, n)), "\n")
		p.expect("place pointed at", lines[2], want[0])
		if len(want) > 1 {
			p.expect("source of the hit", lines[len(lines)-1], want[1])
		}
		p.shot("pointing")
		return
	}
}

// finding jumps to a finding's place, where the sheet has one.
func (p tab) finding(j job) {
	if eval[int](p, `document.querySelectorAll(".goto").length`) == 0 {
		return
	}
	p.run(`document.querySelector(".goto").click()`)
	p.do(chromedp.Sleep(300 * time.Millisecond))
	if !eval[bool](p, `document.querySelector("#picker button.whole").getAttribute("aria-pressed") === "true"`) {
		p.Error("a finding's place is not shown on the whole panel")
	}
	for _, f := range j.Findings { // the first place of the first finding that has one is in the middle
		if len(f.Places) == 0 {
			continue
		}
		want := fmt.Sprintf("%.0f %.0f", f.Places[0][0]*1000, f.Places[0][1]*1000)
		p.expect("place of the finding", eval[string](p, `(b => b.dataset.x + " " + b.dataset.y)(document.querySelector(".goto"))`), want)
		break
	}
	p.shot("finding")
}

// paper prints the page and looks at what a printer would get.
func (p tab) paper(j job) {
	p.keep("whole.png", get(p, chromedp.FullScreenshot(100)))
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

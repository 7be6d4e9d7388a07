package browser

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// browse starts one browser for all pages.
func browse(t *testing.T) context.Context {
	t.Helper()
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WindowSize(1400, 950),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	alloc, stop := chromedp.NewExecAllocator(t.Context(), options...)
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(alloc)
	t.Cleanup(end)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("no browser (Debian: apt-get install chromium): %v", err)
	}
	return ctx
}

// tab is one open page.
type tab struct {
	*testing.T
	ctx context.Context
}

func (p tab) do(steps ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.Fatal(err)
	}
}

// get runs an action and returns its value.
func get[T any](p tab, a chromedp.Action[T]) T {
	p.Helper()
	v, err := chromedp.Run(p.ctx, a)
	if err != nil {
		p.Fatal(err)
	}
	return v
}

// eval returns what a piece of script gives.
func eval[T any](p tab, script string) T {
	p.Helper()
	return get(p, chromedp.Evaluate[T](script))
}

// run runs a piece of script for its effect.
func (p tab) run(script string) {
	p.Helper()
	p.do(chromedp.Evaluate[chromedp.Void](script))
}

func (p tab) text(id string) string {
	p.Helper()
	return eval[string](p, fmt.Sprintf(`document.getElementById(%q).textContent`, id))
}

func (p tab) expect(what, got, want string) {
	p.Helper()
	if got != want {
		p.Errorf("%s: page shows %q, JSON says %q", what, got, want)
	}
}

// wait gives the page ten seconds to make something true.
func (p tab) wait(complaint string, done func() bool) {
	p.Helper()
	for range 200 {
		if done() {
			return
		}
		p.do(chromedp.Sleep(50 * time.Millisecond))
	}
	p.Fatal(complaint)
}

// keep writes an artefact: into the folder that PINSTACK_SHOTS names, one folder
// a page, or where the test keeps its artefacts.
func (p tab) keep(name string, data []byte) {
	p.Helper()
	dir := p.ArtifactDir()
	if shots := os.Getenv("PINSTACK_SHOTS"); shots != "" {
		dir = filepath.Join(shots, filepath.Base(p.Name()))
		if err := os.MkdirAll(dir, 0o755); err != nil {
			p.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(dir, name), data, 0o644); err != nil {
		p.Fatal(err)
	}
}

func (p tab) shot(name string) {
	p.Helper()
	p.keep(name+".png", get(p, chromedp.CaptureScreenshot()))
}

// listen gathers what a page's script writes to the console, exceptions
// included; a sound page writes nothing.
func listen(t *testing.T, ctx context.Context) func() []string {
	t.Helper()
	var mu sync.Mutex
	var list []string
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			mu.Lock()
			list = append(list, fmt.Sprint(m.Type, ": ", m.Text))
			mu.Unlock()
		}
	}()
	return func() []string { mu.Lock(); defer mu.Unlock(); return list }
}

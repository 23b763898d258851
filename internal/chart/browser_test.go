package chart

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// tab is one page in a browser, with everything that its console said.
type tab struct {
	t   *testing.T
	ctx context.Context

	mu      sync.Mutex
	console []string
}

func openBrowser(t *testing.T) *tab {
	t.Helper()
	path := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			path = found
			break
		}
	}
	if path == "" {
		t.Skip("needs Chromium on the path")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx}
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	note := func(text string) {
		b.mu.Lock()
		defer b.mu.Unlock()
		b.console = append(b.console, text)
	}
	err := chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *log.EventEntryAdded:
			note(e.Entry.Text + " " + e.Entry.URL)
		case log.EventEntryAdded:
			note(e.Entry.Text + " " + e.Entry.URL)
		case *runtime.EventConsoleAPICalled:
			note("console call " + string(e.Type))
		case *runtime.EventExceptionThrown:
			text := "exception: " + e.ExceptionDetails.Text
			if e.ExceptionDetails.Exception != nil {
				text += " " + e.ExceptionDetails.Exception.Description
			}
			note(text)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func eval[T any](b *tab, script string) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 30*time.Second)
	defer cancel()
	v, err := chromedp.Run(ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatalf("%s: %v", script, err)
	}
	return v
}

// until waits for a condition in the page.
func (b *tab) until(condition string) {
	b.t.Helper()
	deadline := time.Now().Add(20 * time.Second)
	for !eval[bool](b, condition) {
		if time.Now().After(deadline) {
			b.t.Fatalf("never came true: %s; charts: %s; console: %q", condition, eval[string](b, `document.documentElement.dataset.charts`), b.said())
		}
		time.Sleep(30 * time.Millisecond)
	}
}

func (b *tab) said() []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return append([]string(nil), b.console...)
}

func (b *tab) dark(on bool) {
	value := "light"
	if on {
		value = "dark"
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
		Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}},
	}); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tab) picture(file string) {
	b.t.Helper()
	png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(file, png, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tab) print(file string) {
	b.t.Helper()
	r, err := chromedp.Call(b.ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: 8.27, PaperHeight: 11.69})
	if err != nil {
		b.t.Fatal(err)
	}
	if err := os.WriteFile(file, r.Data, 0o644); err != nil {
		b.t.Fatal(err)
	}
}

// serve serves the page under the policy that every page must work under, and the themes beside it.
func serve(t *testing.T, content []byte) *httptest.Server {
	t.Helper()
	files := http.FileServer(http.Dir("../../themes"))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", "default-src 'self'")
		switch r.URL.Path {
		case "/":
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Write(content)
		case "/favicon.ico":
			w.WriteHeader(http.StatusNoContent)
		default:
			files.ServeHTTP(w, r)
		}
	}))
	t.Cleanup(server.Close)
	return server
}

func zoomed(t *testing.T, p Plot, from, to float64) Plot {
	t.Helper()
	z, err := p.Zoom(from, to)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

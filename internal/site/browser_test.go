package site

import (
	"context"
	"io"
	"mime"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// policy is what every page must work under.
const policy = "default-src 'self'"

// serve serves a site as a plain file server would, under the policy, at the path that the site's address names.
func serve(t *testing.T, p *Pages, root string) string {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", policy)
		name := strings.TrimPrefix(r.URL.Path, root)
		if name == "" || strings.HasSuffix(name, "/") {
			name += "index.html"
		}
		f, err := p.Open(name)
		status := http.StatusOK
		if err != nil {
			if f, err = p.Open(missingPage); err != nil {
				t.Error(err)
				return
			}
			name, status = missingPage, http.StatusNotFound
		}
		defer f.Close()
		kind := mime.TypeByExtension(path.Ext(name))
		if path.Ext(name) == ".woff2" {
			kind = "font/woff2"
		}
		w.Header().Set("Content-Type", kind)
		w.WriteHeader(status)
		_, _ = io.Copy(w, f)
	}))
	t.Cleanup(server.Close)
	return server.URL + root
}

// console collects what the pages of a browser complain about.
type console struct {
	mu    sync.Mutex
	lines []string
}

func (c *console) say(text string) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.lines = append(c.lines, text)
}

func (c *console) take() []string {
	c.mu.Lock()
	defer c.mu.Unlock()
	lines := c.lines
	c.lines = nil
	return lines
}

func openBrowser(t *testing.T) (context.Context, *console) {
	t.Helper()
	binary := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if found, err := exec.LookPath(name); err == nil {
			binary = found
			break
		}
	}
	if binary == "" {
		t.Skip("needs Chromium on the path")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(binary), chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	allocator, stop := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, cancel := chromedp.NewContext(allocator)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("start the browser: %v", err)
	}
	c := &console{}
	err := chromedp.Listen(ctx, func(event any) {
		switch e := event.(type) {
		case *log.EventEntryAdded:
			c.say(e.Entry.Text + " " + e.Entry.URL)
		case log.EventEntryAdded:
			c.say(e.Entry.Text + " " + e.Entry.URL)
		case *runtime.EventConsoleAPICalled:
			c.say("console: " + string(e.Type))
		case *runtime.EventExceptionThrown:
			c.say("exception: " + e.ExceptionDetails.Text)
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return ctx, c
}

func evaluate[T any](t *testing.T, ctx context.Context, script string) T {
	t.Helper()
	within, cancel := context.WithTimeout(ctx, 30*time.Second)
	defer cancel()
	v, err := chromedp.Run(within, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%s: %v", script, err)
	}
	return v
}

func width(t *testing.T, ctx context.Context, pixels int64) {
	t.Helper()
	_, err := chromedp.Call(ctx, emulation.SetDeviceMetricsOverride, emulation.SetDeviceMetricsOverrideParams{
		Width: pixels, Height: 900, DeviceScaleFactor: 1, Mobile: pixels < 500})
	if err != nil {
		t.Fatal(err)
	}
}

// Under the policy no page has anything to complain about, every chart is drawn by the engine when asked, and nothing
// runs off the narrowest screen (WCAG 2.2, 1.4.10: 320 CSS pixels).
func TestPagesInABrowser(t *testing.T) {
	ctx, said := openBrowser(t)
	journals(t, func(t *testing.T, p *Pages, docs map[string]*document) {
		base := serve(t, p, siteRoot(t, docs))
		charts := 0
		for _, name := range sample(p) {
			width(t, ctx, 320)
			within, cancel := context.WithTimeout(ctx, 30*time.Second)
			err := chromedp.Do(within, chromedp.Navigate(base+name))
			cancel()
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
			if over := evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
				t.Errorf("%s: %d pixels run off a screen of 320", name, over)
			}
			if unseen := evaluate[int](t, ctx, `[...document.querySelectorAll('.callout .told')].filter(c => c.offsetHeight < 20).length`); unseen > 0 {
				t.Errorf("%s: nobody sees what %d callouts say", name, unseen)
			}
			width(t, ctx, 1200)
			n := evaluate[int](t, ctx, `document.querySelectorAll('figure.chart').length`)
			charts += n
			if n > 0 {
				drawAll(t, ctx, name)
			}
			for _, line := range said.take() {
				t.Errorf("%s: the console says: %s", name, line)
			}
		}
		// Nothing is under way any more when the server goes.
		if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
			t.Error(err)
		}
		if charts == 0 {
			t.Error("no page had a chart")
		}
	})
}

// sample are the pages that the browser looks at: all that differ in kind, and of a journal with many runs the first few.
func sample(p *Pages) []string {
	var names []string
	runs := 0
	for _, name := range p.Paths() {
		if path.Ext(name) != ".html" {
			continue
		}
		if strings.Count(name, "/") == 3 {
			if runs++; runs > 8 {
				continue
			}
		}
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

func drawAll(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	evaluate[bool](t, ctx, `document.dispatchEvent(new CustomEvent('voltwright:draw'))`)
	const drawn = `[...document.querySelectorAll('figure.chart')].every(f => f.dataset.chart === 'live' && f.querySelector('.chart-live svg'))`
	for end := time.Now().Add(20 * time.Second); !evaluate[bool](t, ctx, drawn); time.Sleep(30 * time.Millisecond) {
		if time.Now().After(end) {
			t.Errorf("%s: not every chart was drawn: %s", name, evaluate[string](t, ctx, `document.documentElement.dataset.charts || 'none'`))
			return
		}
	}
}

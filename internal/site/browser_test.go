package site

import (
	"context"
	"io"
	"mime"
	"net/http"
	"net/http/httptest"
	"path"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// serve serves a site as a plain file server would, under the policy, at the path that the site's address names.
func serve(t *testing.T, p *frame.Pages, root string) string {
	t.Helper()
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", browsertest.Policy)
		name := strings.TrimPrefix(r.URL.Path, root)
		if name == "" || strings.HasSuffix(name, "/") {
			name += "index.html"
		}
		f, err := p.Open(name)
		status := http.StatusOK
		if err != nil {
			if f, err = p.Open(address.Missing); err != nil {
				t.Error(err)
				return
			}
			name, status = address.Missing, http.StatusNotFound
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

// Under the policy no page has anything to complain about, every chart is drawn by the engine when asked, and nothing
// runs off the narrowest screen (WCAG 2.2, 1.4.10: 320 CSS pixels).
func TestPagesInABrowser(t *testing.T) {
	ctx, said := browsertest.Open(t)
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		base := serve(t, p, siteRoot(t, docs))
		charts := 0
		for _, name := range sample(p) {
			browsertest.Width(t, ctx, 320)
			browsertest.Go(t, ctx, base+name)
			browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
			if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
				t.Errorf("%s: %d pixels run off a screen of 320, all folded", name, over)
			}
			browsertest.Evaluate[bool](t, ctx, openAll)
			if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
				t.Errorf("%s: %d pixels run off a screen of 320", name, over)
			}
			if unseen := browsertest.Evaluate[int](t, ctx, `[...document.querySelectorAll('.callout .told')].filter(c => c.offsetHeight < 20).length`); unseen > 0 {
				t.Errorf("%s: nobody sees what %d callouts say", name, unseen)
			}
			if small := browsertest.Evaluate[string](t, ctx, smallTargets); small != "" {
				t.Errorf("%s: targets under 24 pixels: %s", name, small)
			}
			browsertest.Width(t, ctx, 1200)
			n := browsertest.Evaluate[int](t, ctx, `document.querySelectorAll('figure.chart').length`)
			charts += n
			if n > 0 {
				drawAll(t, ctx, name)
			}
			for _, line := range said.Take() {
				t.Errorf("%s: the console says: %s", name, line)
			}
		}
		// Nothing is under way any more when the server goes.
		browsertest.Leave(t, ctx)
		if charts == 0 {
			t.Error("no page had a chart")
		}
	})
}

// openAll opens whatever folds.
const openAll = `([...document.querySelectorAll('details')].forEach(d => { d.open = true; }), true)`

// smallTargets are the controls, and the links that stand by themselves, that are under 24 CSS pixels high or broad (WCAG
// 2.2, 2.5.8; links within a sentence are exempt).
const smallTargets = `[...document.querySelectorAll('button, summary, input, .here, .straight a, .jump a, .head a, .turn a, .chart-tools a')].filter(e => {
	const r = e.getBoundingClientRect();
	return e.checkVisibility() && r.width > 0 && (r.width < 24 || r.height < 24);
}).map(e => e.tagName + ' ' + e.textContent.trim().slice(0, 30)).slice(0, 5).join(', ')`

// sample are the pages that the browser looks at: all that differ in kind, and of a journal with many runs the first few.
func sample(p *frame.Pages) []string {
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
	browsertest.Evaluate[bool](t, ctx, `document.dispatchEvent(new CustomEvent('voltwright:draw'))`)
	const drawn = `[...document.querySelectorAll('figure.chart')].every(f => f.dataset.chart === 'live' && f.querySelector('.chart-live svg'))`
	browsertest.Wait(t, ctx, drawn)
}

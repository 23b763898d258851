package chart

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"voltwright/internal/browsertest"
)

// tab is one page in a browser, with everything that its console said.
type tab struct {
	t       *testing.T
	ctx     context.Context
	console *browsertest.Console
	heard   []string
}

func openBrowser(t *testing.T) *tab {
	t.Helper()
	b := &tab{t: t}
	b.ctx, b.console = browsertest.Open(t)
	return b
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, browsertest.Patience)
	defer cancel()
	if err := chromedp.Do(ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func eval[T any](b *tab, script string) T {
	b.t.Helper()
	return browsertest.Evaluate[T](b.t, b.ctx, script)
}

// until waits for a condition in the page.
func (b *tab) until(condition string) {
	b.t.Helper()
	browsertest.Wait(b.t, b.ctx, condition)
}

// said gives all that the console has said.
func (b *tab) said() []string {
	b.heard = append(b.heard, b.console.Take()...)
	return b.heard
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

// serve serves the page of some plots under the policy that every page must work under, and the themes beside it.
func serve(t *testing.T, content []byte, plots ...Plot) *httptest.Server {
	t.Helper()
	scripts := map[string][]byte{}
	for _, p := range plots {
		scripts["/"+p.ID+".js"] = scriptOf(t, p)
	}
	files := http.FileServer(http.Dir("../../themes"))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", browsertest.Policy)
		switch r.URL.Path {
		case "/":
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Write(content)
		case "/favicon.ico":
			w.WriteHeader(http.StatusNoContent)
		default:
			if script, ok := scripts[r.URL.Path]; ok {
				w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
				w.Write(script)
				return
			}
			files.ServeHTTP(w, r)
		}
	}))
	t.Cleanup(server.Close)
	return server
}

// TestBrowserDrawsUnderThePolicy reaches for charts as a reader does: all at once, with a mouse, with keys.
func TestBrowserDrawsUnderThePolicy(t *testing.T) {
	b := openBrowser(t)
	content, err := pageOf("", examples(t)...)
	if err != nil {
		t.Fatal(err)
	}
	server := serve(t, content, examples(t)...)
	b.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(server.URL))
	if got := eval[string](b, `document.documentElement.dataset.charts`); got != "0 of 4 drawn" {
		t.Errorf("on opening: %q", got)
	}
	if n := eval[int](b, `performance.getEntriesByType('resource').filter(r => r.name.includes('charts-engine') || r.name.endsWith('.js') && !r.name.includes('workshop')).length`); n != 0 {
		t.Error("the engine or a plot was fetched before anyone reached for a chart")
	}

	// A mouse rests on the first still; then moves over the drawing.
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, 400, 200))
	b.until(`document.documentElement.dataset.charts === '1 of 4 drawn'`)
	b.do(chromedp.MouseEvent(input.DispatchMouseEventTypeMouseMoved, 450, 210))
	b.until(`!document.querySelector('.chart-readout').hidden`)
	if got := eval[string](b, `document.querySelector('.chart-readout').textContent`); !strings.Contains(got, "min") || !strings.Contains(got, "Voltage2") || !strings.Contains(got, "Current") {
		t.Errorf("the read-out says %q", got)
	}

	// Keys: read, enlarge, go back. The first point is at 0 s; its values are those of the data.
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.chart-live').focus()`))
	b.do(chromedp.KeyEvent(kb.Home))
	first := benchRun()
	want := fmt.Sprintf("0\u2009s, Voltage %.3f\u2009V, Current %.2f\u2009A", first.Series[0].Y[0], first.Series[1].Y[0])
	if got := eval[string](b, `document.querySelector('.chart-reading').textContent`); got != want {
		t.Errorf("read %q, want %q", got, want)
	}
	before := eval[string](b, `document.querySelector('.chart-surface').innerHTML`)
	b.do(chromedp.KeyEvent("+"), chromedp.KeyEvent("+"), chromedp.KeyEvent(kb.ArrowRight))
	b.until(`document.querySelector('.chart-surface').textContent.includes('20')`)
	if after := eval[string](b, `document.querySelector('.chart-surface').innerHTML`); after == before {
		t.Error("nothing was enlarged")
	}
	b.do(chromedp.KeyEvent(kb.Escape))
	b.until(`document.documentElement.dataset.charts === '0 of 4 drawn'`)
	if !eval[bool](b, `document.querySelector('.chart-still').checkVisibility() && document.activeElement.matches('.chart-closer') && document.activeElement.textContent === 'Look closer'`) {
		t.Error("Escape did not go back to the still and its button")
	}
	b.do(chromedp.KeyEvent(kb.Enter))
	b.until(`document.documentElement.dataset.charts === '1 of 4 drawn'`)

	// All of them, in both colour schemes; the marks of the plot are in the drawing.
	b.do(chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('voltwright:draw'))`))
	b.until(`document.documentElement.dataset.charts === '4 of 4 drawn'`)
	for _, text := range []string{"cutout opens", "reset point 23.9 V", "stop", "Voltage in V", "Current in A", "Time in min"} {
		if !eval[bool](b, fmt.Sprintf(`document.querySelector('.chart-surface').textContent.includes(%q)`, text)) {
			t.Errorf("%q is not in the drawing", text)
		}
	}
	const strokes = `[...document.querySelectorAll('.chart-surface path')].map(p => p.getAttribute('stroke')).filter(Boolean).join()`
	light := eval[string](b, strokes)

	lettersAgree(b)
	b.dark(true)
	b.until(fmt.Sprintf(`%s !== %q`, strokes, light))
	if n := eval[int](b, `document.querySelectorAll('.chart-surface svg').length`); n != 4 {
		t.Errorf("%d drawings", n)
	}
	if said := b.said(); len(said) > 0 {
		t.Errorf("the console says %q", said)
	}
}

// lettersAgree holds the drawings against their stills: the script has the rules of the ticks a second time.
func lettersAgree(b *tab) {
	b.t.Helper()
	type lettered struct{ Still, Live []string }
	for i, l := range eval[[]lettered](b, `[...document.querySelectorAll('figure.chart')].map((f) => {
		const texts = (root, selector) => [...root.querySelectorAll(selector)].map((t) => t.textContent.trim());
		return {Still: texts(f, '.chart-wide .c-number, .chart-wide .c-head'), Live: texts(f, '.chart-surface text')};
	})`) {
		for _, text := range l.Still {
			if !slices.Contains(l.Live, text) {
				b.t.Errorf("figure %d: %q is on the still, not on the drawing, which has %q", i, text, l.Live)
			}
		}
	}
}

// A calendar is lettered alike by both, from days to decades, and read off as a date.
func TestBrowserLettersDays(t *testing.T) {
	b := openBrowser(t)
	var plots []Plot
	for _, days := range []float64{1, 5, 12, 40, 100, 200, 420, 1100, 4500, 20000} {
		plots = append(plots, dated(days))
	}
	content, err := pageOf("", plots...)
	if err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.EmulateViewport(1280, 900), chromedp.Navigate(serve(t, content, plots...).URL), chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('voltwright:draw'))`))
	b.until(fmt.Sprintf(`document.documentElement.dataset.charts === '%d of %[1]d drawn'`, len(plots)))
	lettersAgree(b)
	b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.chart-live').focus()`))
	b.do(chromedp.KeyEvent(kb.Home))
	if got := eval[string](b, `document.querySelector('.chart-reading').textContent`); !strings.HasPrefix(got, "18 November 2024, Energy") {
		t.Errorf("read %q", got)
	}
	if said := b.said(); len(said) > 0 {
		t.Errorf("the console says %q", said)
	}
}

// On paper the still is shown, whatever the reader did before.
func TestBrowserPrintsTheStill(t *testing.T) {
	b := openBrowser(t)
	content, err := pageOf("", readings())
	if err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Navigate(serve(t, content, readings()).URL), chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('voltwright:draw'))`))
	b.until(`document.documentElement.dataset.charts === '1 of 1 drawn'`)
	visible := func(selector string) bool {
		return eval[bool](b, fmt.Sprintf(`document.querySelector(%q).checkVisibility()`, selector))
	}
	if visible(".chart-still") || !visible(".chart-live") {
		t.Error("on the screen the still is not replaced")
	}
	if _, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"}); err != nil {
		t.Fatal(err)
	}
	if !visible(".chart-still") || visible(".chart-live") || visible(".chart-tools") {
		t.Error("on paper the still is not back")
	}
}

// The still stays, and nothing is thrown, where the engine is missing or broken.
func TestBrowserKeepsTheStill(t *testing.T) {
	b := openBrowser(t)
	content, err := pageOf("", readings())
	if err != nil {
		t.Fatal(err)
	}
	for _, engine := range []string{"engine/missing.js", "workshop/charts.css", "engine/build/engine.js"} {
		spoilt := bytes.Replace(content, []byte("engine/charts-engine.js"), []byte(engine), 1)
		b.do(chromedp.Navigate(serve(t, spoilt, readings()).URL))
		before := len(b.said())
		b.do(chromedp.Evaluate[chromedp.Void](`document.querySelector('.chart-still').click()`))
		b.until(`document.querySelector('figure').dataset.chart === 'still'`)
		if !eval[bool](b, `document.querySelector('.chart-still').checkVisibility() && !document.querySelector('.chart-live').checkVisibility()`) {
			t.Errorf("%s: the still is gone", engine)
		}
		for _, said := range b.said()[before:] {
			// The browser itself reports a file that it could not load or parse; nothing else may be said.
			if strings.Contains(said, "charts.js") {
				t.Errorf("%s: %s", engine, said)
			}
		}
	}
}

// The site also opens from disk, where no file can be fetched by script.
func TestBrowserOpensFromDisk(t *testing.T) {
	b := openBrowser(t)
	themes, err := filepath.Abs("../../themes")
	if err != nil {
		t.Fatal(err)
	}
	content, err := pageOf("file://"+themes+"/", readings())
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "index.html")
	for name, text := range map[string][]byte{"index.html": content, readings().ID + ".js": scriptOf(t, readings())} {
		if err := os.WriteFile(filepath.Join(filepath.Dir(file), name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	b.do(chromedp.Navigate("file://"+file), chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('voltwright:draw'))`))
	b.until(`document.documentElement.dataset.charts === '1 of 1 drawn'`)
	if said := b.said(); len(said) > 0 {
		t.Errorf("the console says %q", said)
	}
}

// The width model of textWidth against the faces at hand: that of the theme, and what stands in for it. No text is
// wider than the model says, and on the page as drawn no two texts of a still touch, at any width.
func TestBrowserTextFitsTheModel(t *testing.T) {
	b := openBrowser(t)
	plots := examples(t)
	for seed := range uint64(6) {
		plots = append(plots, crowded(seed))
	}
	content, err := pageOf("", plots...)
	if err != nil {
		t.Fatal(err)
	}
	b.do(chromedp.Navigate(serve(t, content).URL))
	widths := map[string]float64{}
	for _, p := range plots {
		for _, s := range sheets {
			for _, l := range compose(p, s).labels {
				widths[s.name+" "+l.text] = l.box.x1 - l.box.x0
			}
		}
	}
	const measure = `(async (face) => {
		await document.fonts.ready;
		const out = {texts: [], overlaps: []};
		for (const svg of document.querySelectorAll('.chart-still svg')) {
			if (!svg.checkVisibility()) continue;
			svg.style.fontFamily = face;
			const texts = [...svg.querySelectorAll('text')];
			const boxes = texts.map((t) => t.getBBox());
			const sheet = svg.classList.contains('chart-wide') ? 'wide ' : 'narrow ';
			texts.forEach((t, i) => {
				out.texts.push([sheet + t.textContent, t.getComputedTextLength()]);
				for (let k = 0; k < i; k++) {
					const [a, c] = [boxes[i], boxes[k]];
					const lead = 0.15 * parseFloat(svg.getAttribute('font-size')); // the line box is taller than the letters
					if (a.x < c.x + c.width && c.x < a.x + a.width && a.y + lead < c.y + c.height - lead && c.y + lead < a.y + a.height - lead) out.overlaps.push(t.textContent + ' / ' + texts[k].textContent);
				}
			});
		}
		return out;
	})`
	type measured struct {
		Texts    [][2]any `json:"texts"`
		Overlaps []string `json:"overlaps"`
	}
	for _, face := range []string{"Sheet", "Verdana, 'DejaVu Sans', sans-serif", "Liberation Sans, Arial, sans-serif"} {
		for _, width := range []int64{340, 700, 1280} {
			b.do(chromedp.EmulateViewport(width, 900))
			got := eval[measured](b, fmt.Sprintf("%s(%q)", measure, face))
			if len(got.Texts) < 50 {
				t.Fatalf("%d texts on the page", len(got.Texts))
			}
			for _, m := range got.Texts {
				text, is := m[0].(string), m[1].(float64)
				if model, known := widths[text]; !known || is > model+0.5 {
					t.Errorf("%s: %q is %.1f wide, the model says %.1f", face, text, is, model)
				}
			}
			for _, o := range got.Overlaps {
				t.Errorf("%s at %d px: %s touch", face, width, o)
			}
		}
	}
}

func zoomed(t *testing.T, p Plot, from, to float64) Plot {
	t.Helper()
	z, err := p.Zoom(from, to)
	if err != nil {
		t.Fatal(err)
	}
	return z
}

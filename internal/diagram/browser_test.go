package diagram

import (
	"context"
	"fmt"
	"math"
	"net/http"
	"net/http/httptest"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"voltwright/internal/browsertest"
)

// browse shows a page under the policy of a published site, with the theme's
// files beside it.
func browse(t *testing.T, page string) context.Context {
	t.Helper()
	ctx, _ := browsertest.Open(t)
	files := http.FileServer(http.Dir("../../themes/workshop"))
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		w.Header().Set("Content-Security-Policy", browsertest.Policy)
		if r.URL.Path == "/page.html" {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			fmt.Fprint(w, page)
			return
		}
		files.ServeHTTP(w, r)
	}))
	t.Cleanup(server.Close)
	browsertest.Width(t, ctx, 1440)
	browsertest.Go(t, ctx, server.URL+"/page.html")
	return ctx
}

// TestInTheBrowser compares the room that the layout gives every text with what
// the browser sets in the theme's face, and the casing of the leads with the
// ground, by day and by night.
func TestInTheBrowser(t *testing.T) {
	var page strings.Builder
	page.WriteString(`<!doctype html><meta charset="utf-8"><link rel="stylesheet" href="sheet.css"><link rel="stylesheet" href="drawing.css"><main class="sheet">`)
	var want []Box
	for _, x := range drawn(t) {
		d := Power(&x.Circuit, solved(x), Options{ID: "d-" + x.Name})
		fmt.Fprintf(&page, `<div class="power-path" tabindex="0">%s</div>`, d.SVG)
		for _, b := range d.Boxes {
			if b.Ink == Text {
				want = append(want, b)
			}
		}
	}
	ctx := browse(t, page.String())
	if face := browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => document.fonts.check("13px Sheet") && document.fonts.check("700 13px Sheet"))`); !face {
		t.Fatal("the theme's face is not there")
	}
	got := browsertest.Evaluate[string](t, ctx, `[...document.querySelectorAll(".drawing text")].map(e => e.getComputedTextLength().toFixed(2)).join(" ")`)
	widths := strings.Fields(got)
	if len(widths) != len(want) {
		t.Fatalf("%d texts on the page, %d in the layout", len(widths), len(want))
	}
	for i, text := range widths {
		w, err := strconv.ParseFloat(text, 64)
		if err != nil {
			t.Fatal(err)
		}
		if room := want[i].X1 - want[i].X0; w > room+0.05 {
			t.Errorf("%q is %.1f wide, its room %.1f", want[i].Of, w, room)
		}
	}
	for _, scheme := range []string{"light", "dark"} {
		if _, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}); err != nil {
			t.Fatal(err)
		}
		ground := luminance(t, browsertest.Evaluate[string](t, ctx, `getComputedStyle(document.querySelector("main")).backgroundColor`))
		casings := strings.Split(browsertest.Evaluate[string](t, ctx, `[...new Set([...document.querySelectorAll(".drawing .d-casing, .drawing text")].map(e => { const s = getComputedStyle(e); return e.tagName == "text" ? s.fill : s.stroke }))].join("|")`), "|")
		for _, c := range casings {
			if ratio := contrast(ground, luminance(t, c)); ratio < 7 {
				t.Errorf("%s: %s stands out from the ground by %.1f : 1", scheme, c, ratio)
			}
		}
	}
}

// luminance is the relative luminance of "rgb(21, 33, 43)" by WCAG 2.2.
func luminance(t *testing.T, css string) float64 {
	t.Helper()
	var r, g, b float64
	if _, err := fmt.Sscanf(css, "rgb(%f, %f, %f)", &r, &g, &b); err != nil {
		t.Fatalf("%q: %v", css, err)
	}
	linear := func(c float64) float64 {
		if c /= 255; c > 0.04045 {
			return math.Pow((c+0.055)/1.055, 2.4)
		}
		return c / 12.92
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func contrast(a, b float64) float64 { return (max(a, b) + 0.05) / (min(a, b) + 0.05) }

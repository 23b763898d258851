package site

import (
	"context"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/frame"
)

// papers are the sizes that a printer holds, in inches: ISO 216 and ANSI/ASME Y14.1.
var papers = []struct {
	name          string
	width, height float64
}{{"A4", 210 / 25.4, 297 / 25.4}, {"Letter", 8.5, 11}}

// pageObject is a page of a PDF as its objects say it (ISO 32000-1, 7.7.3.3).
var pageObject = regexp.MustCompile(`/Type\s*/Page\b`)

// leavesPrinted is how many sheets of paper the page takes that the tab shows.
func leavesPrinted(t *testing.T, ctx context.Context, width, height float64) int {
	t.Helper()
	r, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PaperWidth: width, PaperHeight: height})
	if err != nil {
		t.Fatal(err)
	}
	return len(pageObject.FindAll(r.Data, -1))
}

// A bench sheet is two pages of either size to pin above the bench, and any other page prints as it stands: its first leaf is not half
// empty, so nothing of the demo takes more than four.
func TestPagesPrint(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		if docs["shunter/index.html"] == nil {
			return
		}
		base := serve(t, p, siteRoot(t, docs))
		for _, paper := range papers {
			for _, name := range printed(p) {
				browsertest.Go(t, ctx, base+name)
				browsertest.Evaluate[bool](t, ctx, `document.fonts.ready.then(() => true)`)
				n := leavesPrinted(t, ctx, paper.width, paper.height)
				t.Logf("%-6s %d leaves: %s", paper.name, n, name)
				if bench := strings.HasSuffix(name, "/bench-sheet/index.html"); bench && n != 2 || !bench && (n < 1 || n > 4) {
					t.Errorf("%s: %d leaves of %s", name, n, paper.name)
				}
			}
		}
		browsertest.Leave(t, ctx)
	})
}

// printed are every bench sheet and a page of each kind that readers print.
func printed(p *frame.Pages) []string {
	out := []string{"index.html", "shunter/index.html", "shunter/3-second-pack/index.html", "shunter/across/index.html", "shunter/3-second-pack/wiring/index.html",
		"shunter/3-second-pack/field-2026-04-12/index.html", "questions/how-long-does-the-shunter-run/index.html", "corrections/2026-05-16-an-open-cutout/index.html"}
	for _, name := range p.Paths() {
		if strings.HasSuffix(name, "/bench-sheet/index.html") {
			out = append(out, name)
		}
	}
	return out
}

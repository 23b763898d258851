//go:build pictures

package chart

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// Pictures for a person to look at, on demand only:
//
//	go test -tags pictures -run Look ./internal/chart -look FOLDER

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

var look = flag.String("look", "", "folder to write pictures of the example plots to, for a person to look at")

// With -look, pictures of the examples as a desk, a telephone and a printer show them, in both colour schemes.
func TestLook(t *testing.T) {
	if *look == "" {
		t.Fatal("-look names no folder to write pictures to")
	}
	plots := append(examples(t), crowded(8))
	content, err := pageOf("", plots...)
	if err != nil {
		t.Fatal(err)
	}
	b := openBrowser(t)
	url := serve(t, content, plots...).URL
	for _, width := range []int64{390, 1440} {
		for _, scheme := range []string{"light", "dark"} {
			b.dark(scheme == "dark")
			b.do(chromedp.EmulateViewport(width, 900), chromedp.Navigate(url))
			eval[bool](b, `document.fonts.ready.then(() => true)`)
			b.picture(filepath.Join(*look, fmt.Sprintf("still-%d-%s.png", width, scheme)))
			b.do(chromedp.Evaluate[chromedp.Void](`document.dispatchEvent(new Event('voltwright:draw'))`))
			b.until(`document.documentElement.dataset.charts === '5 of 5 drawn'`)
			b.picture(filepath.Join(*look, fmt.Sprintf("live-%d-%s.png", width, scheme)))
		}
	}
	b.print(filepath.Join(*look, "paper.pdf"))
}

package site

import (
	"context"
	"path"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
)

// The page for what is missing is a sheet wherever it is shown: at its own place and at any depth, under the address
// that the journal states, in a folder of a host that it does not state, and from disk. Its links lead to the site.
func TestBrowserShowsWhatIsMissingAsASheet(t *testing.T) {
	ctx, said := browsertest.Open(t)
	nameless := written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
	})
	stated, _ := build(t, input(t, demoJournal))
	unstated, _ := build(t, input(t, nameless))
	disk := filepath.Join(t.TempDir(), "site")
	if _, err := frame.Write(disk, stated, nil, nil); err != nil {
		t.Fatal(err)
	}
	demo, folder := serve(t, stated, "/quillet-bank/"), serve(t, unstated, "/some/folder/")
	cases := []struct {
		address, front string
		scriptless     bool // it must be a sheet with links that work, without a script
	}{
		{demo + "404.html", demo + address.Front, true},
		{demo + "nothing", demo + address.Front, true},
		{demo + "shunter/9-none/a/b/c/index.html", demo + address.Front, true},
		{folder + "nothing", folder + address.Front, false},
		{folder + "cart/nothing/", folder + address.Front, false},
		{folder + "cart/1-first/nothing.html", folder + address.Front, false},
		{"file://" + disk + "/404.html", "file://" + disk + "/" + address.Front, false},
	}
	for _, c := range cases {
		browsertest.Go(t, ctx, c.address)
		check := func(with string) {
			if got := browsertest.Evaluate[string](t, ctx, `getComputedStyle(document.querySelector('.sheet')).backgroundColor + getComputedStyle(document.body).marginTop`); !strings.HasSuffix(got, ")0px") || strings.HasPrefix(got, "rgba") {
				t.Errorf("%s, %s: not styled: %s", c.address, with, got)
			}
		}
		check("with its script")
		links := browsertest.Evaluate[string](t, ctx, `[...document.querySelectorAll('main a, .desks a')].map(a => a.href).join(' ')`)
		if !strings.Contains(links, c.front) || !strings.Contains(links, strings.TrimSuffix(c.front, address.Front)+address.Search) {
			t.Errorf("%s: links to %s, not to %s", c.address, links, c.front)
		}
		for _, href := range strings.Fields(links) {
			name := strings.TrimPrefix(href, strings.TrimSuffix(c.front, address.Front))
			if !stated.Has(name) && !unstated.Has(name) || path.Ext(name) != ".html" {
				t.Errorf("%s: links to %s, which is no page of the site", c.address, href)
			}
		}
		for _, line := range said.Take() { // what was tried in vain is all that may be said
			if !strings.Contains(line, "Failed to load resource") && !strings.Contains(line, "MIME type") {
				t.Errorf("%s: the console says: %s", c.address, line)
			}
		}
		scripts(t, ctx, false)
		browsertest.Go(t, ctx, c.address)
		check("without script")
		if c.scriptless {
			if href := browsertest.Evaluate[string](t, ctx, `document.querySelector('main a').href`); href != c.front {
				t.Errorf("%s, without script: links to %s, not to %s", c.address, href, c.front)
			}
		}
		scripts(t, ctx, true)
		said.Take()
	}
	browsertest.Leave(t, ctx)
}

// scripts lets the pages run scripts, or not.
func scripts(t *testing.T, ctx context.Context, run bool) {
	t.Helper()
	if _, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: !run}); err != nil {
		t.Fatal(err)
	}
}

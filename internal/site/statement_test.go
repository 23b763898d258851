package site

import (
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"golang.org/x/net/html"

	"voltwright/internal/browsertest"
	"voltwright/internal/finding"
	"voltwright/internal/site/frame"
)

// Every statement of every page says in words what it rests on, to who cannot see its mark, and leads there.
func TestStatementsSayWhatTheyRestOn(t *testing.T) {
	journals(t, func(t *testing.T, _ *frame.Pages, docs map[string]*document) {
		n := 0
		for name, d := range docs {
			for _, a := range elements(d.root) {
				id := attribute(a, "aria-describedby")
				if a.Data != "a" || id == "" {
					continue
				}
				n++
				kind, says := strings.Fields(attribute(a, "class"))[1], byID(d, id)
				switch {
				case says == nil || says.Parent != a.Parent:
					t.Errorf("%s: %q is described by nothing beside it", name, text(a))
				case !strings.HasPrefix(text(says), "["+kind):
					t.Errorf("%s: %q is marked as %s and says %q", name, text(a), kind, text(says))
				case strings.Trim(text(says), " []") != attribute(a, "title"):
					t.Errorf("%s: %q says %q and, pointed at, %q", name, text(a), text(says), attribute(a, "title"))
				case attribute(a, "href") == "":
					t.Errorf("%s: %q leads nowhere", name, text(a))
				}
			}
		}
		if n < 10 {
			t.Errorf("only %d statements", n)
		}
	})
}

// What no page of a run or a version has a line for stands at the foot of the page that says it.
func TestWhatTheTextRestsOn(t *testing.T) {
	run := func(laps string) string {
		return "---\nkind: run\ntype: field\nname: Once round\ndate: 2026-01-03\nstopwatch: {resolution: 0.1 s, lap: 100 m, laps: [" + laps + "]}\n---\n"
	}
	version := "---\nkind: version\nname: %\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 20 Ah}]\n---\n"
	in := input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\ncurrency: EUR\nmaker: {name: A maker}\nsources:\n  - {key: leaflet, title: A leaflet, author: a maker of chargers, says: no more than 3 A}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\nfacts: [{name: the yard, value: 42 m, from: a tape}]\n---\nThe yard is [42 m](value:facts.the-yard), with [two versions](value:version-count).\n",
		"cart/1-first/version.md": strings.Replace(version, "%", "First", 1),
		"cart/1-first/run-1.md":   run("40 s"),
		"cart/2-second/version.md": strings.Replace(version, "%", "Second", 1) + "It is [a quarter faster](value:run-2/running-time/over/1-first/run-1/running-time). Charge it at [3 A](source:leaflet). " +
			"Since [2 January](value:date) with [lfp](value:packs.chemistry).\n",
		"cart/2-second/run-2.md": run("32 s"),
	}))
	for _, f := range in.Findings {
		if f.Level == finding.Error {
			t.Fatalf("%s: %s", f.Span.File(), f.Text)
		}
	}
	p, _ := build(t, in)
	docs := documents(t, p)
	for _, want := range []struct{ page, id, says string }{
		{"cart/index.html", "fact-the-yard", "the yard 42 m, a tape"},
		{"cart/2-second/index.html", "compared-1", "a quarter faster 32.00 ± 0.49 s Running time: Version 2: Second, Once round"},
		{"cart/2-second/index.html", "source-leaflet", "A leaflet, a maker of chargers: no more than 3 A"},
		{"method/index.html", "source-leaflet", "Quoted in Version 2: Second"},
	} {
		d := docs[want.page]
		if d == nil {
			t.Fatalf("no page %s", want.page)
		}
		at := byID(d, want.id)
		if at == nil {
			t.Errorf("%s has no #%s", want.page, want.id)
			continue
		}
		if got := strings.Join(strings.Fields(spaced(at)), " "); !strings.Contains(strings.NewReplacer("(", "", ")", "").Replace(got), want.says) {
			t.Errorf("%s#%s says %q, want %q", want.page, want.id, got, want.says)
		}
	}
}

// spaced is the text under a node with a space between elements.
func spaced(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data + " ")
		}
	}
	return strings.NewReplacer(" ,", ",", " :", ":").Replace(b.String())
}

// Who comes to a statement by the keyboard is told what it rests on, in the line and on the screen; who prints it is not.
func TestStatementIsToldOnFocus(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		base := serve(t, p, siteRoot(t, docs))
		page := ""
		for _, name := range sample(p) {
			if len(classed(docs[name], "says")) > 1 {
				page = name
				break
			}
		}
		if page == "" {
			t.Fatal("no page of the sample has two statements")
		}
		browsertest.Width(t, ctx, 320)
		browsertest.Go(t, ctx, base+page)
		if _, err := chromedp.Call(ctx, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
			t.Fatal(err)
		}
		browsertest.Evaluate[bool](t, ctx, openAll) // as who comes to it by the keyboard did
		const shown = `[...document.querySelectorAll('.says')].filter(s => getComputedStyle(s).display != 'none').length`
		if n := browsertest.Evaluate[int](t, ctx, shown); n != 0 {
			t.Errorf("%s: %d are told before anybody asks", page, n)
		}
		if n := browsertest.Evaluate[int](t, ctx, `(document.querySelector('a.num[aria-describedby]').focus({focusVisible: true}), `+shown+`)`); n != 1 {
			t.Errorf("%s: %d are told where one has the focus", page, n)
		}
		if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
			t.Errorf("%s: %d pixels run off a screen of 320", page, over)
		}
		browsertest.Leave(t, ctx)
	})
}

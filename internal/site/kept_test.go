package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/browsertest"
	"voltwright/internal/outgoing/phototest"
)

func classed(d *document, class string) []*html.Node {
	var all []*html.Node
	for _, n := range elements(d.root) {
		if attribute(n, "class") == class {
			all = append(all, n)
		}
	}
	return all
}

// A version that another has taken the place of says so above all else, and leads there; the last one says nothing.
func TestSupersededVersionsLeadOn(t *testing.T) {
	version := func(name, date, more string) string {
		return "---\nkind: version\nname: " + name + "\ndate: " + date + "\n" + more + "---\n"
	}
	files := map[string]string{
		"journal.yaml":          "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":       "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-a/version.md":   version("A", "2026-01-02", "state: retired\n"),
		"cart/2-b/version.md":   version("B", "2026-02-02", "follows: 1-a\nstate: retired\n"),
		"cart/3-c/version.md":   version("C", "2026-03-02", "follows: 1-a\n"), // goes back to the first
		"cart/4-d/version.md":   version("D", "2026-04-02", "state: running\n"),
		"cart/5-e/version.md":   version("E", "2026-05-02", "follows: 4-d\nstate: planned\n"),
		"alone/vehicle.md":      "---\nkind: vehicle\nname: Alone\n---\n",
		"alone/1-it/version.md": version("It", "2026-01-02", ""),
	}
	p, _ := build(t, input(t, written(t, files)))
	docs := documents(t, p)
	for _, tt := range []struct{ page, says, href string }{
		{"cart/1-a", "Superseded by Version 2: B, 2 February 2026; the latest is Version 4: D.", "../2-b/index.html"},
		{"cart/2-b", "Superseded by Version 4: D, 2 April 2026.", "../4-d/index.html"},
		{"cart/3-c", "Superseded by Version 4: D, 2 April 2026.", "../4-d/index.html"},
		{"cart/4-d", "To be followed by Version 5: E, which is planned.", "../5-e/index.html"},
		{"cart/5-e", "", ""},
		{"alone/1-it", "", ""},
	} {
		d := docs[tt.page+"/index.html"]
		said := classed(d, "superseded")
		if tt.says == "" {
			if len(said) > 0 {
				t.Errorf("%s says %q", tt.page, text(said[0]))
			}
			continue
		}
		if len(said) != 1 || text(said[0]) != tt.says {
			t.Errorf("%s says %v, want %q", tt.page, said, tt.says)
			continue
		}
		for _, n := range elements(said[0]) {
			if n.Data == "a" {
				if got := attribute(n, "href"); got != tt.href {
					t.Errorf("%s leads to %s, want %s", tt.page, got, tt.href)
				}
				break
			}
		}
		if parent := said[0].Parent; attribute(parent, "class") != "title" {
			t.Errorf("%s does not say it at its top", tt.page)
		}
	}
}

func TestCitation(t *testing.T) {
	for _, tt := range []struct{ name, journal, want string }{
		{"with an address", "title: A book\naddress: https://example.org/club\nmaker: {name: A maker & Co.}\n",
			"A maker & Co.: A book. The cart, version 1, First. Bench run, 3 February 2026: Did it hold? https://example.org/club/cart/1-first/run-1/"},
		{"without", "title: A book\nmaker: {name: A maker}\n", "A maker: A book. The cart, version 1, First. Bench run, 3 February 2026: Did it hold?"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			p, _ := build(t, input(t, written(t, map[string]string{
				"journal.yaml":            tt.journal,
				"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
				"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
				"cart/1-first/run-1.md":   "---\nkind: run\ntype: bench\nname: Did it hold?\ndate: 2026-02-03\nreadings:\n  - {at: 0 min, voltage: 23.4 V}\n  - {at: 10 min, voltage: 23.0 V}\n---\n",
			})))
			plain, err := p.Bytes("cart/1-first/run-1/citation.txt")
			if err != nil || string(plain) != tt.want+"\n" {
				t.Errorf("citation.txt says %q, %v; want %q", plain, err, tt.want)
			}
			line := classed(documents(t, p)["cart/1-first/run-1/index.html"], "quotable")
			if len(line) != 1 || text(line[0]) != tt.want {
				t.Errorf("the page says %v, want %q", line, tt.want)
			}
		})
	}
}

// The button marks the line whole and copies it.
func TestCitationIsCopied(t *testing.T) {
	ctx, said := browsertest.Open(t)
	p, _ := build(t, twoVersions(t))
	base := serve(t, p, "/")
	browsertest.Go(t, ctx, base+"cart/2-second/run-1/index.html#cite")
	want := browsertest.Evaluate[string](t, ctx, `document.querySelector('.quotable').textContent`)
	browsertest.Evaluate[bool](t, ctx, `document.querySelector('.copy').click(), true`)
	if got := browsertest.Evaluate[string](t, ctx, `getSelection().toString()`); got != want || !strings.Contains(got, "Bench run, 3 February 2026") {
		t.Errorf("marked %q, want %q", got, want)
	}
	browsertest.Wait(t, ctx, `document.querySelector('[role=status]').textContent !== ''`)
	status := browsertest.Evaluate[string](t, ctx, `document.querySelector('[role=status]').textContent`)
	if status != " Copied." && !strings.HasPrefix(status, " Marked") {
		t.Errorf("the button says %q", status)
	}
	for _, l := range said.Take() {
		t.Errorf("the console says: %s", l)
	}
	browsertest.Leave(t, ctx)
}

// A photo that is linked, not shown, loses where it was taken all the same.
func TestLinkedPhotosLoseWhereTheyWereTaken(t *testing.T) {
	p, found := build(t, input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\nThe [lid](lid.jpeg).\n",
		"cart/1-first/lid.jpeg":   string(phototest.Photo(t, phototest.Corners(80, 60), 1)),
	})))
	if len(found) > 0 {
		t.Error(found[0].Text)
	}
	const at = "cart/1-first/lid.jpg"
	for _, name := range p.Paths() {
		data, err := p.Bytes(name)
		if err != nil || strings.Contains(string(data), "SECRET") {
			t.Errorf("%s: tells what it should not, or %v", name, err)
		}
	}
	linked := false
	for _, n := range elements(documents(t, p)["cart/1-first/index.html"].root) {
		linked = linked || n.Data == "a" && attribute(n, "href") == "lid.jpg"
	}
	if !p.Has(at) || !linked {
		t.Errorf("the site has %s: %v, and it is linked: %v", at, p.Has(at), linked)
	}
}

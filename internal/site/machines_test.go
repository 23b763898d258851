package site

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"regexp"
	"strings"
	"testing"
	"time"

	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/social"
)

// What a page says of itself to machines: a description of its own, its whole address, a picture that is there, and of a run a data set whose files are.
func TestPagesSayWhatTheyAreToMachines(t *testing.T) {
	const at = "https://example.org/book/"
	files := questionJournal(t)
	p, _ := build(t, input(t, written(t, files)))
	described := map[string]string{}
	pictures, sets := 0, 0
	attribute := func(page []byte, of string) string {
		if m := regexp.MustCompile(`<(?:meta|link) (?:name|property|rel)="` + of + `" (?:content|href)="([^"]*)"`).FindSubmatch(page); m != nil {
			return string(m[1])
		}
		return ""
	}
	for _, name := range p.Paths() {
		if !strings.HasSuffix(name, ".html") || name == address.Missing {
			continue
		}
		page, err := p.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		about := attribute(page, "description")
		if about == "" || len([]rune(about)) > longest+2 {
			t.Errorf("%s is described as %q", name, about)
		}
		if other := described[about]; other != "" {
			t.Errorf("%s and %s are described alike: %s", name, other, about)
		}
		described[about] = name
		if whole := attribute(page, "canonical"); whole != at+strings.TrimSuffix(name, "index.html") {
			t.Errorf("%s says that it stands at %s", name, whole)
		}
		if picture := attribute(page, "og:image"); picture != "" {
			pictures++
			data, err := p.Bytes(strings.TrimPrefix(picture, at))
			if err != nil || !bytes.HasPrefix(data, []byte("\x89PNG")) || len(data) > 100_000 || social.Width*social.Height == 0 {
				t.Errorf("%s: its picture %s: %v", name, picture, err)
			}
		}
		for _, m := range regexp.MustCompile(`(?s)<script type="application/ld\+json">(.*?)</script>`).FindAllSubmatch(page, -1) {
			var node struct {
				Type         string `json:"@type"`
				Distribution []struct{ ContentURL string }
			}
			if err := json.Unmarshal(m[1], &node); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if node.Type == "Dataset" {
				sets++
				for _, d := range node.Distribution {
					if !p.Has(strings.TrimPrefix(d.ContentURL, at)) {
						t.Errorf("%s: %s is not there", name, d.ContentURL)
					}
				}
			}
		}
	}
	if pictures < 3 || sets == 0 {
		t.Errorf("%d pictures, %d data sets", pictures, sets)
	}
}

// mapped are the pages of a sitemap with their dates, by whole address.
func mapped(t *testing.T, p *frame.Pages) map[string]string {
	t.Helper()
	data, err := p.Bytes(address.Sitemap)
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		XMLName xml.Name `xml:"http://www.sitemaps.org/schemas/sitemap/0.9 urlset"`
		URL     []struct {
			Loc     string `xml:"loc"`
			Lastmod string `xml:"lastmod"`
		} `xml:"url"`
	}
	if err := xml.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	for _, u := range file.URL {
		if _, twice := out[u.Loc]; twice {
			t.Errorf("%s is listed twice", u.Loc)
		}
		out[u.Loc] = u.Lastmod
	}
	return out
}

// Every page of the demo has a description and says where it stands, and the sitemap lists it there with the date of its notes; it lists
// nothing else. The page for what is missing stands nowhere.
func TestEveryPageIsOnTheMap(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		if !p.Has(address.Sitemap) {
			if whole := headed(docs[address.Front], "link", "rel", "canonical", "href"); whole != "" {
				t.Errorf("there is no sitemap, and the front page stands at %s", whole)
			}
			return
		}
		list := mapped(t, p)
		for name, d := range docs {
			if headed(d, "meta", "name", "description", "content") == "" {
				t.Errorf("%s is not described", name)
			}
			whole := headed(d, "link", "rel", "canonical", "href")
			if name == address.Missing {
				if whole != "" {
					t.Errorf("%s says that it stands at %s", name, whole)
				}
				continue
			}
			date, listed := list[whole]
			if !listed || !strings.HasSuffix(whole, "/"+strings.TrimSuffix(name, "index.html")) {
				t.Errorf("%s says that it stands at %q, which the sitemap does not have", name, whole)
			}
			if _, err := time.Parse(time.DateOnly, date); err != nil {
				t.Errorf("%s is listed with the date %q", name, date)
			}
		}
		if len(list) != len(docs)-1 {
			t.Errorf("the sitemap lists %d pages, and there are %d", len(list), len(docs)-1)
		}
	})
}

// headed is an attribute of the element of a page's head that has another.
func headed(d *document, tag, key, value, of string) string {
	for _, n := range elements(d.root) {
		if n.Data == tag && attribute(n, key) == value {
			return attribute(n, of)
		}
	}
	return ""
}

// A page's date is that of its note, of what stands in its folder, and of the corrections of it; robots.txt leads to the map where somebody looks for it.
func TestMapSaysWhenPagesChanged(t *testing.T) {
	files := map[string]string{
		"journal.yaml":            "title: A book\naddress: https://example.org/book/\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\nIt goes well.\n",
		"cart/1-first/run-1.md":   "---\nkind: run\ntype: field\nname: Out\ndate: 2026-01-09\nstopwatch: [{lap: 20 min}]\n---\n",
		"cart/2-next/version.md":  "---\nkind: version\nname: Next\ndate: 2026-02-03\nfollows: 1-first\n---\n",
		"notes/a.md":              "---\nkind: note\ntitle: A note\ndate: 2026-03-04\n---\nWords.\n",
		"corrections/b.md":        "---\nkind: correction\ntitle: It went badly\ndate: 2026-03-01\nsaid: [{in: cart/1-first, words: It goes well.}]\n---\nIt goes badly.\n",
	}
	p, _ := build(t, input(t, written(t, files)))
	list := mapped(t, p)
	for at, want := range map[string]string{
		"": "2026-03-04", "cart/": "2026-03-01", "cart/1-first/": "2026-03-01", "cart/1-first/run-1/": "2026-01-09", "cart/1-first/answers/": "2026-03-01",
		"cart/2-next/": "2026-02-03", "notes/a/": "2026-03-04", "corrections/b/": "2026-03-01", "corrections/": "2026-03-01", "method/": "2026-03-04",
	} {
		if got, ok := list["https://example.org/book/"+at]; !ok || got != want {
			t.Errorf("%q is listed with %q, want %s", at, got, want)
		}
	}
	if p.Has(address.Robots) {
		t.Error("a site below the root of its host has a robots.txt")
	}
	files["journal.yaml"] = "title: A book\naddress: https://example.org/\nmaker: {name: A maker}\n"
	p, _ = build(t, input(t, written(t, files)))
	if robots, err := p.Bytes(address.Robots); err != nil || !strings.Contains(string(robots), "\nSitemap: https://example.org/sitemap.xml\n") {
		t.Errorf("robots.txt says %q: %v", robots, err)
	}
	files["journal.yaml"] = "title: A book\nmaker: {name: A maker}\n"
	p, _ = build(t, input(t, written(t, files)))
	if p.Has(address.Sitemap) || p.Has(address.Robots) {
		t.Error("a journal without an address has a sitemap or a robots.txt")
	}
}

// A vehicle has a feed of what is said of it alone, the corrections have one of theirs, and pages lead to them.
func TestFeedsOfParts(t *testing.T) {
	p, _ := build(t, input(t, written(t, questionJournal(t))))
	entries := func(name string) (all []string) {
		data, err := p.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		var feed struct {
			Entry []struct {
				Category struct {
					Term string `xml:"term,attr"`
				} `xml:"category"`
			} `xml:"entry"`
		}
		if err := xml.Unmarshal(data, &feed); err != nil {
			t.Fatal(err)
		}
		for _, e := range feed.Entry {
			all = append(all, e.Category.Term)
		}
		return all
	}
	if all := entries(address.CorrectionsFeed); len(all) != 1 || all[0] != "correction" {
		t.Errorf("the feed of corrections has %v", all)
	}
	if all := entries("cart/feed.xml"); len(all) == 0 || strings.Contains(strings.Join(all, " "), "note") {
		t.Errorf("the feed of the cart has %v", all)
	}
	page, err := p.Bytes("cart/index.html")
	if err != nil || !bytes.Contains(page, []byte(`href="feed.xml"`)) {
		t.Errorf("the cart's page does not lead to its feed: %v", err)
	}
}

package site

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"regexp"
	"strings"
	"testing"

	"voltwright/internal/site/address"
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

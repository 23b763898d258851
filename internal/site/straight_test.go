package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/site/address"
)

// What readers ask most of a vehicle is one step from the front page, and stands before they leaf: every vehicle with a
// version has the way to its cautions and to the log of its best run, and each leads to a place (TestLinksLeadSomewhere).
func TestFrontPageLeadsStraightToAnswers(t *testing.T) {
	p, _ := build(t, input(t, demoJournal))
	docs := documents(t, p)
	for _, page := range []string{address.Front, "shunter/" + address.Front} {
		got := map[string]string{}
		for _, ul := range elements(docs[page].root) {
			if ul.Data != "ul" || !strings.Contains(attribute(ul, "class"), "straight") {
				continue
			}
			for n := range ul.Descendants() {
				if n.Type == html.ElementNode && n.Data == "a" {
					href := attribute(n, "href")
					if strings.Contains(href, "shunter/") || page != address.Front {
						got[text(n)] = href
					}
				}
			}
		}
		root := strings.Repeat("../", strings.Count(page, "/"))
		for words, want := range map[string]string{
			"How long it runs":      "shunter/3-second-pack/index.html#run-time",
			"With other numbers":    "questions/how-long-does-the-shunter-run/index.html#your-numbers",
			"Charging and wear":     "shunter/3-second-pack/index.html#charging",
			"Leads and their sizes": "shunter/3-second-pack/index.html#cut-list",
			"Parts, fuses, prices":  "shunter/3-second-pack/index.html#parts",
			"What changed":          "shunter/3-second-pack/index.html#what-changed",
			"The log":               "shunter/3-second-pack/field-2026-04-12/index.html#evidence",
			"Cautions":              "shunter/3-second-pack/index.html#cautions",
		} {
			if page != address.Front {
				want = strings.TrimPrefix(want, "shunter/")
				if strings.HasPrefix(want, "questions/") {
					want = root + want
				}
			}
			if words == "With other numbers" && page == address.Front {
				continue // both vehicles have one, of their own questions
			}
			if got[words] != want {
				t.Errorf("%s: %q leads to %q, not %q", page, words, got[words], want)
			}
		}
	}
}

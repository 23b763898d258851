package site

import (
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/site/frame"
)

// The list of where to on a version's sheet names each section as its heading does, in the order of the sheet.
func TestJumpsNameTheSectionsOfTheSheet(t *testing.T) {
	journals(t, func(t *testing.T, _ *frame.Pages, docs map[string]*document) {
		jumps := 0
		for _, d := range docs {
			headings, place := map[string]string{}, map[string]int{}
			var nav *html.Node
			for i, n := range elements(d.root) {
				switch {
				case n.Data == "nav" && attribute(n, "class") == "jump noprint":
					nav = n
				case n.Data == "section" && attribute(n, "id") != "":
					headings["#"+attribute(n, "id")], place["#"+attribute(n, "id")] = text(first(n, "h2")), i
				}
			}
			if nav == nil {
				continue
			}
			after := -1
			for _, a := range elements(nav) {
				if a.Data != "a" {
					continue
				}
				jumps++
				to := attribute(a, "href")
				if headings[to] != text(a) || place[to] < after {
					t.Errorf("%s: %q leads to %s, which is headed %q, or stands out of order", d.path, text(a), to, headings[to])
				}
				after = place[to]
			}
		}
		if jumps < 10 {
			t.Errorf("only %d jumps on the versions' sheets", jumps)
		}
	})
}

// first is the first element of a name below a node; an empty one if there is none.
func first(n *html.Node, name string) *html.Node {
	for _, e := range elements(n) {
		if e.Data == name {
			return e
		}
	}
	return &html.Node{}
}

package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/site/frame"
)

// Every leaf has a title and a face, its face leads nowhere, and what folds in it has an anchor that a link opens it by.
func TestLeavesHaveFaces(t *testing.T) {
	journals(t, func(t *testing.T, _ *frame.Pages, docs map[string]*document) {
		leaves := 0
		for _, d := range docs {
			for _, n := range classed(d, "leaf") {
				leaves++
				summary, section := first(n, "summary"), first(n, "section")
				face := ""
				for _, e := range elements(summary) {
					if attribute(e, "class") == "face" {
						face = text(e)
					}
				}
				if title := text(first(summary, "h2")); title == "" || len(strings.TrimSpace(face)) < 2 || attribute(section, "id") == "" {
					t.Errorf("%s: the leaf %q has the face %q and the anchor %q", d.path, title, face, attribute(section, "id"))
				}
				if len(within(summary, "a")) > 0 {
					t.Errorf("%s: the face %q leads somewhere", d.path, face)
				}
			}
		}
		if leaves < 40 {
			t.Errorf("only %d leaves", leaves)
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

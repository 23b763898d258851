package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/diagram"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// What stays live stands under each of its drawings in words, before its
// caption.
func TestWhatStaysLiveStandsInWords(t *testing.T) {
	seen := 0
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document) {
		var said []string
		var walk func(n *html.Node)
		walk = func(n *html.Node) {
			if n.Type == html.ElementNode && n.Data == "p" && attribute(n, "class") == "small live-words" {
				said = append(said, text(n))
			}
			for c := n.FirstChild; c != nil; c = c.NextSibling {
				walk(c)
			}
		}
		walk(docs["cart/2-second/index.html"].root)
		if len(said) != len(w.Live) {
			t.Fatalf("%d paragraphs, want one for each of %d drawings", len(said), len(w.Live))
		}
		for i, l := range w.Live {
			if want := numeral.OnPage(diagram.Live(w.Circuit, l, diagram.Options{}).Description); strings.Join(strings.Fields(said[i]), " ") != want || !strings.Contains(want, "live") {
				t.Errorf("%q, want %q", said[i], want)
			}
			seen++
		}
	})
	if seen < 15 {
		t.Errorf("only %d drawings were seen", seen)
	}
}

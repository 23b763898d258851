package site

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/circuit"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/wiringsheet"
	"voltwright/internal/wiring"
)

// drawingsOf are the drawings in the figures of a page: the titles of their SVG elements by the figure's anchor.
func drawingsOf(d *document) map[string][]string {
	out := map[string][]string{}
	var walk func(n *html.Node, figure string)
	walk = func(n *html.Node, figure string) {
		if n.Type == html.ElementNode && n.Data == "figure" && strings.HasPrefix(attribute(n, "class"), "circuit") {
			figure = attribute(n, "id")
		}
		if n.Type == html.ElementNode && n.Data == "svg" && strings.HasPrefix(attribute(n, "class"), "drawing") {
			for c := range n.ChildNodes() {
				if c.Data == "title" {
					out[figure] = append(out[figure], text(c))
				}
			}
		}
		for c := range n.ChildNodes() {
			walk(c, figure)
		}
	}
	walk(d.root, "")
	return out
}

// A version that states its wiring shows the power path, and what stays live for each part that makes it dead; each
// with its files, which are whole documents of their own.
func TestDrawingsOfAVersion(t *testing.T) {
	eachCircuit(t, func(t *testing.T, in reading.Input, w *wiring.Analysis, p *frame.Pages, docs map[string]*document) {
		d := docs["cart/2-second/index.html"]
		got := drawingsOf(d)
		if len(got["fig-power-path"]) == 0 {
			t.Error("no power path")
		}
		if want := 1 + len(w.Live); len(got) != want {
			t.Errorf("%d figures, want %d", len(got), want)
		}
		if bench := drawingsOf(docs["cart/2-second/bench-sheet/index.html"]); len(bench["fig-power-path"]) != 1 {
			t.Errorf("the bench sheet has %v", bench)
		}
		_, live := wiringsheet.Drawers(&reading.Reader{}, w)
		names := []string{"power-path"}
		for _, l := range live {
			names = append(names, l.Name)
		}
		for _, name := range names {
			for _, ending := range []string{"", "-black-and-white", "-a4", "-letter"} {
				file := "cart/2-second/" + name + ending + ".svg"
				data, err := p.Bytes(file)
				if err != nil {
					t.Error(err)
					continue
				}
				elements := 0
				for r := xml.NewDecoder(strings.NewReader(string(data))); ; {
					token, err := r.Token()
					if err == io.EOF {
						break
					}
					if err != nil {
						t.Fatalf("%s: %v", file, err)
					}
					if _, ok := token.(xml.StartElement); ok {
						elements++
					}
				}
				if elements < 20 {
					t.Errorf("%s has %d elements", file, elements)
				}
			}
		}
	})
}

// A note gets a drawing where it asks for one, the version's own story a reference to the one that its page shows, and
// what cannot be drawn is said with a remedy.
func TestDrawingsInNotes(t *testing.T) {
	dir := written(t, map[string]string{
		"journal.yaml":    "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md": "---\nkind: vehicle\nname: The cart\n---\n\n![The cart's wiring](diagram:1-first/wiring)\n\n![Of the vehicle](diagram:wiring)\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{name: pack, chemistry: lfp, series: 8, capacity: 20 Ah}]\nwiring:\n  parts:\n    - {name: pack, kind: pack}\n    - {name: switch, kind: switch}\n    - {name: lamp, kind: lamp, nominal: 24 V, power: 20 W}\n" +
			"  leads:\n    - {from: \"pack:+\", to: \"switch:in\"}\n    - {from: \"switch:out\", to: \"lamp:1\"}\n    - {from: \"lamp:2\", to: \"pack:-\"}\n---\n\n![Our own words](diagram:wiring)\n\n![Live](diagram:live)\n\n![A slip](diagram:wirng)\n",
		"cart/2-bare/version.md": "---\nkind: version\nname: Bare\ndate: 2026-02-02\n---\n\n![None](diagram:wiring)\n",
		"notes/one.md":           "---\nkind: note\ntitle: A note\ndate: 2026-02-03\n---\n\n![What stays live](diagram:cart/1-first/live)\n",
	})
	in := input(t, dir)
	in.Docs = append(in.Docs, circuit.Docs()...)
	p, found := build(t, in)
	var said []string
	for _, f := range found {
		said = append(said, f.Text+" / "+f.Remedy)
		if f.Span.Position().Line == 0 {
			t.Errorf("%s has no place", f.Text)
		}
	}
	for _, want := range []string{
		"there is no drawing `wirng`; did you mean `wiring`? / write `diagram:wiring` for the power path",
		"there is no wiring to draw / add `wiring:`",
		"`wiring` is drawn for a version, and this names a vehicle / name the version",
	} {
		n := 0
		for _, text := range said {
			if strings.HasPrefix(text, want) {
				n++
			}
		}
		if n != 1 {
			t.Errorf("%q is said %d times in %q", want, n, said)
		}
	}
	if len(said) != 3 {
		t.Errorf("%d findings: %q", len(said), said)
	}
	docs := documents(t, p)
	for page, want := range map[string]int{"cart/index.html": 1, "notes/one/index.html": 1, "cart/1-first/index.html": 2, "cart/2-bare/index.html": 0} {
		if got := drawingsOf(docs[page]); len(got) != want {
			t.Errorf("%s has %d drawings, want %d", page, len(got), want)
		}
	}
	story := text(docs["cart/1-first/index.html"].root)
	if !strings.Contains(story, "Figure 1: Our own words.") || !strings.Contains(story, "Figure 1. Our own words.") || !strings.Contains(story, "Figure 2: Live.") {
		t.Error("the story does not refer to the figures of its page")
	}
}

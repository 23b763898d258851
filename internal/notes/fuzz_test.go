package notes

import (
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// inside fails where a span leaves the note's text.
func inside(t *testing.T, n *Note, s finding.Span, what string) {
	t.Helper()
	if s.Source != n.Source || s.Start < 0 || s.End < s.Start || s.End > int64(len(n.text)) {
		t.Fatalf("%s: the span %d to %d is outside the text of %d bytes", what, s.Start, s.End, len(n.text))
	}
}

func walkNode(t *testing.T, n *Note, node *Node) {
	inside(t, n, node.Span, "node "+node.Text)
	for _, k := range node.Keys {
		inside(t, n, k.Span, "key "+k.Name)
		walkNode(t, n, k.Value)
	}
	for _, item := range node.Items {
		walkNode(t, n, item)
	}
}

func FuzzFrontMatter(f *testing.F) {
	for _, seed := range []string{
		sample, "", "---\n---\n", "---\nkind: run\n", "---\na: [1, {b: c}]\nd: |\n  x\n---\n", "\xef\xbb\xbf---\r\na: 'q''q'\r\n---\r\n",
		"---\na: &x 1\nb: *x\n<<: *x\n? k\n: v\n---\n", "---\n%YAML 1.2\n---\n", "---\na: \"\\u00e9\\n\"\n---\n", "---\n- - - a\n---\n", "---\na: !!binary x\n...\nb\n---\n",
		"---\nopens: 23.1\ngroup: {opens: 4 A, x: 1}\nspan: 3 V to 2 V\nlaps: [1 s, x]\nday: 2026-13-40\nname:\n---\n", "---\n\ta: 1\n---\n", "---\n\"a\" : 1\n'b': \"\n---\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if len(text) > 1<<14 {
			return
		}
		var list finding.List
		n := ParseNote("x.md", text, &list)
		if n.BodyOffset < 0 || n.BodyOffset+len(n.body) > len(n.text) {
			t.Fatalf("the body at %d of %d bytes is outside", n.BodyOffset, len(n.body))
		}
		if n.Broken && !n.Bare && list.Len() == 0 {
			t.Fatal("a broken note without a finding")
		}
		if n.Front != nil {
			walkNode(t, n, n.Front)
			Decode(n.Front, &outer{}, &list)
			Decode(n.Front, &struct {
				A Word                     `key:"a"`
				B []Value[quantity.Number] `key:"b"`
				D Accuracy                 `key:"d"`
			}{}, &list)
		}
		for _, x := range list.Sorted() {
			inside(t, n, x.Span, x.Rule)
			for _, r := range x.Related {
				inside(t, n, r.Span, x.Rule)
			}
		}
	})
}

func FuzzBody(f *testing.F) {
	for _, seed := range []string{
		"[47 min](value:a/b) ![x](plot:c/d)\n\n![y](table:e)\n", "# H [a](b)\n\n[^1]\n\n[^1]: x [r]\n\n[r]: value:x\n", "<b>x</b>\n\n<div>\n\n<!-- c -->\n<x:y>",
		"| a | b |\n|---|---|\n| [x](value:a\\|b) | ![](plot:) |\n", "> - > 1. [a][b]\n\n[b]: <value: x> 'title'\n", "[a](javascript:x) [](#) [](/) [a](../..) <http://x>", "[[[a](b)](c)](d)", "![![a](plot:b)](plot:c)\n",
		"http://example.org/value:x www.example.org a@example.org", "a\r\n===\r\n\r\n\tcode\r\n- [ ] [t](value:t)\r\n", "[a](value:%zz) [b](%2e%2e/%2e%2e/x) [c](c:\\x)",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, body string) {
		if len(body) > 1<<14 {
			return
		}
		var list finding.List
		n := ParseNote("a/b/x.md", []byte("---\nkind: note\n---\n"+body), &list)
		if n.Broken {
			return
		}
		d := Parse(n)
		for _, x := range d.Findings {
			inside(t, n, x.Span, x.Rule)
		}
		for _, e := range d.Embeds {
			inside(t, n, e.Span, "embed "+e.Target)
		}
		ids := map[string]bool{}
		for _, h := range d.Headings {
			inside(t, n, h.Span, "heading "+h.Text)
			if ids[h.ID] || h.ID == "" {
				t.Fatalf("the heading ID %q is empty or given twice", h.ID)
			}
			ids[h.ID] = true
		}
		for _, l := range d.Links {
			inside(t, n, l.Span, "link "+l.Written)
		}
	})
}

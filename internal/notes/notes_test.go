package notes

import (
	"fmt"
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

const sample = "\xef\xbb\xbf\n---\r\nkind: run\r\nnamé: Ö # comment\r\npack: {capacity: 9.6 Ah, 'full' : \"25.2 V\"}\r\nlaps:\r\n  - 3 min 4 s\r\n  - two words\r\n    more\r\nstory: |\r\n  one\r\n  two\r\nempty:\r\n---\r\nBody\r\n"

// Spans point at what was written: the text under the span is compared.
func TestSpans(t *testing.T) {
	var list finding.List
	n := ParseNote("x.md", []byte(sample), &list)
	if list.Len() != 0 {
		t.Fatal(list.Sorted())
	}
	under := func(s finding.Span) string { return string(n.text[s.Start:s.End]) }
	at := func(path ...string) *Node {
		node := n.Front
		for _, p := range path {
			next, ok := node.Lookup(p)
			if !ok {
				t.Fatalf("no key %v", path)
			}
			node = next
		}
		return node
	}
	laps := at("laps")
	for _, tt := range []struct {
		name         string
		span         finding.Span
		want         string
		line, column int
	}{
		{"kind", at("kind").Span, "run", 3, 7},
		{"key after a two-byte letter", at("namé").Span, "Ö", 4, 7},
		{"in braces", at("pack", "capacity").Span, "9.6 Ah", 5, 18},
		{"quoted", at("pack", "full").Span, `"25.2 V"`, 5, 35},
		{"braces", at("pack").Span, `{capacity: 9.6 Ah, 'full' : "25.2 V"}`, 5, 7},
		{"item", laps.Items[0].Span, "3 min 4 s", 7, 5},
		{"over two lines", laps.Items[1].Span, "two words\r\n    more", 8, 5},
		{"block", at("story").Span, "|", 10, 8},
		{"no value: the key", at("empty").Span, "empty", 13, 1},
	} {
		p := tt.span.Position()
		if got := under(tt.span); got != tt.want || p.Line != tt.line || p.Column != tt.column {
			t.Errorf("%s: %q at %d:%d, want %q at %d:%d", tt.name, got, p.Line, p.Column, tt.want, tt.line, tt.column)
		}
	}
	if n.Kind != "run" || string(n.body) != "Body\r\n" || string(n.text[n.BodyOffset:]) != "Body\r\n" {
		t.Errorf("kind %q, body %q", n.Kind, n.body)
	}
	if got := at("story").Text; got != "one\ntwo\n" {
		t.Errorf("block text %q", got)
	}
	for i, k := range n.Front.Keys {
		if under(k.Span) != k.Name {
			t.Errorf("key %d: %q under its span, want %q", i, under(k.Span), k.Name)
		}
	}
}

type inner struct {
	Opens Value[quantity.Volts] `key:"opens,required"`
	Span  finding.Span          `key:"@"`
}

type outer struct {
	Name    Word                      `key:"name"`
	Day     Date                      `key:"day"`
	Price   Decimal                   `key:"price"`
	Count   Integer                   `key:"count"`
	Ratio   Value[quantity.Number]    `key:"ratio"`
	Span    Range[quantity.Volts]     `key:"span"`
	Laps    []Value[quantity.Seconds] `key:"laps"`
	Group   *inner                    `key:"group"`
	Groups  []inner                   `key:"groups"`
	Words   map[string]Word           `key:"words"`
	Missing Value[quantity.Volts]     `key:"missing"`
	Ignored int
}

func TestDecode(t *testing.T) {
	var list finding.List
	text := "name: 12\nday: 2028-02-29\nprice: 34.50\ncount: 3\nratio: 9.8\nspan: 18 V to 32 V\nlaps: [3 min 4 s, 1 h]\ngroup: {opens: 23.1 V ± 0.1 V}\ngroups:\n  - opens: 1 V\n  - opens: 2 V\nwords: {a: b}\n"
	n := ParseNote("x.yaml", []byte(text), &list)
	var got outer
	Decode(n.Front, &got, &list)
	if list.Len() != 0 {
		t.Fatal(list.Sorted())
	}
	facts := []struct {
		what      string
		got, want any
	}{
		{"name", got.Name.Text, "12"},
		{"day", got.Day.String(), "2028-02-29"},
		{"price", got.Price.Text, "34.50"},
		{"price", got.Price.Value, 34.5},
		{"count", got.Count.Value, 3},
		{"ratio", got.Ratio.Value, quantity.Number(9.8)},
		{"from", got.Span.From.Value, quantity.Volts(18)},
		{"to", got.Span.To.Value, quantity.Volts(32)},
		{"laps", fmt.Sprint(got.Laps[0].Value, got.Laps[1].Value), "184 3600"},
		{"opens", got.Group.Opens.Value, quantity.Volts(23.1)},
		{"written", got.Group.Opens.Written, "23.1 V ± 0.1 V"},
		{"uncertainty", got.Group.Opens.U > 0, true},
		{"groups", len(got.Groups), 2},
		{"map", got.Words["a"].Text, "b"},
		{"unset is not known", got.Missing.Known(), false},
		{"unset is NaN", got.Missing.Value == got.Missing.Value, false},
		{"place of a group", got.Groups[1].Span.Position().Line, 11},
	}
	for _, f := range facts {
		if f.got != f.want {
			t.Errorf("%s: %v, want %v", f.what, f.got, f.want)
		}
	}
}

// What cannot be used is reported, and the rest is still filled in.
func TestDecodeGoesOn(t *testing.T) {
	var list finding.List
	n := ParseNote("x.yaml", []byte("nmae: x\nday: soon\ncount: 3\ngroup: {}\nspan: 5\n"), &list)
	var got outer
	Decode(n.Front, &got, &list)
	var rules []string
	for _, f := range list.Sorted() {
		rules = append(rules, f.Rule)
	}
	if want := "unknown-key not-a-date missing-key not-a-quantity"; strings.Join(rules, " ") != want {
		t.Errorf("rules %q, want %q", rules, want)
	}
	if got.Count.Value != 3 {
		t.Error("what was right is not filled in")
	}
}

func TestDecodeNil(t *testing.T) {
	var list finding.List
	var got inner
	Decode(nil, &got, &list)
	if got.Opens.Known() || got.Opens.Set || list.Len() != 1 {
		t.Errorf("%+v, %d findings", got, list.Len())
	}
}

func TestClean(t *testing.T) {
	for _, tt := range []struct{ folder, written, want string }{
		{"shunter/1-a", "log.csv", "shunter/1-a/log.csv"},
		{"shunter/1-a", "../2-b/version.md", "shunter/2-b/version.md"},
		{"shunter/1-a", "./photos//x.jpg", "shunter/1-a/photos/x.jpg"},
		{"shunter/1-a", `photos\x.jpg`, "shunter/1-a/photos/x.jpg"},
		{"shunter/1-a", "../..", "."},
		{"shunter/1-a", "../../..", ""},
		{"shunter/1-a", "/etc/hostname", ""},
		{"shunter/1-a", `C:\log.csv`, ""},
		{".", "..", ""},
		{".", "a/../../b", ""},
	} {
		got, err := Clean(tt.folder, tt.written)
		if got != tt.want || (err != nil) != (tt.want == "") {
			t.Errorf("Clean(%q, %q) = %q, %v, want %q", tt.folder, tt.written, got, err, tt.want)
		}
	}
}

func document(t *testing.T, body string) *Document {
	t.Helper()
	var list finding.List
	n := ParseNote("shunter/1-a/x.md", []byte("---\nkind: note\n---\n"+body), &list)
	if list.Len() != 0 {
		t.Fatal(list.Sorted())
	}
	return Parse(n)
}

func TestEmbeds(t *testing.T) {
	body := "It ran [4*7* min](value:field-2/running-time), [](value:a/sag) and\n[long][ref].\n\n" +
		"![The *voltage*](plot:field-2/voltage)\n\nin line ![x](plot:p/q)\n\n> - | nested\n>   [v](value:n/sag)\n\n" +
		"| a |\n|---|\n| [t](<value:a b/c>) |\n\nFoot[^1].\n\n[^1]: note [f](value:foot/sag)\n\n[ref]: value:ref/sag\n"
	d := document(t, body)
	if len(d.Findings) != 0 {
		t.Fatal(d.Findings)
	}
	want := []struct {
		target, words, under string
		image                bool
	}{
		{"field-2/running-time", "47 min", "[4*7* min](value:field-2/running-time)", false},
		{"a/sag", "", "[](value:a/sag)", false},
		{"ref/sag", "long", "[long][ref]", false},
		{"field-2/voltage", "The voltage", "![The *voltage*](plot:field-2/voltage)", true},
		{"p/q", "x", "![x](plot:p/q)", true},
		{"n/sag", "v", "[v](value:n/sag)", false},
		{"a b/c", "t", "[t](<value:a b/c>)", false},
		{"foot/sag", "f", "[f](value:foot/sag)", false},
	}
	if len(d.Embeds) != len(want) {
		t.Fatalf("%d embeds, want %d", len(d.Embeds), len(want))
	}
	for i, w := range want {
		e := d.Embeds[i]
		under := string(d.Note.text[e.Span.Start:e.Span.End])
		if e.Target != w.target || e.Words != w.words || e.Image != w.image || under != w.under {
			t.Errorf("embed %d: %q %q %v under %q, want %+v", i, e.Target, e.Words, e.Image, under, w)
		}
	}
	inline, block, links := 0, 0, 0
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			switch n := n.(type) {
			case *EmbedNode:
				inline++
			case *EmbedBlock:
				block++
				if n.ChildCount() != 2 || n.Parent().Kind() != ast.KindDocument {
					t.Error("the figure has lost its words, or stands in a paragraph")
				}
			case *ast.Link, *ast.Image:
				links++
			}
		}
		return ast.WalkContinue, nil
	})
	if inline != 7 || block != 1 || links != 0 {
		t.Errorf("%d inline, %d block, %d links left; want 7, 1, 0", inline, block, links)
	}
}

func TestHeadingsAndLinks(t *testing.T) {
	d := document(t, "# What [changed](value:a/b), *then*\n\n## Über 5 Ah\n\n## Über 5 Ah\n\nSetext\n===\n\n# ...\n\n[a](../2-b/version.md#top) ![p](photos/my%20pic.jpg) [h](#uber) [o](../../../x)\n")
	var ids []string
	for _, h := range d.Headings {
		ids = append(ids, h.ID)
	}
	if got, want := strings.Join(ids, " "), "what-changed-then über-5-ah über-5-ah-2 setext section"; got != want {
		t.Errorf("headings %q, want %q", got, want)
	}
	want := []struct {
		path, fragment string
		outside, image bool
	}{
		{"shunter/2-b/version.md", "top", false, false},
		{"shunter/1-a/photos/my pic.jpg", "", false, true},
		{"", "uber", false, false},
		{"", "", true, false},
	}
	if len(d.Links) != len(want) {
		t.Fatalf("%d links, want %d", len(d.Links), len(want))
	}
	for i, w := range want {
		l := d.Links[i]
		if l.Path != w.path || l.Fragment != w.fragment || l.Outside != w.outside || l.Image != w.image {
			t.Errorf("link %d: %+v, want %+v", i, l, w)
		}
		if known, ok := d.LinkOf(l.Node); !ok || known != l {
			t.Errorf("link %d is not found by its node", i)
		}
	}
}

// What would take the readers of YAML and Markdown very long is refused first.
func TestRefusedBeforeItTakesLong(t *testing.T) {
	for _, tt := range []struct{ name, text, rule string }{
		{"long front matter", "---\n" + strings.Repeat("a: b\n", MaxFront/5+1) + "---\n", RuleTooLarge},
		{"open brackets", "---\nkind: note\n---\n" + strings.Repeat("[](", 300_000), RuleNesting},
		{"pictures", "---\nkind: note\n---\n" + strings.Repeat("![", 500_000), RuleNesting},
		{"quotes", "---\nkind: note\n---\n" + strings.Repeat(">", 900_000), RuleNesting},
		{"lists", "---\nkind: note\n---\n" + strings.Repeat("- ", 400_000), RuleNesting},
		{"flow lists", "---\na: " + strings.Repeat("[", 50_000) + "\n---\n", RuleNesting},
		{"block lists", "---\n" + strings.Repeat("- ", 30_000) + "\n---\n", RuleNesting},
	} {
		var list finding.List
		n := ParseNote("x.md", []byte(tt.text), &list)
		list.Add(Parse(n).Findings...)
		if all := list.Sorted(); len(all) != 1 || all[0].Rule != tt.rule {
			t.Errorf("%s: %d findings, want one of the rule %s", tt.name, len(all), tt.rule)
		}
	}
}

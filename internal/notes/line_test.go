package notes

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
)

func lineOf(t *testing.T, yaml string) (Line, []finding.Finding) {
	t.Helper()
	var findings finding.List
	n := ParseNote("cart/1-first/version.md", []byte("---\n"+yaml+"\n---\n"), &findings)
	var into struct {
		Summary Line `key:"summary"`
	}
	Decode(n.Front, &into, &findings)
	return into.Summary, findings.Sorted()
}

func TestLine(t *testing.T) {
	for _, tt := range []struct {
		name, yaml, text string
		bound            []string // scheme:target|words|what the span covers
	}{
		{"nothing bound", "summary: One pack, *two* [fuses] and (maybe) a `cutout`", "One pack, *two* [fuses] and (maybe) a `cutout`", nil},
		{"one", "summary: it ran [47 min](value:field-2/running-time) in the rain", "it ran 47 min in the rain",
			[]string{"value:field-2/running-time|47 min|[47 min](value:field-2/running-time)"}},
		{"two, quoted", `summary: "[20 Ah](value:packs.capacity) for [8 Ah](source:handbook)"`, "20 Ah for 8 Ah",
			[]string{"value:packs.capacity|20 Ah|[20 Ah](value:packs.capacity)", "source:handbook|8 Ah|[8 Ah](source:handbook)"}},
		{"an ordinary link is text", "summary: see [the note](../a.md) of [2 V](value:x)", "see [the note](../a.md) of 2 V", []string{"value:x|2 V|[2 V](value:x)"}},
		{"an address on the web is text", "summary: see [it](https://example.org/x)", "see [it](https://example.org/x)", nil},
		{"folded: the whole line is its place", "summary: >-\n  it ran\n  [47 min](value:x)", "it ran 47 min", []string{"value:x|47 min|"}},
		{"escapes: the whole line is its place", `summary: "\u2248 [47 min](value:x)"`, "≈ 47 min", []string{`value:x|47 min|"`}}, // the place of such a text is its quote
	} {
		l, found := lineOf(t, tt.yaml)
		if len(found) > 0 || l.Text != tt.text {
			t.Errorf("%s: %q, want %q; %v", tt.name, l.Text, tt.text, found)
		}
		var bound []string
		joined := ""
		for _, p := range l.Parts {
			joined += p.Text
			if e := p.Embed; e != nil {
				covers := e.Span.Text()
				if e.Span == l.Span && strings.HasPrefix(tt.name, "folded") {
					covers = ""
				}
				bound = append(bound, string(e.Scheme)+":"+e.Target+"|"+e.Words+"|"+covers)
			}
		}
		if strings.Join(bound, "\n") != strings.Join(tt.bound, "\n") {
			t.Errorf("%s: bound %q, want %q", tt.name, bound, tt.bound)
		}
		if len(l.Parts) > 0 && joined != l.Text {
			t.Errorf("%s: the parts say %q", tt.name, joined)
		}
	}
}

func TestLineThatCannotStandInAList(t *testing.T) {
	for _, tt := range []struct{ yaml, covers string }{
		{"summary: it ran [](value:x) in all", "[](value:x)"},
		{"summary: it ran [ ](source:x)", "[ ](source:x)"},
		{"summary: it ran [a](plot:x/voltage)", "[a](plot:x/voltage)"},
		{"summary: it ran ![a](table:run-time)", "![a](table:run-time)"},
		{"summary: it ran ![a](value:x)", "![a](value:x)"},
		{"summary: it ran [a](vaule:x)", "[a](vaule:x)"},
	} {
		_, found := lineOf(t, tt.yaml)
		rule := RuleBoundLine
		if strings.Contains(tt.yaml, "vaule") {
			rule = RuleUnknownScheme
		}
		if len(found) != 1 || found[0].Rule != rule || found[0].Level != finding.Error || found[0].Remedy == "" || found[0].Span.Text() != tt.covers {
			t.Errorf("%s: %v", tt.yaml, found)
		}
	}
}

// A number that nothing is bound to is found at its place; one that is bound is not seen.
func TestPassageOfALine(t *testing.T) {
	l, _ := lineOf(t, "summary: it ran [47 min](value:x) and took 3 Ah")
	p := l.Passage()
	if want := "it ran " + string(Bound) + " and took 3 Ah"; p.Text != want {
		t.Fatalf("%q, want %q", p.Text, want)
	}
	i := strings.Index(p.Text, "3 Ah")
	if got := p.Span(i, i+4).Text(); got != "3 Ah" {
		t.Errorf("the place of 3 Ah has %q", got)
	}
	if got := p.Span(-1, 0); got != l.Span {
		t.Errorf("no place is %v", got)
	}
	plain, _ := lineOf(t, "summary: it took 3 Ah")
	q := plain.Passage()
	if got := q.Span(8, 12).Text(); q.Text != "it took 3 Ah" || got != "3 Ah" {
		t.Errorf("%q at %q", q.Text, got)
	}
	if (Line{}).Passage().Text != "" {
		t.Error("a line that is not written says something")
	}
}

// Words that were taken back are no more in the line as a list prints it, and rest on nothing.
func TestMarkInALine(t *testing.T) {
	who, other := new(int), new(int)
	for _, tt := range []struct {
		name, yaml, words string
		text              string
		spans             []string
		of                string // what was taken back, and what of it was bound
	}{
		{"the middle of a plain line", "summary: it opens and all is dead, for good", "all is dead", "it opens and [taken back], for good", []string{"all is dead"}, "all is dead"},
		{"the whole line", "summary: all is dead", "all  is\n dead", "[taken back]", []string{"all is dead"}, "all is dead"},
		{"twice", "summary: dead, and dead again", "dead", "[taken back], and [taken back] again", []string{"dead", "dead"}, "dead|dead"},
		{"not there", "summary: it opens", "all is dead", "it opens", nil, ""},
		{"over a bound number", "summary: it ran [47 min](value:x) and more", "ran 47 min and", "it [taken back] more", []string{"ran [47 min](value:x) and"}, "ran |47 min*| and"},
		{"part of a bound number takes it whole", "summary: it ran [47 min](value:x)", "ran 47", "it [taken back]", []string{"ran [47 min](value:x)"}, "ran |47 min*"},
		{"folded", "summary: >-\n  it opens and\n  all is dead", "and all is", "it opens [taken back] dead", []string{""}, "and all is"},
	} {
		l, found := lineOf(t, tt.yaml)
		if len(found) > 0 {
			t.Fatalf("%s: %v", tt.name, found)
		}
		var spans, of []string
		for _, s := range l.Mark(tt.words, who) {
			text := s.Text()
			if s == l.Span {
				text = ""
			}
			spans = append(spans, text)
		}
		for _, p := range l.Parts {
			if p.Of == nil {
				if p.Embed != nil && p.Embed.TakenBack {
					t.Errorf("%s: %q stands and is taken back", tt.name, p.Text)
				}
				continue
			}
			text := p.Text
			if p.Embed != nil {
				if !p.Embed.TakenBack {
					t.Errorf("%s: %q is still held against the data", tt.name, p.Text)
				}
				text += "*"
			}
			of = append(of, text)
		}
		if l.Text != tt.text || strings.Join(spans, "|") != strings.Join(tt.spans, "|") && tt.name != "the whole line" || strings.Join(of, "|") != tt.of {
			t.Errorf("%s: %q of %q in %q; want %q of %q in %q", tt.name, of, spans, l.Text, tt.of, tt.spans, tt.text)
		}
		if again := l.Mark(tt.words, other); len(again) > 0 {
			t.Errorf("%s: what was taken back is taken back again", tt.name)
		}
		if strings.Contains(l.Passage().Text, tt.words) {
			t.Errorf("%s: what was taken back is still prose", tt.name)
		}
	}
}

package notes

import (
	"strings"
	"testing"

	"github.com/yuin/goldmark/ast"

	"voltwright/internal/finding"
)

func parsed(t *testing.T, body string) *Document {
	t.Helper()
	var list finding.List
	return Parse(ParseNote("notes/x.md", []byte("---\nkind: note\n---\n"+body), &list))
}

// outline writes the body's text with marked pieces in { } and the end of a passage as |.
func outline(d *Document) string {
	var b strings.Builder
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *Marked:
			if entering {
				b.WriteByte('{')
			} else {
				b.WriteByte('}')
			}
		case *MarkedEnd:
			if entering {
				b.WriteByte('|')
			}
		case *ast.Text:
			if entering {
				b.Write(n.Value(d.Source))
				if n.SoftLineBreak() {
					b.WriteByte('/')
				}
			}
		}
		return ast.WalkContinue, nil
	})
	return b.String()
}

func TestMark(t *testing.T) {
	for _, tt := range []struct {
		name, body, words, want string
		places                  int
	}{
		{"within a line", "It is the pack that is live.", "the pack that", "It is {the pack that}| is live.", 1},
		{"a whole text", "It is live.", "It is live.", "{It is live.}|", 1},
		{"over a line's end", "It ran for a\nlong time, said he.", "for a long time", "It ran {for a/long time}|, said he.", 1},
		{"ends at a line's end", "It ran\nlong.", "It ran", "{It ran/}|long.", 1},
		{"over emphasis", "It is *quite* safe so.", "is quite safe", "It {is }{quite}{ safe}| so.", 1},
		{"from inside emphasis", "It *is quite* safe.", "quite safe", "It is {quite}{ safe}|.", 1},
		{"spaces as they like", "It  is\tquite   safe.", "is quite safe", "It  {is\tquite }  {safe}|.", 1},
		{"twice in a line", "a b a b", "a b", "{a b}| {a b}|", 2},
		{"in two blocks", "one two\n\n- one two\n", "one two", "{one two}|{one two}|", 2},
		{"in a table", "| a | b |\n| --- | --- |\n| one two | c |\n", "one two", "ab{one two}|c", 1},
		{"in a bound number", "It ran [47 min](value:r/running-time) in all.", "ran 47 min in", "It {ran }{47 min}{ in}| all.", 1},
		{"only in a link", "See [the old page](https://example.org/) here.", "the old", "See {the old} page| here.", 1},
		{"not over code", "a `b` c", "a b c", "a b c", 0},
		{"not over a bare value", "a [](value:r/charge-out) c", "a c", "a  c", 0},
		{"not over blocks", "one\n\ntwo", "one two", "onetwo", 0},
		{"wide letters", "Größe 3 mm², so.", "3 mm²", "Größe {3 mm²}|, so.", 1},
		{"not there", "a b", "c", "a b", 0},
		{"nothing asked", "a b", "  ", "a b", 0},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d := parsed(t, tt.body)
			spans := d.Mark(tt.words, "x")
			if got := outline(d); got != tt.want || len(spans) != tt.places {
				t.Errorf("%d places, %q; want %d, %q", len(spans), got, tt.places, tt.want)
			}
			for _, s := range spans {
				inside(t, d.Note, s, "marked")
				if got := strings.Join(strings.Fields(string(d.Note.text[s.Start:s.End])), " "); tt.name == "wide letters" && got != tt.words {
					t.Errorf("the span holds %q", got)
				}
			}
			if again := d.Mark(tt.words, "y"); len(again) > 0 {
				t.Errorf("marked twice: %d", len(again))
			}
		})
	}
}

func TestMarkTakesABoundNumberBack(t *testing.T) {
	d := parsed(t, "It ran [47 min](value:r/running-time), then [3 min](value:r/stopped-time).")
	d.Mark("ran 47 min", nil)
	if !d.Embeds[0].TakenBack || d.Embeds[1].TakenBack {
		t.Errorf("taken back: %v, %v; want the first only", d.Embeds[0].TakenBack, d.Embeds[1].TakenBack)
	}
}

func TestNear(t *testing.T) {
	d := parsed(t, "The isolator alone makes the train dead.\n\nSomething else stands here.")
	if got, want := d.Near("the isolator alone makes her dead"), "The isolator alone makes the train"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if got := d.Near("nothing of the kind was ever written"); got != "" {
		t.Errorf("%q is not near", got)
	}
}

func TestOpeningAndPlain(t *testing.T) {
	say := func(e *Embed) string {
		if e.Words != "" {
			return e.Words
		}
		return "<" + e.Target + ">"
	}
	d := parsed(t, "It *runs* for [](value:r/running-time),\nsee [the page](../a.md)[^1].\n\nMore.\n\n[^1]: A note.\n")
	if got, want := d.Plain(d.Opening(), say), "It runs for <r/running-time>, see the page."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	for _, body := range []string{"", "# Head\n\ntext", "- list\n", "![A chart](plot:r/voltage)\n"} {
		if n := parsed(t, body).Opening(); n != nil {
			t.Errorf("%q opens with a %s", body, n.Kind())
		}
	}
}

func TestSentences(t *testing.T) {
	got := Sentences("About 2.5 h. It was 14 °C then. Is it? “Yes.” Up to 3 kg e.g. sand; 5 min.")
	want := []string{"About 2.5 h.", "It was 14 °C then.", "Is it?", "“Yes.” Up to 3 kg e.g. sand; 5 min."}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("%q", got)
	}
}

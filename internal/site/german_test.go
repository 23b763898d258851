package site

import (
	"regexp"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/site/frame"
)

// latin are words as pages have them: three small letters or more, units apart.
var latin = regexp.MustCompile(`[a-z]{3}`)

// The demo with `language: de`: interface, dates and decimal signs are German on every kind of page. How many of the texts that are
// printed are as they are in English is told; it may not grow. Most of these are the maker's own, which is English, the rules and the
// formulas, and sentences put together of many pieces.
func TestGermanPages(t *testing.T) {
	journals(t, func(t *testing.T, _ *frame.Pages, english map[string]*document) {
		if english["shunter/index.html"] == nil {
			return
		}
		in := input(t, demoJournal)
		in.Journal.Language.Text, in.Journal.Language.Set = "de", true
		p, _ := build(t, in)
		all, left := 0, 0
		for name, d := range documents(t, p) {
			if attribute(first(d.root, "html"), "lang") != "de" {
				t.Errorf("%s is not marked as German", name)
			}
			was, is := texts(english[name].root), texts(d.root)
			if len(was) != len(is) { // lists that are in the order of the alphabet, and charts whose words are parted by their width
				continue
			}
			for i := range is {
				if latin.MatchString(was[i]) {
					all++
					if was[i] == is[i] {
						left++
					}
				}
			}
			for _, want := range []string{"Wenn es heiß ist, raucht oder riecht", "Schriftfeld", "Suche"} {
				if !strings.Contains(text(d.root), want) {
					t.Errorf("%s does not say %q", name, want)
				}
			}
			for _, n := range elements(d.root) {
				if n.Data == "a" && strings.HasPrefix(attribute(n, "class"), "num ") && regexp.MustCompile(`[0-9]\.[0-9]+ (?:V|A|Ah|kg)\b`).MatchString(text(n)) {
					t.Errorf("%s prints %q", name, text(n))
				}
			}
		}
		t.Logf("%d of %d texts are as they are in English", left, all)
		if all < 10_000 || left*100 > all*leftInEnglish {
			t.Errorf("%d of %d texts are as they are in English, at most %d %%", left, all, leftInEnglish)
		}
	})
}

// leftInEnglish is how much of the texts of the demo in German may be as in English, in per cent.
const leftInEnglish = 50

// texts are those of a page, but for scripts.
func texts(root *html.Node) []string {
	var out []string
	for n := range root.Descendants() {
		if n.Type == html.TextNode && n.Parent.Data != "script" && n.Parent.Data != "style" && strings.TrimSpace(n.Data) != "" {
			out = append(out, strings.TrimSpace(n.Data))
		}
	}
	return out
}

package words

import (
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"
	"text/template/parse"

	"voltwright/themes"
)

// What templates say between their actions has its German. Not yet in the table is the page of what is published, which is prose.
func TestTemplatesHaveTheirGerman(t *testing.T) {
	c := For("de")
	var files []string
	for _, theme := range []string{"workshop", "bench-card"} {
		of, err := fs.Glob(themes.FS, theme+"/*.html")
		if err != nil || len(of) < 20 {
			t.Fatalf("%s has %d templates: %v", theme, len(of), err)
		}
		files = append(files, of...)
	}
	looked := 0
	for _, name := range files {
		if path.Base(name) == "published.html" {
			continue
		}
		text, err := fs.ReadFile(themes.FS, name)
		if err != nil {
			t.Fatal(err)
		}
		tree := parse.New(name)
		tree.Mode = parse.SkipFuncCheck
		set := map[string]*parse.Tree{}
		if _, err := tree.Parse(string(text), "", "", set); err != nil {
			t.Fatal(err)
		}
		for _, one := range set {
			eachText(one.Root, func(text string) {
				sayings, _ := Pieces(text, nil)
				for _, s := range sayings {
					looked++
					if _, ok := c.Say(s); !ok && !noWords.MatchString(s) {
						t.Errorf("%s says %q, which has no German", name, s)
					}
				}
			})
		}
	}
	t.Logf("%d sayings of templates", looked)
	if looked < 300 {
		t.Errorf("only %d sayings were looked up", looked)
	}
}

// noWords are the pieces of a template that are no saying: parts of the values of attributes, between two actions.
var noWords = regexp.MustCompile(`^(?:broad-drawing|charge|clock|energy|many|matters|side|sponsored|two|under-load)$`)

func eachText(list *parse.ListNode, do func(string)) {
	if list == nil {
		return
	}
	for _, n := range list.Nodes {
		switch n := n.(type) {
		case *parse.TextNode:
			do(string(n.Text))
		case *parse.RangeNode:
			eachText(n.List, do)
			eachText(n.ElseList, do)
		case *parse.IfNode:
			eachText(n.List, do)
			eachText(n.ElseList, do)
		case *parse.WithNode:
			eachText(n.List, do)
			eachText(n.ElseList, do)
		}
	}
}

// Counts, decimal signs and dates as golang.org/x/text has them for the language (CLDR), and dates as DIN 1355-1 writes them in
// letters (from memory).
func TestFormsOfNumbers(t *testing.T) {
	c := For("de-AT")
	c.Call("The shunter")
	for says, want := range map[string]string{
		"1 run": "1 Fahrt", "3 runs": "3 Fahrten", "22 parts, 28 leads.": "22 Teile, 28 Leitungen.", "664 words, 1 figure.": "664 Wörter, 1 Bild.",
		"The shunter, version 3": "The shunter, Version 3", "Field run, 26 April 2026": "Feldfahrt, 26. April 2026", "Table 2.": "Tabelle 2.",
		"1 to 3": "1 bis 3", "−25.0 %, within chance": "−25,0 %, im Rahmen des Zufalls", "nothing of ours": "",
	} {
		got, ok := c.Say(says)
		if ok != (want != "") || ok && got != want {
			t.Errorf("%q: %q %v, wanted %q", says, got, ok, want)
		}
	}
	for text, want := range map[string]string{"(23.14 ± 0.06) V": "(23,14 ± 0,06) V", "CC BY 4.0": "CC BY 4.0", "33 CFR 183.425": "33 CFR 183.425", ".14": ",14", "192.168.0.1": "192.168.0.1"} {
		if got := c.Number(text); got != want {
			t.Errorf("%q: %q, wanted %q", text, got, want)
		}
	}
}

// The maker's words stay, but for the numbers that the program printed among them; scripts, code and addresses stay whole.
func TestPageKeepsTheMakersWords(t *testing.T) {
	c := For("de")
	page := `<p class="big"><span class="word">Runs</span> 1.5 h</p><h2>Runs</h2><div class="story"><p>Runs 2.5 <a class="num" href="x">2.5 V</a></p></div>` +
		`<code>Runs 2.5</code><script>"Runs 2.5"</script><td data-is="from">Cutout opens&nbsp;</td><time datetime="2026-05-16">16 May 2026</time>`
	want := `<p class="big"><span class="word">Läuft</span> 1,5 h</p><h2>Fahrten</h2><div class="story"><p>Runs 2.5 <a class="num" href="x">2,5 V</a></p></div>` +
		`<code>Runs 2.5</code><script>"Runs 2.5"</script><td data-is="von">Abschaltung öffnet` + "\u00a0" + `</td><time datetime="2026-05-16">16. Mai 2026</time>`
	if got := string(c.Page([]byte(page))); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if For("en-GB") != nil || string(For("fr").Page([]byte(page))) != page {
		t.Error("a language without a table is not left in English")
	}
}

// Every line of the table has two sides with as many numbers, and no key stands twice.
func TestTableIsWhole(t *testing.T) {
	text, err := tables.ReadFile("de.tsv")
	if err != nil {
		t.Fatal(err)
	}
	seen := map[string]bool{}
	for n, line := range strings.Split(strings.TrimSuffix(string(text), "\n"), "\n") {
		key, says, ok := strings.Cut(line, "\t")
		if !ok || key == "" || says == "" || seen[key] {
			t.Errorf("line %d: %q", n+1, line)
		}
		seen[key] = true
		for _, form := range strings.Split(says, "|") {
			if a, b := strings.Count(numbers.ReplaceAllString(key, "#"), "#"), strings.Count(numbers.ReplaceAllString(form, "#"), "#"); a != b {
				t.Errorf("line %d: %d numbers in English, %d here: %q", n+1, a, b, line)
			}
		}
	}
}

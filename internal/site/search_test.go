package site

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/url"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
	"unicode"

	"golang.org/x/net/html"

	"voltwright/internal/browsertest"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/page/missing"
	"voltwright/internal/site/page/search"
	"voltwright/internal/site/reading"
)

// readersQueries are what readers of the demo ask, in their words, and the sheet that must be among the first three, with
// the place on it where that matters.
var readersQueries = []struct{ query, want string }{
	{"how long does it run", "questions/how-long-does-the-shunter-run/#"},
	{"run time", "questions/how-long-does-the-shunter-run/#"},
	{"runtime", "questions/how-long-does-the-barrow-last/#"},
	{"how many hours on a charge", "questions/how-long-does-the-shunter-run/#"},
	{"how long does the barrow last", "questions/how-long-does-the-barrow-last/#"},
	{"charge time", "questions/how-long-does-it-charge/#"},
	{"charging time", "questions/how-long-does-it-charge/#"},
	{"how long to charge", "questions/how-long-does-it-charge/#"},
	{"wire size", "glossary/#w-conductor-size"},
	{"what gauge wire do I need", "glossary/#w-conductor-size"},
	{"cable thickness", "glossary/#w-conductor-size"},
	{"fuse", "shunter/3-second-pack/answers/#fuses"},
	{"fuse rating", "method/#formula-fuse-rating"},
	{"40 A fuse", "shunter/3-second-pack/#part-pack-fuse-in-holder"},
	{"will it hurt the battery", "questions/does-it-hurt-the-packs/#"},
	{"battery life", "shunter/3-second-pack/answers/#age"},
	{"what does it cost", "questions/what-does-a-barrow-round-cost/#"},
	{"price of a charge", "questions/what-does-a-barrow-round-cost/#"},
	{"how fast does it go", "questions/how-fast-is-it/#"},
	{"top speed", "questions/how-fast-is-it/#"},
	{"how far", "questions/how-far-does-it-go/#"},
	{"range", "questions/how-far-does-it-go/#"},
	{"cutout voltage", "questions/when-does-the-cutout-open/#"},
	{"at what voltage does it cut out", "questions/when-does-the-cutout-open/#"},
	{"cut-off", "questions/when-does-the-cutout-open/#"},
	{"low voltage disconnect", "questions/when-does-the-cutout-open/#"},
	{"cutout left on", "questions/may-it-stand-with-the-cutout-on/#"},
	{"BMS", "glossary/#w-protection"},
	{"LiFePO4", "shunter/2-lifepo4/#"},
	{"lithium iron phosphate", "shunter/2-lifepo4/#"},
	{"lead acid", "shunter/1-lead-acid/#"},
	{"li-ion charger", "barrow/2-larger-pack/#part-charger-lithium-ion-10-cells"},
	{"ferrules", "glossary/#w-ferrule"},
	{"shopping list", "glossary/#w-parts-list"},
	{"wiring diagram", "shunter/3-second-pack/bench-sheet/#drawing"},
	{"which connector", "barrow/2-larger-pack/#part-connector-pair"},
	{"what changed", "shunter/3-second-pack/answers/#changed"},
	{"speed controller", "glossary/#w-speed-controller"},
	{"internal resistance", "glossary/#w-internal-resistance"},
	{"voltage sag", "glossary/#w-sag"},
	{"rebound", "glossary/#w-rebound"},
	{"amp hours", "glossary/#w-ampere-hour"},
	{"24V", "shunter/1-lead-acid/#part-charger-lead-acid-24-v"},
	{"10 mm2", "shunter/3-second-pack/#table-cut-totals"},
	{"stop rule", "notes/2024-06-21-what-the-stop-rule-does/#"},
	{"mistakes", "corrections/#"},
	{"stopping distance", "shunter/3-second-pack/answers/#stopping"},
	{"parallel packs", "method/#formula-packs-in-parallel"},
	{"heater", "shunter/3-second-pack/bench-2026-02-21/#"},
	{"open day", "shunter/3-second-pack/field-2026-04-12/#"},
	{"compost", "barrow/1-li-ion/field-2025-05-10/#"},
	{"peukert", "method/#formula-peukert"},
	{"cut list", "shunter/3-second-pack/#cut-list"},
	{"battery isolator", "shunter/3-second-pack/#part-battery-isolator"},
	{"second pack", "shunter/3-second-pack/#"},
	{"at what voltage must it cut out", "questions/when-does-the-cutout-open/#"},
	{"which wire", "shunter/3-second-pack/#cut-list"},
	{"which fuse", "shunter/3-second-pack/answers/#fuses"},
	{"is it safe for children", "shunter/3-second-pack/#cautions"},
	{"where is the log", "shunter/3-second-pack/field-2026-04-12/#evidence"},
	{"may I work on it with the cutout open", "shunter/3-second-pack/#cautions"},
	{"why a cutout", "notes/2025-05-11-why-a-cutout/#"},
}

// A reader's question in the reader's words: the sheet that answers it is among the first three.
func TestBrowserFindsWhatReadersAsk(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p, _ := build(t, input(t, demoJournal))
	browsertest.Go(t, ctx, serve(t, p, "/")+address.Search)
	ask := func(query string) []string {
		return strings.Fields(browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.ask(%q).then(g => g.slice(0, 3).map(x => x.path + '#' + x.anchor).join(' '))`, query)))
	}
	for _, c := range readersQueries {
		if got := ask(c.query); !slices.Contains(got, c.want) {
			t.Errorf("%s: found %s, not %s", c.query, got, c.want)
		}
	}
	for _, same := range [][]string{ // the same asked in several ways
		{"24.6 V", "24.6V", "24,6 V", "24.6 volts"},
		{"10 mm²", "10 mm2", "10mm²"},
		{"LFP", "LiFePO4", "lifepo4", "lithium iron phosphate"},
		{"cutout", "cut-out", "CUTOUT", "cutouts"},
		{"charger", "chargers", "Charger"},
	} {
		want := ask(same[0] + " ")
		if len(want) == 0 {
			t.Errorf("%q finds nothing", same[0])
		}
		for _, query := range same[1:] {
			if got := ask(query + " "); len(want) == 0 || len(got) == 0 || got[0] != want[0] {
				t.Errorf("%q finds %s, and %q %s", same[0], want, query, got)
			}
		}
	}
	// Every word of the trade finds its meaning, in each of its forms.
	var words []frame.Word
	b := &reading.Reader{Theme: frame.NewTheme("", nil, nil)}
	words, err := b.Theme.Glossary()
	if err != nil {
		t.Fatal(err)
	}
	for _, w := range words {
		for _, form := range append([]string{w.Word}, w.Also...) {
			all := browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.ask(%q).then(g => g.map(x => x.path).join(' '))`, form))
			if !slices.Contains(strings.Fields(all), "glossary/") {
				t.Errorf("%q does not find the meaning of %q", form, w.Word)
			}
		}
	}
}

// What is folded alike and what is not. The script is the one place of it.
func TestBrowserFoldsWords(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p, _ := build(t, input(t, demoJournal))
	browsertest.Go(t, ctx, serve(t, p, "/")+address.Search)
	stem := func(word string) string {
		return browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.stem(%q)`, word))
	}
	for _, alike := range []string{
		"pack packs Pack PACK pack's packs’", "battery batteries", "fuse fuses fused fusing", "charge charges charged charging", "run runs running",
		"wire wires wiring wired", "stop stops stopped stopping", "switch switches switched switching", "crimp crimps crimped crimping",
		"colour color colours colors coloured", "metre meter metres meters", "analyse analyze analysed analysing", "galvanised galvanized", "resistance résistance",
		"mm² mm2 MM2", "mΩ mohm", "cell cells", "box boxes", "pull pulls pulled pulling", "carry carries carried carrying", "analysis analysis", "glass glasses",
		"hour hours", "use used using uses", "measure measured measuring", "24,6 24.6", "µ u", "Straße strasse", "ageing aged age",
	} {
		words := strings.Fields(alike)
		for _, w := range words[1:] {
			if a, b := stem(words[0]), stem(w); a != b || a == "" {
				t.Errorf("%s is %q, and %s %q", words[0], a, w, b)
			}
		}
	}
	for _, unlike := range [][2]string{{"charge", "charger"}, {"lead", "led"}, {"rate", "ring"}, {"string", "str"}, {"bus", "bu"}, {"gas", "ga"}, {"need", "ne"}, {"red", "r"}, {"2.5", "25"}, {"fuse", "fusion"}, {"motor", "motion"}} {
		if a, b := stem(unlike[0]), stem(unlike[1]); a == b {
			t.Errorf("%s and %s are both %q", unlike[0], unlike[1], a)
		}
	}
	for _, c := range []struct{ text, want string }{ // what two words make together
		{"24 V", "24v"}, {"24V", "24v"}, {"24\u00a0V", "24v"}, {"24 volts", "24v"}, {"(24.65 ± 0.05) V", "24.65v"}, {"6.27 ± 0.35 km/h", "6.27km"}, {"2.5 mm²", "2.5mm2"}, {"2.5 mm2", "2.5mm2"},
		{"14 AWG", "14awg"}, {"AWG 14", "14awg"}, {"cut-out", "cutout"}, {"5 Ah", "5ah"}, {"60 %", "60%"}, {"41 °C", "41c"}, {"12 mΩ", "12mohm"}, {"a lead", ""}, {"3 h 20 min", "3h 20min"}, {"24. Volts", ""},
	} {
		got := browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.terms(%q).filter(t => t.join).map(t => t.join.word).join(' ')`, c.text))
		if strings.Contains(c.text, "±") { // the uncertainty has the unit too
			got, _, _ = strings.Cut(got, " ")
		}
		if got != c.want {
			t.Errorf("%q makes %q, not %q", c.text, got, c.want)
		}
	}
}

// In a German journal German words are folded, stemmed and taken for each other; words that say nothing are left out.
func TestBrowserFoldsGerman(t *testing.T) {
	ctx, _ := browsertest.Open(t)
	p, _ := build(t, input(t, written(t, map[string]string{
		"journal.yaml":             "title: Ein Buch\nlanguage: de\nmaker: {name: Eine Werkstatt}\n",
		"cart/vehicle.md":          "---\nkind: vehicle\nname: Die Lok\n---\n",
		"cart/1-first/version.md":  "---\nkind: version\nname: Erste\ndate: 2026-01-02\n---\nJede Sicherung sitzt nahe am Akku.\n",
		"notes/2026-01-03-weit.md": "---\nkind: note\ntitle: Die Reichweite im Winter\ndate: 2026-01-03\n---\nBei Frost ist sie klein.\n",
	})))
	browsertest.Go(t, ctx, serve(t, p, "/")+address.Search)
	stem := func(word string) string {
		return browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.stem(%q)`, word))
	}
	for _, alike := range []string{"Sicherung Sicherungen", "Kabel Kabeln Kabels", "Leitung Leitungen", "Motor Motoren Motors", "Größe Größen", "Wagen Wagens", "Kälte kalte"} {
		words := strings.Fields(alike)
		for _, w := range words[1:] {
			if a, b := stem(words[0]), stem(w); a != b || a == "" {
				t.Errorf("%s is %q, and %s %q", words[0], a, w, b)
			}
		}
	}
	if a, b := stem("Leiter"), stem("Lader"); a == b {
		t.Errorf("Leiter and Lader are both %q", a)
	}
	for query, want := range map[string]string{"wie weit fährt sie im Winter": "notes/2026-01-03-weit/", "welche Sicherungen hat die Batterie": "cart/1-first/"} {
		if got := browsertest.Evaluate[string](t, ctx, fmt.Sprintf(`voltwrightSearch.ask(%q).then(g => g.length ? g[0].path : '')`, query)); got != want {
			t.Errorf("%s: found %q, not %s", query, got, want)
		}
	}
	browsertest.Leave(t, ctx)
}

// The page as a reader uses it, under the policy and from disk: results with their words marked, a form whose query is in
// the address, back and forward, slips of the pen, and nothing that the browser complains about.
func TestBrowserSearches(t *testing.T) {
	ctx, said := browsertest.Open(t)
	p, _ := build(t, input(t, demoJournal))
	disk := filepath.Join(t.TempDir(), "site")
	if _, err := frame.Write(disk, p, nil, nil); err != nil {
		t.Fatal(err)
	}
	docs := documents(t, p)
	for _, base := range []string{serve(t, p, "/quillet-bank/"), "file://" + disk + "/"} {
		page := base + address.Search
		browsertest.Go(t, ctx, page)
		if !browsertest.Evaluate[bool](t, ctx, `document.getElementById('found').hidden && !document.getElementById('seek').hidden && !self.voltwrightIndex`) {
			t.Errorf("%s: the field is not there, or something is found before anything is asked", page)
		}
		if n := browsertest.Evaluate[int](t, ctx, `performance.getEntriesByType('resource').filter(e => e.name.endsWith('search/index.js')).length`); n > 0 {
			t.Errorf("%s: the index is loaded before it is asked", page)
		}
		ask := func(query string) {
			browsertest.Act(t, ctx, fmt.Sprintf(`const q = document.getElementById('q'); q.focus(); q.value = %q; document.querySelector('#seek button').click()`, query))
			browsertest.Wait(t, ctx, fmt.Sprintf(`document.readyState === 'complete' && new URLSearchParams(location.search).get('q') === %q && document.getElementById('q').value === %q && !document.getElementById('found').hidden`, query, query))
		}
		ask("cutout voltage")
		first := browsertest.Evaluate[string](t, ctx, `document.querySelector('.found h3').textContent`)
		if !strings.HasPrefix(first, "At what voltage does the cutout open") {
			t.Errorf("%s: the first sheet is %q", page, first)
		}
		if answer := browsertest.Evaluate[string](t, ctx, `document.querySelector('.found .best p').textContent`); !strings.HasPrefix(answer, strings.Split(text(byClass(docs["questions/when-does-the-cutout-open/index.html"], "short")), " [")[0][:12]) {
			t.Errorf("%s: a question is not shown with its answer but with %q", page, answer)
		}
		if marks := browsertest.Evaluate[string](t, ctx, `[...new Set([...document.querySelectorAll('.found mark')].map(m => m.textContent.toLowerCase()))].sort().join(' ')`); !strings.Contains(marks, "cutout") || !strings.Contains(marks, "voltage") {
			t.Errorf("%s: marked are %q", page, marks)
		}
		if n := browsertest.Evaluate[string](t, ctx, `(e => e.getAttribute('aria-live') + e.textContent.replace(/\d+/g, 'N'))(document.getElementById('found-count'))`); n != "politeN places on N sheets." {
			t.Errorf("%s: announced is %q", page, n)
		}
		for _, href := range strings.Fields(browsertest.Evaluate[string](t, ctx, `[...document.querySelectorAll('.found a')].map(a => a.href).join(' ')`)) {
			u, _ := url.Parse(strings.TrimPrefix(href, base))
			if d := docs[u.Path]; d == nil || u.Fragment != "" && d.ids[u.Fragment] == 0 {
				t.Errorf("%s: a result leads to %s", page, href)
			}
		}
		ask("24.6 V")
		if marks := browsertest.Evaluate[string](t, ctx, `document.querySelector('.found mark').textContent`); marks != "24.6 V" {
			t.Errorf("%s: of 24.6 V is marked %q", page, marks)
		}
		browsertest.Act(t, ctx, `history.back()`)
		browsertest.Wait(t, ctx, `document.getElementById('q').value === 'cutout voltage' && document.querySelector('.found h3')?.textContent.startsWith('At what voltage')`)
		browsertest.Act(t, ctx, `history.forward()`)
		browsertest.Wait(t, ctx, `document.getElementById('q').value === '24.6 V' && document.querySelector('.found mark')?.textContent === '24.6 V'`)

		ask("cutuot votlage")
		if line := browsertest.Evaluate[string](t, ctx, `document.querySelector('.instead').innerText.replace(/\s+/g, ' ')`); !strings.HasPrefix(line, "Nothing for cutuot; shown is cutout. Nothing for votlage; shown is voltage.") {
			t.Errorf("%s: of two slips it says %q", page, line)
		}
		if first := browsertest.Evaluate[string](t, ctx, `document.querySelector('.found h3').textContent`); !strings.HasPrefix(first, "At what voltage does the cutout open") {
			t.Errorf("%s: with two slips the first sheet is %q", page, first)
		}
		ask("cutout giraffe")
		if line := browsertest.Evaluate[string](t, ctx, `document.querySelector('.instead').innerText.replace(/\s+/g, ' ')`); !strings.HasPrefix(line, "Nothing for giraffe.") {
			t.Errorf("%s: of a word that is nowhere it says %q", page, line)
		}
		ask("giraffe")
		if said := browsertest.Evaluate[string](t, ctx, `document.getElementById('found-count').textContent + document.getElementById('found').children.length`); said != "Nothing for “giraffe”.0" {
			t.Errorf("%s: of a word that is nowhere alone it says %q", page, said)
		}
		// While a word is typed, its beginning finds it, and the address follows where the browser lets it.
		browsertest.Go(t, ctx, page)
		browsertest.Evaluate[bool](t, ctx, `(q => { q.focus(); q.value = 'ferru'; q.dispatchEvent(new Event('input', { bubbles: true })); return true })(document.getElementById('q'))`)
		browsertest.Wait(t, ctx, `[...document.querySelectorAll('.found mark')].some(m => m.textContent.startsWith('ferrule')) && location.search === '?q=ferru'`)
		// The versions of a vehicle are one item, the newest first.
		browsertest.Go(t, ctx, page+"?q=parts")
		browsertest.Wait(t, ctx, `document.querySelectorAll('.found li').length > 0`)
		of := browsertest.Evaluate[string](t, ctx, `[...document.querySelectorAll('.found ol > li > p:first-child')].map(p => p.textContent).filter(x => x.startsWith('Version: The shunter')).join('; ')`)
		if of != "Version: The shunter, version 3" {
			t.Errorf("%s: versions of the shunter are %q", page, of)
		}
		// On a narrow screen results run nowhere off.
		browsertest.Width(t, ctx, 320)
		if over := browsertest.Evaluate[int](t, ctx, `document.documentElement.scrollWidth - 320`); over > 0 {
			t.Errorf("%s: results run %d pixels off a screen of 320", page, over)
		}
		browsertest.Width(t, ctx, 1200)
		for _, line := range said.Take() {
			t.Errorf("%s: the console says: %s", page, line)
		}
		scripts(t, ctx, false)
		browsertest.Go(t, ctx, page)
		if !browsertest.Evaluate[bool](t, ctx, `document.getElementById('seek').offsetHeight === 0 && document.getElementById('register').offsetHeight > 500`) {
			t.Errorf("%s: without script there is a field that does nothing, or no register", page)
		}
		scripts(t, ctx, true)
		said.Take()
	}
	browsertest.Leave(t, ctx)
}

// byClass is the first element of a page with a class.
func byClass(d *document, class string) *html.Node {
	for _, n := range elements(d.root) {
		if slices.Contains(strings.Fields(attribute(n, "class")), class) {
			return n
		}
	}
	return nil
}

// searched is the index as its script states it.
type searched struct {
	Sheets []struct {
		Path string `json:"p"`
		Also []string
	}
	Texts  []string
	Places [][]json.RawMessage
}

func searchedOf(t *testing.T, p *frame.Pages) searched {
	t.Helper()
	script, err := p.Bytes(address.SearchIndex)
	if err != nil {
		t.Fatal(err)
	}
	data, ok := strings.CutPrefix(string(script), "self.voltwrightIndex = ")
	if !ok {
		t.Fatalf("the index begins %.60q", script)
	}
	var s searched
	if err := json.Unmarshal([]byte(data), &s); err != nil {
		t.Fatal(err)
	}
	for n := 0; p.Has(address.SearchPart(n)); n++ {
		part, err := p.Bytes(address.SearchPart(n))
		if err != nil {
			t.Fatal(err)
		}
		var texts []string
		if err := json.Unmarshal(part[bytes.Index(part, []byte("] = "))+4:], &texts); err != nil {
			t.Fatal(err)
		}
		s.Texts = append(s.Texts, texts...)
	}
	return s
}

// Whatever a page says can be found: every word that is printed on a sheet, drawings and data of charts apart, is in the
// index under that sheet; and every place of the index is on its sheet.
func TestIndexHasWhateverIsPrinted(t *testing.T) {
	journals(t, func(t *testing.T, p *frame.Pages, docs map[string]*document) {
		index := searchedOf(t, p)
		have := map[string]map[string]bool{}
		for _, place := range index.Places {
			var sheet, heading int
			var anchor string
			var more [2][]int
			for i, to := range []any{&sheet, &anchor, &heading, new(int), &more[0], &more[1]} {
				if err := json.Unmarshal(place[i], to); err != nil {
					t.Fatal(err)
				}
			}
			name := index.Sheets[sheet].Path + address.Front
			if docs[name] == nil || anchor != "" && docs[name].ids[anchor] != 1 {
				t.Errorf("the index has #%s of %s, which is not there", anchor, name)
			}
			if have[name] == nil {
				have[name] = map[string]bool{}
			}
			for _, n := range append(append([]int{heading}, more[0]...), more[1]...) {
				for _, w := range strings.FieldsFunc(index.Texts[n], apart) {
					have[name][w] = true
				}
			}
		}
		looked := 0
		for name, d := range docs {
			if name == address.Missing || name == address.Search {
				continue
			}
			for _, n := range elements(d.root) {
				if n.Data == "main" {
					printedWords(n, func(word string, in *html.Node) {
						if looked++; !have[name][word] {
							t.Errorf("%s prints %q in a <%s> of class %q, and the index does not have it", name, word, in.Data, attribute(in, "class"))
						}
					})
				}
			}
		}
		script, pages := 0, 0
		for _, name := range p.Paths() {
			if strings.HasPrefix(name, "search/") && path.Ext(name) == ".js" {
				text, _ := p.Bytes(name)
				script += len(text)
			}
		}
		for name := range docs {
			page, _ := p.Bytes(name)
			pages += len(page)
		}
		if 4*script > pages {
			t.Errorf("the index has %d bytes, the pages %d", script, pages)
		}
		t.Logf("%d words looked for; the index has %d bytes for %d sheets, %d for each", looked, script, len(index.Sheets), script/len(index.Sheets))
		if looked < 5000 {
			t.Errorf("only %d words were looked for", looked)
		}
	})
}

func apart(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }

// printedWords gives the words of an element's text. It leaves out headings of the first level and other ways to ask, which
// the index has with the sheet, and what TestIndexHasWhateverIsPrinted says.
func printedWords(n *html.Node, say func(string, *html.Node)) {
	for c := range n.ChildNodes() {
		if c.Type == html.TextNode {
			for _, w := range strings.FieldsFunc(c.Data, apart) {
				say(w, n)
			}
			continue
		}
		switch c.Data {
		case "svg", "script", "nav", "h1", "style", "button":
			continue
		case "details":
			if n.Data == "figure" || n.Parent.Data == "figure" {
				continue
			}
		}
		class := " " + attribute(c, "class") + " "
		if strings.Contains(class, " here ") || strings.Contains(class, " says ") || strings.Contains(class, " corrected ") || strings.Contains(class, " asked ") || attribute(c, "id") == "asked" || attribute(c, "aria-hidden") != "" ||
			slices.ContainsFunc(c.Attr, func(a html.Attribute) bool { return a.Key == "hidden" }) {
			continue
		}
		if (c.Data == "li" || c.Data == "p") && c.FirstChild != nil && c.FirstChild == c.LastChild && strings.HasPrefix(attribute(c.FirstChild, "href"), "#") {
			continue
		}
		printedWords(c, say)
	}
}

// The index is made from what the journal's own templates print, and from the journal's own words.
func TestIndexOfAJournalsOwnTheme(t *testing.T) {
	in := smallJournal(t)
	in.Themes = over(t, map[string]string{
		"workshop/version.html":  `{{define "page"}}<h1>Mine</h1><section id="own"><h2>Bogies</h2><p>Sprung on rubber.</p></section>{{end}}`,
		"workshop/glossary.json": `[{"word": "bogie", "also": ["truck"], "meaning": "A frame with wheels."}]`,
		"workshop/search.html":   `{{define "page"}}<h1>Look it up</h1>{{range .Body.Letters}}{{range .Entries}}<p>{{.Words}}{{with .See}}, see {{.Words}}{{end}}</p>{{end}}{{end}}{{end}}`,
	})
	p, found := build(t, in)
	if len(found) > 0 {
		t.Error(found[0].Text)
	}
	script, err := p.Bytes(address.SearchIndex)
	if err != nil {
		t.Fatal(err)
	}
	part, err := p.Bytes(address.SearchPart(0))
	if err != nil {
		t.Fatal(err)
	}
	script = append(script, part...)
	page, err := p.Bytes(address.Search)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"Sprung on rubber."`, `["bogie","truck"]`, `"t":"Mine"`, `"own"`} {
		if !strings.Contains(string(script), want) {
			t.Errorf("the index lacks %s", want)
		}
	}
	for _, want := range []string{"<h1>Look it up</h1>", "<p>truck, see bogie</p>", "<p>Bogies</p>"} {
		if !strings.Contains(string(page), want) {
			t.Errorf("the page lacks %s", want)
		}
	}
}

// Making the index and the register, as a ratio to reading the bytes of all pages once.
func BenchmarkSearch(b *testing.B) {
	in := input(b, demoJournal)
	p, _ := build(b, in)
	pages := 0
	floor := func() (sum int) {
		for _, name := range p.Paths() {
			if strings.HasSuffix(name, ".html") {
				page, err := p.Bytes(name)
				if err != nil {
					b.Fatal(err)
				}
				pages = len(page)
				for _, c := range page {
					sum += int(c)
				}
			}
		}
		return sum
	}
	rd := reading.New(in, nil)
	rd.PlanAll(kinds)
	lay := func() error { return nil }
	for _, plan := range rd.Plans {
		switch plan.Kind.Name {
		case search.Kind.Name:
			sheet := &frame.Sheet{Path: plan.Sheet.Path}
			lay = func() error { return plan.Fill(sheet) }
		case missing.Kind.Name:
		default:
			page, err := p.Bytes(plan.Sheet.Path)
			if err == nil {
				err = rd.Pages.Put(plan.Sheet.Path, page)
			}
			if err != nil {
				b.Fatal(err)
			}
		}
	}
	start := time.Now()
	sink := 0
	for range 20 {
		sink += floor()
	}
	least := time.Since(start) / 20
	b.ResetTimer()
	for b.Loop() {
		if err := lay(); err != nil {
			b.Fatal(err)
		}
	}
	if sink == 0 || pages == 0 {
		b.Fatal("nothing was read")
	}
	b.ReportMetric(float64(b.Elapsed()/time.Duration(b.N))/float64(least), "floors")
}

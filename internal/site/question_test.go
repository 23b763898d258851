package site

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"voltwright/internal/finding"
	"voltwright/internal/site/address"
)

// linkedData is the linked data of a page, parsed from what a browser hands on.
func linkedData(t *testing.T, d *document) map[string]any {
	t.Helper()
	for _, n := range elements(d.root) {
		if n.Data == "script" && attribute(n, "type") == "application/ld+json" {
			var out map[string]any
			if err := json.Unmarshal([]byte(n.FirstChild.Data), &out); err != nil {
				t.Fatalf("%s: %v", d.path, err)
			}
			if out["@context"] != "https://schema.org" {
				t.Errorf("%s: the context is %v", d.path, out["@context"])
			}
			return out
		}
	}
	t.Fatalf("%s has no linked data", d.path)
	return nil
}

func withID(d *document, id string) *html.Node {
	for _, n := range elements(d.root) {
		if attribute(n, "id") == id {
			return n
		}
	}
	return nil
}

const nasty = `Is 3 < 4 & "so"? </script><script>alert(1)</script>`

func questionJournal(t *testing.T) map[string]string {
	return map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\naddress: https://example.org/book/\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\nIt goes *a long* way on a charge.\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n",
		"cart/1-first/run-1.md":   "---\nkind: run\ntype: bench\nname: Once\ndate: 2026-01-03\nlog: {file: run-1.csv}\n---\n",
		"cart/1-first/run-1.csv":  oneLog,
		"questions/measured.md": "---\nkind: question\ntitle: '" + nasty + "'\nasked: [What of it?]\ndate: 2026-01-01\nbears: [cart/1-first, cart/1-first/run-1]\n" +
			"figures: [charge-out, distance]\n---\nIt gave [](value:cart/1-first/run-1/charge-out).\n\nMore of it.\n",
		"questions/unmeasured.md": "---\nkind: question\ntitle: How far?\nbears: [cart/1-first]\ntrial: {type: field, every: 90 s, rows: 3, conditions: {payload: 70 kg}, pause-after: 25 s}\n---\nNobody knows.\n",
		"corrections/2026-02-01-way.md": "---\nkind: correction\ntitle: It goes a short way\ndate: 2026-02-01\nsaid: {in: cart/vehicle.md, words: It goes a long way}\nfound: by walking\n" +
			"touches: [questions/measured.md]\n---\nIt goes from here to *there*.\n",
	}
}

func TestQuestionPage(t *testing.T) {
	p, found := build(t, input(t, written(t, questionJournal(t))))
	for _, f := range found {
		t.Error(f.Text)
	}
	docs := documents(t, p)
	page := docs["questions/measured/index.html"]
	for id, want := range map[string]string{"asked": "What of it?", "evidence": "Charge out", "not-known": "Distance on the bench run", "story": "More of it."} {
		if n := withID(page, id); n == nil || !strings.Contains(text(n), want) {
			t.Errorf("the section %s does not say %q", id, want)
		}
	}
	if n := withID(page, "story"); n != nil && strings.Contains(text(n), "It gave") {
		t.Error("the answer stands twice")
	}
	if said := text(page.root); !strings.Contains(said, "Last changed 1 February 2026: the correction “It goes a short way”") {
		t.Errorf("does not say when it changed: %s", said[:min(len(said), 600)])
	}
	if sheet := docs["questions/unmeasured/run-sheet/index.html"]; sheet == nil {
		t.Error("no run sheet")
	} else {
		for _, want := range []string{"70 kg", "longer than 25 s", "1 min 30 s", "3 min 0 s", "Voltage in V"} {
			if !strings.Contains(text(sheet.root), want) {
				t.Errorf("the run sheet does not say %q", want)
			}
		}
		rows := 0
		for _, n := range elements(withID(sheet, "rows")) {
			if attribute(n, "scope") == "row" {
				rows++
			}
		}
		if rows != 3 {
			t.Errorf("the run sheet has %d rows", rows)
		}
	}
	if !strings.Contains(text(docs["questions/unmeasured/index.html"].root), "Not measured yet") {
		t.Error("a question without a run does not say so")
	}
}

// What a maker writes stays data, and says what it said.
func TestLinkedData(t *testing.T) {
	p, _ := build(t, input(t, written(t, questionJournal(t))))
	docs := documents(t, p)
	main := linkedData(t, docs["questions/measured/index.html"])["mainEntity"].(map[string]any)
	answer, _ := main["acceptedAnswer"].(map[string]any)
	// By trapezoid 80.5 ampere-seconds.
	if main["@type"] != "Question" || main["name"] != nasty || answer["@type"] != "Answer" || answer["text"] != "It gave 22.4 mAh." {
		t.Errorf("%v", main)
	}
	if answer["url"] != "https://example.org/book/questions/measured/" {
		t.Errorf("the answer is at %v", answer["url"])
	}
	if open := linkedData(t, docs["questions/unmeasured/index.html"])["mainEntity"].(map[string]any); open["acceptedAnswer"] != nil || open["suggestedAnswer"] == nil {
		t.Errorf("what nobody measured is accepted: %v", open)
	}
	all := linkedData(t, docs[address.Questions])
	if list, ok := all["mainEntity"].([]any); all["@type"] != "FAQPage" || !ok || len(list) != 2 {
		t.Errorf("the list: %v", all)
	}
	if c := linkedData(t, docs["corrections/2026-02-01-way/index.html"]); c["@type"] != "CorrectionComment" || c["text"] != "It goes from here to there." || c["datePublished"] != "2026-02-01" {
		t.Errorf("the correction: %v", c)
	}
	corrected := linkedData(t, docs["cart/index.html"])
	if list, ok := corrected["correction"].([]any); corrected["@type"] != "WebPage" || !ok || len(list) != 1 {
		t.Errorf("the corrected page: %v", corrected)
	}
}

// The words stand struck out with the correction beside them, or are left out; either way they lead to it and back.
func TestCorrectionInItsPlace(t *testing.T) {
	for _, kept := range []bool{true, false} {
		files := questionJournal(t)
		if !kept {
			files["corrections/2026-02-01-way.md"] = strings.Replace(files["corrections/2026-02-01-way.md"], "found:", "keep-struck: false\nfound:", 1)
		}
		p, _ := build(t, input(t, written(t, files)))
		docs := documents(t, p)
		struck, beside := "", ""
		for _, n := range elements(docs["cart/index.html"].root) {
			switch n.Data {
			case "del":
				struck += " " + text(n)
			case "ins":
				beside = text(n)
			}
		}
		if got := strings.Join(strings.Fields(struck), " "); kept && got != "It goes a long way" || !kept && strings.Contains(got, "long") {
			t.Errorf("kept %v: struck out %q", kept, got)
		}
		if beside != "Corrected 1 February 2026: It goes from here to there. How it was found" {
			t.Errorf("kept %v: beside it %q", kept, beside)
		}
		if !strings.Contains(text(docs["cart/index.html"].root), "on a charge.") {
			t.Error("what was not taken back is gone")
		}
		for _, page := range []string{"cart/index.html", "questions/measured/index.html", "corrections/index.html"} {
			if !strings.Contains(text(docs[page].root), "It goes a short way") {
				t.Errorf("%s does not name the correction", page)
			}
		}
	}
}

// Words of a summary are put right on the note's own page; lists do not say them any more, and leave no markup behind.
func TestCorrectionOfASummary(t *testing.T) {
	for _, kept := range []bool{true, false} {
		files := questionJournal(t)
		files["cart/1-first/version.md"] = "---\nkind: version\nname: First\ndate: 2026-01-02\nsummary: Light, and [1.5 h](value:run-1/running-time) on a charge.\n---\n"
		files["corrections/2026-02-02-time.md"] = "---\nkind: correction\ntitle: It ran for seconds\ndate: 2026-02-02\nsaid: {in: cart/1-first/version.md, words: 1.5 h on a charge}\nfound: by the clock\n---\nIt ran for seconds.\n"
		if !kept {
			files["corrections/2026-02-02-time.md"] = strings.Replace(files["corrections/2026-02-02-time.md"], "found:", "keep-struck: false\nfound:", 1)
		}
		in := input(t, written(t, files))
		for _, f := range in.Findings {
			if f.Level == finding.Error {
				t.Errorf("kept %v: %s [%s]", kept, f.Text, f.Rule)
			}
		}
		p, _ := build(t, in)
		docs := documents(t, p)
		page, err := p.Bytes("cart/1-first/index.html")
		if err != nil {
			t.Fatal(err)
		}
		struck := `<p class="lead">Light, and <del class="taken-back" id="`
		words := `>1.5 h on a charge</del>`
		if !kept {
			words = `[words taken back]</span></del>`
		}
		for _, want := range []string{struck, words, `<ins class="put-right"><b>Corrected 2 February 2026:</b> It ran for seconds. <a href=`} {
			if !strings.Contains(string(page), want) {
				t.Errorf("kept %v: the page does not have %q", kept, want)
			}
		}
		if strings.Contains(string(page), `>1.5 h</a>`) {
			t.Errorf("kept %v: what was taken back still says what it rests on", kept)
		}
		if list := text(docs["cart/index.html"].root); !strings.Contains(list, "Light, and [taken back].") || strings.Contains(list, "1.5 h") {
			t.Errorf("kept %v: the list says what was taken back", kept)
		}
		if !strings.Contains(text(docs["corrections/2026-02-02-time/index.html"].root), "1.5 h on a charge") {
			t.Errorf("kept %v: the correction does not say what was wrong", kept)
		}
	}
}

// The feed has what RFC 4287, 4.1.1 and 4.1.2, ask of a feed and of its entries.
func TestFeed(t *testing.T) {
	p, _ := build(t, input(t, written(t, questionJournal(t))))
	data, err := p.Bytes(address.FeedFile)
	if err != nil {
		t.Fatal(err)
	}
	var feed struct {
		XMLName xml.Name `xml:"http://www.w3.org/2005/Atom feed"`
		ID      string   `xml:"id"`
		Title   string   `xml:"title"`
		Updated string   `xml:"updated"`
		Author  []struct {
			Name string `xml:"name"`
		} `xml:"author"`
		Link []struct {
			Rel  string `xml:"rel,attr"`
			Href string `xml:"href,attr"`
		} `xml:"link"`
		Entry []struct {
			ID      string `xml:"id"`
			Title   string `xml:"title"`
			Updated string `xml:"updated"`
			Content string `xml:"content"`
			Link    []struct {
				Rel  string `xml:"rel,attr"`
				Href string `xml:"href,attr"`
			} `xml:"link"`
		} `xml:"entry"`
	}
	if err := xml.NewDecoder(bytes.NewReader(data)).Decode(&feed); err != nil {
		t.Fatal(err)
	}
	if feed.ID != "https://example.org/book/" || feed.Title != "A book" || len(feed.Author) != 1 || feed.Author[0].Name == "" || len(feed.Link) != 2 {
		t.Errorf("the feed: %+v", feed)
	}
	titles, ids, last := map[string]string{}, map[string]bool{}, feed.Updated
	for _, e := range feed.Entry {
		if _, err := time.Parse(time.RFC3339, e.Updated); err != nil || e.Updated > last {
			t.Errorf("%s: updated %q after %q", e.Title, e.Updated, last)
		}
		if last = e.Updated; ids[e.ID] || e.ID == "" || e.Title == "" || len(e.Link) != 1 || e.Link[0].Rel != "alternate" || e.Link[0].Href != e.ID {
			t.Errorf("the entry %+v", e)
		}
		ids[e.ID] = true
		titles[e.Title] = e.Content
		if page := strings.TrimPrefix(e.ID, "https://example.org/book/"); !p.Has(page + "index.html") {
			t.Errorf("%s leads to %s, which is not there", e.Title, page)
		}
	}
	if len(feed.Entry) != 5 || feed.Entry[0].Updated != feed.Updated {
		t.Errorf("%d entries: %v", len(feed.Entry), titles)
	}
	if titles["Correction: It goes a short way"] != "It goes from here to there." || titles[nasty] == "" {
		t.Errorf("%v", titles)
	}
	files := questionJournal(t)
	files["journal.yaml"] = "title: A book\nmaker: {name: A maker}\n"
	p, _ = build(t, input(t, written(t, files)))
	page, _ := p.Bytes(address.Front)
	if p.Has(address.FeedFile) || bytes.Contains(page, []byte(address.FeedFile)) {
		t.Error("a journal without an address has a feed")
	}
}

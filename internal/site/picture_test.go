package site

import (
	"bytes"
	"image/jpeg"
	"io"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/outgoing/phototest"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// What is no picture, is damaged or would take more memory than there is gives a finding and no file.
func TestBadPicturesAreFindings(t *testing.T) {
	bomb := append([]byte("\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR\x00\x01\xff\xff\x00\x01\xff\xff\x08\x06\x00\x00\x00"), 0x6e, 0x55, 0x2b, 0x50)
	var whole bytes.Buffer
	if err := jpeg.Encode(&whole, phototest.Corners(200, 200), nil); err != nil {
		t.Fatal(err)
	}
	for name, data := range map[string][]byte{
		"text": []byte("no picture"), "empty": nil, "bomb": bomb, "cut": whole.Bytes()[:whole.Len()/2],
		"svg": []byte(`<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>`),
	} {
		list := &finding.List{}
		open := func(string) (io.ReadCloser, error) { return io.NopCloser(bytes.NewReader(data)), nil }
		b := &reading.Reader{Input: reading.Input{Open: open}, Raised: list, Pages: frame.NewPages(open), Pictures: map[string]reading.Picture{}, Attached: map[string]string{}}
		if _, ok := b.Picture("photos/"+name+".jpg", finding.Span{}); ok {
			t.Errorf("%s was taken for a picture", name)
		}
		if list.Len() != 1 || len(b.Pages.Paths()) != 0 {
			t.Errorf("%s: %d findings, files %v", name, list.Len(), b.Pages.Paths())
		}
	}
}

// A journal of its own for what the demo does not have.
func TestProse(t *testing.T) {
	var shot bytes.Buffer
	shot.Write(phototest.Photo(t, phototest.Corners(40, 30), 6))
	in := input(t, written(t, map[string]string{
		"journal.yaml":           "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":        "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/photo.jpg": shot.String(),
		"cart/1-first/sheet.txt": "not really",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\npacks: [{chemistry: lfp, series: 8, capacity: 20 Ah}]\n---\n" +
			"## A heading\n\n#### Too deep\n\n![The cart from the side](photo.jpg)\n\nIt went [for a while](value:run-1/running-time), that is [](value:run-1/running-time).\n" +
			"See [the note](../../notes/a-note.md#why) and [the sheet](sheet.txt), and [elsewhere](https://example.org/).\n\n" +
			"![The voltage](plot:run-1/voltage)\n\n![Everything](table:run-1/results)\n\n![Times](table:runs)\n\n" +
			"| a | b |\n| --- | ---: |\n| 1 | 2 |\n\n```\ncode\n\nmore <b>\n```\n\n- [x] done\n\nA footnote.[^1]\n\n[^1]: Here.\n",
		"cart/1-first/run-1.md": "---\nkind: run\ntype: field\nname: Once round\ndate: 2026-01-03\nreadings:\n" +
			"  - {at: 0 min, voltage: 26.4 V, current: 5 A}\n  - {at: 10 min, voltage: 26.0 V, current: 5 A}\n  - {at: 20 min, voltage: 25.8 V, current: 5 A}\n---\n",
		"notes/a-note.md": "---\nkind: note\ntitle: A note\ndate: 2026-01-04\n---\n# Why\n\nBecause.\n",
	}))
	for _, f := range in.Findings {
		if f.Level == finding.Error {
			t.Fatalf("%s: %s", f.Span.File(), f.Text)
		}
	}
	p, found := build(t, in)
	for _, f := range found {
		t.Error(f.Text)
	}
	page, err := p.Bytes("cart/1-first/index.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		`<h3 id="at-a-heading">`, `<h4 id="at-too-deep">`,
		`<img src="photo.jpg" alt="The cart from the side" width="30" height="40" loading="lazy">`,
		`<a class="num measured" href="run-1/index.html#r-running-time" title="measured: 20 min`,
		`aria-describedby="says">for a while</a><span class="says" id="says"> [measured: 20 min`, `aria-describedby="says-2">20 min`,
		`<a href="../../notes/a-note/index.html#at-why">the note</a>`, `<a href="sheet.txt">the sheet</a>`, `<a href="https://example.org/">elsewhere</a>`,
		`id="fig-run-1-voltage"`, `id="table-run-1-results"`, `id="table-runs"`, `<th scope="col" class="q">b</th>`, "code\n&#10;more &lt;b&gt;", "[done] done", `role="doc-noteref"`,
	} {
		if !bytes.Contains(page, []byte(want)) {
			t.Errorf("the page has no %s", want)
		}
	}
	picture, err := p.Bytes("cart/1-first/photo.jpg")
	if err != nil || bytes.Contains(picture, []byte("SECRET")) {
		t.Errorf("the picture was not cleaned: %v", err)
	}
	if !slices.Contains(p.Paths(), "cart/1-first/sheet.txt") || strings.Contains(string(page), "not here yet") {
		t.Error("something was left out")
	}
}

// What a note asks for and the evidence does not hold is a finding at its place, and a gap that a reader sees.
func TestEmbedsThatCannotBeShown(t *testing.T) {
	in := input(t, written(t, map[string]string{
		"journal.yaml":            "title: A book\nmaker: {name: A maker}\n",
		"cart/vehicle.md":         "---\nkind: vehicle\nname: The cart\n---\n",
		"cart/1-first/version.md": "---\nkind: version\nname: First\ndate: 2026-01-02\n---\n![Speed](plot:run-1/speed)\n\n![x](table:run-1/costs)\n\nIn a line ![y](plot:run-1/voltage).\n\n![Wires](diagram:wiring)\n",
		"cart/1-first/run-1.md":   "---\nkind: run\ntype: field\nname: Once\ndate: 2026-01-03\nreadings:\n  - {at: 0 min, voltage: 26.4 V}\n  - {at: 10 min, voltage: 26.0 V}\n---\n",
	}))
	p, found := build(t, in)
	var lines []int
	for _, f := range found {
		if f.Rule != reading.RuleNotShown || f.Remedy == "" {
			t.Errorf("%s: %s", f.Rule, f.Text)
		}
		lines = append(lines, f.Span.Position().Line)
	}
	if !slices.Equal(lines, []int{6, 8, 10, 12}) {
		t.Errorf("findings at lines %v", lines)
	}
	page, err := p.Bytes("cart/1-first/index.html")
	if err != nil || bytes.Count(page, []byte(`class="gap">[`)) != 4 {
		t.Errorf("a reader does not see four gaps: %v", err)
	}
}

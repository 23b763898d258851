package notes

import (
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// What the slip in a line of the front matter is called, and that it is found in that line, whatever follows.
func TestWhereASlipOfYAMLIs(t *testing.T) {
	for _, tt := range []struct{ name, line, place, says string }{
		{"a quote", `rating: "18 Ah, 12.8 V`, `"18`, "quote is not closed"},
		{"a quote in an item", `  - {name: pack, rating: "18 Ah, 12.8 V, price: 96.00}`, `"18`, "quote is not closed"},
		{"a single quote", `name: 'the pack`, `'the`, "quote is not closed"},
		{"a brace", `cutout: {opens: 23.1 V, delay: 3 s`, `{opens`, "this { is not closed"},
		{"a brace in an item", `  - {from: "a:+", to: "b:in"`, `{from`, "this { is not closed"},
		{"a bracket", `ends: [ring M6, crimp`, `[ring`, "this [ is not closed"},
		{"a bracket in braces", `  - {from: a, ends: [ring M6, crimp}`, `[ring`, "this [ is not closed"},
		{"the wrong bracket", `cutout: {opens: 23.1 V]`, `{opens`, "this { is not closed"},
		{"a colon in a text", `title: On hedgehogs: a warning`, `On hedgehogs:`, "`title: \"On hedgehogs: a warning\"`"},
		{"no space after a colon", "state:planned", "state", "a colon and a space"},
		{"a tab", "\tsummary: A cart", "\t", "indent with spaces"},
		{"too far to the right", `     - {name: isolator}`, `- {`, "indented too far"},
		{"a sign that no text begins with", "summary: @home", "@", "put the text in quotes"},
		{"a backtick", "summary: `inspect` first", "`", "put the text in quotes"},
		{"a text behind a quote", `summary: "The" pack`, `pack`, "goes on where the \" that it begins with has been closed; put all of it in quotes: `summary: '\"The\" pack'`"},
		{"a bound text that begins with a bracket", `summary: [20 Ah](value:packs.a.capacity) in place`, `(value`, "`summary: \"[20 Ah](value:packs.a.capacity) in place\"`"},
		{"a bound text alone", `summary: [20 Ah](value:packs.a.capacity)`, `(value`, "`summary: \"[20 Ah](value:packs.a.capacity)\"`"},
	} {
		for _, after := range []string{"", "state: running\n", "parts:\n  - {name: \"fuse, blade\", rating: '20 A', note: \"in its holder\"}\n  - name: \"cutout\"\n"} {
			front := "kind: version\nparts:\n  - {name: lead, rating: \"2 m\"} # a \"short\" one\nsummary-of: |\n  a \"text\n  of lines {\nnote: it's a 5\" pipe\n  - {name: last}\n"
			front = strings.TrimSuffix(front, "  - {name: last}\n")
			if strings.HasPrefix(strings.TrimLeft(tt.line, " "), "- ") {
				front += "leads:\n    - {name: first}\n"
				if strings.HasPrefix(tt.line, "  - ") {
					front = strings.Replace(front, "    - {name: first}", "  - {name: first}", 1)
				}
			}
			text := "---\n" + front + tt.line + "\n" + after + "---\n\nIt runs.\n"
			var found finding.List
			ParseNote("cart/1-one/version.md", []byte(text), &found)
			if len(found.Sorted()) != 1 {
				t.Errorf("%s: %d findings in\n%s", tt.name, len(found.Sorted()), text)
				continue
			}
			f := found.Sorted()[0]
			if want := strings.Index(text, tt.line) + strings.Index(tt.line, tt.place); int(f.Span.Start) != want || !strings.Contains(f.Text+"; "+f.Remedy, tt.says) {
				t.Errorf("%s: at %q, want %q: %s; %s", tt.name, text[f.Span.Start:min(len(text), int(f.Span.Start)+9)], text[want:want+5], f.Text, f.Remedy)
			}
		}
	}
}

// A decimal comma within braces is one slip, and said to be one.
func TestDecimalCommaInBraces(t *testing.T) {
	for _, tt := range []struct{ line, text, remedy string }{
		{"cutout: {opens: 11,8 V, delay: 3 s}", "`opens`: 11,8 V has a decimal comma, and a comma begins a new key here", "write a decimal point: 11.8 V."},
		{"cutout: {delay: 3 s, opens: 11,8 V}", "`opens`: 11,8 V has a decimal comma, and a comma begins a new key here", "write a decimal point: 11.8 V."},
		{"stops: {lasted: 1 min 4,2 s}", "`lasted`: 1 min 4,2 s has a decimal comma, and a comma begins a new key here", "write a decimal point: 1 min 4.2 s."},
		{"cutout: {opens: 11, 8 V}", "", ""},
		{"cutout: {opens: ring M6,crimp}", "", ""},
	} {
		text := "---\nkind: version\n" + tt.line + "\n---\n"
		var found finding.List
		n := ParseNote("cart/1-one/version.md", []byte(text), &found)
		if n.Front == nil {
			t.Errorf("%s: no front matter", tt.line)
		}
		var said finding.Finding
		for _, f := range found.Sorted() {
			said = f
		}
		if len(found.Sorted()) > 1 || said.Text != tt.text || said.Remedy != tt.remedy {
			t.Errorf("%s: %q; %q", tt.line, said.Text, said.Remedy)
		}
		if tt.text != "" && !strings.HasPrefix(text[said.Span.Start:said.Span.End], said.Text[strings.Index(said.Text, ": ")+2:strings.Index(said.Text, " has")]) {
			t.Errorf("%s: at %q", tt.line, text[said.Span.Start:said.Span.End])
		}
	}
}

// What is said of a value says how to write that very value.
func TestRemediesOfValues(t *testing.T) {
	var into struct {
		Pause  Value[quantity.Seconds] `key:"pause-after"`
		Length Value[quantity.Metres]  `key:"length"`
		Rating Word                    `key:"rating"`
	}
	for _, tt := range []struct{ line, says string }{
		{"pause-after: 20", "20 has no unit; write e.g. 20 s, or 20 min"},
		{"length: 350", "350 has no unit; write e.g. 350 mm, or 350 m"},
		{"group: {rating: “18 Ah, 12.8 V”}", "write plain quotes"},
	} {
		var found finding.List
		front := ParseNote("x.yaml", []byte(tt.line+"\n"), &found).Front
		if inner, ok := front.Lookup("group"); ok {
			front = inner
		}
		Decode(front, &into, &found)
		if f := found.Sorted(); len(f) != 1 || !strings.Contains(f[0].Text+"; "+f[0].Remedy, tt.says) {
			t.Errorf("%s: %v", tt.line, f)
		}
	}
}

package finding

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
)

func TestLocate(t *testing.T) {
	text := "\xef\xbb\xbfab\r\nÖl: 5 Ah\n\nend"
	s := NewSource("a.md", []byte(text))
	tests := []struct {
		at           string
		line, column int
	}{
		{"ab", 1, 1},
		{"b\r", 1, 2},
		{"Öl", 2, 1},
		{"l:", 2, 2}, // Ö is two bytes and one column
		{"5 Ah", 2, 5},
		{"\nend", 3, 1},
		{"end", 4, 1},
	}
	for _, tt := range tests {
		line, column := s.Locate(int64(strings.Index(text, tt.at)))
		if line != tt.line || column != tt.column {
			t.Errorf("Locate(%q) = %d:%d, want %d:%d", tt.at, line, column, tt.line, tt.column)
		}
	}
	if line, column := s.Locate(1 << 40); line != 4 || column != 4 {
		t.Errorf("an offset past the end is at %d:%d, want the end, 4:4", line, column)
	}
	if got, _ := s.Line(2); got != "Öl: 5 Ah" {
		t.Errorf("Line(2) = %q", got)
	}
}

func TestStreamKeepsOnlyMarks(t *testing.T) {
	s := NewStream("log.csv")
	s.Mark(900, 31, 7)
	s.Mark(100, 4, 2)
	s.Mark(900, 99, 99)
	for _, tt := range []struct {
		offset       int64
		line, column int
	}{{900, 31, 7}, {100, 4, 2}, {500, 4, 1}, {5, 1, 1}} {
		if line, column := s.Locate(tt.offset); line != tt.line || column != tt.column {
			t.Errorf("Locate(%d) = %d:%d, want %d:%d", tt.offset, line, column, tt.line, tt.column)
		}
	}
}

func sample() (*List, *Source) {
	s := NewSource("shunter/1-lead-acid/version.md", []byte("---\nkind: version\ncutof: 4 V\n---\n"))
	l := &List{}
	l.Add(
		Finding{Rule: "b-rule", Level: Warning, Span: s.At(18, 5), Text: "second"},
		Finding{Rule: "unknown-key", Level: Error, Span: s.At(18, 5), Text: "unknown key `cutof`", Remedy: "write `cutout`.",
			Related: []Related{{Span: s.At(4, 4), Text: "the note's kind"}}},
		Finding{Rule: "unknown-key", Level: Error, Span: s.At(18, 5), Text: "unknown key `cutof`", Remedy: "write `cutout`."},
		Finding{Rule: "no-journal", Level: Error, Text: "no place"},
		Finding{Rule: "whole", Level: Note, Span: Span{Source: s}, Text: "the file"},
	)
	return l, s
}

func TestSortedSaysEachOnce(t *testing.T) {
	l, _ := sample()
	var got []string
	for _, f := range l.Sorted() {
		got = append(got, f.Rule)
	}
	if want := "no-journal whole unknown-key b-rule"; strings.Join(got, " ") != want {
		t.Errorf("order %q, want %q", got, want)
	}
	if w, any := l.Worst(); w != Error || !any {
		t.Errorf("worst %v %v", w, any)
	}
	if n := l.Count(Error); n != 2 {
		t.Errorf("%d errors, want 2: the repeat counts once", n)
	}
}

func TestPrintLines(t *testing.T) {
	l, _ := sample()
	var b bytes.Buffer
	if err := PrintLines(&b, l.Sorted()); err != nil {
		t.Fatal(err)
	}
	want := `error: no place [no-journal]
shunter/1-lead-acid/version.md: note: the file [whole]
shunter/1-lead-acid/version.md:3:1: error: unknown key ` + "`cutof`" + ` [unknown-key]
    shunter/1-lead-acid/version.md:2:1: the note's kind
    remedy: write ` + "`cutout`" + `.
shunter/1-lead-acid/version.md:3:1: warning: second [b-rule]
`
	if b.String() != want {
		t.Errorf("got\n%swant\n%s", b.String(), want)
	}
}

func TestPrintJSONAndSARIFAgree(t *testing.T) {
	l, _ := sample()
	var j, s bytes.Buffer
	if err := PrintJSON(&j, l.Sorted()); err != nil {
		t.Fatal(err)
	}
	if err := PrintSARIF(&s, "0", "", l.Sorted(), []Doc{{Name: "unknown-key", Title: "Unknown key", What: "A key."}}); err != nil {
		t.Fatal(err)
	}
	var findings struct {
		Findings []jsonFinding
		Errors   int
	}
	// Level has no text decoder: only its word is checked.
	dec := strings.ReplaceAll(strings.ReplaceAll(strings.ReplaceAll(j.String(), `"level": "error"`, `"level": 2`), `"level": "warning"`, `"level": 1`), `"level": "note"`, `"level": 0`)
	if err := json.Unmarshal([]byte(dec), &findings); err != nil {
		t.Fatal(err)
	}
	var log sarifLog
	if err := json.Unmarshal(s.Bytes(), &log); err != nil {
		t.Fatal(err)
	}
	if findings.Errors != 2 || len(findings.Findings) != 4 || len(log.Runs[0].Results) != 4 {
		t.Fatalf("errors %d, findings %d, results %d", findings.Errors, len(findings.Findings), len(log.Runs[0].Results))
	}
	r := log.Runs[0].Results[2]
	if log.Version != "2.1.0" || r.RuleID != "unknown-key" || r.Level != "error" || log.Runs[0].Tool.Driver.Rules[r.RuleIndex].ID != r.RuleID {
		t.Errorf("result %+v", r)
	}
	region := r.Locations[0].Physical.Region
	if region.StartLine != 3 || region.StartColumn != 1 || region.EndColumn != 6 {
		t.Errorf("region %+v", region)
	}
	if got := log.Runs[0].Results[1].Locations[0].Physical.Region; got != nil {
		t.Errorf("a finding on the whole file has a region: %+v", got)
	}
}

func TestNearest(t *testing.T) {
	known := []string{"cutout", "controller", "packs", "motors", "series", "drive"}
	for _, tt := range []struct{ word, want string }{
		{"cutof", "cutout"}, {"Packs", "packs"}, {"sereis", "series"}, {"motor", "motors"}, {"zebra", ""}, {"pakcs", "packs"}, {"dirv", ""}, {"dirve", "drive"}, {"", ""},
	} {
		if got, _ := Nearest(tt.word, known); got != tt.want {
			t.Errorf("Nearest(%q) = %q, want %q", tt.word, got, tt.want)
		}
	}
}

func TestDocPrint(t *testing.T) {
	var b bytes.Buffer
	d := Doc{Kind: RuleDoc, Name: "reset-margin", Level: Warning, Title: "The reset margin", What: strings.Repeat("word ", 30), Example: "  cutout: {opens: 24.6 V}"}
	if err := d.Print(&b); err != nil {
		t.Fatal(err)
	}
	for line := range strings.SplitSeq(b.String(), "\n") {
		if len(line) > 80 {
			t.Errorf("line of %d characters: %q", len(line), line)
		}
	}
	for _, want := range []string{"reset-margin (rule, warning)", "\nExample\n    cutout: {opens: 24.6 V}"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("no %q in\n%s", want, b.String())
		}
	}
	if strings.Contains(b.String(), "Why") {
		t.Error("an empty part is printed")
	}
}

func TestHTML(t *testing.T) {
	for text, want := range map[string]string{
		"":                            "",
		"plain":                       "plain",
		"`fuse` lies <far> & \"off\"": "<code>fuse</code> lies &lt;far&gt; &amp; &#34;off&#34;",
		"write `a<b`":                 "write <code>a&lt;b</code>",
		"an odd ` one":                "an odd <code> one</code>",
	} {
		if got := HTML(text); got != want {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

func TestSentence(t *testing.T) {
	for _, tt := range []struct{ text, want string }{
		{"", ""},
		{"the fuse is small", "The fuse is small."},
		{"is it?", "Is it?"},
		{"`fuse` lies far", "`fuse` lies far."},
		{"“cutout” has no terminal", "“cutout” has no terminal."},
		{"mV are not V", "mV are not V."},
		{"ωmega.", "ωmega."},
		{`it said "all is dead."`, `It said "all is dead."`},
		{"it is high (by 2 V)", "It is high (by 2 V)."},
		{"”", "”."},
	} {
		if got := Sentence(tt.text); got != tt.want {
			t.Errorf("%q: %q, want %q", tt.text, got, tt.want)
		}
	}
}

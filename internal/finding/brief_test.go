package finding

import (
	"fmt"
	"strings"
	"testing"
)

func briefOf(t *testing.T, findings []Finding, lines int) (string, int) {
	t.Helper()
	var b strings.Builder
	left, err := PrintBrief(&b, findings, lines)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Count(b.String(), "\n"); got > lines {
		t.Errorf("%d lines, at most %d were asked for:\n%s", got, lines, b.String())
	}
	shown := strings.Count(b.String(), " [")
	if shown+left != len(findings) {
		t.Errorf("%d shown and %d left of %d", shown, left, len(findings))
	}
	return b.String(), left
}

func TestPrintBrief(t *testing.T) {
	findings := []Finding{
		{Rule: "unstated", Level: Note, Text: "cannot judge a", Remedy: "state it."},
		{Rule: "odd", Level: Warning, Text: "b is odd", Remedy: "look at it."},
		{Rule: "empty", Level: Error, Text: "c has no value", Remedy: "write it."},
		{Rule: "hot", Level: Warning, Signal: SignalWarning, Text: "d is hot", Remedy: "let it cool."},
		{Rule: "old", Level: Warning, Signal: SignalWarning, Text: "e is old", Remedy: "replace it.", Answer: &Answer{Reason: "seen"}},
		{Rule: "empty", Level: Error, Text: "f has no value", Remedy: "write it."},
		{Rule: "empty", Level: Error, Text: "g is none", Remedy: "name one."},
	}
	const urgent = `error: c has no value [empty]
error: f has no value [empty]
    remedy: write it.
error: g is none [empty]
    remedy: name one.
`
	const warnings = `warning: WARNING: d is hot [hot]
    remedy: let it cool.
warning: b is odd [odd]
    remedy: look at it.
warning: WARNING: e is old [old]
    remedy: replace it.
`
	if got, left := briefOf(t, findings, 20); got != urgent+warnings || left != 1 {
		t.Errorf("%d left, and\n%s", left, got)
	}
	if got, _ := briefOf(t, findings[:2], 20); !strings.HasSuffix(got, "note: cannot judge a [unstated]\n    remedy: state it.\n") {
		t.Errorf("without errors a note is told:\n%s", got)
	}
	if got, left := briefOf(t, findings, 3); got != urgent[:strings.Index(urgent, "error: g")] || left != 5 {
		t.Errorf("in three lines: %d left, and\n%s", left, got)
	}
	for lines := range 14 {
		briefOf(t, findings, lines)
	}
	var many []Finding
	for i := range 50 {
		many = append(many, Finding{Rule: "empty", Level: Error, Text: fmt.Sprintf("key %d has no value", i), Remedy: "write it."})
	}
	if got, left := briefOf(t, many, 20); left != 31 || !strings.HasSuffix(got, "key 18 has no value [empty]\n    remedy: write it.\n") {
		t.Errorf("of fifty of one cause %d are left, and\n%s", left, got)
	}
}

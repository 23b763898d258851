package app

import (
	"strings"
	"testing"

	"voltwright/internal/begin"
)

// The questions are asked one by one, an answer that cannot be read is asked for again, and an empty first answer ends them.
func TestBeginAsks(t *testing.T) {
	var f beginFlags
	var said strings.Builder
	if err := f.ask(strings.NewReader("The barrow\nlfp, 20 Ah\nlfp, 8s, 20 Ah\n\n24 V\nnobody, work\n2026-03-01\n"), &said); err != nil {
		t.Fatal(err)
	}
	want := begin.Answers{Vehicle: "The barrow", Packs: "lfp, 8s, 20 Ah", Motors: "24 V", Rider: "nobody, work", Date: "2026-03-01"}
	if f.answers != want {
		t.Errorf("%+v, want %+v", f.answers, want)
	}
	const slip = `"lfp, 20 Ah" does not say how many cells are in series; write it as in "2 × lfp, 8 in series, 20 Ah"`
	if got := said.String(); strings.Count(got, "Which packs?") != 2 || !strings.Contains(got, slip) || strings.Contains(got, "--packs") {
		t.Errorf("said %q, want the second question twice and %q", got, slip)
	}
	f = beginFlags{}
	if err := f.ask(strings.NewReader("\nlfp\n"), &said); err != nil || f.answers != (begin.Answers{}) {
		t.Errorf("an empty first answer: %v, %+v", err, f.answers)
	}
}

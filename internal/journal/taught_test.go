package journal

import (
	"testing"

	"voltwright/internal/notes"
)

// Every run may teach where nothing is named; else those that are, and what is asked for stands before what the version says.
func TestTeaches(t *testing.T) {
	first, second := &Run{Slug: "first"}, &Run{Slug: "second"}
	v := &Version{Runs: []*Run{first, second}}
	if !v.Teaches(first) || !v.Teaches(second) {
		t.Error("without the key not every run teaches")
	}
	v.TaughtBy = []notes.Word{{Text: "first", Set: true}}
	if !v.Teaches(first) || v.Teaches(second) {
		t.Error("the key is not kept to")
	}
	asked := v.TaughtByRuns([]string{"second"})
	if asked.Teaches(first) || !asked.Teaches(second) || v.Teaches(second) {
		t.Error("what is asked for does not stand before the key, or changes it")
	}
	if v.TaughtByRuns(nil) != v {
		t.Error("nothing asked for changes the version")
	}
}

package study

import (
	"math"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
)

// fixture is the version of a name of the journal's wired fixture.
func fixture(t *testing.T, name string) *journal.Version {
	t.Helper()
	archive, err := txtar.ParseFile("../journal/testdata/wiring.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range archive.Files {
		if !strings.HasSuffix(f.Name, name+"/version.md") {
			continue
		}
		var found finding.List
		n := notes.ParseNote(f.Name, f.Data, &found)
		v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "cart"}, Slug: name, Note: n}
		notes.Decode(n.Front, v, &found)
		return v
	}
	t.Fatal("no version ", name)
	return nil
}

// FuzzWiring solves whatever wiring can be read: it ends, and no current is none.
func FuzzWiring(f *testing.F) {
	archive, err := txtar.ParseFile("../journal/testdata/wiring.txtar")
	if err != nil {
		f.Fatal(err)
	}
	for _, file := range archive.Files {
		_, text, ok := strings.Cut(string(file.Data), "date: ")
		if _, text, cut := strings.Cut(text, "\n"); ok && cut {
			f.Add(strings.TrimSuffix(text, "---\n"))
		}
	}
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 1<<13 || strings.Count(text, "kind") > 12 {
			return
		}
		var found finding.List
		n := notes.ParseNote("version.yaml", []byte(text), &found)
		if n.Front == nil {
			return
		}
		v := &journal.Version{Vehicle: &journal.Vehicle{Slug: "cart"}, Slug: "1-first"}
		notes.Decode(n.Front, v, &found)
		w := Wiring(v, NewResults())
		if w == nil {
			return
		}
		for _, s := range w.Solutions {
			for _, lead := range s.Leads {
				if math.IsNaN(float64(lead.Current)) || math.IsInf(float64(lead.Current), 0) {
					t.Errorf("a lead carries %v at %s", lead.Current, s.Point.Name)
				}
			}
		}
	})
}

package study

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/measuredjournal"
	"voltwright/internal/notes"
	"voltwright/internal/store"
)

// studied reads and measures a journal.
func studied(t *testing.T, dir string, s *store.Store) (*Study, []string) {
	t.Helper()
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { folder.Close() })
	var found finding.List
	out := New(folder, journal.Load(folder, &found), s)
	out.Measure(&found)
	var said []string
	for _, f := range found.Sorted() {
		said = append(said, fmt.Sprintf("%v to %v: %v: %s [%s] %s", f.Span.Position(), f.Span.EndPosition(), f.Level, f.Text, f.Rule, f.Remedy))
	}
	return out, said
}

func kept(t *testing.T) *store.Store {
	t.Helper()
	s, err := store.Open(filepath.Join(t.TempDir(), "kept"))
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// What is kept of a run is the run: every number of it, exported or not, and every finding in its place.
func TestRunsFromTheStore(t *testing.T) {
	for _, dir := range []string{"../../content", measuredjournal.Journal(t)} {
		s := kept(t)
		want, said := studied(t, dir, nil)
		for _, time := range []string{"the first time", "from the store"} {
			got, again := studied(t, dir, s)
			if !slices.Equal(said, again) {
				t.Errorf("%s, %s: found\n%q\nand without a store\n%q", dir, time, again, said)
			}
			if len(want.Results.Runs) == 0 {
				t.Errorf("%s: no run", dir)
			}
			for _, run := range want.Journal.Runs() {
				id := run.ID()
				r, recalled := want.Results.Run(id), got.Results.Run(id)
				if (r == nil) != (recalled == nil) {
					t.Errorf("%s, %s: %s is there: %t, and %t", dir, time, id, recalled != nil, r != nil)
				}
				if r == nil || recalled == nil {
					continue
				}
				if store.KeyOf("", *r) != store.KeyOf("", *recalled) {
					t.Errorf("%s, %s: %s differs", dir, time, id)
				}
				for i, f := range r.Figures() {
					if g := recalled.Figures()[i]; fmt.Sprint(f) != fmt.Sprint(g) {
						t.Errorf("%s, %s: %s: %v, and %v", dir, time, id, g, f)
					}
				}
			}
		}
	}
}

// A log of other bytes, or one that is measured otherwise, is measured anew.
func TestChangedRunsAreMeasured(t *testing.T) {
	dir := t.TempDir()
	write := func(name, text string) {
		t.Helper()
		name = filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(name, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	log := func(amps int) string {
		out := "time (s),voltage (V),current (A)\n"
		for i := range 100 {
			out += fmt.Sprintf("%d,%.2f,%d\n", 10*i, 26-float64(i)/100, amps*min(i, 1))
		}
		return out
	}
	run := func(pause string) string {
		return "---\nkind: run\ntype: bench\nname: A run\ndate: 2026-02-03\nlog: {file: run.csv, discharge: positive}\npause-after: " + pause + "\n---\n\nDone.\n"
	}
	write("journal.yaml", "title: A journal\nlanguage: en\n")
	write("cart/vehicle.md", "---\nkind: vehicle\nname: The cart\n---\n\nA cart.\n")
	write("cart/1-first/version.md", "---\nkind: version\nname: First\ndate: 2026-02-01\n---\n\nFirst.\n")
	write("cart/1-first/run.md", run("15 s"))
	write("cart/1-first/run.csv", log(5))
	s := kept(t)
	seen := map[store.Key]bool{}
	look := func(what string, anew bool) {
		t.Helper()
		got, said := studied(t, dir, s)
		want, plainly := studied(t, dir, nil)
		a, b := got.Results.Run("cart/1-first/run"), want.Results.Run("cart/1-first/run")
		if a == nil || b == nil {
			t.Fatalf("%s: no result: %q", what, plainly)
		}
		k := store.KeyOf("", *a)
		if k != store.KeyOf("", *b) || !slices.Equal(said, plainly) {
			t.Errorf("%s: the store gives other results", what)
		}
		if seen[k] == anew {
			t.Errorf("%s: the result was seen before: %t", what, seen[k])
		}
		seen[k] = true
	}
	look("the first", true)
	look("the same", false)
	write("cart/1-first/run.csv", log(6))
	look("another log", true)
	write("cart/1-first/run.md", run("1 h"))
	look("another rule", true)
	write("cart/1-first/run.csv", log(5))
	write("cart/1-first/run.md", run("15 s"))
	look("as it was", false)
}

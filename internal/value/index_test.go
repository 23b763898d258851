package value

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
)

// clean is a journal of which nothing is wrong.
func clean(t testing.TB) *journal.Journal {
	t.Helper()
	archive, err := txtar.ParseFile("../journal/testdata/clean.txtar")
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	for _, f := range archive.Files {
		path := filepath.Join(dir, filepath.FromSlash(f.Name))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, f.Data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	folder, err := notes.Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = folder.Close() })
	var found finding.List
	j := journal.Load(folder, &found)
	if found.Len() != 0 {
		t.Fatal(found.Sorted())
	}
	return j
}

// One value is written differently at different places, and means one thing.
func TestValue(t *testing.T) {
	j := clean(t)
	results := journal.NewResults()
	for _, r := range j.Runs() {
		if r.Stopwatch != nil {
			results.Runs[r.ID()], _ = runlog.FromStopwatch(r.Timed(), r.Options())
		}
	}
	x := New(j, results)
	const field = "shunter/2-lifepo4/field-2026-04-19"
	for _, tt := range []struct{ at, target, where, err string }{
		{"shunter/2-lifepo4/version.md", "field-2026-04-19/sag", field + "/sag", ""},
		{"shunter/1-lead-acid", "2-lifepo4/field-2026-04-19/sag", field + "/sag", ""},
		{"shunter/vehicle.md", "2-lifepo4/field-2026-04-19/sag", field + "/sag", ""},
		{"notes/2026-02-01-why-a-cutout.md", field + "/sag", field + "/sag", ""},
		{field + ".md", "sag", field + "/sag", ""},
		{field + ".md", "field-2026-04-26/distance", "shunter/2-lifepo4/field-2026-04-26/distance", ""},
		{"shunter/2-lifepo4/version.md", "date", "shunter/2-lifepo4/date", ""},
		{field + ".md", "date", field + "/date", ""},
		{field + ".md", "number", "shunter/2-lifepo4/number", ""},
		{field + ".md", "version-count", "shunter/version-count", ""},
		{"notes/2026-02-01-why-a-cutout.md", "version-count", "version-count", ""},
		{"shunter/1-lead-acid", "packs.capacity", "shunter/1-lead-acid/packs.main.capacity", ""},
		{"shunter/2-lifepo4", "packs.1.capacity/over/1-lead-acid/packs.1.capacity", "shunter/2-lifepo4/packs.left.capacity/over/shunter/1-lead-acid/packs.main.capacity", ""},
		{"shunter/2-lifepo4", "date/less/1-lead-acid/date", "shunter/2-lifepo4/date/less/shunter/1-lead-acid/date", ""},

		{"shunter/1-lead-acid", "field-2026-04-19/sag", "", "there is no run, version or vehicle `field-2026-04-19` seen from here"},
		{"notes/2026-02-01-why-a-cutout.md", "2-lifepo4/field-2026-04-19/sag", "", "there is no run"},
		{"shunter/2-lifepo4", "2-lifepo4/sag", "", "`shunter/2-lifepo4` has no value `sag`"},
		{"shunter/2-lifepo4", "field-2026-04-19/sags", "", "did you mean `sag`?"},
		{"shunter/2-lifepo4", "field-2026-04-91/sag", "", "did you mean `field-2026-04-19`?"},
		{"shunter/2-lifepo4", "dat", "", "did you mean `date`?"},
		{"shunter/2-lifepo4", "/sag", "", "names nothing"},
		{"shunter/2-lifepo4", "", "", "names nothing"},
		{"shunter/2-lifepo4", "date/over/1-lead-acid/date", "", "means nothing"},
		{"shunter/2-lifepo4", "date/less/packs.1.capacity", "", "different sorts"},
		{"shunter/2-lifepo4", "name/over/name", "", "a text is no number"},
		{"shunter/2-lifepo4", "packs.1.capacity/over/cutout.opens", "", "a charge is no voltage"},
	} {
		at, ok := j.PlaceOf(tt.at)
		if !ok {
			t.Fatalf("no place of %s", tt.at)
		}
		got, err := x.Find(at, tt.target)
		switch {
		case tt.err != "" && (err == nil || !strings.Contains(err.Text, tt.err) || err.Remedy == ""):
			t.Errorf("%s at %s: %v, want %q", tt.target, tt.at, err, tt.err)
		case tt.err == "" && err != nil:
			t.Errorf("%s at %s: %s", tt.target, tt.at, err.Text)
		case tt.err == "" && got.Where() != tt.where:
			t.Errorf("%s at %s is %s, want %s", tt.target, tt.at, got.Where(), tt.where)
		}
	}
}

// Every value is found by the name that it is listed under, at its own place.
func TestValuesAreFoundByTheirNames(t *testing.T) {
	j := clean(t)
	x := New(j, nil)
	n := 0
	for _, p := range append(j.Places(), journal.Place{}) {
		seen := map[string]bool{}
		for _, v := range x.At(p) {
			if seen[v.Name] {
				t.Errorf("%q has two values called %s", p.Address(), v.Name)
			}
			seen[v.Name] = true
			got, err := x.Find(p, v.Name)
			if err != nil {
				t.Errorf("%q: %s: %s", p.Address(), v.Name, err.Text)
				continue
			}
			if got.Where() != v.Where() {
				t.Errorf("%s is found as %s", v.Where(), got.Where())
			}
			n++
		}
	}
	if n < 50 {
		t.Errorf("only %d values", n)
	}
}

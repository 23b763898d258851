package value

import (
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/rogpeppe/go-internal/txtar"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/runlog"
	"voltwright/internal/study"
)

// clean is a journal of which nothing is wrong.
func clean(t testing.TB) *journal.Journal {
	t.Helper()
	archive, err := txtar.ParseFile("../journal/testdata/clean.txtar")
	if err != nil {
		t.Fatal(err)
	}
	return loaded(t, archive)
}

// loaded reads a journal of which nothing is wrong from a folder of its own.
func loaded(t testing.TB, archive *txtar.Archive) *journal.Journal {
	t.Helper()
	dir := t.TempDir()
	if err := txtar.Write(archive, dir); err != nil {
		t.Fatal(err)
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
	results := study.NewResults()
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

// withParts is a journal with a version that lists so many parts, named by three words each.
func withParts(t testing.TB, n int) *journal.Journal {
	t.Helper()
	var parts strings.Builder
	for i := range n {
		fmt.Fprintf(&parts, "  - {name: part number %d, price: \"%d.50\", mass: %d g}\n", i+1, i+1, i+10)
	}
	return loaded(t, &txtar.Archive{Files: []txtar.File{
		{Name: "journal.yaml", Data: []byte("title: Parts\ncurrency: EUR\nmaker: {name: A maker}\n")},
		{Name: "cart/vehicle.md", Data: []byte("---\nkind: vehicle\nname: Cart\n---\n")},
		{Name: "cart/1-state/version.md", Data: []byte("---\nkind: version\nname: State\ndate: 2026-01-01\nparts:\n" + parts.String() + "---\n\nText.\n")},
	}})
}

// What is made for a statement does not grow with what could be named: once a place was asked for, it is looked up.
func TestFindMakesNoMoreWhereThereIsMore(t *testing.T) {
	targets := []string{"parts.part-number-7.price", "parts.7.mass", "total-cost", "cart/1-state/part-count", "parts.3.price/over/parts.2.price"}
	made := func(parts int) (out []float64) {
		j := withParts(t, parts)
		x, at := New(j, nil), j.Vehicles[0].Versions[0].Place()
		for _, target := range targets {
			if _, err := x.Find(at, target); err != nil {
				t.Fatalf("%s: %s", target, err.Text)
			}
			out = append(out, testing.AllocsPerRun(20, func() { _, _ = x.Find(at, target) }))
		}
		return out
	}
	few, many := made(10), made(400)
	for i, target := range targets {
		if many[i] > few[i] {
			t.Errorf("%s: %g allocations among 400 parts, %g among 10", target, many[i], few[i])
		}
	}
}

// One index is asked from several goroutines, each of which finds the same.
func TestFindSideBySide(t *testing.T) {
	j := clean(t)
	alone, x := New(j, nil), New(j, nil)
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			for _, p := range j.Places() {
				for _, v := range alone.At(p) {
					got, err := x.Find(p, v.Name)
					if err != nil || got.Where() != v.Where() {
						t.Errorf("%s is found as %s, %v", v.Where(), got.Where(), err)
					}
				}
			}
		})
	}
	wg.Wait()
}

// An item of a list is called by words that no other name begins with, and where several could be meant, the first that is
// stated is taken.
func TestNamesOfItems(t *testing.T) {
	j := loaded(t, &txtar.Archive{Files: []txtar.File{
		{Name: "journal.yaml", Data: []byte("title: Names\ncurrency: EUR\nmaker: {name: A maker}\n")},
		{Name: "cart/vehicle.md", Data: []byte("---\nkind: vehicle\nname: Cart\n---\n")},
		{Name: "cart/1-state/version.md", Data: []byte(`---
kind: version
name: State
date: 2026-01-01
packs: [{chemistry: nmc, series: 7, capacity: 5 Ah}]
parts:
  - {name: motor plate left, price: "1"}
  - {name: motor bolt, price: "2"}
  - {name: "1", price: "3", mass: 3 g}
  - {name: horn big, price: "4"}
---

Text.
`)},
	}})
	x, at := New(j, nil), j.Vehicles[0].Versions[0].Place()
	for target, want := range map[string]string{
		"parts.motor-plate-left.price": "1.00 EUR",
		"parts.motor-plate.price":      "1.00 EUR",
		"parts.motor-bolt.price":       "2.00 EUR",
		"parts.motor.price":            "", // the plate's or the bolt's
		"parts.horn.price":             "4.00 EUR",
		"parts.hor.price":              "",
		"parts.1.price":                "1.00 EUR", // the first, though another is called so
		"parts.1.mass":                 "3 g",      // the first states none
		"parts.3.price":                "3.00 EUR",
		"parts.price":                  "", // of which
		"packs.capacity":               "5 Ah",
		"packs.1.capacity":             "5 Ah",
		"packs.2.capacity":             "",
		"packs":                        "",
		"":                             "",
	} {
		v, err := x.Find(at, target)
		if got := v.Words; err != nil && want != "" || err == nil && got() != want {
			t.Errorf("%q: %v, want %q", target, err, want)
		}
	}
}

package app

import (
	"path"
	"testing"

	"voltwright/internal/finding"
)

// What is documented is found by its name: two rules, or two formulas, of one name would be one entry of the method page
// twice, and a link to either would lead to the first.
func TestDocsHaveNamesOfTheirOwn(t *testing.T) {
	titles := map[finding.Kind]map[string]string{}
	for _, d := range docs() {
		if titles[d.Kind] == nil {
			titles[d.Kind] = map[string]string{}
		}
		if first, twice := titles[d.Kind][d.Name]; twice {
			t.Errorf("two texts of the kind %s are called %s: %q and %q", d.Kind, d.Name, first, d.Title)
		}
		titles[d.Kind][d.Name] = d.Title
	}
	for _, kind := range []finding.Kind{finding.RuleDoc, finding.FormulaDoc, finding.KeyDoc} {
		if len(titles[kind]) < 20 {
			t.Errorf("only %d texts of the kind %s were looked at", len(titles[kind]), kind)
		}
	}
}

// The sheets of the method have every document of the program on them; like all others they are no heavier than a phone
// takes at once.
func TestPublishedPagesAreLight(t *testing.T) {
	const limit = 300_000 // bytes
	in, err := read("../../content")
	if err != nil {
		t.Fatal(err)
	}
	defer in.close()
	pages, err := layOut(in)
	if err != nil || pages == nil {
		t.Fatal("the demo has no pages: ", err)
	}
	for _, name := range pages.Paths() {
		if path.Ext(name) != ".html" {
			continue
		}
		data, err := pages.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		if len(data) > limit {
			t.Errorf("%s has %d bytes, more than %d", name, len(data), limit)
		}
	}
}

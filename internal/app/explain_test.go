package app

import (
	"path"
	"slices"
	"strings"
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

// What is not called so is found by the words that speak of it, as a maker would ask.
func TestExplainByWords(t *testing.T) {
	for asked, want := range map[string]string{"fuse": "fuse-above-lead", "thin leads": "lead-thin", "when does it cut out": "cutout-", "how long does a charge take": "charge", "unfused packs": "pack-unfused", "tips over in a curve": "overturns-in-curve"} {
		said := run(t, 0, append([]string{"explain"}, strings.Fields(asked)...)...)
		lines := strings.Split(said, "\n")
		if len(lines) < 3 || !strings.HasPrefix(lines[0], "Nothing is called `"+asked+"`") || !slices.ContainsFunc(lines[2:min(len(lines), 5)], func(l string) bool { return strings.HasPrefix(strings.TrimSpace(l), want) }) {
			t.Errorf("%s: %s is not among the first three\n%s", asked, want, said)
		}
		if len(lines) > mostListed+6 {
			t.Errorf("%s: %d lines", asked, len(lines))
		}
	}
	if said := run(t, int(Usage), "explain", "xyzzy"); !strings.Contains(said, "nothing here is called `xyzzy`") {
		t.Errorf("of a word that nothing has: %s", said)
	}
	if said := run(t, 0, "explain", "wiring.paths"); !strings.Contains(said, "\nKeys\n") || !strings.Contains(said, "  through ") || strings.Contains(said, "Nothing is called") {
		t.Errorf("a group of keys does not list them:\n%s", said)
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

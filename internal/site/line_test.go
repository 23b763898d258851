package site

import (
	"strings"
	"testing"
)

// The heading and the line under it have their bound words as the prose has them; lists of pages have the words alone.
func TestLinesOfTheFrontMatter(t *testing.T) {
	p, _ := build(t, input(t, demoJournal))
	text := func(name string) string {
		data, err := p.Bytes(name)
		if err != nil {
			t.Fatal(err)
		}
		return string(data)
	}
	run := text("shunter/1-lead-acid/bench-2024-05-18/index.html")
	for _, want := range []string{
		`<h1>Into the lamp bank, by hand to <a class="num measured" href="#r-cutout-voltage"`, `>22.2 V</a><span class="says"`,
		"<title>Into the lamp bank, by hand to 22.2 V · ", `Ended: the switch was opened by hand at <a class="num measured" href="#r-cutout-voltage">22.2 V</a>.`,
	} {
		if !strings.Contains(run, want) {
			t.Errorf("the run does not have %q", want)
		}
	}
	if version := text("shunter/3-second-pack/index.html"); !strings.Contains(version, `<p class="lead">Two <a class="num quoted" href="#spec"`) {
		t.Error("the version's summary does not say what its number rests on")
	}
	if vehicle := text("shunter/index.html"); !strings.Contains(vehicle, "<span class=\"why\">Two 20\u00a0Ah packs in parallel, and") {
		t.Error("the list of versions does not have the words alone")
	}
	for _, name := range p.Paths() {
		if strings.HasSuffix(name, ".html") && !strings.HasPrefix(name, "method/") || strings.HasSuffix(name, ".xml") {
			if strings.Contains(text(name), "](value:") {
				t.Errorf("%s shows what words are bound to as it is written", name)
			}
		}
	}
}

package site

import (
	"strings"
	"testing"

	"golang.org/x/net/html"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/reading"
)

// A callout carries its number against its limit, the source of the limit and the maker's answer beside it; what cannot
// be judged stands in a list of its own.
func TestCalloutsCarryNumbersSourceAndAnswer(t *testing.T) {
	in := twoVersions(t)
	second := in.Journal.Vehicles[0].Versions[1]
	gauge := &finding.Gauge{What: "opening voltage", Value: 22, Limit: 24, Written: "22 V", Bound: "24 V", Least: true}
	sourced := *gauge
	sourced.Source = "a data sheet (confirmed)"
	in.Docs = append(in.Docs, finding.Doc{Kind: finding.RuleDoc, Name: "a-rule", Title: "A rule", Source: "common practice, no source"})
	in.Findings = []finding.Finding{
		{Rule: "a-rule", Level: finding.Warning, Signal: finding.Danger, Span: second.Note.Whole(), Text: "it opens at 22 V & `opens` is low", Remedy: "set it higher.", Gauge: gauge,
			Answer: &finding.Answer{Reason: "we stop by the display"}},
		{Rule: "a-rule", Level: finding.Warning, Signal: finding.Caution, Span: second.Runs[0].Note.Whole(), Text: "the run was hot", Remedy: "wait.", Gauge: &sourced},
		{Rule: "a-rule", Level: finding.Note, Unjudged: true, Span: second.Note.Whole(), Text: "cannot judge whether it holds: `made` is not stated"},
	}
	p, _ := build(t, in)
	docs := documents(t, p)
	page := docs["cart/2-second/index.html"]
	var told []string
	for _, d := range []*document{page, docs["cart/2-second/run-1/index.html"]} {
		for _, n := range elements(d.root) {
			if attribute(n, "class") == "told" {
				told = append(told, text(n))
			}
		}
	}
	if len(told) != 2 {
		t.Fatalf("%d callouts: %q", len(told), told)
	}
	for i, parts := range [][]string{
		{"It opens at 22 V & opens is low.", "Opening voltage: 22 V, at least 24 V", "Set it higher.", "The maker’s answer: We stop by the display.", "Source: Common practice, no source."},
		{"The run was hot.", "Source: A data sheet (confirmed)."},
	} {
		for _, part := range parts {
			if !strings.Contains(told[i], part) {
				t.Errorf("callout %d, %q, does not say %q", i+1, told[i], part)
			}
		}
	}
	// Of what is grave nothing folds but the source; what is not is one line that opens, and on another page one that leads there.
	for d, folds := range map[*document]bool{page: false, docs["cart/2-second/run-1/index.html"]: true} {
		for _, n := range classed(d, "told") {
			folded := n.Parent.Data == "details"
			if folded != folds {
				t.Errorf("%s: %q folds: %v", d.path, text(n), folded)
			}
			for _, inner := range within(n, "details") {
				if said := text(inner); !strings.HasPrefix(said, "SourceSource: ") {
					t.Errorf("%s: %q folds", d.path, said)
				}
			}
		}
	}
	led := 0
	for _, n := range elements(page.root) {
		if n.Data == "a" && attribute(n.Parent, "class") == "callout brief" {
			led++
			if said := text(n); !strings.HasPrefix(said, "CAUTIONA rule") || attribute(n, "href") != "run-1/index.html" {
				t.Errorf("the version's page says %q of its run and leads to %q", said, attribute(n, "href"))
			}
		}
	}
	if led != 1 {
		t.Errorf("%d lines lead from the version's page to its run's", led)
	}
	if list := byID(page, "unjudged"); list == nil || !strings.Contains(text(list), "Cannot judge whether it holds: made is not stated.") {
		t.Error("the page does not list what cannot be judged")
	}
	if inspection := byID(page, "inspection"); inspection != nil && strings.Contains(text(inspection), "annot judge") {
		t.Error("what cannot be judged stands among the other remarks")
	}
}

// within gives the elements of a name in another.
func within(n *html.Node, name string) []*html.Node {
	var out []*html.Node
	for d := range n.Descendants() {
		if d.Type == html.ElementNode && d.Data == name {
			out = append(out, d)
		}
	}
	return out
}

// What concerns a version that another has followed does not stand between a question's answer and its evidence.
func TestCalloutsOfEarlierVersionsStandBelowTheEvidence(t *testing.T) {
	in := twoVersions(t)
	versions := in.Journal.Vehicles[0].Versions
	for _, v := range versions {
		in.Findings = append(in.Findings, finding.Finding{Rule: "a-rule", Level: finding.Warning, Signal: finding.Caution, Span: v.Note.Whole(), Text: "it is warm"})
	}
	for _, tt := range []struct {
		state journal.State
		past  bool
	}{{journal.Running, true}, {journal.Planned, false}} {
		versions[1].State.Value = tt.state
		for i, v := range versions {
			got := (&reading.Reader{Input: in}).Callout(&frame.Sheet{Path: "questions/x/index.html"}, in.Findings[len(in.Findings)-2+i], false, "")
			if want := i == 0 && tt.past; got.Past != want {
				t.Errorf("%s of a cart whose second version is %s: past %t", v.Slug, tt.state, got.Past)
			}
		}
	}
}

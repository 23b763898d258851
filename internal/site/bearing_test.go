package site

import (
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A question has a line for each callout that bears on its answer or is grave, and a count for the others.
func TestQuestionShowsTheCalloutsThatBearOnItsAnswer(t *testing.T) {
	const charging, driving = "[elapsed-time, charge-in]", "[top-speed]"
	files := questionJournal(t)
	delete(files, "questions/unmeasured.md")
	delete(files, "corrections/2026-02-01-way.md")
	for name, figures := range map[string]string{"charging": charging, "driving": driving} {
		files["questions/"+name+".md"] = "---\nkind: question\ntitle: What of " + name + "?\nbears: [cart/1-first, cart/1-first/run-1]\nfigures: " + figures + "\n---\nSo much.\n"
	}
	files["questions/unsaid.md"] = "---\nkind: question\ntitle: What of it?\nbears: [cart/1-first]\n---\nSo much.\n"
	files["cart/1-first/run-1.md"] = strings.Replace(files["cart/1-first/run-1.md"], "type: bench", "type: charge", 1)
	in := input(t, written(t, files))
	version := in.Journal.Vehicles[0].Versions[0]
	for rule, signal := range map[string]finding.Signal{"wet-rail-slips": finding.Caution, "charger-chemistry": finding.Caution, "pack-unfused": finding.SignalWarning} {
		in.Findings = append(in.Findings, finding.Finding{Rule: rule, Level: finding.Warning, Signal: signal, Span: version.Note.Whole(), Text: "it is so", Remedy: "see to it."})
	}
	p, _ := build(t, in)
	docs := documents(t, p)
	const wet, charger, fuse = "Wet rails: see to it", "Charger for other cells: see to it", "Pack without a fuse: see to it"
	for page, want := range map[string][]string{"charging": {fuse, charger}, "driving": {fuse, wet}, "unsaid": {fuse, charger, wet}} {
		d := docs["questions/"+page+"/index.html"]
		if d == nil {
			t.Fatalf("no page of the question about %s", page)
		}
		var open []string
		folded, counted := 0, ""
		for _, n := range classed(d, "line") {
			said, _, _ := strings.Cut(text(n), "The cart")
			switch {
			case strings.HasPrefix(said, "On other matters"):
				counted = said
			case n.Parent.Parent.Parent.Parent.Data == "details":
				folded++
			default:
				open = append(open, said)
			}
		}
		slices.Sort(open[min(1, len(open)):])
		if !slices.Equal(open, want) {
			t.Errorf("the question about %s has lines %q, want %q", page, open, want)
		}
		if rest := 3 - len(want); folded != rest || rest > 0 && counted != "On other matters: 1 CAUTION" {
			t.Errorf("the question about %s folds %d behind %q, want %d", page, folded, counted, rest)
		}
	}
}

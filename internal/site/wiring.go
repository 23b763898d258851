package site

import (
	"fmt"
	"html/template"

	"voltwright/internal/journal"
	"voltwright/internal/ride"
)

// wiringView is what a version's page shows of its wiring.
type wiringView struct {
	Drawing  *drawing
	Live     []*drawing
	Points   *pointsTable
	ByLead   []leadsTable
	Verdicts *verdictsView
	Assumed  []string
	Unsolved []ride.Unsolved
	Files    []fileLink
	Faults   []string // where the wiring is written wrong, and nothing was computed
	CutList  *cutListView
}

// drawing is a drawing of the wiring as a figure.
type drawing struct {
	caption
	SVG    template.HTML
	Legend []legendLine
	Files  []fileLink
}

type legendLine struct{ Mark, Words string }

// wired is a version's wiring as it was computed; nil where it states none.
func (b *builder) wired(v *journal.Version) *ride.Wired {
	if b.in.Results == nil {
		return nil
	}
	return b.in.Results.Circuits[v.Path()]
}

// wiring is what the page shows of a version's wiring beside the drawings; nil where it states none.
func (b *builder) wiring(s *sheet, v *journal.Version, view *wiringView) error {
	w := b.wired(v)
	for _, f := range w.Faults {
		view.Faults = append(view.Faults, sentence(f.Text))
	}
	view.Points, view.Verdicts = b.points(s, w), b.verdicts(s, w)
	for _, sol := range w.Solutions {
		view.ByLead = append(view.ByLead, b.leadsAt(s, w, sol))
	}
	view.Assumed = assumptions(w)
	for _, u := range w.Unsolved {
		view.Unsolved = append(view.Unsolved, ride.Unsolved{Point: u.Point, Reason: onPage(u.Reason)})
	}
	if view.CutList = b.cutList(s, v, w); view.CutList != nil {
		text, err := cutListCSV(w)
		if err != nil {
			return err
		}
		at := besideVersion(v, cutListFile)
		if err := b.pages.put(at, text); err != nil {
			return err
		}
		view.CutList.File = fileLink{cutListFile, s.to(at), "the cut list for a spreadsheet or a label printer"}
		view.CutList.Sheet = link{Words: "bench sheet", Href: s.to(benchSheetPage(v)), Note: fmt.Sprintf("%s to tick off", count(len(w.Whips), "lead"))}
	}
	return nil
}

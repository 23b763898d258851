package site

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"

	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/record"
	"voltwright/internal/wiring"
)

// wiringView is what a version's page shows of its wiring.
type wiringView struct {
	Drawing  *drawing
	Live     []*drawing
	Points   *pointsTable
	ByLead   []leadsTable
	InFull   *link // to the page that has the rest
	Verdicts *verdictsView
	Assumed  []string
	Unsolved []wiring.Unsolved
	Files    []fileLink
	Faults   []string // where the wiring is written wrong, and nothing was computed
	CutList  *cutListView
}

// wired is a version's wiring as it was computed; nil where it states none.
func (b *builder) wired(v *journal.Version) *wiring.Analysis {
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
	view.Points, view.Verdicts = b.points(s, w), b.verdicts(s, w, false)
	if len(w.Solutions) > 0 {
		view.InFull = &link{Words: "The wiring in full", Href: s.to(wiringPage(v))}
	}
	for _, u := range w.Unsolved {
		view.Unsolved = append(view.Unsolved, wiring.Unsolved{Point: u.Point, Reason: onPage(u.Reason)})
	}
	if err := b.wiringFiles(s, v, w, view); err != nil {
		return err
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

func wiringPage(v *journal.Version) string {
	return v.Path() + "/" + journal.WiringSlug + "/index.html"
}

// wiringInFull is the page of what a version's wiring does lead by lead, and of everything that was looked at in it.
type wiringInFull struct {
	Version, Vehicle link
	wiringView
}

func (b *builder) wiringInFull(s *sheet, v *journal.Version) error {
	w := b.wired(v)
	view := wiringInFull{Version: link{Words: versionWords(v), Href: s.to(versionPage(v))}, Vehicle: link{Words: v.Vehicle.Name.Text, Href: s.to(vehiclePage(v.Vehicle))}}
	view.Verdicts, view.Assumed = b.verdicts(s, w, true), assumptions(w)
	for _, sol := range w.Solutions {
		view.ByLead = append(view.ByLead, b.leadsAt(s, w, sol))
	}
	b.inspect(s, nil, []string{v.Note.Path})
	s.Block.Type, s.Block.Issued, s.Block.Revision = "Wiring", dayOf(newest(v.Date)), "version "+versionNumber(v)
	s.Marks, s.Body = true, view
	return nil
}

// The files beside a version's page that hold its wiring as it was computed.
const (
	wiringFile = "wiring.json"
	pointsFile = "operating-points.csv"
)

// wiringFiles puts the record of the wiring and the table of its operating points beside the page.
func (b *builder) wiringFiles(s *sheet, v *journal.Version, w *wiring.Analysis, view *wiringView) error {
	record, err := json.MarshalIndent(record.OfWiring(w), "", " ")
	if err != nil {
		return err
	}
	if err := b.pages.put(besideVersion(v, wiringFile), append(record, '\n')); err != nil {
		return err
	}
	view.Files = append(view.Files, fileLink{wiringFile, s.to(besideVersion(v, wiringFile)), "all that is computed of the wiring, in base units"})
	if len(w.Solutions) == 0 {
		return nil
	}
	table, err := pointsCSV(w)
	if err != nil {
		return err
	}
	view.Files = append(view.Files, fileLink{pointsFile, s.to(besideVersion(v, pointsFile)), "current, drop and heat of every lead and part at every operating point"})
	return b.pages.put(besideVersion(v, pointsFile), table)
}

// pointsCSV is what every lead and every way through a part does at every operating point.
func pointsCSV(w *wiring.Analysis) ([]byte, error) {
	rows := [][]string{{"Operating point", "What", "Name", "From", "To", "Current in A", "Drop in V", "Heat in W"}}
	value := func(x *float64) string {
		if x == nil {
			return ""
		}
		return strconv.FormatFloat(*x, 'g', -1, 64)
	}
	for _, p := range record.OfWiring(w).Points {
		for _, branches := range []struct {
			what string
			list []record.Branch
		}{{"lead", p.Leads}, {"part", p.Inside}} {
			for _, x := range branches.list {
				rows = append(rows, []string{p.Name, branches.what, x.Name, x.From, x.To, value(x.Current), value(x.Drop), value(x.Heat)})
			}
		}
	}
	var out bytes.Buffer
	err := outgoing.WriteCSV(&out, rows)
	return out.Bytes(), err
}

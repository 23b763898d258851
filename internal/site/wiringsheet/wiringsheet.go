// Package wiringsheet prints what a version's wiring does: drawings, operating points, verdicts, the cut list.
package wiringsheet

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strconv"

	"voltwright/internal/journal"
	"voltwright/internal/outgoing"
	"voltwright/internal/record"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/wiring"
)

// WiringView is what a version's page shows of its wiring.
type WiringView struct {
	Drawing  *Drawing
	Live     []*Drawing
	Points   *pointsTable
	ByLead   []leadsTable
	InFull   *frame.Link // to the page that has the rest
	Verdicts *verdictsView
	Assumed  []string
	Unsolved []wiring.Unsolved
	Files    []frame.FileLink
	Faults   []string // where the wiring is written wrong, and nothing was computed
	CutList  *CutListView
}

// Fill is what the page shows of a version's wiring beside the drawings; nil where it states none.
func Fill(rd *reading.Reader, s *frame.Sheet, v *journal.Version, view *WiringView) error {
	w := rd.Wired(v)
	for _, f := range w.Faults {
		view.Faults = append(view.Faults, numeral.Sentence(f.Text))
	}
	view.Points, view.Verdicts = Points(rd, s, w), Verdicts(rd, s, w, false)
	if len(w.Solutions) > 0 {
		view.InFull = &frame.Link{Words: "The wiring in full", Href: s.To(address.Wiring(v))}
	}
	for _, u := range w.Unsolved {
		view.Unsolved = append(view.Unsolved, wiring.Unsolved{Point: u.Point, Reason: numeral.OnPage(u.Reason)})
	}
	if err := wiringFiles(rd, s, v, w, view); err != nil {
		return err
	}
	if view.CutList = CutList(rd, s, v, w); view.CutList != nil {
		text, err := cutListCSV(rd, v, w)
		if err != nil {
			return err
		}
		at := address.BesideVersion(v, CutListFile)
		if err := rd.Pages.Put(at, text); err != nil {
			return err
		}
		view.CutList.File = frame.FileLink{Words: CutListFile, Href: s.To(at), What: "the cut list for a spreadsheet or a label printer"}
		view.CutList.Sheet = frame.Link{Words: "bench sheet", Href: s.To(address.BenchSheet(v)), Note: fmt.Sprintf("%s to tick off", numeral.Count(len(w.Whips), "lead"))}
	}
	return nil
}

// The files beside a version's page that hold its wiring as it was computed.
const (
	WiringFile = "wiring.json"
	PointsFile = "operating-points.csv"
)

// wiringFiles puts the record of the wiring and the table of its operating points beside the page.
func wiringFiles(rd *reading.Reader, s *frame.Sheet, v *journal.Version, w *wiring.Analysis, view *WiringView) error {
	text, err := json.MarshalIndent(record.WiringDocument{Head: record.HeadOf(record.WiringKind), Version: v.Path(), Wiring: record.OfWiring(w)}, "", " ")
	if err != nil {
		return err
	}
	if err := rd.Pages.Put(address.BesideVersion(v, WiringFile), append(text, '\n')); err != nil {
		return err
	}
	view.Files = append(view.Files, frame.FileLink{Words: WiringFile, Href: s.To(address.BesideVersion(v, WiringFile)), What: "all that is computed of the wiring, in base units"})
	if len(w.Solutions) == 0 {
		return nil
	}
	table, err := pointsCSV(w)
	if err != nil {
		return err
	}
	view.Files = append(view.Files, frame.FileLink{Words: PointsFile, Href: s.To(address.BesideVersion(v, PointsFile)), What: "current, drop and heat of every lead and part at every operating point"})
	return rd.Pages.Put(address.BesideVersion(v, PointsFile), table)
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

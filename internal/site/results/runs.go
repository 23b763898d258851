package results

import (
	"cmp"
	"fmt"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Runs sets what runs gave beside each other, like with like: a body for each type of run.
type Runs struct {
	frame.Caption
	Versions bool // the rows are of several versions
	Payloads bool
	Bodies   []runsBody
}

type runsBody struct {
	Type string
	Rows []runsRow
}

type runsRow struct {
	Run     frame.Link
	Date    *frame.Day
	Version frame.Link
	Payload numeral.Numeral
	Ran     numeral.Numeral
	Energy  numeral.Numeral
	Ended   string
	Missing string // why there is no running time
}

// RunsTable is the table of the runs of versions; false where they have none.
func RunsTable(rd *reading.Reader, s *frame.Sheet, versions []*journal.Version, words string) (Runs, bool) {
	t := Runs{Versions: len(versions) > 1}
	var energy, payload []*numeral.Numeral
	for _, kind := range reading.RunTypes {
		body := runsBody{Type: reading.TypeHead(kind)}
		for _, v := range versions {
			for _, r := range v.Runs {
				if r.Type.Value == kind {
					body.Rows = append(body.Rows, rowOf(rd, s, v, r))
				}
			}
		}
		if len(body.Rows) > 0 {
			t.Bodies = append(t.Bodies, body)
		}
	}
	if len(t.Bodies) == 0 {
		return t, false
	}
	for i := range t.Bodies {
		for j := range t.Bodies[i].Rows {
			row := &t.Bodies[i].Rows[j]
			energy, payload = append(energy, &row.Energy), append(payload, &row.Payload)
			t.Payloads = t.Payloads || row.Payload.Set
		}
	}
	numeral.Align(energy)
	numeral.Align(payload)
	t.Caption = s.Table("runs", numeral.Sentence(cmp.Or(words, "Every run, like with like. The time is the running time; of a charge or a rest it is the whole time. The energy is what left the pack, of a charge what went into it.")))
	s.Marks = true
	return t, true
}

func rowOf(rd *reading.Reader, s *frame.Sheet, v *journal.Version, r *journal.Run) runsRow {
	row := runsRow{
		Run: frame.Link{Words: cmp.Or(r.Name.Text, r.Slug), Href: s.To(address.Run(r))}, Date: frame.DayOf(r.Date), Ended: r.EndWords(),
		Version: frame.Link{Words: fmt.Sprint(v.Number), Href: s.To(address.Version(v)), Note: v.Name.Text},
	}
	if r.Conditions.Payload.Known() {
		row.Payload = numeral.PrintedIn(r.Conditions.Payload.Quantity(), "kg", numeral.Quoted, "")
	}
	time, energy := "running-time", "energy-out"
	switch r.Type.Value {
	case journal.Charge:
		time, energy = "elapsed-time", "energy-in"
	case journal.Rest:
		time = "elapsed-time"
	}
	for _, f := range rd.Figures(r) {
		q, known := f.Quantity.Get()
		href := s.To(address.Run(r) + "#" + address.ResultAnchor(f.Name))
		switch {
		case f.Name == time && !known:
			row.Missing = numeral.Sentence(f.Quantity.Why())
		case f.Name == time:
			row.Ran = numeral.Printed(q, numeral.FigureKind(f.Name), href)
			row.Ran.Int, row.Ran.Frac = strings.TrimSpace(row.Ran.Int+row.Ran.Frac+" "+row.Ran.Unit), ""
			if row.Ran.Plus != "" && row.Ran.Unit != "" {
				row.Ran.Plus += " " + row.Ran.Unit
			}
		case f.Name == energy && known:
			row.Energy = numeral.PrintedIn(q, "Wh", numeral.FigureKind(f.Name), href)
		}
	}
	if !row.Ran.Set && row.Missing == "" {
		row.Missing = "Not computed."
	}
	return row
}

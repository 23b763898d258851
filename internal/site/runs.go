package site

import (
	"fmt"
	"strings"

	"voltwright/internal/journal"
)

// runsTable sets what runs gave beside each other, like with like: a body for each type of run.
type runsTable struct {
	caption
	Versions bool // the rows are of several versions
	Payloads bool
	Bodies   []runsBody
}

type runsBody struct {
	Type string
	Rows []runsRow
}

type runsRow struct {
	Run     link
	Date    *day
	Version link
	Payload numeral
	Ran     numeral
	Energy  numeral
	Ended   string
	Missing string // why there is no running time
}

var runTypes = []journal.RunType{journal.Field, journal.Bench, journal.Charge, journal.Rest}

// runsOf is the table of the runs of versions; false where they have none.
func (b *builder) runsOf(s *sheet, versions []*journal.Version, words string) (runsTable, bool) {
	t := runsTable{Versions: len(versions) > 1}
	var energy, payload []*numeral
	for _, kind := range runTypes {
		body := runsBody{Type: typeHead(kind)}
		for _, v := range versions {
			for _, r := range v.Runs {
				if r.Type.Value == kind {
					body.Rows = append(body.Rows, b.runsRow(s, v, r))
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
	align(energy)
	align(payload)
	t.caption = s.table("runs", sentence(or(words, "Every run, like with like. The time is the running time; of a charge or a rest it is the whole time. The energy is what left the pack, of a charge what went into it.")))
	s.Marks = true
	return t, true
}

func (b *builder) runsRow(s *sheet, v *journal.Version, r *journal.Run) runsRow {
	row := runsRow{
		Run: link{Words: or(r.Name.Text, r.Slug), Href: s.to(runPage(r))}, Date: dayOf(r.Date), Ended: r.Ended.Text,
		Version: link{Words: fmt.Sprint(v.Number), Href: s.to(versionPage(v)), Note: v.Name.Text},
	}
	if r.Conditions.Payload.Known() {
		row.Payload = printedIn(r.Conditions.Payload.Quantity(), "kg", quoted, "")
	}
	time, energy := "running-time", "energy-out"
	switch r.Type.Value {
	case journal.Charge:
		time, energy = "elapsed-time", "energy-in"
	case journal.Rest:
		time = "elapsed-time"
	}
	for _, f := range b.figures(r) {
		href := s.to(runPage(r) + "#" + resultAnchor(f.Name))
		switch {
		case f.Name == time && f.Missing != "":
			row.Missing = sentence(f.Missing)
		case f.Name == time:
			row.Ran = printed(f.Quantity, figureKind(f.Name), href)
			row.Ran.Int, row.Ran.Frac = strings.TrimSpace(row.Ran.Int+row.Ran.Frac+" "+row.Ran.Unit), ""
			if row.Ran.Plus != "" && row.Ran.Unit != "" {
				row.Ran.Plus += " " + row.Ran.Unit
			}
		case f.Name == energy && f.Missing == "":
			row.Energy = printedIn(f.Quantity, "Wh", figureKind(f.Name), href)
		}
	}
	if !row.Ran.Set && row.Missing == "" {
		row.Missing = "Not computed."
	}
	return row
}

func typeHead(t journal.RunType) string {
	switch t {
	case journal.Field:
		return "Field runs"
	case journal.Bench:
		return "Bench runs"
	case journal.Charge:
		return "Charges"
	}
	return "Rests"
}

// best is the run that answers "how long does it run?" for a version: the latest field run that the cutout ended, else the
// longest field run; failing those the same of bench runs. Nil where no run has a running time.
func (b *builder) best(v *journal.Version) *journal.Run {
	for _, kind := range []journal.RunType{journal.Field, journal.Bench} {
		var best *journal.Run
		longest, down := 0.0, false
		for _, r := range v.Runs {
			f, ok := b.in.Results.Figure(r.ID(), "running-time")
			if r.Type.Value != kind || !ok || f.Missing != "" {
				continue
			}
			ended := openedCutout(b.result(r)) != nil
			if best == nil || ended || !down && f.Quantity.Value > longest {
				best, longest, down = r, f.Quantity.Value, down || ended
			}
		}
		if best != nil {
			return best
		}
	}
	return nil
}

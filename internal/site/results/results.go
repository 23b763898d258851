// Package results has the tables of what runs gave.
package results

import (
	"cmp"
	"encoding/json"
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/record"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// Results is the table of a run's results.
type Results struct {
	frame.Caption
	Rows    []ResultRow
	Missing []missingGroup
	Twins   string // the system of units in which some rows have their values as well; "" where none has
}

// missingGroup is the figures that are missing for one reason.
type missingGroup struct {
	Reason  string
	Figures []ResultRow
}

// Miss adds a figure to those that are missing for the same reason.
func (t *Results) Miss(row ResultRow, reason string) {
	for i := range t.Missing {
		if t.Missing[i].Reason == reason {
			t.Missing[i].Figures = append(t.Missing[i].Figures, row)
			return
		}
	}
	t.Missing = append(t.Missing, missingGroup{reason, []ResultRow{row}})
}

// ResultRow is a figure with its value.
type ResultRow struct {
	Anchor string
	Label  string
	Method string // link to the entry of its formula
	Value  numeral.Numeral
	Note   string
	Also   []alsoRow // the same by another rule
}

type alsoRow struct{ Label, Whole string }

// Table is the table of a run's results; false where the run was not computed.
func Table(rd *reading.Reader, s *frame.Sheet, run *journal.Run, words string) (Results, bool) {
	figures := rd.Figures(run)
	if len(figures) == 0 {
		return Results{}, false
	}
	own := s.Path == address.Run(run)
	wish := "results"
	if !own {
		wish = run.Slug + "-results"
	}
	t := Results{Caption: s.Table(wish, numeral.Sentence(cmp.Or(words, fmt.Sprintf("What the %s gives.", evidenceWord(rd.Result(run).Evidence)))))}
	var column []*numeral.Numeral
	for _, f := range figures {
		row := ResultRow{Label: f.Label, Method: rd.MethodLink(s, finding.FormulaDoc, f.Formula), Note: numeral.Sentence(f.Note)}
		if own {
			row.Anchor = address.ResultAnchor(f.Name)
		}
		if q, ok := f.Quantity.Get(); ok {
			row.Value = rd.Units(numeral.Printed(q, numeral.FigureKind(f.Name), ""))
		}
		if !row.Value.Set {
			t.Miss(row, numeral.Sentence(cmp.Or(f.Quantity.Why(), "the evidence does not give it")))
			continue
		}
		for _, e := range f.Extra {
			if n := numeral.Printed(numeral.Brief(e.Quantity, numeral.Fewest), numeral.Measured, ""); n.Set {
				row.Also = append(row.Also, alsoRow{e.Label, n.Whole})
			}
		}
		if row.Value.Twin != "" {
			t.Twins = rd.Twins()
		}
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		column = append(column, &t.Rows[i].Value)
	}
	numeral.Align(column)
	s.Marks = true
	return t, true
}

// evidenceWord names what the results of a run rest on.
func evidenceWord(e runlog.Evidence) string {
	switch e {
	case runlog.EvidenceLog:
		return "log"
	case runlog.EvidenceReadings:
		return "hand readings"
	case runlog.EvidenceStopwatch:
		return "stopwatch"
	}
	return "evidence"
}

// JSON is the file beside a run's page for who wants to go on computing: the record of the result, with what
// kind of number each figure is.
func JSON(rd *reading.Reader, run *journal.Run) ([]byte, error) {
	out := record.RunDocument{Head: record.HeadOf(record.RunKind), Path: string(run.ID()), Run: record.Run{Figures: []record.Figure{}, Stops: []record.Stop{}}}
	if r := rd.Result(run); r != nil {
		out.Run = record.OfRun(r)
	}
	for i := range out.Figures {
		if f := &out.Figures[i]; f.Missing == "" {
			f.Kind = string(numeral.FigureKind(f.Name))
		}
	}
	text, err := json.Marshal(out)
	return append(text, '\n'), err
}

// Unknown counts the figures that have no value.
func (t *Results) Unknown() int {
	n := 0
	for _, g := range t.Missing {
		n += len(g.Figures)
	}
	return n
}

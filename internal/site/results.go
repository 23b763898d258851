package site

import (
	"encoding/json"
	"fmt"
	"html/template"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/runlog"
)

// resultsTable is the table of a run's results.
type resultsTable struct {
	caption
	Rows      []resultRow
	Missing   []missingGroup
	Customary bool // some row has a value in US customary units
}

// missingGroup is the figures that are missing for one reason.
type missingGroup struct {
	Reason  string
	Figures []resultRow
}

// miss adds a figure to those that are missing for the same reason.
func (t *resultsTable) miss(row resultRow, reason string) {
	for i := range t.Missing {
		if t.Missing[i].Reason == reason {
			t.Missing[i].Figures = append(t.Missing[i].Figures, row)
			return
		}
	}
	t.Missing = append(t.Missing, missingGroup{reason, []resultRow{row}})
}

type resultRow struct {
	Anchor string
	Label  string
	Method string // link to the entry of its formula
	Value  numeral
	Note   string
	Also   []alsoRow // the same by another rule
}

type alsoRow struct{ Label, Whole string }

// results is the table of a run's results; false where the run was not computed.
func (b *builder) results(s *sheet, run *journal.Run, words string) (resultsTable, bool) {
	figures := b.figures(run)
	if len(figures) == 0 {
		return resultsTable{}, false
	}
	own := s.path == runPage(run)
	wish := "results"
	if !own {
		wish = run.Slug + "-results"
	}
	t := resultsTable{caption: s.table(wish, sentence(or(words, fmt.Sprintf("What the %s gives.", evidenceWord(b.result(run).Evidence)))))}
	var column []*numeral
	for _, f := range figures {
		row := resultRow{Label: f.Label, Method: b.methodLink(s, f.Formula), Note: sentence(f.Note)}
		if own {
			row.Anchor = resultAnchor(f.Name)
		}
		if f.Missing == "" {
			row.Value = b.units(printed(f.Quantity, figureKind(f.Name), ""))
		}
		if !row.Value.Set {
			t.miss(row, sentence(or(f.Missing, "the evidence does not give it")))
			continue
		}
		for _, e := range f.Extra {
			if n := printed(brief(e.Quantity, fewest), measured, ""); n.Set {
				row.Also = append(row.Also, alsoRow{e.Label, n.Whole})
			}
		}
		t.Customary = t.Customary || row.Value.Customary != ""
		t.Rows = append(t.Rows, row)
	}
	for i := range t.Rows {
		column = append(column, &t.Rows[i].Value)
	}
	align(column)
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

// resultsJSON is the file beside a run's page for who wants to go on computing. Values are in base units with a
// standard uncertainty (k = 1); a figure that the evidence does not give has a reason and no value.
func (b *builder) resultsJSON(run *journal.Run) ([]byte, error) {
	type figureJSON struct {
		Name                string   `json:"name"`
		Label               string   `json:"label"`
		Value               *float64 `json:"value"`
		StandardUncertainty *float64 `json:"standardUncertainty"`
		Unit                string   `json:"unit"`
		Printed             string   `json:"printed,omitempty"`
		Kind                kind     `json:"kind,omitempty"`
		Missing             string   `json:"missing,omitempty"`
		Formula             string   `json:"formula,omitempty"`
		Note                string   `json:"note,omitempty"`
	}
	out := struct {
		Run      journal.RunID   `json:"run"`
		Evidence runlog.Evidence `json:"evidence"`
		Dialect  string          `json:"dialect,omitempty"`
		Rows     int             `json:"rows"`
		Skipped  int             `json:"skipped"`
		Figures  []figureJSON    `json:"figures"`
	}{Run: run.ID(), Figures: []figureJSON{}}
	if r := b.result(run); r != nil {
		out.Evidence, out.Dialect, out.Rows, out.Skipped = r.Evidence, r.Dialect, r.Rows, r.Skipped
	}
	for _, f := range b.figures(run) {
		j := figureJSON{Name: f.Name, Label: f.Label, Unit: f.Quantity.Dimension.BaseUnit(), Missing: f.Missing, Formula: f.Formula, Note: f.Note}
		if f.Missing == "" {
			j.Value, j.StandardUncertainty = number(f.Quantity.Value), number(f.Quantity.U)
			j.Kind = figureKind(f.Name)
			if j.Value != nil {
				j.Printed = f.Quantity.Rounded()
			}
		}
		out.Figures = append(out.Figures, j)
	}
	text, err := json.MarshalIndent(out, "", "  ")
	return append(text, '\n'), err
}

// number is nil for what JSON has no number for.
func number(v float64) *float64 {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return nil
	}
	return &v
}

// methodEntry is a rule or a formula on the method page.
type methodEntry struct {
	Anchor, Name, Title string
	Kind                string
	Level               string
	Parts               []methodPart
}

type methodPart struct {
	Label string
	Text  string
	Code  template.HTML // set instead of Text where the lines are to stay as they are
}

// entryOf turns documentation into an entry of the method page.
func entryOf(d finding.Doc) methodEntry {
	e := methodEntry{Anchor: entryAnchor(d.Name), Name: d.Name, Title: or(d.Title, d.Name), Kind: string(d.Kind)}
	if d.Kind == finding.RuleDoc {
		e.Level = d.Level.String()
	}
	for _, p := range d.Parts() {
		part := methodPart{Label: p.Label, Text: p.Text}
		if p.Label == "Formula" || p.Label == "Example" && hasIndent(p.Text) {
			part.Text, part.Code = "", preformatted(p.Text)
		}
		e.Parts = append(e.Parts, part)
	}
	return e
}

func hasIndent(text string) bool {
	return len(text) > 0 && (text[0] == ' ' || containsIndented(text))
}

func containsIndented(text string) bool {
	for i := 0; i+1 < len(text); i++ {
		if text[i] == '\n' && text[i+1] == ' ' {
			return true
		}
	}
	return false
}

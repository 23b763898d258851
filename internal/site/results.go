package site

import (
	"encoding/json"
	"fmt"
	"html/template"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/runlog"
)

// resultsTable is the table of a run's results.
type resultsTable struct {
	caption
	Rows    []resultRow
	Missing []missingGroup
	Twins   string // the system of units in which some rows have their values as well; "" where none has
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
		row := resultRow{Label: f.Label, Method: b.methodLink(s, finding.FormulaDoc, f.Formula), Note: sentence(f.Note)}
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
		if row.Value.Twin != "" {
			t.Twins = b.twins()
		}
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

// resultsFile is the record of a run's results, beside its page.
const resultsFile = "results.json"

// resultsJSON is the file beside a run's page for who wants to go on computing: the record of the result, with what
// kind of number each figure is.
func (b *builder) resultsJSON(run *journal.Run) ([]byte, error) {
	type figureJSON struct {
		runlog.FigureRecord
		Kind kind `json:"kind,omitempty"`
	}
	out := struct {
		Run journal.RunID `json:"run"`
		runlog.Record
		Figures []figureJSON `json:"figures"`
	}{Run: run.ID(), Figures: []figureJSON{}}
	if r := b.result(run); r != nil {
		out.Record = r.Record()
	}
	for _, f := range out.Record.Figures {
		j := figureJSON{FigureRecord: f}
		if f.Missing == "" {
			j.Kind = figureKind(f.Name)
		}
		out.Figures = append(out.Figures, j)
	}
	text, err := json.Marshal(out)
	return append(text, '\n'), err
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
	e := methodEntry{Anchor: entryAnchor(d.Kind, d.Name), Name: d.Name, Title: or(d.Title, d.Name), Kind: string(d.Kind)}
	if d.Kind == finding.RuleDoc {
		e.Level = d.Level.String()
	}
	if d.Signal != "" {
		e.Level = string(d.Signal)
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

package forecast

import (
	"fmt"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// PredictionOf is what is computed for a question; false where nothing is named, or it cannot be computed.
func PredictionOf(rd *reading.Reader, s *frame.Sheet, n *journal.NotePage) (numeral.Numeral, []numeral.Phrase, bool) {
	q := n.Question
	v := q.Predicted.Version
	if v == nil || rd.Results == nil || !rd.Results.Answered() {
		return numeral.Numeral{}, nil, false
	}
	name := q.Predicted.Name
	a := rd.Answers(v)
	of := numeral.Phrase{Text: fmt.Sprintf("%s, version %d", v.Vehicle.Name.Text, v.Number), Href: s.To(address.Version(v))}
	anchor := "#" + strings.ReplaceAll(name, "/", "-")
	if a != nil {
		if c, ok := a.RunTime(name); ok && c.Err == "" && c.End().Err == "" {
			run := ComputedRun{load: a.Table.Loads[c.Load], Reach: c.End(), To: a.Table.EndsBy}
			words := append([]numeral.Phrase{numeral.Say("the packs of "), of, numeral.Say(" from full to " + run.To + ", ")}, Where(rd, s, v, run, nil)...)
			words = append(append(words, numeral.Say(". ")), Counted(rd, s, v, run)...)
			return RunTime(run.Reach.Running, s.To(address.Version(v))+anchor), words, true
		}
		for _, c := range a.Charges {
			if c.Name == name && c.Err == "" {
				return numeral.Printed(c.Total.Quantity(), numeral.Computed, s.To(address.Version(v))+anchor), []numeral.Phrase{numeral.Say("to charge "), of,
					numeral.Say(fmt.Sprintf(" from %.0f %%, ", 100*c.From)), numeral.Say("with "), numeral.SayNumber(numeral.Rough(c.Current, numeral.Computed, rd.FormulaLink(s, "charge-from-run"))), numeral.Say(".")}, true
			}
		}
	}
	known := predictedNames(a)
	remedy := "take the key out: nothing can be computed for this version."
	if len(known) > 0 {
		remedy = "write " + v.Path() + "/ and one of " + strings.Join(known, ", ") + "."
	}
	rd.Raised.Add(finding.Finding{Rule: RuleNoPrediction, Level: finding.Error, Span: q.Prediction.Span,
		Text: fmt.Sprintf("`prediction`: nothing is computed for %s under the name `%s`%s", v.Path(), name, notes.DidYouMean(name, known)), Remedy: remedy})
	return numeral.Numeral{}, nil, false
}

// RuleNoPrediction is the rule of findings about predictions that a question names and nobody computes.
const RuleNoPrediction = "question-prediction"

func predictedNames(a *predict.Prediction) []string {
	var out []string
	if a == nil {
		return nil
	}
	for _, row := range a.Table.Cells {
		for _, c := range row {
			if c.Err == "" && c.End().Err == "" {
				out = append(out, c.Name)
			}
		}
	}
	for _, c := range a.Charges {
		if c.Err == "" {
			out = append(out, c.Name)
		}
	}
	return out
}

// Reckons tells whether other numbers were computed for a question: it is about a running time that is computed.
func Reckons(rd *reading.Reader, q *journal.Question) bool {
	version := q.Predicted.Version
	if version == nil || !strings.HasPrefix(q.Predicted.Name, "run-time/") {
		return false
	}
	a := rd.Answers(version)
	if a == nil || a.Grid == nil {
		return false
	}
	cell, ok := a.RunTime(q.Predicted.Name)
	return ok && cell.Err == "" && cell.End().Err == "" && a.Table.Loads[cell.Load].Power.Known()
}

// Package forecast prints what is computed of packs: running times, charging, wear, and how far off it was.
package forecast

import (
	"cmp"
	"encoding/json"
	"fmt"
	"path"
	"slices"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// ForecastView is what a version's page shows of what is computed for it.
type ForecastView struct {
	Why    string   // why nothing is computed; all else is empty then
	Mind   []string // what is computed as it is asked and does harm
	Off    []numeral.Phrase
	Grid   *reachTable
	NoLoad string
	Basis  []numeral.Phrase
	Checks *checkTable
	Values []spec.Row
	Runs   []lessonRow
	Method []frame.Link
	File   frame.FileLink
}

// checkTable is how far off predictions were on runs that they had not seen.
type checkTable struct {
	frame.Caption
	Rows []checkRow
}

type checkRow struct {
	Run                        frame.Link
	By                         []numeral.Phrase
	Measured, Predicted, Error numeral.Numeral
	Voltage                    numeral.Numeral
	To, Verdict                string // the voltage to which the times are; inside or outside the interval
	Why                        string
}

type lessonRow struct {
	Run  frame.Link
	What string
	Why  string
}

// Of is what a version's page says of its running times; nil where nothing was asked.
func Of(rd *reading.Reader, s *frame.Sheet, v *journal.Version) (*ForecastView, error) {
	a := rd.Answers(v)
	if a == nil {
		return nil, nil
	}
	if a.Err != "" {
		return &ForecastView{Why: numeral.OnPage(a.Err)}, nil
	}
	f := &ForecastView{NoLoad: a.Table.None, Off: offBy(rd, s, a), Basis: basisWords(rd, s, v, a)}
	for _, text := range a.Cautions {
		f.Mind = append(f.Mind, numeral.OnPage(text))
	}
	if t, ok := RunTimes(rd, s, v, ""); ok {
		f.Grid = &t
		s.ShowOf(notes.TableScheme, "run-time", v.Path(), t.Caption)
	}
	f.Checks = checkRows(rd, s, v, a)
	for _, value := range a.Basis.Values {
		f.Values = append(f.Values, spec.Row{Label: value.Label, Cells: []spec.Cell{{Value: rd.Units(numeral.Printed(value.Quantity, numeral.Computed, rd.FormulaLink(s, "calibration")))}}})
	}
	for _, l := range a.Basis.Runs {
		use, why := a.Use(l)
		f.Runs = append(f.Runs, lessonRow{Run: rd.RunLink(s, v, l.Run), What: use, Why: numeral.OnPage(why)})
	}
	for _, m := range []frame.Link{{Words: "how a running time is computed", Href: "run-time"}, {Words: "where its uncertainty comes from", Href: "run-time-uncertainty"},
		{Words: "which runs teach", Href: "teaching-runs"}, {Words: "how it is checked", Href: "unseen-run"}} {
		if m.Href = rd.FormulaLink(s, m.Href); m.Href != "" {
			f.Method = append(f.Method, m)
		}
	}
	text, err := json.MarshalIndent(record.PredictionDocument{Head: record.HeadOf(record.PredictionKind), Version: v.Path(), Prediction: record.OfPrediction(a)}, "", " ")
	if err != nil {
		return nil, err
	}
	f.File = frame.FileLink{Words: address.PredictionsFile, Href: s.To(address.Predictions(v)), What: "all that is computed here, with standard uncertainties"}
	return f, rd.Pages.Put(address.Predictions(v), append(text, '\n'))
}

// offBy says in a line how far off predictions were on runs that they had not seen.
func offBy(rd *reading.Reader, s *frame.Sheet, a *predict.Prediction) []numeral.Phrase {
	href := rd.FormulaLink(s, "unseen-run")
	n := len(a.Validations)
	if n == 0 {
		return []numeral.Phrase{numeral.Say("Not checked: there is no run that the computing could be held against.")}
	}
	off := func(c predict.RunCheck) numeral.Phrase { return numeral.SayNumber(numeral.Signed(c.TimeError(), href)) }
	volts := numeral.SayNumber(numeral.CellVolts(a.Accuracy.Voltage, href))
	held := "Held against a run that it had not seen, "
	if n > 1 {
		held = fmt.Sprintf("Held against %d runs that it had not seen, ", n)
	}
	var timed []predict.RunCheck
	for _, c := range a.ChecksAt(a.EndsAt()) {
		if c.Predicted.Known() {
			timed = append(timed, c)
		}
	}
	out := []numeral.Phrase{numeral.Say(held)}
	if len(timed) == 0 {
		return append(out, numeral.Say("the voltage was off by "), volts, numeral.Say(". None came down to "+a.Table.EndsBy+" both measured and computed, so the time to it is not checked."))
	}
	out = append(out, numeral.Say("the running time to "+a.Table.EndsBy+" was off by "))
	slices.SortStableFunc(timed, func(x, y predict.RunCheck) int { return cmp.Compare(x.TimeError(), y.TimeError()) })
	out = append(out, off(timed[0]))
	if len(timed) > 1 {
		out = append(out, numeral.Say(" to "), off(timed[len(timed)-1]))
	}
	if a.Accuracy.TimeRuns < n {
		out = append(out, numeral.Say(fmt.Sprintf(" on the %d that came down to it", a.Accuracy.TimeRuns)))
	}
	return append(out, numeral.Say(fmt.Sprintf(", %d of %d inside the interval; the voltage on average by ", a.Accuracy.Inside, a.Accuracy.TimeRuns)), volts, numeral.Say("."))
}

// basisWords are the words that say what was computed from, with links to the runs that taught.
func basisWords(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a *predict.Prediction) []numeral.Phrase {
	rest, out := a.Basis.Words, []numeral.Phrase{}
	for _, l := range a.Basis.Runs {
		before, after, found := strings.Cut(rest, path.Base(l.Run))
		if !l.Taught || !found {
			continue
		}
		to := rd.RunLink(s, v, l.Run)
		out = append(out, numeral.Say(numeral.OnPage(before)), numeral.Phrase{Text: numeral.MidSentence(to.Words), Href: to.Href})
		rest = after
	}
	return append(out, numeral.Say(numeral.OnPage(rest)))
}

func checkRows(rd *reading.Reader, s *frame.Sheet, v *journal.Version, a *predict.Prediction) *checkTable {
	if len(a.Validations) == 0 {
		return nil
	}
	t := &checkTable{Caption: s.Table("checks", "Each run predicted by what the others teach, or by what is typical where there is no other.")}
	for _, c := range a.Validations {
		href := s.To(string(c.Run) + "/index.html#prediction")
		row := checkRow{Run: rd.RunLink(s, v, c.Run), By: TaughtBy(rd, s, v, c), Voltage: numeral.CellVolts(c.Voltage, href)}
		row.Run.Href = href
		for _, level := range c.Checks {
			one := row
			one.To, one.Verdict = numeral.OnPage(level.Name+", "+quantity.Brief(level.At)), numeral.OnPage(level.Verdict())
			one.Measured = numeral.ClockOf(level.Measured, numeral.Measured, href)
			if level.Predicted.Known() {
				one.Predicted, one.Error = numeral.Printed(level.Predicted.Quantity(), numeral.Computed, href), numeral.Signed(level.TimeError(), href)
			}
			t.Rows = append(t.Rows, one)
		}
		switch {
		case len(c.Checks) > 0:
			continue
		case c.Why == "":
			row.To = numeral.OnPage(fmt.Sprintf("where it ended, %s: no voltage that an answer is given for", quantity.Brief(c.Ended)))
			row.Measured, row.Predicted, row.Error = numeral.ClockOf(c.Measured, numeral.Measured, href), numeral.Printed(c.Predicted.Quantity(), numeral.Computed, href), numeral.Signed(c.TimeError(), href)
		default:
			row.Why = numeral.OnPage(c.Why)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// TaughtBy names what a check was predicted by.
func TaughtBy(rd *reading.Reader, s *frame.Sheet, v *journal.Version, c predict.Validation) []numeral.Phrase {
	if len(c.CalibratedOn) == 0 {
		return []numeral.Phrase{numeral.Say("what is typical of " + reading.ChemistryOf(v))}
	}
	var out []numeral.Phrase
	for i, id := range c.CalibratedOn {
		switch {
		case i == 0:
		case i == len(c.CalibratedOn)-1:
			out = append(out, numeral.Say(" and "))
		default:
			out = append(out, numeral.Say(", "))
		}
		to := rd.RunLink(s, v, id)
		out = append(out, numeral.Phrase{Text: numeral.MidSentence(to.Words), Href: to.Href})
	}
	return out
}

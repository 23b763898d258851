package site

import (
	"encoding/json"
	"fmt"
	"math"
	"path"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/record"
	"voltwright/internal/study"
)

// forecastView is what a version's page shows of what is computed for it.
type forecastView struct {
	Why    string   // why nothing is computed; all else is empty then
	Mind   []string // what is computed as it is asked and does harm
	Off    []phrase
	Grid   *reachTable
	NoLoad string
	Basis  []phrase
	Checks *checkTable
	Values []specRow
	Runs   []lessonRow
	Method []link
	File   fileLink
}

// checkTable is how far off predictions were on runs that they had not seen.
type checkTable struct {
	caption
	Rows []checkRow
}

type checkRow struct {
	Run                        link
	By                         []phrase
	Measured, Predicted, Error numeral
	Voltage                    numeral
	Why                        string
}

type lessonRow struct {
	Run  link
	What string
	Why  string
}

// predictionsFile is the record of what is computed for a version, beside its page.
const predictionsFile = "predictions.json"

func predictionsPath(v *journal.Version) string {
	return path.Dir(versionPage(v)) + "/" + predictionsFile
}

func (b *builder) answers(v *journal.Version) *predict.Prediction {
	if b.in.Results == nil {
		return nil
	}
	return b.in.Results.Predictions[v.Path()]
}

// formulaLink leads to the entry of a formula.
func (b *builder) formulaLink(s *sheet, name string) string {
	return b.methodLink(s, finding.FormulaDoc, name)
}

// forecast is what a version's page says of its running times; nil where nothing was asked.
func (b *builder) forecast(s *sheet, v *journal.Version) (*forecastView, error) {
	a := b.answers(v)
	if a == nil {
		return nil, nil
	}
	if a.Err != "" {
		return &forecastView{Why: onPage(a.Err)}, nil
	}
	f := &forecastView{NoLoad: a.Table.None, Off: b.offBy(s, a), Basis: b.basisWords(s, v, a)}
	for _, text := range a.Cautions {
		f.Mind = append(f.Mind, onPage(text))
	}
	if t, ok := b.reaches(s, v, ""); ok {
		f.Grid = &t
		s.showOf(notes.TableScheme, "run-time", v.Path(), t.caption)
	}
	f.Checks = b.checkRows(s, v, a)
	for _, value := range a.Basis.Values {
		f.Values = append(f.Values, specRow{Label: value.Label, Cells: []specCell{{Value: b.units(printed(value.Quantity, computed, b.formulaLink(s, "calibration")))}}})
	}
	for _, l := range a.Basis.Runs {
		row := lessonRow{Run: b.runLink(s, v, l.Run), What: "not used", Why: onPage(l.Why)}
		switch {
		case l.Taught:
			row.What = "taught"
		case l.Checked:
			row.What = "checked only"
		}
		f.Runs = append(f.Runs, row)
	}
	for _, m := range []link{{Words: "how a running time is computed", Href: "run-time"}, {Words: "where its uncertainty comes from", Href: "run-time-uncertainty"},
		{Words: "which runs teach", Href: "teaching-runs"}, {Words: "how it is checked", Href: "unseen-run"}} {
		if m.Href = b.formulaLink(s, m.Href); m.Href != "" {
			f.Method = append(f.Method, m)
		}
	}
	text, err := json.MarshalIndent(record.OfPrediction(a), "", " ")
	if err != nil {
		return nil, err
	}
	f.File = fileLink{predictionsFile, s.to(predictionsPath(v)), "all that is computed here, with standard uncertainties"}
	return f, b.pages.put(predictionsPath(v), append(text, '\n'))
}

// runLink leads to a run by its path.
func (b *builder) runLink(s *sheet, v *journal.Version, id string) link {
	for _, r := range v.Runs {
		if string(r.ID()) == id {
			return link{Words: runWords(r), Href: s.to(runPage(r)), Note: r.Name.Text}
		}
	}
	return link{Words: path.Base(id)}
}

// offBy says in a line how far off predictions were on runs that they had not seen.
func (b *builder) offBy(s *sheet, a *predict.Prediction) []phrase {
	href := b.formulaLink(s, "unseen-run")
	var timed []predict.Validation
	for _, c := range a.Validations {
		if c.Why == "" {
			timed = append(timed, c)
		}
	}
	volts := sayNumber(cellVolts(a.Accuracy.Voltage, href))
	switch {
	case len(a.Validations) == 0:
		return []phrase{say("Not checked: there is no run that the computing could be held against.")}
	case len(timed) == 0:
		return []phrase{say("Held against a run that it had not seen, the voltage was off by "), volts, say(". No run went far enough down to check the time.")}
	case len(timed) == 1 && len(a.Validations) == 1:
		return []phrase{say("Held against a run that it had not seen, the running time was off by "), sayNumber(signed(timed[0].TimeError(), href)), say(", the voltage by "), volts, say(".")}
	case len(timed) == 1:
		return []phrase{say(fmt.Sprintf("Held against %d runs that it had not seen, the running time was off by ", len(a.Validations))), sayNumber(signed(timed[0].TimeError(), href)),
			say(" on the one that went far enough down, the voltage on average by "), volts, say(".")}
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, c := range timed {
		low, high = min(low, c.TimeError()), max(high, c.TimeError())
	}
	return []phrase{say(fmt.Sprintf("Held against %d runs that it had not seen, the running time was off by ", len(a.Validations))), sayNumber(signed(low, href)), say(" to "), sayNumber(signed(high, href)),
		say(", the voltage on average by "), volts, say(".")}
}

// signed is a part as a percentage with its sign.
func signed(x float64, href string) numeral {
	if math.IsNaN(x) {
		return numeral{}
	}
	text := onPage(fmt.Sprintf("%+.1f", 100*x))
	return numeral{Kind: computed, Whole: text + " %", Int: text, Unit: "%", Href: href, Set: true}
}

// cellVolts is a difference of voltage of one cell, in millivolts.
func cellVolts(v quantity.Volts, href string) numeral {
	if math.IsNaN(float64(v)) {
		return numeral{}
	}
	text := fmt.Sprintf("%.0f", 1000*float64(v))
	return numeral{Kind: computed, Whole: text + " mV a cell", Int: text, Unit: "mV", Href: href, Set: true}
}

// basisWords are the words that say what was computed from, with links to the runs that taught.
func (b *builder) basisWords(s *sheet, v *journal.Version, a *predict.Prediction) []phrase {
	rest, out := a.Basis.Words, []phrase{}
	for _, l := range a.Basis.Runs {
		before, after, found := strings.Cut(rest, path.Base(l.Run))
		if !l.Taught || !found {
			continue
		}
		to := b.runLink(s, v, l.Run)
		out = append(out, say(onPage(before)), phrase{Text: midSentence(to.Words), Href: to.Href})
		rest = after
	}
	return append(out, say(onPage(rest)))
}

// midSentence takes the capital from words that begin a sentence elsewhere.
func midSentence(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

func (b *builder) checkRows(s *sheet, v *journal.Version, a *predict.Prediction) *checkTable {
	if len(a.Validations) == 0 {
		return nil
	}
	t := &checkTable{caption: s.table("checks", "Each run predicted by what the others teach, or by what is typical where there is no other.")}
	for _, c := range a.Validations {
		href := s.to(string(c.Run) + "/index.html#prediction")
		row := checkRow{Run: b.runLink(s, v, c.Run), By: b.taughtBy(s, v, c), Voltage: cellVolts(c.Voltage, href)}
		row.Run.Href = href
		if c.Why == "" {
			row.Measured, row.Predicted, row.Error = clockOf(c.Measured, measured, href), printed(c.Predicted.Quantity(), computed, href), signed(c.TimeError(), href)
		} else {
			row.Why = onPage(c.Why)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// taughtBy names what a check was predicted by.
func (b *builder) taughtBy(s *sheet, v *journal.Version, c predict.Validation) []phrase {
	if len(c.CalibratedOn) == 0 {
		return []phrase{say("what is typical of " + chemistryOf(v))}
	}
	var out []phrase
	for i, id := range c.CalibratedOn {
		switch {
		case i == 0:
		case i == len(c.CalibratedOn)-1:
			out = append(out, say(" and "))
		default:
			out = append(out, say(", "))
		}
		to := b.runLink(s, v, id)
		out = append(out, phrase{Text: midSentence(to.Words), Href: to.Href})
	}
	return out
}

// chemistryOf names the chemistry of a version's packs within a sentence.
func chemistryOf(v *journal.Version) string {
	if bank := study.Bank(v); bank.Check() == nil {
		return bank.Packs[0].Chemistry.Title
	}
	return "the chemistry"
}

// clockOf is a time without uncertainty, to the second under an hour and to the minute above.
func clockOf(t quantity.Seconds, k kind, href string) numeral {
	if math.IsNaN(float64(t)) {
		return numeral{}
	}
	step := quantity.Seconds(1)
	if t >= 3600 {
		step = 60
	}
	text := quantity.Clock(t, step)
	return numeral{Kind: k, Whole: text, Int: text, Href: href, Set: true}
}

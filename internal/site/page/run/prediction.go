package run

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/site/address"
	"voltwright/internal/site/charts"
	"voltwright/internal/site/forecast"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/prose"
	"voltwright/internal/site/reading"
	"voltwright/internal/site/spec"
)

// predictionView sets what was predicted of a run against what was measured.
type predictionView struct {
	Chart   *charts.ChartView
	Rows    []spec.Row
	By      []numeral.Phrase
	Verdict string
	Why     string // why there is nothing to compare
	Method  string
}

// prediction is the comparison that a run's page shows; nil where nothing was asked.
func prediction(rd *reading.Reader, s *frame.Sheet, r *journal.Run) (*predictionView, error) {
	a := rd.Answers(r.Version)
	if a == nil {
		return nil, nil
	}
	v := &predictionView{Method: rd.FormulaLink(s, "unseen-run")}
	c := rd.CheckOf(r)
	if c == nil {
		v.Why = numeral.OnPage(a.Err)
		for _, l := range a.Basis.Runs {
			if l.Run == string(r.ID()) {
				v.Why = numeral.OnPage(l.Why)
			}
		}
		if v.Why == "" {
			return nil, nil
		}
		return v, nil
	}
	v.By = append([]numeral.Phrase{numeral.Say("Predicted by ")}, forecast.TaughtBy(rd, s, r.Version, *c)...)
	v.By = append(v.By, numeral.Say(", which had not seen this run, from the current that was measured."))
	add := func(label string, n numeral.Numeral) {
		if n.Set {
			v.Rows = append(v.Rows, spec.Row{Label: label, Cells: []spec.Cell{{Value: n}}})
		}
	}
	for _, level := range c.Checks {
		at := fmt.Sprintf("%s, %s", level.Name, numeral.Rough(level.At, "", "").Whole)
		add("Measured, running to "+at, numeral.ClockOf(level.Measured, numeral.Measured, "#results"))
		if level.Predicted.Known() {
			add("Predicted, the same", numeral.Printed(level.Predicted.Quantity(), numeral.Computed, v.Method))
			add("Off by, "+level.Verdict(), numeral.Signed(level.TimeError(), v.Method))
		}
	}
	if c.Why == "" {
		to := fmt.Sprintf("running from the first load to %s", numeral.Rough(c.Ended, "", "").Whole)
		add("Measured, "+to, numeral.ClockOf(c.Measured, numeral.Measured, "#results"))
		add("Predicted, the same", numeral.Printed(c.Predicted.Quantity(), numeral.Computed, v.Method))
		add("Running time off by", numeral.Signed(c.TimeError(), v.Method))
		off := c.Predicted.Value - c.Measured
		if u := c.Predicted.Expanded(); !math.IsNaN(float64(u)) {
			v.Verdict = "The measured time lies within the interval that was predicted."
			if max(off, -off) > u {
				v.Verdict = "The measured time lies outside the interval that was predicted."
			}
		}
	} else {
		v.Verdict = numeral.OnPage(c.Why)
	}
	n := numeral.CellVolts(c.Voltage, v.Method)
	n.Whole = strings.TrimSuffix(n.Whole, " a cell")
	add("Voltage off by, root mean square of a cell", n)
	chart, ok, err := charts.Of(rd, s, r, address.PredictionPlot, numeral.PlainHTML(numeral.Sentence(prose.OwnWords(rd, r, notes.PlotScheme, address.PredictionPlot))))
	if err != nil || !ok {
		return v, err
	}
	v.Chart = chart
	return v, nil
}

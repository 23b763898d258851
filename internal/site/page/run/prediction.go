package run

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
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
	if charged, ok := a.ChargeRun(string(r.ID())); ok {
		v.Method = rd.FormulaLink(s, "unseen-charge")
		return v.ofCharge(charged), nil
	}
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

// ofCharge is the comparison of a run that was a charge.
func (v *predictionView) ofCharge(c predict.ChargeCheck) *predictionView {
	if c.Why != "" {
		v.Why = numeral.OnPage(c.Why)
		return v
	}
	by := "the packs alone"
	if c.By > 0 {
		by = "the packs and " + numeral.Count(c.By, "other charge")
	}
	v.By = []numeral.Phrase{numeral.Say("Predicted by " + by + ", which had not seen this charge, from its held current and voltage and the current that it ended at. " + numeral.OnPage(c.Start))}
	inside := 0
	for _, l := range c.Levels {
		measured := numeral.Rough(quantity.WattHours(l.Measured.Value), numeral.Measured, "#results")
		if l.Measured.Dimension == quantity.Time {
			measured = numeral.ClockOf(quantity.Seconds(l.Measured.Value), numeral.Measured, "#results")
		}
		for _, row := range []struct {
			label string
			n     numeral.Numeral
		}{{"Measured, " + l.Name, measured}, {"Predicted, the same", numeral.Printed(l.Predicted, numeral.Computed, v.Method)}, {"Off by, " + l.Verdict(), numeral.Signed(l.Off(), v.Method)}} {
			if row.n.Set {
				v.Rows = append(v.Rows, spec.Row{Label: row.label, Cells: []spec.Cell{{Value: row.n}}})
			}
		}
		if l.Inside() {
			inside++
		}
	}
	v.Verdict = fmt.Sprintf("%d of %d lie within the interval that was predicted.", inside, len(c.Levels))
	return v
}

package site

import (
	"fmt"
	"math"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// predictionPlot is the plot of a run's voltage beside the one predicted by what had not seen the run.
const predictionPlot = "prediction"

// predictionView sets what was predicted of a run against what was measured.
type predictionView struct {
	Chart   *chartView
	Rows    []specRow
	By      []phrase
	Verdict string
	Why     string // why there is nothing to compare
	Method  string
}

// checkOf is the prediction of a run, nil where there is none.
func (b *builder) checkOf(r *journal.Run) *predict.Validation {
	a := b.answers(r.Version)
	if a == nil {
		return nil
	}
	for i := range a.Validations {
		if a.Validations[i].Run == string(r.ID()) {
			return &a.Validations[i]
		}
	}
	return nil
}

// prediction is the comparison that a run's page shows; nil where nothing was asked.
func (b *builder) prediction(s *sheet, r *journal.Run) (*predictionView, error) {
	a := b.answers(r.Version)
	if a == nil {
		return nil, nil
	}
	v := &predictionView{Method: b.formulaLink(s, "unseen-run")}
	c := b.checkOf(r)
	if c == nil {
		v.Why = onPage(a.Err)
		for _, l := range a.Basis.Runs {
			if l.Run == string(r.ID()) {
				v.Why = onPage(l.Why)
			}
		}
		if v.Why == "" {
			return nil, nil
		}
		return v, nil
	}
	v.By = append([]phrase{say("Predicted by ")}, b.taughtBy(s, r.Version, *c)...)
	v.By = append(v.By, say(", which had not seen this run, from the current that was measured."))
	add := func(label string, n numeral) {
		if n.Set {
			v.Rows = append(v.Rows, specRow{Label: label, Cells: []specCell{{Value: n}}})
		}
	}
	if c.Why == "" {
		to := fmt.Sprintf("running from the first load to %s", rough(c.Ended, "", "").Whole)
		add("Measured, "+to, clockOf(c.Measured, measured, "#results"))
		add("Predicted, the same", printed(c.Predicted.Quantity(), computed, v.Method))
		add("Running time off by", signed(c.TimeError(), v.Method))
		off := c.Predicted.Value - c.Measured
		if u := c.Predicted.Expanded(); !math.IsNaN(float64(u)) {
			v.Verdict = "The measured time lies within the interval that was predicted."
			if max(off, -off) > u {
				v.Verdict = "The measured time lies outside the interval that was predicted."
			}
		}
	} else {
		v.Verdict = onPage(c.Why)
	}
	n := cellVolts(c.Voltage, v.Method)
	n.Whole = strings.TrimSuffix(n.Whole, " a cell")
	add("Voltage off by, root mean square of a cell", n)
	chart, ok, err := b.chartOf(s, r, predictionPlot, plainHTML(sentence(b.ownWords(r, notes.PlotScheme, predictionPlot))))
	if err != nil || !ok {
		return v, err
	}
	v.Chart = chart
	return v, nil
}

// predicted is the plot of a run's prediction; false where it has none.
func (b *builder) predicted(r *journal.Run) (chart.Plot, bool) {
	c := b.checkOf(r)
	if c == nil || len(c.MeasuredTrace.T) < 2 || len(c.PredictedTrace.T) < 2 {
		return chart.Plot{}, false
	}
	p := chart.Plot{ID: predictionPlot, Title: "Voltage, predicted and measured", X: chart.Axis{Label: "Time", Format: chart.Clock}, Upper: chart.Axis{Label: "Voltage", Unit: "V"},
		Series: []chart.Series{traced("Measured", chart.Measured, c.Start, c.MeasuredTrace), traced("Predicted", chart.Computed, c.Start, c.PredictedTrace)}}
	said := "The log thinned to some hundred rows, and dashed as it was predicted."
	if c.Why == "" {
		p.Lines = append(p.Lines, chart.Level{Value: float64(c.Ended), Label: "where the run ended"})
		longer := c.Predicted.Value - c.Measured
		word := "later"
		if longer < 0 {
			longer, word = -longer, "earlier"
		}
		said += fmt.Sprintf(" The prediction comes down to %s, where the run ended, %s %s than the measured voltage did.", rough(c.Ended, "", "").Whole, quantity.Clock(longer, 1), word)
	}
	p.Caption = said
	first, last := p.Series[0].Y[0], p.Series[0].Y[len(p.Series[0].Y)-1]
	p.Alt = fmt.Sprintf("Voltage against time, measured and predicted. The measured voltage begins at %.1f V and ends at %.1f V; the predicted one differs from it by %.0f mV a cell, root mean square.", first, last, 1000*float64(c.Voltage))
	return p, true
}

func traced(name string, k chart.Kind, start quantity.Seconds, t predict.Trace) chart.Series {
	s := chart.Series{Name: name, Kind: k, Y: t.V}
	for _, x := range t.T {
		s.X = append(s.X, x+float64(start))
	}
	return s
}

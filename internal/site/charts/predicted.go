package charts

import (
	"fmt"

	"voltwright/internal/chart"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
	"voltwright/internal/site/address"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// predicted is the plot of a run's prediction; false where it has none.
func predicted(rd *reading.Reader, r *journal.Run) (chart.Plot, bool) {
	c := rd.CheckOf(r)
	if c == nil || len(c.MeasuredTrace.T) < 2 || len(c.PredictedTrace.T) < 2 {
		return chart.Plot{}, false
	}
	p := chart.Plot{ID: address.PredictionPlot, Title: "Voltage, predicted and measured", X: chart.Axis{Label: "Time", Format: chart.Clock}, Upper: chart.Axis{Label: "Voltage", Unit: "V"},
		Series: []chart.Series{traced("Measured", chart.Measured, c.Start, c.MeasuredTrace), traced("Predicted", chart.Computed, c.Start, c.PredictedTrace)}}
	said := "The log thinned to some hundred rows, and dashed as it was predicted."
	if c.Why == "" {
		p.Lines = append(p.Lines, chart.Level{Value: float64(c.Ended), Label: "where the run ended"})
		longer := c.Predicted.Value - c.Measured
		word := "later"
		if longer < 0 {
			longer, word = -longer, "earlier"
		}
		said += fmt.Sprintf(" The prediction comes down to %s, where the run ended, %s %s than the measured voltage did.", numeral.Rough(c.Ended, "", "").Whole, quantity.Clock(longer, 1), word)
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

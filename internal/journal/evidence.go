package journal

import (
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
)

// EvidenceSpan is where the run says what it rests on: its log, its first
// reading, its stopwatch, or the note as a whole.
func (r *Run) EvidenceSpan() finding.Span {
	switch {
	case r.Log != nil:
		return r.Log.File.Span
	case len(r.Readings) > 0:
		return r.Readings[0].Span
	case r.Stopwatch != nil:
		return r.Stopwatch.Span
	default:
		return r.Note.Whole()
	}
}

// Noted gives the run's hand-noted readings to the analysis; what was not read
// stays unknown. A row whose time could not be read is a finding already and is
// left out, as is a stop without a lap or a length in Timed.
func (r *Run) Noted() []runlog.Reading {
	var out []runlog.Reading
	for _, x := range r.Readings {
		if !x.At.Known() {
			continue
		}
		out = append(out, runlog.Reading{
			At:          x.At.Stated().Value,
			Voltage:     x.Voltage.Stated().Value,
			Current:     x.Current.Stated().Value,
			Temperature: x.Temperature.Stated().Value,
			Speed:       x.Speed.Stated().Value,
			Distance:    x.Distance.Stated().Value,
			Span:        x.Span,
		})
	}
	return out
}

// Timed gives the run's stopwatch laps to the analysis.
func (r *Run) Timed() runlog.Stopwatch {
	out := runlog.NewStopwatch()
	w := r.Stopwatch
	if w == nil {
		return out
	}
	out.Resolution = w.Resolution.Stated().Value
	out.Lap = w.Lap.Stated()
	for _, lap := range w.Laps {
		out.Laps = append(out.Laps, lap.Stated().Value)
		out.Spans = append(out.Spans, lap.Span)
	}
	for _, s := range w.Stops {
		if !s.Lap.Set || !s.Lasted.Known() {
			continue
		}
		out.Stops = append(out.Stops, runlog.LapStop{Lap: s.Lap.Or(0), Lasted: s.Lasted.Stated().Value, Why: s.Why.Text, Span: s.Span})
	}
	out.Start, out.End = quantity.Missing[quantity.Volts](), quantity.Missing[quantity.Volts]()
	if w.Voltages != nil {
		out.Start, out.End = w.Voltages.Start.Stated(), w.Voltages.End.Stated()
	}
	return out
}

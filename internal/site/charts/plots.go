package charts

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/chart"
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/runlog"
	"voltwright/internal/site/address"
	"voltwright/internal/site/frame"
	"voltwright/internal/site/numeral"
	"voltwright/internal/site/reading"
)

// charted are the channels that have a chart, in the order of the page.
var charted = []runlog.Channel{runlog.Voltage, runlog.Current, runlog.Power, runlog.Speed, runlog.Temperature, runlog.Duty, runlog.Rotation}

// PlotNames are the plots that a run has, by the words that `plot:` takes.
func PlotNames(r *runlog.Result) []string {
	var names []string
	for _, c := range charted {
		if reading.TraceOf(r.Traces, c) != nil {
			names = append(names, c.String())
		}
	}
	if reading.TraceOf(r.ReboundTraces, runlog.Voltage) != nil && r.Cutout != nil {
		names = append(names, address.ReboundPlot)
	}
	return names
}

// ShownPlots are the plots that a run's page shows: the current stands below the voltage, in one figure, where they are together.
func ShownPlots(r *runlog.Result) []string {
	names := PlotNames(r)
	if slices.Contains(names, runlog.Voltage.String()) && Together(r) {
		names = slices.DeleteFunc(names, func(n string) bool { return n == runlog.Current.String() })
	}
	if at := slices.Index(names, address.ReboundPlot); at > 1 { // it belongs to the voltage
		names = slices.Insert(slices.Delete(names, at, at+1), 1, address.ReboundPlot)
	}
	return names
}

// Together tells whether the current of a run stands below its voltage, in one figure. The current of a run with many stops is bars without a
// course, and stands by itself.
func Together(r *runlog.Result) bool { return r.StopCount <= bandsShown }

// shownAs is the plot of a run's page in which a plot is shown.
func shownAs(r *runlog.Result, name string) string {
	if name == runlog.Current.String() && reading.TraceOf(r.Traces, runlog.Voltage) != nil && Together(r) {
		return runlog.Voltage.String()
	}
	return name
}

// Plot is a plot of a run by its name; false where the run has none of that name.
func Plot(rd *reading.Reader, run *journal.Run, name string) (chart.Plot, bool) {
	if name == address.PredictionPlot {
		return predicted(rd, run)
	}
	r := rd.Result(run)
	if r == nil || !slices.Contains(PlotNames(r), name) {
		return chart.Plot{}, false
	}
	if name == address.ReboundPlot {
		return rebound(rd, run, r), true
	}
	c, _ := runlog.ParseChannel(name)
	p := chart.Plot{ID: name, Title: c.Label() + " against time", X: chart.Axis{Label: "Time", Format: chart.Clock},
		Upper: chart.Axis{Label: c.Label(), Unit: shownUnit(c)}, Series: []chart.Series{series(r, *reading.TraceOf(r.Traces, c))}}
	from, to := p.Series[0].X[0], p.Series[0].X[len(p.Series[0].X)-1]
	bands, shaded := stopBands(run, r, from, to)
	p.Bands = bands
	said := []string{fmt.Sprintf("%s over the whole run.", c.Label())}
	if current := reading.TraceOf(r.Traces, runlog.Current); c == runlog.Voltage && current != nil && Together(r) {
		p.Title = "Voltage and current against time"
		p.Lower = chart.Axis{Label: "Current", Unit: "A"}
		below := series(r, *current)
		below.Panel = chart.Lower
		p.Series = append(p.Series, below)
		said[0] = "Voltage, and below it the current, over the whole run."
	}
	if shaded != "" {
		said = append(said, shaded)
	}
	if r.Evidence != runlog.EvidenceLog {
		said = append(said, "Each symbol is one reading by hand; the lines between them only lead the eye.")
	}
	switch c {
	case runlog.Voltage:
		said = append(said, markCutout(&p, r)...)
		said = append(said, beside(rd, &p, run, r)...)
	case runlog.Temperature:
		p.Upper.Min, p.Upper.Max = atLeastSpan(p.Series[0].Y, leastWarming)
	}
	p.Caption = strings.Join(said, " ")
	p.Alt = describe(p, r, c)
	return p, true
}

// beside puts on a plot of the voltage what a reader holds it against, the cutout and what was predicted, and says so.
func beside(rd *reading.Reader, p *chart.Plot, run *journal.Run, r *runlog.Result) []string {
	var said []string
	cutout := run.Version.Cutout
	if cutout != nil && cutout.Opens.Known() && run.Type.Value != journal.Charge && run.Type.Value != journal.Rest {
		p.Lines = append(p.Lines, chart.Level{Value: float64(cutout.Opens.Value), Label: "cutout opens, " + numeral.OnPage(cutout.Opens.Written)})
		if r.Cutout == nil {
			said = append(said, "It never came down to the cutout.")
		}
	}
	if check := rd.CheckOf(run); check != nil && len(check.PredictedTrace.T) >= 2 {
		p.Series = append(p.Series, traced("Predicted", chart.Computed, check.Start, check.PredictedTrace))
		said = append(said, "Dashed: as it was predicted by what had not seen the run.")
	}
	return said
}

// leastWarming is the span that an axis of temperature has at least, K: on a narrower one the steps of a probe look like a course.
const leastWarming = 6.

// atLeastSpan are the ends of an axis about values, whole numbers at least so far apart.
func atLeastSpan(values []float64, least float64) (low, high float64) {
	low, high = math.Floor(slices.Min(values)), math.Ceil(slices.Max(values))
	if short := least - (high - low); short > 0 {
		low, high = low-math.Floor(short/2), high+math.Ceil(short/2)
	}
	return low, high
}

// Course is the voltage of a run as a line of few points, for a small picture; none where nothing has a course.
func Course(rd *reading.Reader, run *journal.Run) frame.Course {
	r := rd.Result(run)
	if r == nil {
		return frame.Course{}
	}
	t := reading.TraceOf(r.Traces, runlog.Voltage)
	if t == nil || len(t.T) < 2 {
		return frame.Course{}
	}
	const points = 240
	c := frame.Course{Name: "Voltage", Low: fmt.Sprintf("%.1f V", slices.Min(t.Y)), High: fmt.Sprintf("%.1f V", slices.Max(t.Y))}
	for _, i := range chart.Thin(t.T, t.Y, points) {
		c.X, c.Y = append(c.X, t.T[i]), append(c.Y, t.Y[i])
	}
	return c
}

// series is a trace as a series, in the unit that is shown.
func series(r *runlog.Result, t runlog.Trace) chart.Series {
	s := chart.Series{Name: t.Channel.Label(), X: t.T, Y: t.Y, Kind: chart.Measured}
	if r.Evidence != runlog.EvidenceLog || len(t.T) <= 12 {
		s.Shape = chart.Dotted
	}
	if factor := shownFactor(t.Channel); factor != 1 {
		s.Y = slices.Clone(t.Y)
		for i := range s.Y {
			s.Y[i] *= factor
		}
	}
	for _, g := range r.Gaps {
		at, _ := slices.BinarySearch(t.T, float64(g.Start+g.Length))
		if at > 0 && at < len(t.T) && !slices.Contains(s.Breaks, at) {
			s.Breaks = append(s.Breaks, at)
		}
	}
	return s
}

// shownUnit is the unit of a channel on a chart: km/h for a speed, per cent for a duty, else the unit that it is held in.
func shownUnit(c runlog.Channel) string {
	if c == runlog.Speed {
		return "km/h"
	}
	return c.Unit()
}

func shownFactor(c runlog.Channel) float64 {
	switch c {
	case runlog.Speed:
		return 3.6
	case runlog.Duty:
		return 100
	}
	return 1
}

// Limits of shading: of more stops than bandsShown only those are shaded that take up at least one part in bandsNarrow of
// the drawing; narrower ones would be lines.
const (
	bandsShown  = 24
	bandsNarrow = 120
)

// stopBands are the bands of the stops within a stretch of time, and what the caption says of them.
//
// A charge and a rest have none: nothing runs that could stop.
func stopBands(run *journal.Run, r *runlog.Result, from, to float64) ([]chart.Band, string) {
	if !reading.Moves(run) {
		return nil, ""
	}
	least := 0.0
	if r.StopCount > bandsShown {
		least = (to - from) / bandsNarrow
	}
	var bands []chart.Band
	out, named := 0, map[string]bool{}
	for _, s := range r.Stops {
		start, end := max(float64(s.Start), from), min(float64(s.Start+s.Length), to)
		if start >= end || end-start < least {
			continue
		}
		label := "stop"
		if s.TakenOut {
			label = "stop, taken out"
			out++
		}
		if named[label] && r.StopCount > 6 {
			label = ""
		}
		named[label] = true
		bands = append(bands, chart.Band{From: start, To: end, Label: label})
	}
	if len(bands) == 0 {
		return nil, ""
	}
	words := "Black over the plot: "
	switch {
	case least > 0:
		words += fmt.Sprintf("the %s that lasted %s or longer, of %d in all", numeral.Several(len(bands), "stop"), quantity.Clock(quantity.Seconds(math.Ceil(least)), 1), r.StopCount)
	default:
		words += "the " + numeral.Several(len(bands), "stop")
	}
	switch out {
	case 0:
		return bands, words + "; none is taken out of the running time."
	case len(bands):
		return bands, words + "; taken out of the running time."
	}
	return bands, fmt.Sprintf("%s; %d of them are taken out of the running time.", words, out)
}

// markCutout marks the opening of the cutout and the reset point on a plot of the voltage, and says so.
func markCutout(p *chart.Plot, r *runlog.Result) []string {
	event := r.Cutout
	if event == nil || !event.OpenedAt.Known() || !event.OpenedVoltage.Known() {
		return nil
	}
	at := float64(event.OpenedAt.Value + r.Start)
	label, said := "cutout opens", []string{fmt.Sprintf("The cutout opened at %s.", numeral.OnPage(event.OpenedVoltage.String()))}
	if event.Inferred {
		label, said[0] = "load ends", fmt.Sprintf("The load ended at %s, at the lowest voltage, and did not come back; no cutout is stated.", numeral.OnPage(event.OpenedVoltage.String()))
	}
	p.Marks = append(p.Marks, chart.Mark{X: at, Y: float64(event.OpenedVoltage.Value), Label: label})
	if event.ResetPoint.Known() {
		p.Lines = append(p.Lines, chart.Level{Value: float64(event.ResetPoint.Value), Label: "reset point"})
		said = append(said, fmt.Sprintf("Above the line of the reset point, %s, it would close again.", event.ResetPoint))
	}
	return said
}

// rebound is the voltage after the opening of the cutout, enlarged, with the fitted curve.
func rebound(rd *reading.Reader, run *journal.Run, r *runlog.Result) chart.Plot {
	t := *reading.TraceOf(r.ReboundTraces, runlog.Voltage)
	p := chart.Plot{ID: address.ReboundPlot, Title: "Voltage about the opening of the cutout", X: chart.Axis{Label: "Time", Format: chart.Clock},
		Upper: chart.Axis{Label: "Voltage", Unit: "V"}, Series: []chart.Series{series(r, t)}}
	said := markCutout(&p, r)
	back := r.Cutout.Rebound
	if fit := back.Fit; fit != nil && fit.Asymptote.Known() {
		p.Series = append(p.Series, fitted(fit, float64(r.Start), t.T[len(t.T)-1]))
		said = append(said, fmt.Sprintf("Dashed: the exponential fitted to the rebound, which leads to %s with a time constant of %s.", fit.Asymptote, fit.TimeConstant))
	}
	if back.Peak.Known() {
		said = append(said, fmt.Sprintf("The voltage came back to %s.", back.Peak))
	}
	p.Caption = "The rebound after the opening, enlarged. " + strings.Join(said, " ")
	p.Alt = describe(p, r, runlog.Voltage)
	return p
}

// fitted draws a fit of the rebound as a curve of 60 points, dense at its beginning, where it bends.
func fitted(fit *runlog.ReboundFit, start, end float64) chart.Series {
	const points = 60
	s := chart.Series{Name: "Fitted", Kind: chart.Computed}
	from := float64(fit.Start) + start
	for i := range points {
		x := from + (end-from)*math.Pow(float64(i)/(points-1), 3)
		s.X = append(s.X, x)
		s.Y = append(s.Y, float64(fit.At(quantity.Seconds(x-from))))
	}
	return s
}

// describe says in words what a plot shows, for who does not see it.
func describe(p chart.Plot, r *runlog.Result, c runlog.Channel) string {
	s := p.Series[0]
	low, high := 0, 0
	for i := range s.Y {
		if s.Y[i] < s.Y[low] {
			low = i
		}
		if s.Y[i] > s.Y[high] {
			high = i
		}
	}
	value := func(i int) string {
		return strings.TrimSpace(quantity.Quantity{Dimension: c.Dimension(), Value: s.Y[i] / shownFactor(c), Unit: shownUnit(c), Decimals: 1}.Rounded())
	}
	clock := func(i int) string { return quantity.Clock(quantity.Seconds(s.X[i]), 1) }
	text := fmt.Sprintf("%s: begins at %s and ends at %s after %s; lowest %s at %s, highest %s at %s.", p.Title,
		value(0), value(len(s.Y)-1), quantity.Clock(quantity.Seconds(s.X[len(s.X)-1]-s.X[0]), 1), value(low), clock(low), value(high), clock(high))
	if n := len(p.Bands); n > 0 {
		text += fmt.Sprintf(" %s shown over it.", numeral.Count(n, "stop"))
	}
	for _, m := range p.Marks {
		text += fmt.Sprintf(" Marked at %s: %s.", quantity.Clock(quantity.Seconds(m.X), 1), m.Label)
	}
	return text
}

// PlotRemedy says which plots a run has, for who named one that it has not.
func PlotRemedy(rd *reading.Reader, run *journal.Run) string {
	r := rd.Result(run)
	if r == nil {
		return "mend the run's evidence first: it could not be computed."
	}
	names := PlotNames(r)
	if _, ok := predicted(rd, run); ok {
		names = append(names, address.PredictionPlot)
	}
	if len(names) == 0 {
		return "take it out: the run's evidence gives no plot."
	}
	return "write one of " + strings.Join(names, ", ") + "."
}

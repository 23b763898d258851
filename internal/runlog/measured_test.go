package runlog

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// TestWholeMeasurement: all that is measured of small made logs whose course can be reckoned by head. The form of the files is
// that of readingCase.
func TestWholeMeasurement(t *testing.T) { holdReadings(t, "testdata/measured/*.txt", measurementOf) }

func measurementOf(t *testing.T, c *readingCase) []string {
	t.Helper()
	src := finding.NewStream(c.name)
	r, found, err := Measure(src, strings.NewReader(c.log), c.options)
	if err != nil {
		t.Fatal(err)
	}
	return append(tellResult(r), foundLines(found)...)
}

// numberOf is a figure's quantity; NaN where it is absent.
func numberOf(f Figure) quantity.Quantity {
	return f.Quantity.Or(quantity.Quantity{Dimension: f.Dimension, Value: math.NaN(), U: math.NaN()})
}

// tellResult says all that a result holds.
func tellResult(r *Result) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	var missing []string // reasons in the order in which they come
	lacking := map[string][]string{}
	for _, f := range r.Figures() {
		if f.Quantity.Why() != "" {
			if lacking[f.Quantity.Why()] == nil {
				missing = append(missing, f.Quantity.Why())
			}
			lacking[f.Quantity.Why()] = append(lacking[f.Quantity.Why()], f.Name)
			continue
		}
		line := fmt.Sprintf("%s %s ± %s", f.Name, digits6(numberOf(f).Value), digits6(numberOf(f).U))
		for _, e := range f.Extra {
			line += fmt.Sprintf(", %s %s", e.Label, e.Quantity.Rounded())
		}
		if f.Note != "" {
			line += " | " + f.Note
		}
		say("%s", line)
	}
	for _, why := range missing {
		say("no %s: %s", strings.Join(lacking[why], ", "), why)
	}
	flow := func(name string, edges, open int, pairs ...float64) {
		line := fmt.Sprintf("%s: %d edges, %d open", name, edges, open)
		for k, what := range []string{"straight", "earlier", "later", "samples"} {
			line += fmt.Sprintf("; %s %s %s", what, digits6(pairs[2*k]), digits6(pairs[2*k+1]))
		}
		say("%s", line)
	}
	if q, e := &r.Charge, &r.Energy; q.Out.Known() {
		flow("charge", q.Edges, q.OpenEdges, float64(q.Trapezoid.Out), float64(q.Trapezoid.In), float64(q.Earlier.Out), float64(q.Earlier.In), float64(q.Later.Out), float64(q.Later.In), float64(q.Sampling.Out), float64(q.Sampling.In))
		flow("energy", e.Edges, e.OpenEdges, float64(e.Trapezoid.Out), float64(e.Trapezoid.In), float64(e.Earlier.Out), float64(e.Earlier.In), float64(e.Later.Out), float64(e.Later.In), float64(e.Sampling.Out), float64(e.Sampling.In))
	}
	for _, s := range r.Stops[:min(len(r.Stops), 4)] {
		say("stop at %s for %s, taken out: %t %s", digits6(float64(s.Start)), digits6(float64(s.Length)), s.TakenOut, s.Why)
	}
	for _, g := range r.Gaps[:min(len(r.Gaps), 4)] {
		say("gap at %s for %s before line %d @%d, %s Ah left out, anew: %t", digits6(float64(g.Start)), digits6(float64(g.Length)), g.Line, g.Offset, digits6(float64(g.LeftOut)), g.Restart)
	}
	if r.IdleRule != "" || r.GapRule != "" {
		say("%d stops, %d gaps; %s %s", r.StopCount, r.GapCount, r.IdleRule, r.GapRule)
	}
	if x := &r.Resistance; x.Steps+x.Refused > 0 {
		line := fmt.Sprintf("resistance: %d steps, %d refused, settled %s, scatter %s", x.Steps, x.Refused, digits6(float64(x.Settle)), digits6(float64(x.Scatter)))
		for _, s := range x.Listed[:min(len(x.Listed), 3)] {
			line += fmt.Sprintf("; at %s, %s to %s, %s, %s", digits6(float64(s.At)), digits6(float64(s.Before)), digits6(float64(s.After)), digits6(float64(s.Settle)), digits6(float64(s.Resistance)))
		}
		say("%s", line)
	}
	if x := r.Cutout; x != nil {
		say("cutout: %d openings, inferred: %t, at %s A; watched %s, rising: %t, needed %s, enough: %t %s", x.Openings, x.Inferred, digits6(float64(x.Current.Value)), digits6(float64(x.Rebound.Watched)), x.Rebound.StillRising, digits6(float64(x.Margin.Needed)), x.Margin.OK, x.Rebound.NoFit)
		if f := x.Rebound.Fit; f != nil {
			say("fit: amplitude %s ± %s from %s, %d points, R² %s, s %s", digits6(float64(f.Amplitude.Value)), digits6(float64(f.Amplitude.U)), digits6(float64(f.Start)), f.Points, digits6(f.R2), digits6(float64(f.ResidualSD)))
		}
	}
	for _, traces := range [][]Trace{r.Traces, r.ReboundTraces} {
		line := ""
		for _, x := range traces {
			t, y := 0.0, 0.0
			for k := range x.T {
				t += x.T[k]
				y += float64(k) * x.Y[k]
			}
			line += fmt.Sprintf("; %s %d: %s, %s", x.Channel, len(x.T), digits6(t), digits6(y))
		}
		if line != "" {
			say("drawn, points, sum of times, and of values by their number%s", line)
		}
	}
	if s := r.Series; s != nil {
		line := fmt.Sprintf("reduced to %d rows from %s", len(s.Time), digits6(s.Start))
		for k := range s.Time[:min(len(s.Time), 9)] {
			line += fmt.Sprintf("; to %s %s A %s V", digits6(s.Time[k]), digits6(s.Current[k]), digits6(s.Voltage[k]))
			if !math.IsNaN(s.Temperature[k]) {
				line += fmt.Sprintf(" %s °C", digits6(s.Temperature[k]))
			}
		}
		say("%s", line)
		if fewer := s.Reduced(12); len(fewer.Time) < len(s.Time) {
			line = "and further"
			for k := range fewer.Time {
				line += fmt.Sprintf("; to %s %s A %s V", digits6(fewer.Time[k]), digits6(fewer.Current[k]), digits6(fewer.Voltage[k]))
			}
			say("%s", line)
		}
	}
	if s := strings.TrimSpace(r.Ledger() + " " + r.TimeLedger()); s != "" {
		say("%s", s)
	}
	return slices.Clip(out)
}

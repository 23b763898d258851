package runlog

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// runDown is a discharge at 8 A whose voltage falls in a straight line from 24 V and is cut off when it reaches opens; then
// it recovers as asymptote − amplitude·exp(−t/tau), once a second for rest seconds.
func runDown(opens, asymptote, amplitude, tau float64, rest int, noise float64) []Sample {
	random := rand.New(rand.NewPCG(11, 12))
	var out []Sample
	out = append(out, vi(0, 24.4, 0))
	x := 0.0
	for v := 24.0; v > opens-1e-9; v -= 0.01 {
		x++
		out = append(out, vi(x, v, 8))
	}
	for k := range rest {
		t := float64(k)
		out = append(out, vi(x+1+t, asymptote-amplitude*math.Exp(-t/tau)+noise*random.NormFloat64(), 0))
	}
	return out
}

func stated(opens, threshold float64) Options {
	o := NewOptions()
	o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(opens)), Threshold: quantity.Exact(quantity.Volts(threshold))}
	o.Instruments = []Instrument{{Channel: Voltage, Resolution: 0.01}}
	return o
}

func TestOpeningAndRebound(t *testing.T) {
	r := meter(runDown(21.5, 22.9, 1.2, 40, 300, 0.004), stated(21.5, 1.6))
	e := r.Cutout
	if e == nil {
		t.Fatal("no opening seen")
	}
	near(t, "opened at", float64(e.OpenedVoltage.Value), 21.5, 1e-6)
	near(t, "time", float64(e.OpenedAt.Value), 251.5, 1e-9) // between the samples at 251 s and 252 s
	near(t, "u of the time", float64(e.OpenedAt.U), 0.5/math.Sqrt(3), 1e-9)
	near(t, "current", float64(e.Current.Value), 8, 0)
	if e.Inferred || e.Openings != 1 {
		t.Errorf("inferred %v, openings %d", e.Inferred, e.Openings)
	}
	f := e.Rebound.Fit
	if f == nil {
		t.Fatal(e.Rebound.NoFit)
	}
	// The curve that made the samples is the oracle; the fit must cover it.
	near(t, "asymptote", float64(f.Asymptote.Value), 22.9, 2*float64(f.Asymptote.U))
	near(t, "time constant", float64(f.TimeConstant.Value), 40, 3*float64(f.TimeConstant.U))
	near(t, "amplitude", float64(f.Amplitude.Value), 1.2, 2*float64(f.Amplitude.U))
	if f.Asymptote.U < f.ResidualSD {
		t.Errorf("the asymptote is surer (%g V) than the points lie on the curve (%g V)", f.Asymptote.U, f.ResidualSD)
	}
	near(t, "residual SD", float64(f.ResidualSD), 0.004, 0.0006)
	if f.R2 < 0.999 {
		t.Errorf("R² = %g", f.R2)
	}
	near(t, "reset point", float64(e.ResetPoint.Value), 23.1, 1e-12)
	near(t, "margin", float64(e.Margin.Margin.Value), 23.1-float64(e.Rebound.Peak.Value), 1e-12)
	if len(r.ReboundTraces) != 2 || r.ReboundTraces[0].Channel != Voltage || len(r.ReboundTraces[0].T) == 0 {
		t.Fatalf("rebound traces: %v", r.ReboundTraces)
	}
	if first := r.ReboundTraces[0].T[0]; first >= 251 {
		t.Errorf("the rebound's own trace begins at %g s, after the opening", first)
	}
}

// Common practice, no source: a cutout set to 16.5 V with a 1.0 V threshold resets at 17.5 V; a rebound to 17.4 V leaves it
// open with 0.1 V to spare, which is too little. A pack of 5 cells in series cut at 16.5 V is cut at 3.3 V a cell.
func TestTradeMargin(t *testing.T) {
	volts := func(x float64) quantity.Measured[quantity.Volts] { return quantity.Exact(quantity.Volts(x)) }
	reset := quantity.Sum(volts(16.5), volts(1.0))
	near(t, "reset point", float64(reset.Value), 17.5, 1e-12)
	m := NewResetMargin(reset, volts(17.4))
	near(t, "margin", float64(m.Margin.Value), 0.1, 1e-12)
	if m.OK || m.Needed != 0.2 {
		t.Errorf("a margin of 0.1 V is taken as enough: %+v", m)
	}
	if m := NewResetMargin(reset, volts(17.3)); !m.OK {
		t.Errorf("a margin of 0.2 V is taken as too small: %+v", m)
	}
	unsure := quantity.Of[quantity.Volts](17.2, 0.2)
	if m := NewResetMargin(reset, unsure); m.OK || math.Abs(float64(m.Needed)-0.4) > 1e-12 {
		t.Errorf("0.3 V within ±0.4 V is taken as enough: %+v", m)
	}
	if m := NewResetMargin(quantity.Missing[quantity.Volts](), volts(17)); m.OK {
		t.Error("an unknown reset point gives a margin")
	}

	samples := runDown(16.5, 17.4, 0.5, 20, 200, 0)
	o := stated(16.5, 1.0)
	o.Series = 5
	r := meter(samples, o)
	if f, _ := r.Figure("cutout-voltage"); !strings.Contains(f.Note, "3.3 V a cell") {
		t.Errorf("the cutout's voltage a cell: %q", f.Note)
	}
	near(t, "opened at", float64(r.Cutout.OpenedVoltage.Value), 16.5, 1e-6)
	near(t, "highest rebound", float64(r.Cutout.Rebound.Peak.Value), 17.4, 0.001)
	if r.Cutout.Margin.OK {
		t.Errorf("margin %v", r.Cutout.Margin)
	}
}

func TestOpeningNotSeen(t *testing.T) {
	whole := runDown(21.5, 22.9, 1.2, 40, 60, 0)
	for _, c := range []struct {
		name    string
		samples []Sample
		o       Options
		why     string
	}{
		{"ends under load", whole[:200], NewOptions(), "ends under load"},
		{"cut off above the opening", whole, stated(20.5, 1), "never cut off at or below"},
		{"no discharge", []Sample{vi(0, 20, -3), vi(9, 21, -3), vi(20, 22, -3)}, NewOptions(), "no discharge"},
		{"the load comes back", append(append([]Sample(nil), whole...), vi(9000, 22, 8), vi(9001, 22, 8), vi(9002, 22, 8)), NewOptions(), "ends under load"},
		{"hardly below the first voltage", runDown(23.8, 24, 0.1, 20, 60, 0), NewOptions(), "not cut off"},
		{"hardly a rebound", runDown(21.5, 21.6, 0.05, 20, 60, 0), NewOptions(), "not cut off"},
		{"two seconds are no rest", whole[:len(whole)-58], NewOptions(), "not cut off"},
	} {
		r := meter(c.samples, c.o)
		f, _ := r.Figure("cutout-voltage")
		if r.Cutout != nil || !strings.Contains(f.Quantity.Why(), c.why) {
			t.Errorf("%s: %+v says %q", c.name, r.Cutout, f.Quantity.Why())
		}
	}
	// Measured behind the cutout the voltage vanishes: an opening, but no rebound.
	behind := append([]Sample(nil), whole[:252]...)
	for k := range 30 {
		behind = append(behind, vi(252+float64(k), 0, 0))
	}
	r := meter(behind, stated(21.5, 1))
	if r.Cutout == nil {
		t.Fatal("no opening seen from behind the cutout")
	}
	f, _ := r.Figure("rebound-peak")
	if !strings.Contains(f.Quantity.Why(), "behind the cutout") {
		t.Errorf("rebound: %q", f.Quantity.Why())
	}
	near(t, "lowest voltage under load", float64(r.LowestVoltage.Value), 21.5, 1e-6)
}

// A cutout that lets the load on again opens more than once; the first opening is told, and the rebound ends there.
func TestChatter(t *testing.T) {
	samples := runDown(21.5, 22.9, 1.2, 5, 20, 0)
	x := samples[len(samples)-1].Time
	for range 3 {
		for k := range 4 {
			x++
			samples = append(samples, vi(x, 21.5-0.01*float64(k), 8))
		}
		for range 6 {
			x++
			samples = append(samples, vi(x, 22.6, 0))
		}
	}
	r := meter(samples, stated(21.5, 1.0))
	if r.Cutout == nil || r.Cutout.Openings != 4 {
		t.Fatalf("%+v, want 4 openings", r.Cutout)
	}
	near(t, "the first", float64(r.Cutout.OpenedAt.Value), 251.5, 1e-9)
	near(t, "watched", float64(r.Cutout.Rebound.Watched), 19.5, 1e-9)
}

func TestFitRefuses(t *testing.T) {
	line := func(n int, f func(float64) float64) (x, y []float64) {
		for k := range n {
			x, y = append(x, float64(k)), append(y, f(float64(k)))
		}
		return x, y
	}
	for _, c := range []struct {
		name string
		n    int
		f    func(float64) float64
		why  string
	}{
		{"five points", 5, func(t float64) float64 { return 3 - math.Exp(-t) }, "too few"},
		{"flat", 20, func(float64) float64 { return 3 }, "does not change"},
		{"falling", 20, func(t float64) float64 { return 3 - t }, "does not rise"},
		{"rough", 12, func(t float64) float64 { return 3 + 0.1*t + 3*math.Sin(2.5*t) }, "too rough"},
		{"straight", 50, func(t float64) float64 { return 3 + 0.01*t }, "long enough"},
	} {
		x, y := line(c.n, c.f)
		fit, why := fitRebound(x, y, 0, 0)
		if fit != nil || !strings.Contains(why, c.why) && !strings.Contains(why, "settles") {
			t.Errorf("%s: %+v, %q", c.name, fit, why)
		}
	}
}

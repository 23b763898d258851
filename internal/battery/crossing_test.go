package battery

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// By hand: a log of two cells that falls by 10 mV a cell a second, dips once for two seconds, and ends in a rest.
func TestCrossingsByHand(t *testing.T) {
	var at, amps, volts []float64
	for s := range 101 {
		v := 4 - 0.01*float64(s)
		if s == 20 || s == 21 {
			v = 3.3
		}
		at, amps, volts = append(at, float64(s)), append(amps, 2), append(volts, 2*v)
	}
	at, amps, volts = append(at, 102, 200), append(amps, 0, 0), append(volts, 7, 7)
	l := NewLog("by hand", 2, at, amps, volts, nil)
	p, err := prepareRows(l, chemistry(t, "nmc"), 2, true)
	if err != nil {
		t.Fatal(err)
	}
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(2)))
	if err != nil {
		t.Fatal(err)
	}
	r := p.residual(e.Cell())
	for _, c := range []struct {
		volts, delay, measured, at float64 // of the pack; NaN: not reached
	}{
		{6.9, 0, 19 + (3.81-3.45)/(3.81-3.3), 3.45}, // at once, in the dip
		{6.9, 5, 55 + 5, 3.45},                      // the dip is too short
		{6.02, 60, 100, 3.01},                       // the load ends before the delay is over
		{5.98, 0, 100, 3},                           // the log ends 0.3 % above it
		{5.9, 0, math.NaN(), math.NaN()},            // 1.7 % above is not there
		{8.1, 0, math.NaN(), math.NaN()},            // below it from the start: see the first row
		{7.98, 0, 1, 3.99},
	} {
		got := p.crossings(r, []Level{{Name: "a level", Volts: quantity.Volts(c.volts), Delay: quantity.Seconds(c.delay)}})
		switch {
		case c.volts == 8.1:
			if len(got) != 1 || got[0].Measured > 1.01 {
				t.Errorf("%+v: %+v", c, got)
			}
		case math.IsNaN(c.measured):
			if len(got) != 0 {
				t.Errorf("%+v: %+v", c, got)
			}
		case len(got) != 1 || math.Abs(float64(got[0].Measured)-c.measured) > 1e-6 || math.Abs(float64(got[0].At)-c.at) > 1e-9:
			t.Errorf("%+v: %+v", c, got)
		}
	}
}

// A level at the voltage where a log ended has the time and the uncertainty of its end; one that the log does not reach is not told.
func TestCrossingAtTheEnd(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	l := warwickLog(t, "T25_cRate_1C_discharge_rest_charge_every3rd")
	plain, u, err := e.Compare(l)
	if err != nil {
		t.Fatal(err)
	}
	r, _, err := e.Compare(l, Level{Name: "above", Volts: 3.2}, Level{Name: "end", Volts: plain.Cutoff}, Level{Name: "never", Volts: 1})
	if err != nil || len(r.Crossings) != 2 {
		t.Fatalf("%+v, %v", r.Crossings, err)
	}
	above, end := r.Crossings[0], r.Crossings[1]
	if math.Abs(float64(end.Predicted-plain.Predicted)) > 0.5 || math.Abs(float64(end.U/u)-1) > 0.01 || math.Abs(float64(end.Measured-plain.Measured)) > 1 {
		t.Errorf("%+v: the end is %v ± %v, measured %v", end, plain.Predicted, u, plain.Measured)
	}
	if !(above.Measured < end.Measured && above.Predicted < end.Predicted && above.U > 0) {
		t.Errorf("%+v, %+v", above, end)
	}
}

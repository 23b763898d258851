package battery

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// What is no log is refused with a reason, and what is odd in one does no harm:
// holes, repeated and backward times, a million rows.
func TestOddLogs(t *testing.T) {
	e, err := Typical(chemistry(t, "nca"), quantity.Exact(quantity.AmpereHours(3)))
	if err != nil {
		t.Fatal(err)
	}
	good := samsungLog(t, "2C")
	for _, k := range []struct {
		name, want string
		change     func(*Log)
	}{
		{"one row", "at least two are needed", func(l *Log) { l.Time, l.Amperes, l.Volts, l.Celsius = l.Time[:1], l.Amperes[:1], l.Volts[:1], nil }},
		{"unlike columns", "unlike length", func(l *Log) { l.Volts = l.Volts[1:] }},
		{"no series", "cells in series are not known", func(l *Log) { l.Series = 0 }},
		{"a charge only", "no log holds a discharge", func(l *Log) {
			l.Amperes = slices.Clone(l.Amperes)
			for i := range l.Amperes {
				l.Amperes[i] = -3
			}
		}},
		{"holes", "", func(l *Log) {
			l.Volts = slices.Clone(l.Volts)
			for i := 0; i < len(l.Volts); i += 7 {
				l.Volts[i] = math.NaN()
			}
		}},
		{"repeated and backward times", "", func(l *Log) {
			l.Time = slices.Clone(l.Time)
			l.Time[100], l.Time[200] = l.Time[99], l.Time[190]
		}},
		{"no temperature", "", func(l *Log) { l.Celsius = nil }},
	} {
		l := good
		k.change(&l)
		cal, err := e.Calibrate(l)
		switch {
		case k.want != "" && (err == nil || !strings.Contains(err.Error(), k.want)):
			t.Errorf("%s: %v, want %q", k.name, err, k.want)
		case k.want == "" && err != nil:
			t.Errorf("%s: %v", k.name, err)
		case k.want == "" && !(math.Abs(residuals(t, cal)[0].TimeError()) < 0.02 && residuals(t, cal)[0].Usable < 0.01):
			t.Errorf("%s: %+v", k.name, residuals(t, cal)[0])
		}
	}
	if _, err := e.Calibrate(); err == nil {
		t.Error("calibrated on nothing")
	}
}

// A long log of a restless current is cut down to what a fit can run in good time;
// the charge stays.
func TestLongLog(t *testing.T) {
	const n = 300_000
	var l Log
	var charge float64
	for i := range n {
		amps := 1 + math.Sin(float64(i)*0.7)
		l.Time, l.Amperes, l.Volts = append(l.Time, float64(i)*0.02), append(l.Amperes, amps), append(l.Volts, 3.7-0.03*amps)
		if i > 0 {
			charge += (l.Amperes[i] + l.Amperes[i-1]) / 2 * 0.02
		}
	}
	log := NewLog("restless", 1, l.Time, l.Amperes, l.Volts, nil)
	p, err := prepare(log, chemistry(t, "nca"), 3)
	if err != nil {
		t.Fatal(err)
	}
	var kept float64
	for _, piece := range p.pieces {
		kept += piece.amps * piece.seconds
	}
	if len(p.pieces) > enoughPieces || len(p.marks) > enoughMarks || len(p.marks) < enoughMarks/3 {
		t.Errorf("%d stretches and %d observations", len(p.pieces), len(p.marks))
	}
	if math.Abs(kept/charge-1) > 1e-9 {
		t.Errorf("charge %.9f A s, in the log %.9f A s", kept, charge)
	}
}

// A stated resistance moves a typical cell to it, and narrows it.
func TestStatedResistance(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	resistance := func(e *Estimate) Spread {
		s, err := e.Spread(func(c *Cell) ([]float64, error) { return []float64{float64(c.ResistanceAt(0.5, 25, statedAfter))}, nil })
		if err != nil {
			t.Fatal(err)
		}
		return s[0]
	}
	before := resistance(e)
	stated, err := e.WithResistance(quantity.Of[quantity.Ohms](0.045, 0.002))
	if err != nil {
		t.Fatal(err)
	}
	after := resistance(stated)
	t.Logf("typical (%.1f ± %.1f) mΩ, with 45 mΩ stated (%.1f ± %.1f) mΩ", 1000*before.Value, 2000*before.U, 1000*after.Value, 2000*after.U)
	if math.Abs(after.Value-0.045) > 0.001 || after.U > 0.0025 || before.U < 0.25*before.Value {
		t.Errorf("typical %v ± %v, stated %v ± %v", before.Value, before.U, after.Value, after.U)
	}
	if _, err := e.WithResistance(quantity.Missing[quantity.Ohms]()); err == nil {
		t.Error("no resistance was taken")
	}
}

// A meter of a hobby: a row every 20 s, volts in steps of 10 mV with as much
// noise, whole degrees, and a label 15 % high. The 3C run, at full rate, is still
// predicted within the targets.
func TestHobbyMeter(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	coarse := func(l Log) Log {
		k := NewLog(l.Name, 1, nil, nil, nil, nil)
		last := math.Inf(-1)
		for i, at := range l.Time {
			if at-last < 20 && i != len(l.Time)-1 {
				continue
			}
			last = at
			k.Time, k.Amperes = append(k.Time, at), append(k.Amperes, math.Round(l.Amperes[i]*100)/100)
			k.Volts = append(k.Volts, math.Round((l.Volts[i]+0.01*rng.NormFloat64())*100)/100)
			k.Celsius = append(k.Celsius, math.Round(l.Celsius[i]))
		}
		return k
	}
	e, err := Typical(chemistry(t, "nca"), quantity.Exact[quantity.AmpereHours](3*1.15))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := e.Calibrate(coarse(samsungLog(t, "1C")), coarse(samsungLog(t, "2C")))
	if err != nil {
		t.Fatal(err)
	}
	r, err := Compare(cal.After.Cell(), samsungLog(t, "3C"))
	if err != nil {
		t.Fatal(err)
	}
	t.Log(row(r, "predicted", Spread{U: math.NaN()}))
	if math.Abs(100*r.TimeError()) > targetTime || 1000*float64(r.Usable) > targetMV {
		t.Errorf("run time off by %.1f %%, voltage by %.1f mV", 100*r.TimeError(), 1000*float64(r.Usable))
	}
}

// A logger that writes the row under load and the row after it with one time: the
// discharge ends at the former. The oracle is the same log without the latter.
func TestRowsWithOneTime(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(3)))
	if err != nil {
		t.Fatal(err)
	}
	o, err := Simulate(Scenario{Packs: []Pack{NewPack(e.Cell(), 4)}, Demand: Steady(Drawing(3)), Ambient: 25, TracePoints: 200, Levels: []Level{{Name: "end", Volts: 11.2}}})
	if err != nil {
		t.Fatal(err)
	}
	plain := NewLog("plain", 4, nil, nil, nil, nil)
	for _, r := range o.Trace {
		plain.Time, plain.Amperes, plain.Volts = append(plain.Time, float64(r.At)), append(plain.Amperes, float64(r.Amperes)), append(plain.Volts, float64(r.Volts))
	}
	plain.Drawn = quantity.Exact(quantity.AmpereHours(0))
	double := plain
	end := plain.Time[len(plain.Time)-1]
	double.Time = append(slices.Clone(plain.Time), end, end+60)
	double.Amperes = append(slices.Clone(plain.Amperes), 0, 0)
	double.Volts = append(slices.Clone(plain.Volts), 12.6, 12.9)
	want, err := Compare(e.Cell(), plain)
	if err != nil {
		t.Fatal(err)
	}
	got, err := Compare(e.Cell(), double)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(got.Predicted-want.Predicted)) > 1e-6 || got.Cutoff != want.Cutoff || math.Abs(want.TimeError()) > 1e-3 {
		t.Errorf("%.3f s to %v, without the second row %.3f s to %v, simulated %.3f s", float64(got.Predicted), got.Cutoff, float64(want.Predicted), want.Cutoff, float64(o.Elapsed))
	}
	// The predicted voltages are those that the residual is made of.
	if len(want.Time) != len(want.Modelled) || len(want.Time) < len(plain.Time)-1 {
		t.Fatalf("%d times, %d voltages, %d rows", len(want.Time), len(want.Modelled), len(plain.Time))
	}
	for n, at := range want.Time {
		k := slices.Index(plain.Time, at)
		if d := want.Modelled[n] - plain.Volts[k]/4; math.Abs(d) > 0.02 {
			t.Errorf("at %.0f s the cell that made the log is predicted %.1f mV off", at, 1000*d)
		}
	}
}

// A load reads as a reader would write it.
func TestLoadInWords(t *testing.T) {
	for _, c := range []struct {
		load Load
		want string
	}{{Delivering(30000), "30 kW"}, {Drawing(0.25), "0.25 A"}, {Across(3.5), "3.5 Ω"}, {Drawing(10000), "10000 A"}, {holding(14.4), "14.4 V held"}} {
		if got := c.load.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// A load so small that nothing is reached in the time that is computed says what time that is.
func TestTimeUp(t *testing.T) {
	p := typicalPack(t, "lfp", 100, 4)
	o, err := RunTimes([]Pack{p}, Steady(Drawing(0.01)), nil, 20)
	if err != nil {
		t.Fatal(err)
	}
	if text := o.Levels[0].Err.Error(); !strings.Contains(text, "is never reached: the 30 days that are computed ended at 13.") {
		t.Error(text)
	}
}

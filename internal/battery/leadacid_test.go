package battery

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// The measured runs of a 12 V 17 Ah lead-acid battery, calibrated on the first at
// 3 A. The next day's run at 2.5 A is predicted within 5 %; the later ones at lower
// currents gave less charge than the first, where the law of Peukert promises more:
// they are printed as missed. The battery faded, or was not charged as full, from
// run to run (see TestMeasuredLeadAcidIsRefused), which nothing here models.
func TestLeadAcidRuns(t *testing.T) {
	e, err := Typical(chemistry(t, "lead-acid-agm"), quantity.Exact(quantity.AmpereHours(17)))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := e.Calibrate(bboxxLog(t, "unit-a-2017-03-25"))
	if err != nil {
		t.Fatal(err)
	}
	lines := []string{row(residuals(t, cal)[0], "seen", Spread{U: math.NaN()})}
	for _, name := range []string{"unit-a-2017-03-26", "unit-a-2017-03-27", "unit-a-2017-03-28", "unit-a-2017-03-30", "unit-a-2017-03-31", "unit-a-2017-04-02"} {
		l := bboxxLog(t, name)
		r, err := Compare(cal.After.Cell(), l)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, row(r, "predicted", runTimeSpread(t, cal.After, l)))
		if strings.HasSuffix(name, "26") && math.Abs(r.TimeError()) > 0.05 {
			t.Errorf("%s: off by %.1f %%", name, 100*r.TimeError())
		}
	}
	t.Log(heading + strings.Join(lines, "\n"))
}

// Runs of a battery that faded from run to run, taken together: no capacity fits
// them, and the answer is not one that none of them shows. The bound is the most
// that any of them took out, counted by the law of Peukert as the cell counts it
// (charge from the data set's SOURCE.md); before the rows were counted for less,
// the first of these gave 33 Ah.
func TestFadingRunsTogether(t *testing.T) {
	for _, c := range []struct {
		runs  []string
		ah, i float64 // of the run that counts for most
	}{
		{[]string{"03-25", "03-27", "03-30", "03-31"}, 19.7386, 3.04},
		{[]string{"03-28", "03-30", "03-31"}, 19.2825, 1.54},
	} {
		e, err := Typical(chemistry(t, "lead-acid-agm"), quantity.Exact(quantity.AmpereHours(17)))
		if err != nil {
			t.Fatal(err)
		}
		var logs []Log
		for _, r := range c.runs {
			logs = append(logs, bboxxLog(t, "unit-a-2017-"+r))
		}
		cal, err := e.Calibrate(logs...)
		if err != nil {
			t.Fatal(err)
		}
		most := c.ah * math.Pow(c.i/0.85, 0.1)
		got := float64(cal.After.Cell().Capacity)
		t.Logf("%v: %.2f Ah, at most %.2f Ah by any run; reduced χ² %.1f", c.runs, got, most, cal.Misfit)
		if got > 1.03*most || got < 18 {
			t.Errorf("%v: %.2f Ah, the run that took most says %.2f Ah", c.runs, got, most)
		}
		if !(cal.Misfit > 4) {
			t.Errorf("%v: reduced χ² %.2f of runs that contradict each other", c.runs, cal.Misfit)
		}
	}
}

// The same with a simulated battery, whose fading is known: 20 Ah, 19 Ah, 18 Ah
// and 17 Ah, a run each.
func TestSimulatedFade(t *testing.T) {
	e, err := Typical(chemistry(t, "lead-acid-agm"), quantity.Exact(quantity.AmpereHours(18)))
	if err != nil {
		t.Fatal(err)
	}
	var logs []Log
	for n, ah := range []float64{20, 19, 18, 17} {
		cell := e.Cell()
		cell.Capacity = quantity.AmpereHours(ah)
		p := NewPack(cell, 6)
		amps := []float64{3, 2, 1, 0.7}[n]
		o, err := Simulate(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(quantity.Amperes(amps))), Ambient: 25, TracePoints: 400, Levels: []Level{{Name: "end", Volts: 10.4}}})
		if err != nil {
			t.Fatal(err)
		}
		l := NewLog("run", 6, nil, nil, nil, nil)
		l.Drawn = quantity.Exact(quantity.AmpereHours(0))
		for _, r := range o.Trace {
			l.Time, l.Amperes, l.Volts = append(l.Time, float64(r.At)), append(l.Amperes, float64(r.Amperes)), append(l.Volts, float64(r.Volts))
		}
		logs = append(logs, l)
	}
	cal, err := e.Calibrate(logs...)
	if err != nil {
		t.Fatal(err)
	}
	got := float64(cal.After.Cell().Capacity)
	t.Logf("%.2f Ah, reduced χ² %.1f", got, cal.Misfit)
	if got < 17 || got > 21 {
		t.Errorf("%.2f Ah of a battery that had from 20 Ah down to 17 Ah", got)
	}
}

// A cold lead-acid battery holds less: the data sheet's 74 % at −10 °C, 90 % at
// 10 °C and 103 % at 30 °C (VRLA 12 V 40 Ah, reference values, section 5).
func TestCapacityInTheCold(t *testing.T) {
	c := chemistry(t, "lead-acid-agm")
	for _, k := range []struct{ at, want float64 }{{-10, 0.74}, {0, 0.82}, {10, 0.90}, {25, 1}, {30, 1.03}, {50, 1.03}, {-30, 0.74}} {
		if f := c.CapacityFactor(quantity.Celsius(k.at)); math.Abs(f-k.want) > 1e-9 {
			t.Errorf("%g °C: %.4f, want %.4f", k.at, f, k.want)
		}
	}
	p := typicalPack(t, "lead-acid-agm", 40, 6)
	var last quantity.Seconds
	for _, at := range []quantity.Celsius{-10, 10, 30} {
		p.Temperature = at
		o, err := RunTimes([]Pack{p}, Steady(Drawing(8)), nil, at)
		if err != nil || o.Levels[1].Err != nil || o.Levels[1].At <= last {
			t.Fatalf("at %v: %v after %v before, %v", at, o.Levels[1].At, last, err)
		}
		last = o.Levels[1].At
	}
}

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
	lines := []string{row(cal.Residuals[0], "seen", Spread{U: math.NaN()})}
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

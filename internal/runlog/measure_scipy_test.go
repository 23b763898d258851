package runlog

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"voltwright/internal/quantity"
)

// Values made by testdata/scipy/make.py with scipy 1.10.1 and numpy 1.24.2.
func TestScipy(t *testing.T) {
	text, err := os.ReadFile(filepath.Join("testdata", "scipy", "reference.json"))
	if err != nil {
		t.Fatal(err)
	}
	var want struct {
		Trapezoid struct {
			T, I, V     []float64
			AmpereHours float64 `json:"ampere_hours"`
			WattHours   float64 `json:"watt_hours"`
		}
		Percentile struct {
			X []float64
			Q map[string]float64
		}
		Student []struct {
			Y             []float64
			Low, High, SD float64
		}
		Relaxation struct{ X, Y, P, SD []float64 }
	}
	if err := json.Unmarshal(text, &want); err != nil {
		t.Fatal(err)
	}
	var samples []Sample
	for k, x := range want.Trapezoid.T {
		samples = append(samples, vi(x, want.Trapezoid.V[k], want.Trapezoid.I[k]))
	}
	r := meter(samples, perfect())
	near(t, "scipy.integrate.trapezoid of the current", float64(r.Charge.Out.Value), want.Trapezoid.AmpereHours, 1e-13)
	near(t, "scipy.integrate.trapezoid of the power", float64(r.Energy.Out.Value), want.Trapezoid.WattHours, 1e-12)

	var q quantiles
	for _, x := range want.Percentile.X {
		q.add(x, 1)
	}
	for p, above := range map[string]float64{"5": 0.95, "50": 0.50, "90": 0.10, "95": 0.05, "99": 0.01} {
		near(t, "numpy.percentile "+p, q.exceededBy(above*float64(len(want.Percentile.X))), want.Percentile.Q[p], 0)
	}
	for _, c := range want.Student {
		var m moments
		for _, y := range c.Y {
			m.add(y)
		}
		half := studentHalfWidth(m.sd(), m.n, 0.95)
		near(t, "scipy.stats.t.interval low", m.average()-half, c.Low, 1e-8)
		near(t, "scipy.stats.t.interval high", m.average()+half, c.High, 1e-8)
		near(t, "sd", m.sd(), c.SD, 1e-13)
	}
	fit, err := curveFit(relaxation, []float64{24, 1, 30}, want.Relaxation.X, want.Relaxation.Y)
	if err != nil {
		t.Fatal(err)
	}
	for k := range fit.parameters {
		near(t, "scipy.optimize.curve_fit", fit.parameters[k], want.Relaxation.P[k], 1e-6*math.Abs(want.Relaxation.P[k]))
		near(t, "its deviation", fit.deviations[k], want.Relaxation.SD[k], 1e-4*want.Relaxation.SD[k])
	}
}

// Digits of unknown size make no uncertainty, rather than none.
func TestDigitsOfUnknownSize(t *testing.T) {
	o := NewOptions()
	o.Instruments = []Instrument{{Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.005, Digits: 2}}}
	r, _ := FromReadings([]Reading{reading(0, 25, 5), reading(10, 24, 5)}, o)
	if !math.IsNaN(float64(r.StartVoltage.U)) {
		t.Errorf("u = %v", r.StartVoltage.U)
	}
	o.Instruments[0].Resolution = 0.01
	r, _ = FromReadings([]Reading{reading(0, 25, 5), reading(10, 24, 5)}, o)
	near(t, "u", float64(r.StartVoltage.U), math.Hypot((0.005*25+0.02)/math.Sqrt(3), 0.01/math.Sqrt(12)), 1e-12)
}

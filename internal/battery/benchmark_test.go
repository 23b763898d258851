package battery

import (
	"testing"

	"voltwright/internal/quantity"
)

// The floor: one evaluation of the open-circuit spline.
func BenchmarkCurve(b *testing.B) {
	c := typicalPack(b, "nmc", 5, 1).Cell.Curve
	var sum float64
	z := 0.0
	for b.Loop() {
		sum += c.at(z)
		if z += 0.00137; z > 1 {
			z -= 1
		}
	}
	if sum == 0 {
		b.Fatal("no voltage")
	}
}

// A run time at a constant load, both floors, with branches, lag and self-heating.
// ns/op over those of BenchmarkCurve is how many evaluations a prediction costs.
func BenchmarkRunTime(b *testing.B) {
	p := typicalPack(b, "nmc", 5, 7)
	for _, k := range []struct {
		name string
		load Load
	}{{"current", Drawing(5)}, {"power", Delivering(125)}, {"resistance", Across(5)}} {
		b.Run(k.name, func(b *testing.B) {
			d := Steady(k.load)
			var o *Outcome
			for b.Loop() {
				var err error
				if o, err = RunTimes([]Pack{p}, d, nil, 20); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(o.Steps), "steps")
		})
	}
}

// Two packs in parallel.
func BenchmarkParallel(b *testing.B) {
	p, q := typicalPack(b, "nmc", 5, 7), typicalPack(b, "nmc", 3, 7)
	for b.Loop() {
		if _, err := RunTimes([]Pack{p, q}, Steady(Drawing(8)), nil, 20); err != nil {
			b.Fatal(err)
		}
	}
}

// A calibration on a C/10 and a 1C log of thousands of rows.
func BenchmarkCalibrate(b *testing.B) {
	logs := []Log{warwickLog(b, "T25_cRate_0p1C_discharge_rest_charge"), warwickLog(b, "T25_cRate_1C_discharge_rest_charge_every3rd")}
	e, err := Typical(chemistry(b, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := e.Calibrate(logs...); err != nil {
			b.Fatal(err)
		}
	}
}

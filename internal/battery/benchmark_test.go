package battery

import (
	"math"
	"testing"
	"time"

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

// floorOf is the time of one evaluation of the open-circuit curve, in this run.
func floorOf(b *testing.B) float64 {
	b.Helper()
	c := typicalPack(b, "nmc", 5, 1).Cell.Curve
	const n = 1 << 18
	var sum float64
	start := time.Now()
	for i := range n {
		sum += c.at(math.Mod(float64(i)*0.00137, 1))
	}
	if sum == 0 {
		b.Fatal("no voltage")
	}
	return float64(time.Since(start)) / n
}

// asCurves reports an operation as so many evaluations of the curve.
func asCurves(b *testing.B, floor float64) {
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/floor, "curves/op")
}

// threeRuns are measured runs of one cell at C/2, 1C and 2C.
func threeRuns(b *testing.B) (*Estimate, []Log) {
	b.Helper()
	e, err := Typical(chemistry(b, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		b.Fatal(err)
	}
	return e, []Log{warwickLog(b, "T25_cRate_0p5C_discharge_rest_charge"), warwickLog(b, "T25_cRate_1C_discharge_rest_charge_every3rd"), warwickLog(b, "T25_cRate_2C_discharge_rest_charge_every3rd")}
}

// A calibration on three runs, and its checks with each run left out, as evaluations of the curve; of-calibration is how much of the
// calibration's time the three checks take.
func BenchmarkCalibrate(b *testing.B) {
	e, logs := threeRuns(b)
	floor := floorOf(b)
	var whole float64
	b.Run("three runs", func(b *testing.B) {
		for b.Loop() {
			if _, err := e.Calibrate(logs...); err != nil {
				b.Fatal(err)
			}
		}
		asCurves(b, floor)
		whole = float64(b.Elapsed()) / float64(b.N)
	})
	cal, err := e.Calibrate(logs...)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("each left out", func(b *testing.B) {
		for b.Loop() {
			left := LeavingOut(e, cal.After)
			for i := range logs {
				if _, err := left.Without(i); err != nil {
					b.Fatal(err)
				}
			}
		}
		asCurves(b, floor)
		b.ReportMetric(float64(b.Elapsed())/float64(b.N)/whole, "of-calibration")
	})
}

// A run time with its interval, of a cell that three runs taught.
func BenchmarkForecast(b *testing.B) {
	e, logs := threeRuns(b)
	cal, err := e.Calibrate(logs...)
	if err != nil {
		b.Fatal(err)
	}
	floor := floorOf(b)
	for b.Loop() {
		if _, err := Forecasts([]KnownPack{{Estimate: cal.After, Pack: NewPack(nil, 7)}}, Steady(Delivering(100)), nil, 25); err != nil {
			b.Fatal(err)
		}
	}
	asCurves(b, floor)
}

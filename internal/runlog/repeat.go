package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// Repeated is one figure over the repeats of one run, in the base unit of its Dimension.
type Repeated struct {
	Name, Label string
	Dimension   quantity.Dimension
	N           int // runs that give the figure
	Mean        float64
	SD          float64 // sample standard deviation; NaN for one run
	Low, High   float64 // least and greatest
	// Half is half the confidence interval of the mean at Confidence, by Student's t with n − 1 degrees of freedom:
	// Mean ± Half. NaN for one run. It holds the scatter between runs only, not what the instruments share.
	Half       float64
	Confidence float64 // a part of one
	Missing    string  // why there is no interval, or no value at all; a sentence
	Formula    string
}

// Interval is the mean with the standard uncertainty of the mean, s/√n; unknown for one run.
func (r Repeated) Interval() quantity.Quantity {
	return quantity.Quantity{Dimension: r.Dimension, Value: r.Mean, U: r.SD / math.Sqrt(float64(r.N)), Decimals: -1}
}

// RepeatConfidence is the level of confidence of Repeat's intervals.
const RepeatConfidence = 0.95

// Repeat summarises repeats of one run, figure by figure in printing order; figures that no run gives are left out. The
// runs must be made alike (the same pack, payload, setting, course): nothing here can tell.
func Repeat(runs []*Result) []Repeated {
	var out []Repeated
	for k := range figureTable {
		f := &figureTable[k]
		row := Repeated{Name: f.name, Label: f.label, Formula: "repeat-interval", Confidence: RepeatConfidence,
			Low: math.NaN(), High: math.NaN()}
		var m moments
		for _, r := range runs {
			figure := r.figure(f)
			row.Dimension = figure.Dimension
			q, ok := figure.Quantity.Get()
			if !ok {
				continue
			}
			m.add(q.Value)
			if m.n == 1 {
				row.Low, row.High = q.Value, q.Value
			}
			row.Low, row.High = min(row.Low, q.Value), max(row.High, q.Value)
		}
		if m.n == 0 {
			continue
		}
		row.N, row.Mean, row.SD = m.n, m.average(), m.sd()
		row.Half = studentHalfWidth(row.SD, m.n, RepeatConfidence)
		if m.n == 1 {
			row.Missing = "One run has no spread, so it gives no interval."
		}
		out = append(out, row)
	}
	return out
}

package compare

import (
	"math"
	"testing"
)

// TestNothingToCompare: what is missing is said, on either side, and no number stands for it.
func TestNothingToCompare(t *testing.T) {
	one := Sample{Values: []float64{1}, U: []float64{0.1}}
	for _, c := range []struct {
		a, b Sample
		err  string
	}{
		{Sample{}, one, "nothing was measured on one side"}, {one, Sample{}, "nothing was measured on one side"}, {one, Sample{Values: []float64{2}}, "one side was measured once, and how well is not known"},
		{one, Sample{Values: []float64{2}, U: []float64{math.NaN()}}, "one side was measured once, and how well is not known"}, {Sample{Values: []float64{1, 1}}, Sample{Values: []float64{2, 2}}, "no uncertainty is known on either side"},
		{Sample{Values: []float64{1}, U: []float64{0}}, Sample{Values: []float64{2}, U: []float64{0}}, "no uncertainty is known on either side"},
	} {
		if d := Between(c.a, c.b); d.Err != c.err || !math.IsNaN(d.Value+d.U+d.DoF+d.Expanded+d.P) || d.Larger {
			t.Errorf("%+v and %+v: %+v", c.a, c.b, d)
		}
	}
	// Two single values: u² = 0.1² + 0.2², z = 1/u, p = erfc(z/√2), and of a greatest uncertainty the greatest.
	d := Between(one, Sample{Values: []float64{2}, U: []float64{0.2}})
	u := math.Hypot(0.1, 0.2)
	if math.Abs(d.U-u) > 1e-15 || !math.IsInf(d.DoF, 1) || math.Abs(d.Expanded-1.959963984540054*u) > 1e-12 || math.Abs(d.P-math.Erfc(1/u/math.Sqrt2)) > 1e-12 || !d.Larger || d.Repeated {
		t.Errorf("%+v", d)
	}
	d = Between(Sample{Values: []float64{1, 1.2, 0.9}, U: []float64{0.1, 0.3, 0.2}}, one)
	spread := math.Sqrt((1./30*1./30 + 1./6*1./6 + 4./30*4./30) / 2 / 3)
	if math.Abs(d.U-math.Sqrt(spread*spread+0.09+0.01)) > 1e-12 || math.Abs(d.DoF-math.Pow(d.U, 4)/(math.Pow(spread, 4)/2)) > 1e-6*d.DoF || d.Repeated {
		t.Errorf("%+v", d)
	}
	if d := Between(one, Sample{Values: []float64{1, 1.2}}); d.Repeated {
		t.Errorf("%+v", d)
	}
	// Uncertainties beyond the values are nobody's.
	if d := Between(Sample{Values: []float64{1}, U: []float64{0.1, 0.5}}, one); math.Abs(d.U-math.Hypot(0.1, 0.1)) > 1e-15 {
		t.Errorf("%+v", d)
	}
}

// TestVerdicts: what is said, by whether it is larger and whether both sides were repeated.
func TestVerdicts(t *testing.T) {
	for want, d := range map[string]Difference{"cannot be said: no reason": {Err: "no reason", Larger: true}, "larger than the spread of the repeats and the instruments explain": {Larger: true, Repeated: true},
		"larger than the instruments explain": {Larger: true}, "not larger than the spread of the repeats and the instruments explain": {Repeated: true}, "not larger than the instruments explain": {}} {
		if got := d.Verdict(); got != want {
			t.Errorf("%+v is %s", d, got)
		}
	}
}

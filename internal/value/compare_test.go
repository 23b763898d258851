package value

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// Ratios and differences carry the uncertainty of both values. The oracles are the closed forms of JCGM 100:2008,
// 5.1.2, worked outside this program; the first ratio is |Z| = V/I with the means and the standard uncertainties of its
// example H.2 (254.26 Ω there as well; 0.236 Ω with the correlation of that table, 0.204 Ω without).
func TestCompare(t *testing.T) {
	value := func(name string, d quantity.Dimension, v, u float64) Value {
		return Value{Name: name, Label: name, Form: FormNumber, Quantity: quantity.Some(quantity.Quantity{Dimension: d, Value: v, U: u, Decimals: -1})}
	}
	nan := math.NaN()
	for _, tt := range []struct {
		name       string
		a, b       Value
		by         string
		want, u    float64
		tolerance  float64
		refused    bool
		noValue    bool
		dimension  quantity.Dimension
		wantedForm Form
	}{
		{name: "JCGM 100 H.2", a: value("a", quantity.Plain, 4.9990, 0.0032), b: value("b", quantity.Plain, 19.661e-3, 0.0095e-3), by: over,
			want: 254.26, u: 0.204, tolerance: 5e-3, wantedForm: FormRatio},
		{name: "times", a: value("a", quantity.Time, 1196, 0.35), b: value("b", quantity.Time, 1248, 0.35), by: over,
			want: 0.958333, u: 0.000388, tolerance: 2e-3, wantedForm: FormRatio},
		{name: "difference", a: value("a", quantity.Voltage, 24.9, 0.03), b: value("b", quantity.Voltage, 24.82, 0.04), by: less,
			want: 0.08, u: 0.05, tolerance: 1e-9, dimension: quantity.Voltage, wantedForm: FormChange},
		{name: "temperatures", a: value("a", quantity.Temperature, 30, 0.3), b: value("b", quantity.Temperature, 12, 0.4), by: less,
			want: 18, u: 0.5, tolerance: 1e-9, dimension: quantity.TemperatureDifference, wantedForm: FormChange},
		{name: "itself", a: value("a", quantity.Charge, 5, 0.1), b: value("a", quantity.Charge, 5, 0.1), by: over, want: 1, u: 0, tolerance: 1e-6, wantedForm: FormRatio},
		{name: "not known how sure", a: value("a", quantity.Charge, 5, nan), b: value("b", quantity.Charge, 4, 0.1), by: over, want: 1.25, u: nan, tolerance: 1e-9, wantedForm: FormRatio},
		{name: "nothing", a: value("a", quantity.Charge, 5, 0), b: value("b", quantity.Charge, 0, 0), by: over, noValue: true},
		{name: "unlike", a: value("a", quantity.Charge, 5, 0), b: value("b", quantity.Time, 4, 0), by: over, refused: true},
		{name: "degrees", a: value("a", quantity.Temperature, 5, 0), b: value("b", quantity.Temperature, 4, 0), by: over, refused: true},
	} {
		got, err := compare(tt.a, tt.b, tt.by)
		switch {
		case tt.refused != (err != nil):
			t.Errorf("%s: %v", tt.name, err)
		case tt.refused:
		case tt.noValue:
			if got.Known() || got.Why() == "" || !math.IsNaN(got.Number()) {
				t.Errorf("%s: %v", tt.name, got.Words())
			}
		default:
			near := func(a, b float64) bool { return math.Abs(a-b) <= tt.tolerance*math.Max(math.Abs(b), 1e-3) }
			q := got.Quantity.Or(quantity.Quantity{})
			sure := near(q.U, tt.u) || math.IsNaN(q.U) && math.IsNaN(tt.u)
			if !near(q.Value, tt.want) || !sure || got.Form != tt.wantedForm || q.Dimension != tt.dimension {
				t.Errorf("%s: %g, u = %g, %s of %s; want %g, u = %g", tt.name, q.Value, q.U, got.Form, q.Dimension, tt.want, tt.u)
			}
		}
	}
}

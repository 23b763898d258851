package quantity

import (
	"math"
	"testing"
)

// TestEndGauge is JCGM 100:2008, example H.1: the calibration of a gauge block
// against a standard. Inputs as in the worked example that ships with the GUM
// Tree Calculator (GUM_H1.py, Measurement Standards Laboratory of New Zealand);
// the result 50 000 838 nm with u_c = 32 nm is the figure the GUM prints, and
// 31.66 nm the same to more figures, computed apart from this package.
func TestEndGauge(t *testing.T) {
	inputs := []struct {
		name string
		x, u float64
	}{
		{"l_s, length of the standard, nm", 50000623, 25},
		{"d, mean of the observed differences, nm", 215, 5.8},
		{"d1, random effects of the comparator, nm", 0, 3.9},
		{"d2, systematic effects of the comparator, nm", 0, 6.7},
		{"δα, difference of the expansion coefficients, 1/K", 0, 1e-6 / math.Sqrt(3)},
		{"δθ, difference of the temperatures, K", 0, 0.05 / math.Sqrt(3)},
		{"α_s, expansion coefficient of the standard, 1/K", 11.5e-6, 2e-6 / math.Sqrt(3)},
		{"θ, mean deviation from 20 °C, K", -0.1, 0.2},
		{"Δ, its cyclic part, arcsine ± 0.5 K", 0, 0.5 / math.Sqrt2},
	}
	var x, u []float64
	for _, in := range inputs {
		x, u = append(x, in.x), append(u, in.u)
	}
	length := func(x []float64) float64 {
		ls, d, δα, δθ, αs, θ := x[0], x[1]+x[2]+x[3], x[4], x[5], x[6], x[7]+x[8]
		return ls + d - ls*(δα*θ+αs*δθ)
	}
	l, uc := Propagate(length, x, u, nil)
	if math.Abs(l-50000838) > 0.5 {
		t.Errorf("l = %.3f nm, want 50 000 838", l)
	}
	if math.Abs(uc-31.66) > 0.005 {
		t.Errorf("u_c = %.4f nm, want 31.66", uc)
	}
	if text := fixed(uc, 0); text != "32" {
		t.Errorf("u_c prints %s nm, want 32", text)
	}
	// The same independence written out as a matrix changes nothing.
	corr := make([][]float64, len(x))
	for i := range corr {
		corr[i] = make([]float64, len(x))
		corr[i][i] = 1
	}
	if l2, uc2 := Propagate(length, x, u, corr); l2 != l || !near(uc2, uc, 1e-15) {
		t.Errorf("with a unit matrix: %v ± %v, without: %v ± %v", l2, uc2, l, uc)
	}
}

// means gives the mean of each column, its standard uncertainty and the
// correlation of the means (JCGM 100:2008, 4.2.3 and 5.2.3).
func means(columns [][]float64) (mean, u []float64, corr [][]float64) {
	n := float64(len(columns[0]))
	for _, c := range columns {
		var sum float64
		for _, x := range c {
			sum += x
		}
		mean = append(mean, sum/n)
	}
	covariance := func(i, j int) float64 {
		var sum float64
		for k := range columns[i] {
			sum += (columns[i][k] - mean[i]) * (columns[j][k] - mean[j])
		}
		return sum / (n * (n - 1))
	}
	for i := range columns {
		u = append(u, math.Sqrt(covariance(i, i)))
	}
	for i := range columns {
		var row []float64
		for j := range columns {
			row = append(row, covariance(i, j)/(u[i]*u[j]))
		}
		corr = append(corr, row)
	}
	return mean, u, corr
}

// TestResistanceAndReactance is JCGM 100:2008, example H.2: resistance,
// reactance and impedance from five simultaneous readings of voltage, current
// and phase. Data as in the R package propagate (H.2.rda). The wanted figures
// were computed from the data apart from this package; the GUM prints R =
// 127.732 Ω, u = 0.071 Ω, X = 219.847 Ω, u = 0.295 Ω and Z = 254.260 Ω, u =
// 0.236 Ω (from memory; its 0.295 is its own rounding of 0.2956).
func TestResistanceAndReactance(t *testing.T) {
	x, u, corr := means([][]float64{
		{5.007, 4.994, 5.005, 4.990, 4.999},                     // V
		{19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3}, // A
		{1.0456, 1.0438, 1.0468, 1.0428, 1.0433},                // rad
	})
	for i, want := range []struct{ mean, u float64 }{{4.9990, 0.0032094}, {19.6610e-3, 0.009471e-3}, {1.04446, 0.00075206}} {
		if !near(x[i], want.mean, 1e-5) || !near(u[i], want.u, 1e-4) {
			t.Errorf("input %d: %v ± %v, want %v ± %v", i, x[i], u[i], want.mean, want.u)
		}
	}
	for _, want := range []struct {
		i, j int
		r    float64
	}{{0, 1, -0.3553}, {0, 2, 0.8576}, {1, 2, -0.6451}} {
		if got := corr[want.i][want.j]; math.Abs(got-want.r) > 0.5e-4 {
			t.Errorf("r(%d, %d) = %.5f, want %v", want.i, want.j, got, want.r)
		}
	}
	tests := []struct {
		name            string
		f               func(x []float64) float64
		y, u            float64
		gum, gumU       float64 // as printed
		ifUncorrelatedU float64
	}{
		{"R", func(x []float64) float64 { return x[0] / x[1] * math.Cos(x[2]) }, 127.73217, 0.07107, 127.732, 0.071, 0.1945},
		{"X", func(x []float64) float64 { return x[0] / x[1] * math.Sin(x[2]) }, 219.84651, 0.29558, 219.847, 0.295, 0.2009},
		{"Z", func(x []float64) float64 { return x[0] / x[1] }, 254.25970, 0.23634, 254.260, 0.236, 0.2041},
	}
	for _, tt := range tests {
		y, uy := Propagate(tt.f, x, u, corr)
		if math.Abs(y-tt.y) > 0.5e-5 || math.Abs(uy-tt.u) > 0.5e-5 {
			t.Errorf("%s = %.6f Ω, u = %.6f Ω, want %v and %v", tt.name, y, uy, tt.y, tt.u)
		}
		if math.Abs(y-tt.gum) > 0.0005 || math.Abs(uy-tt.gumU) > 0.001 {
			t.Errorf("%s = %.4f Ω, u = %.4f Ω, the GUM prints %v and %v", tt.name, y, uy, tt.gum, tt.gumU)
		}
		if _, uy := Propagate(tt.f, x, u, nil); math.Abs(uy-tt.ifUncorrelatedU) > 0.5e-4 {
			t.Errorf("%s without correlation: u = %.5f Ω, want %v", tt.name, uy, tt.ifUncorrelatedU)
		}
	}
	// r(R, X), r(R, Z) and r(X, Z) as the sensitivities give them.
	c := make([][]float64, len(tests))
	for i, tt := range tests {
		c[i] = Sensitivities(tt.f, x, u)
	}
	covariance := func(a, b []float64) (sum float64) {
		for i := range a {
			for j := range b {
				sum += a[i] * b[j] * u[i] * u[j] * corr[i][j]
			}
		}
		return sum
	}
	for _, want := range []struct {
		i, j int
		r    float64
	}{{0, 1, -0.5884}, {0, 2, -0.4853}, {1, 2, 0.9925}} {
		r := covariance(c[want.i], c[want.j]) / math.Sqrt(covariance(c[want.i], c[want.i])*covariance(c[want.j], c[want.j]))
		if math.Abs(r-want.r) > 0.5e-4 {
			t.Errorf("r(%s, %s) = %.5f, want %v", tests[want.i].name, tests[want.j].name, r, want.r)
		}
	}
}

// TestClosedForms: the closed forms of sum, difference, product and quotient
// agree with the numerical propagation, which the examples above hold.
func TestClosedForms(t *testing.T) {
	v := Of[Volts](23.14, 0.03)
	w := Of[Volts](1.62, 0.04)
	i := Of[Amperes](-8.42, 0.05)
	tests := []struct {
		name string
		y, u float64
		f    func(x []float64) float64
		a, b [2]float64
	}{
		{"sum", float64(Sum(v, w).Value), float64(Sum(v, w).U), func(x []float64) float64 { return x[0] + x[1] }, [2]float64{23.14, 0.03}, [2]float64{1.62, 0.04}},
		{"difference", float64(Difference(v, w).Value), float64(Difference(v, w).U), func(x []float64) float64 { return x[0] - x[1] }, [2]float64{23.14, 0.03}, [2]float64{1.62, 0.04}},
		{"power", float64(Product(v, i, PowerFrom).Value), float64(Product(v, i, PowerFrom).U), func(x []float64) float64 { return x[0] * x[1] }, [2]float64{23.14, 0.03}, [2]float64{-8.42, 0.05}},
		{"resistance", float64(Quotient(v, i, ResistanceFrom).Value), float64(Quotient(v, i, ResistanceFrom).U), func(x []float64) float64 { return x[0] / x[1] }, [2]float64{23.14, 0.03}, [2]float64{-8.42, 0.05}},
	}
	for _, tt := range tests {
		y, u := Propagate(tt.f, []float64{tt.a[0], tt.b[0]}, []float64{tt.a[1], tt.b[1]}, nil)
		if !near(tt.y, y, 1e-14) || !near(tt.u, u, 1e-7) {
			t.Errorf("%s: %v ± %v in closed form, %v ± %v numerically", tt.name, tt.y, tt.u, y, u)
		}
	}
	if got := Sum(v, w).U; got != 0.05 { // 3-4-5
		t.Errorf("u of the sum is %v, want 0.05", got)
	}
	if m := Scale(v, -2); m.Value != -46.28 || m.U != 0.06 {
		t.Errorf("scaled by −2: %+v", m)
	}
	if m := Quotient(v, Exact(Amperes(0)), ResistanceFrom); m.Known() {
		t.Errorf("a quotient by zero is %+v", m)
	}
	if m := Sum(v, Unsure(Volts(1))); !math.IsNaN(float64(m.U)) || m.Value != 24.14 {
		t.Errorf("a sum with an unknown uncertainty is %+v", m)
	}
	if m := Product(Exact(Volts(24)), Unsure(Amperes(2)), PowerFrom); m.Value != 48 || !math.IsNaN(float64(m.U)) {
		t.Errorf("a product with an unknown uncertainty is %+v", m)
	}
}

// TestCorrelation: limits that hold by definition (JCGM 100:2008, 5.2.2,
// note 1).
func TestCorrelation(t *testing.T) {
	sum := func(x []float64) float64 { return x[0] + x[1] }
	difference := func(x []float64) float64 { return x[0] - x[1] }
	matrix := func(r float64) [][]float64 { return [][]float64{{1, r}, {r, 1}} }
	x, u := []float64{5, 4}, []float64{0.3, 0.4}
	tests := []struct {
		name string
		f    func([]float64) float64
		r    float64
		want float64
	}{
		{"sum, full correlation", sum, 1, 0.7},
		{"sum, none", sum, 0, 0.5},
		{"sum, full, opposed", sum, -1, 0.1},
		{"difference, full correlation", difference, 1, 0.1},
	}
	for _, tt := range tests {
		if _, got := Propagate(tt.f, x, u, matrix(tt.r)); math.Abs(got-tt.want) > 1e-9 {
			t.Errorf("%s: u = %v, want %v", tt.name, got, tt.want)
		}
	}
	if _, got := Propagate(difference, x, []float64{0.3, 0.3}, matrix(1)); math.IsNaN(got) || got > 1e-6 {
		t.Errorf("two equal errors do not cancel: u = %v", got)
	}
	if _, got := Propagate(sum, x, []float64{0.3, math.NaN()}, nil); !math.IsNaN(got) {
		t.Errorf("an unknown uncertainty came out as %v", got)
	}
	for name, corr := range map[string][][]float64{"rows": {{1}}, "columns": {{1}, {1}}} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("a matrix with too few %s was taken", name)
				}
			}()
			Propagate(sum, x, u, corr)
		}()
	}
}

// TestRelations: each by the definition of its units.
func TestRelations(t *testing.T) {
	tests := []struct {
		name      string
		got, want float64
	}{
		{"24 V at 5 A", float64(PowerFrom(24, 5)), 120},
		{"120 W at 24 V", float64(CurrentFrom(120, 24)), 5},
		{"5 A through 60 mΩ", float64(DropFrom(5, 0.06)), 0.3},
		{"0.3 V at 5 A", float64(ResistanceFrom(0.3, 5)), 0.06},
		{"120 W for half an hour", float64(EnergyFrom(120, 1800)), 60},
		{"5 A for half an hour", float64(ChargeFrom(5, 1800)), 2.5},
		{"2.5 Ah at 24 V", float64(StoredEnergyFrom(24, 2.5)), 60},
		{"2.5 Ah at 5 A", float64(TimeFrom(2.5, 5)), 1800},
		{"186 m in 93 s", float64(SpeedFrom(186, 93)), 2},
		{"2 m/s for 93 s", float64(DistanceFrom(2, 93)), 186},
		{"60 Wh over 2.4 km", float64(EnergyPerLengthFrom(60, 2400)), 25},
		{"from 17 °C to 29 °C", float64(Rise(17, 29)), 12},
	}
	for _, tt := range tests {
		if !near(tt.got, tt.want, 1e-15) {
			t.Errorf("%s: %v, want %v", tt.name, tt.got, tt.want)
		}
	}
}

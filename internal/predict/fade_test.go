package predict

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/stat"

	"voltwright/internal/quantity"
)

// The slope against gonum's regression; what is sure by hand: with two degrees of freedom Student's 97.5 % lies at 4.303 (its tables).
func TestFallsAsRegressionHasIt(t *testing.T) {
	x, y := []float64{0, 100, 200, 300}, []float64{0, -0.011, -0.019, -0.03}
	u := []float64{0.0001, 0.0001, 0.0001, 0.0001}
	_, want := stat.LinearRegression(x, y, nil, false)
	got, _, ok := falls(x, y, u)
	if math.Abs(got/want-1) > 1e-9 || !ok {
		t.Errorf("%v, %v; want %v", got, ok, want)
	}
	xx := 50000.0
	edge := -want * math.Sqrt(xx) / 4.302653 // a scatter above this hides it
	for _, c := range []struct {
		u  float64
		ok bool
	}{{0.99 * edge, true}, {1.01 * edge, false}} {
		if _, _, ok := falls(x, y, []float64{c.u, c.u, c.u, c.u}); ok != c.ok {
			t.Errorf("u %v: %v", c.u, ok)
		}
	}
	for _, c := range [][2][]float64{{x[:3], y[:3]}, {x, {0, 0.011, 0.019, 0.03}}, {{5, 5, 5, 5}, y}} {
		if _, _, ok := falls(c[0], c[1], u); ok {
			t.Errorf("%v falls", c)
		}
	}
}

// Packs that hold a twentieth less at each of four dates: said to fade, and answered for as they are on the last. Without dates they only do not go
// together: nothing is left out, and the interval is wider than that of runs that do.
func TestPacksThatFade(t *testing.T) {
	b := bank(t, nil)
	var dated, not []Run
	for i := range 4 {
		run := plainLFP(6)
		run.holds = 16 * math.Pow(0.93, float64(i))
		dated = append(dated, run.run(t, fmt.Sprintf("run-%d", i), func(r *Run) { r.Day = 20000 + 200*i }))
		not = append(not, run.run(t, fmt.Sprintf("run-%d", i), nil))
	}
	o := Options{OwnPacksOnly: true}
	faded, mixed := Compute(b, dated, o), Compute(b, not, o)
	if !strings.Contains(faded.Basis.Words, "3.6 % in a hundred days") && !strings.Contains(faded.Basis.Words, "3.5 % in a hundred days") {
		t.Error(faded.Basis.Words)
	}
	want := 16 * math.Pow(0.93, 3)
	if off := math.Abs(float64(faded.Capacity.Value)/want - 1); off > 0.03 {
		t.Errorf("%v, it holds %v", faded.Capacity, want)
	}
	if !strings.Contains(mixed.Basis.Words, "more than the meters explain") || strings.Contains(mixed.Basis.Words, "fade") {
		t.Error(mixed.Basis.Words)
	}
	for i, r := range mixed.Basis.Runs {
		if !r.Taught {
			t.Errorf("run %d did not teach", i)
		}
	}
	of := func(a *Prediction) quantity.Measured[quantity.Seconds] {
		return a.Table.Cells[0][0].End().Running
	}
	if f, m := of(faded), of(mixed); !(m.U/m.Value > f.U/f.Value) || math.IsNaN(float64(f.U)) {
		t.Errorf("faded %v, mixed %v", f, m)
	}
}

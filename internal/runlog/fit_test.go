package runlog

import (
	"math"
	"path/filepath"
	"strconv"
	"testing"

	"voltwright/internal/recorded"

	"gonum.org/v1/gonum/mat"
)

// readColumns reads the numeric columns of a CSV file with one head row.
func readColumns(t *testing.T, path string, columns int) [][]float64 {
	t.Helper()
	rows := recorded.Rows(t, path)
	out := make([][]float64, columns)
	for _, row := range rows[1:] {
		for j := range columns {
			v, err := strconv.ParseFloat(row[j], 64)
			if err != nil {
				t.Fatal(err)
			}
			out[j] = append(out[j], v)
		}
	}
	return out
}

// certified reads NIST's certified values of one data set: quantity → value and standard deviation of the estimate.
func certified(t *testing.T, set string) map[string][2]float64 {
	t.Helper()
	rows := recorded.Rows(t, filepath.Join("testdata", "nist", "certified.csv"))
	out := map[string][2]float64{}
	for _, row := range rows {
		if row[0] != set {
			continue
		}
		v, err := strconv.ParseFloat(row[2], 64)
		if err != nil {
			continue // a pair of starts
		}
		sd, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			sd = math.NaN()
		}
		out[row[1]] = [2]float64{v, sd}
	}
	if len(out) == 0 {
		t.Fatalf("no certified values for %s", set)
	}
	return out
}

// digits is the number of significant digits that agree: NIST's log relative error, at most 15.
func digits(got, want float64) float64 {
	if got == want {
		return 15
	}
	return math.Min(15, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

func wantDigits(t *testing.T, what string, got, want, need float64) {
	t.Helper()
	d := digits(got, want)
	if !(d >= need) {
		t.Errorf("%s: %.15g, certified %.15g: %.1f digits, want %g", what, got, want, d, need)
	} else {
		t.Logf("%s: %.1f digits", what, d)
	}
}

func TestLinearFitNIST(t *testing.T) {
	for _, c := range []struct {
		set           string
		predictors    int
		digits, sdNum float64 // needed of the parameters; of their standard deviations and the residuals
	}{
		{"Norris", 1, 12, 12},
		{"Longley", 6, 11, 12}, // condition number of the plain design about 5e9
	} {
		t.Run(c.set, func(t *testing.T) {
			data := readColumns(t, filepath.Join("testdata", "nist", lower(c.set)+".csv"), c.predictors+1)
			y := data[0]
			design := mat.NewDense(len(y), c.predictors+1, nil)
			for i := range y {
				design.Set(i, 0, 1)
				for j := 1; j <= c.predictors; j++ {
					design.Set(i, j, data[j][i])
				}
			}
			fit, err := linearFit(design, y)
			if err != nil {
				t.Fatal(err)
			}
			want := certified(t, c.set)
			for j := range fit.parameters {
				name := "B" + strconv.Itoa(j)
				wantDigits(t, name, fit.parameters[j], want[name][0], c.digits)
				wantDigits(t, "SD of "+name, fit.deviations[j], want[name][1], c.sdNum)
			}
			wantDigits(t, "residual SD", fit.sd, want["residual SD"][0], c.sdNum)
			wantDigits(t, "residual SS", fit.rss, want["residual SS"][0], c.sdNum)
			wantDigits(t, "R-squared", fit.r2, want["R-squared"][0], 13)
		})
	}
}

// Columns of which one is a multiple of the other, or nothing, tell no parameters apart.
func TestColumnsThatTellNothing(t *testing.T) {
	y := []float64{1, 2, 4, 8}
	for name, column := range map[string][]float64{"nothing": {0, 0, 0, 0}, "twice the other": {2, 2, 2, 2}, "the other": {1, 1, 1, 1}} {
		design := mat.NewDense(4, 2, nil)
		design.SetCol(0, []float64{1, 1, 1, 1})
		design.SetCol(1, column)
		if fit, err := linearFit(design, y); err == nil && !(fit.deviations[0] > 1e6) {
			t.Errorf("%s: %v ± %v", name, fit.parameters, fit.deviations)
		}
	}
	if _, err := linearFit(mat.NewDense(2, 2, []float64{1, 2, 3, 5}), []float64{1, 2}); err == nil {
		t.Error("two points for two parameters")
	}
}

func lower(set string) string {
	b := []byte(set)
	for i := range b {
		if b[i] >= 'A' && b[i] <= 'Z' {
			b[i] += 'a' - 'A'
		}
	}
	return string(b)
}

func misra1a(x float64, p, slope []float64) float64 {
	e := math.Exp(-p[1] * x)
	slope[0] = 1 - e
	slope[1] = p[0] * x * e
	return p[0] * (1 - e)
}

func thurber(x float64, p, slope []float64) float64 {
	x2, x3 := x*x, x*x*x
	up := p[0] + p[1]*x + p[2]*x2 + p[3]*x3
	down := 1 + p[4]*x + p[5]*x2 + p[6]*x3
	slope[0], slope[1], slope[2], slope[3] = 1/down, x/down, x2/down, x3/down
	d := -up / (down * down)
	slope[4], slope[5], slope[6] = d*x, d*x2, d*x3
	return up / down
}

func TestCurveFitNIST(t *testing.T) {
	for _, c := range []struct {
		set   string
		model curve
		start []float64
	}{
		{"Misra1a", misra1a, []float64{500, 0.0001}},
		{"Misra1a", misra1a, []float64{250, 0.0005}},
		{"Thurber", thurber, []float64{1000, 1000, 400, 40, 0.7, 0.3, 0.03}},
		{"Thurber", thurber, []float64{1300, 1500, 500, 75, 1, 0.4, 0.05}},
	} {
		t.Run(c.set, func(t *testing.T) {
			data := readColumns(t, filepath.Join("testdata", "nist", lower(c.set)+".csv"), 2)
			fit, err := curveFit(c.model, c.start, data[1], data[0])
			if err != nil {
				t.Fatal(err)
			}
			want := certified(t, c.set)
			t.Logf("%d rounds", fit.rounds)
			for j := range fit.parameters {
				name := "b" + strconv.Itoa(j+1)
				wantDigits(t, name, fit.parameters[j], want[name][0], 7)
				wantDigits(t, "SD of "+name, fit.deviations[j], want[name][1], 6)
			}
			wantDigits(t, "residual SS", fit.rss, want["residual SS"][0], 9)
			wantDigits(t, "residual SD", fit.sd, want["residual SD"][0], 9)
		})
	}
}

func TestCurveFitRefuses(t *testing.T) {
	if _, err := curveFit(misra1a, []float64{1, 1}, []float64{1, 2}, []float64{1, 2}); err == nil {
		t.Error("two points for two parameters were fitted")
	}
	if _, err := curveFit(misra1a, []float64{math.NaN(), 1}, []float64{1, 2, 3}, []float64{1, 2, 3}); err == nil {
		t.Error("a start that is no number was fitted")
	}
}

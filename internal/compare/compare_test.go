package compare

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// rows reads a file of testdata, which make.py there wrote with SciPy.
func rows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil || len(all) < 2 {
		t.Fatalf("%s: %d rows: %v", name, len(all), err)
	}
	return all[1:]
}

func numbers(t *testing.T, text string) []float64 {
	t.Helper()
	var out []float64
	for _, word := range strings.Fields(text) {
		x, err := strconv.ParseFloat(word, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

func near(got, want, part float64) bool {
	return got == want || math.Abs(got-want) <= part*math.Max(math.Abs(want), 1e-300)
}

func TestWelchAgainstSciPy(t *testing.T) {
	for _, row := range rows(t, "welch.csv") {
		a, b := numbers(t, row[0]), numbers(t, row[1])
		want := numbers(t, strings.Join(row[2:], " "))
		d := Between(Sample{Values: a}, Sample{Values: b})
		got := []float64{d.Value / d.U, d.DoF, d.P, d.Expanded}
		for i, name := range []string{"t", "degrees of freedom", "p", "half width"} {
			if !near(got[i], want[i], 1e-8) {
				t.Errorf("%s of %s and %s: %v, SciPy has %v", name, row[0], row[1], got[i], want[i])
			}
		}
		if d.Larger != (want[2] < 0.05) || !d.Repeated || d.Err != "" {
			t.Errorf("%s and %s: %+v with p = %v", row[0], row[1], d, want[2])
		}
	}
}

func TestStudentAgainstSciPy(t *testing.T) {
	for _, row := range rows(t, "student.csv") {
		x := numbers(t, strings.Join(row, " "))
		if got := Student(x[0], x[1]); !near(got, x[2], 1e-8) {
			t.Errorf("t(%v, %v) = %v, SciPy has %v", x[0], x[1], got, x[2])
		}
	}
}

// The combined uncertainty of the end gauge of JCGM 100:2008, H.1: u² = 25² + 9.7² + 2.9² + 16.6² nm² with 18, 25.6, 50
// and 2 degrees of freedom gives 32 nm with 16 (H.1.6, truncated from 16.7).
func TestEffectiveDegreesOfFreedom(t *testing.T) {
	u, dof := combined([]component{{25, 18}, {9.7, 25.6}, {2.9, 50}, {16.6, 2}, {0, math.Inf(1)}})
	if math.Round(u) != 32 || math.Floor(dof) != 16 {
		t.Errorf("u = %v with %v degrees of freedom, the guide has 32 and 16", u, dof)
	}
}

func TestSingleRuns(t *testing.T) {
	for _, tt := range []struct {
		name         string
		a, b         Sample
		larger, none bool
		expanded     float64
	}{
		// 1.96·√(3² + 4²) = 9.80
		{"apart", Sample{[]float64{100}, []float64{3}}, Sample{[]float64{110}, []float64{4}}, true, false, 9.7998},
		{"close", Sample{[]float64{100}, []float64{3}}, Sample{[]float64{109}, []float64{4}}, false, false, 9.7998},
		{"one not known", Sample{[]float64{100}, nil}, Sample{[]float64{109}, []float64{4}}, false, true, 0},
		{"one NaN", Sample{[]float64{100}, []float64{math.NaN()}}, Sample{[]float64{109}, []float64{4}}, false, true, 0},
		{"none at all", Sample{}, Sample{[]float64{109}, []float64{4}}, false, true, 0},
		{"exact", Sample{[]float64{100}, []float64{0}}, Sample{[]float64{109}, []float64{0}}, false, true, 0},
		// two runs of spread √2/√2 = 1 with one degree of freedom, and an instrument of 0: t₉₅(1) = 12.706
		{"repeated once", Sample{[]float64{99, 101}, nil}, Sample{[]float64{109}, []float64{0}}, false, false, 12.7062},
		// the instrument's part is not averaged out: u² = 1 + 2², ν = 25/1
		{"repeated and unsure", Sample{[]float64{99, 101}, []float64{2, 1}}, Sample{[]float64{109}, []float64{0}}, true, false, 2.05954 * math.Sqrt(5)},
	} {
		d := Between(tt.a, tt.b)
		if (d.Err != "") != tt.none || d.Larger != tt.larger || !tt.none && !near(d.Expanded, tt.expanded, 1e-5) {
			t.Errorf("%s: %+v", tt.name, d)
		}
		if tt.none && (!math.IsNaN(d.Value) || !math.IsNaN(d.Expanded)) {
			t.Errorf("%s: a value beside %q", tt.name, d.Err)
		}
	}
}

package drive

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"voltwright/internal/quantity"
)

// Against moments about the outer rail that SciPy brings to nothing; see
// testdata/overturn/make.py.
func TestOverturnAgainstMoments(t *testing.T) {
	f, err := os.Open("testdata/overturn/overturn.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil || len(rows) < 9 {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for _, row := range rows[1:] {
		var x [7]float64
		for i := range x {
			if x[i], err = strconv.ParseFloat(row[i], 64); err != nil {
				t.Fatal(err)
			}
		}
		height := CentreHeight(quantity.Kilograms(x[2]), quantity.Metres(x[3]), quantity.Kilograms(x[4]), quantity.Metres(x[5]))
		if got := float64(OverturnSpeed(quantity.Metres(x[0]), quantity.Metres(x[1]/2), height)); math.Abs(got/x[6]-1) > 1e-8 {
			t.Errorf("%v: %g m/s", row, got)
		}
	}
}

// The exercise prints 14.58 m/s, with 9.81 m/s² for g: physicsforums.com, thread 174374.
func TestOverturnOfAnExercise(t *testing.T) {
	if got := float64(OverturnSpeed(20, 1.3/2, 0.6)) * math.Sqrt(9.81/gravity); math.Abs(got-14.58) > 0.005 {
		t.Errorf("%.4f m/s", got)
	}
}

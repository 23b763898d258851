package battery

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// leftOutCells are measured cells with several runs each.
func leftOutCells(t testing.TB) []struct {
	name, chemistry string
	rated           float64
	logs            []Log
} {
	return []struct {
		name, chemistry string
		rated           float64
		logs            []Log
	}{
		{"21700 NMC", "nmc", 5, []Log{warwickLog(t, "T25_cRate_0p1C_discharge_rest_charge"), warwickLog(t, "T25_cRate_0p5C_discharge_rest_charge"), warwickLog(t, "T25_cRate_1C_discharge_rest_charge_every3rd"), warwickLog(t, "T25_cRate_2C_discharge_rest_charge_every3rd")}},
		{"18650 NCA", "nca", 3, []Log{samsungLog(t, "C10_every5th"), samsungLog(t, "1C"), samsungLog(t, "3C"), samsungLog(t, "4C")}},
		{"18650 NCA, label false", "nca", 6, []Log{samsungLog(t, "1C"), samsungLog(t, "2C"), samsungLog(t, "4C")}},
		{"LFP", "lfp", 2.6, []Log{columns(t, k2+"K2_Discharge_Test_20C.txt", 0, 1, 2, 4, -1), columns(t, k2+"K2_Discharge_Test_50C.txt", 0, 1, 2, 4, -1), columns(t, k2+"HPPC_20C_first30000.csv", -1, 1, 0, 2, -1)}},
		{"lead-acid", "lead-acid-agm", 17, []Log{bboxxLog(t, "unit-a-2017-03-25"), bboxxLog(t, "unit-a-2017-03-26"), bboxxLog(t, "unit-a-2017-03-28")}},
	}
}

func capacitySpread(t testing.TB, e *Estimate) Spread {
	t.Helper()
	c, err := e.Capacity()
	if err != nil {
		t.Fatal(err)
	}
	return Spread{Value: float64(c.Value), U: float64(c.U)}
}

// A run left out is predicted as by a calibration on the others: the time to the end within a tenth of its standard uncertainty.
func TestLeftOutIsACalibrationOnTheOthers(t *testing.T) {
	for _, c := range leftOutCells(t) {
		e, err := Typical(chemistry(t, c.chemistry), quantity.Exact(quantity.AmpereHours(c.rated)))
		if err != nil {
			t.Fatal(err)
		}
		cal, err := e.Calibrate(c.logs...)
		if err != nil {
			t.Fatal(err)
		}
		left := LeavingOut(e, cal.After)
		for i, l := range c.logs {
			got, err := left.Without(i)
			if err != nil {
				t.Fatal(err)
			}
			var others []Log
			for k, o := range c.logs {
				if k != i {
					others = append(others, o)
				}
			}
			want, err := e.Calibrate(others...)
			if err != nil {
				t.Fatal(err)
			}
			a, b := runTimeSpread(t, got.After, l), runTimeSpread(t, want.After, l)
			if strings.Contains(l.Name, "HPPC") { // which has no end
				a, b = capacitySpread(t, got.After), capacitySpread(t, want.After)
			}
			apart := math.Abs(a.Value-b.Value) / b.U
			t.Logf("%s without %s: %.1f ± %.1f s, on the others %.1f ± %.1f s; misfit %.2f and %.2f; steps %d and %d", c.name, l.Name, a.Value, a.U, b.Value, b.U, got.Misfit, want.Misfit, got.Steps, want.Steps)
			if got.Misfit < 0.99*want.Misfit { // it has found what the search from the label has not
				continue
			}
			if !(apart <= 0.1) || math.Abs(a.U/b.U-1) > 0.1 {
				t.Errorf("%s without %s: %.2f standard uncertainties apart", c.name, l.Name, apart)
			}
		}
	}
	if _, err := LeavingOut(nil, &Estimate{}).Without(0); err == nil {
		t.Error("what is left out of nothing")
	}
}

// Where the runs that are left contradict each other the doubt is found and told as by a calibration on them: here one meter wanders.
func TestLeftOutOfContradicting(t *testing.T) {
	e, err := Typical(chemistry(t, "nca"), quantity.Exact(quantity.AmpereHours(3)))
	if err != nil {
		t.Fatal(err)
	}
	logs := []Log{samsungLog(t, "1C"), samsungLog(t, "3C"), samsungLog(t, "4C")}
	for k := range logs[1].Volts {
		logs[1].Volts[k] += 0.4 * math.Sin(logs[1].Time[k]/150)
	}
	cal, err := e.Calibrate(logs...)
	if err != nil {
		t.Fatal(err)
	}
	got, err := LeavingOut(e, cal.After).Without(2)
	if err != nil {
		t.Fatal(err)
	}
	want, err := e.Calibrate(logs[:2]...)
	if err != nil {
		t.Fatal(err)
	}
	t.Logf("misfit %.3f and %.3f", got.Misfit, want.Misfit)
	if !(want.Misfit > enoughDoubt) {
		t.Fatal("they do not contradict each other")
	}
	close1(t, "misfit", got.Misfit, want.Misfit, 0.02)
	a, b := runTimeSpread(t, got.After, logs[2]), runTimeSpread(t, want.After, logs[2])
	close1(t, "width", a.U, b.U, 0.05)
}

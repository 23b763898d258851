package battery

import (
	"math"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// Each charge of the 21700 NMC set at 25 °C, predicted by two discharges, lies inside its interval at 80 % and at full and in energy (the
// set's own counts: SOURCE.md has 4.73660 Ah, 18.1707 Wh and 11188.1 s after the 1C run). With the three others as teachers the interval
// to full is narrower, and still holds it.
func TestMeasuredChargesAreForeseen(t *testing.T) {
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	cal, err := e.Calibrate(warwickLog(t, "T25_cRate_0p1C_discharge_rest_charge"), warwickLog(t, "T25_cRate_1C_discharge_rest_charge_every3rd"))
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob(warwick + "T25_cRate*.csv")
	if err != nil || len(files) < 4 {
		t.Fatal(files, err)
	}
	var charges []MeasuredCharge
	var lessons []ChargeLesson
	for _, f := range files {
		list := chargedSets[0].charges(t, f, 5)
		if len(list) != 1 {
			t.Fatalf("%s: %d charges", f, len(list))
		}
		charges = append(charges, list[0])
	}
	inside := func(m float64, value, u float64) bool {
		low, high := Bounds(quantity.Seconds(value), quantity.Seconds(u))
		return float64(low) <= m && m <= float64(high)
	}
	var alone []float64
	for _, m := range charges {
		c, err := cal.After.CompareCharge(m, nil)
		if err != nil {
			t.Fatal(err)
		}
		f := c.Forecast
		t.Logf("%s: 80 %% %.0f s measured, %v; full %.0f s, %v; %.2f Wh, %v", m.Name, c.Measured[ToMost], f.Most, c.Measured[ToFull], f.Full, c.Measured[EnergyIn], f.Energy)
		for k, y := range [][2]float64{{float64(f.Most.Value), float64(f.Most.U)}, {float64(f.Full.Value), float64(f.Full.U)}, {float64(f.Energy.Value), float64(f.Energy.U)}} {
			if !inside(c.Measured[k], y[0], y[1]) {
				t.Errorf("%s, %s: %g measured, %g ± %g predicted", m.Name, measureNames[k], c.Measured[k], y[0], 2*y[1])
			}
		}
		if m.Name == "T25_cRate_1C_discharge_rest_charge_every3rd 1" {
			close1(t, "energy", c.Measured[EnergyIn], 18.1707, 2e-3)
			close1(t, "time", c.Measured[ToFull], 11188.1, 1e-3)
		}
		alone, lessons = append(alone, float64(f.Full.U)), append(lessons, c.Lesson)
	}
	for k, m := range charges {
		var others []ChargeLesson
		for n := range lessons {
			if n != k {
				others = append(others, lessons[n])
			}
		}
		c, err := cal.After.CompareCharge(m, others)
		if err != nil {
			t.Fatal(err)
		}
		if f := c.Forecast; f.Taught != 3 || !(float64(f.Full.U) < alone[k]) || !inside(c.Measured[ToFull], float64(f.Full.Value), float64(f.Full.U)) {
			t.Errorf("%s: taught by %d, %v against %.0f s measured; ± %.0f s alone", m.Name, f.Taught, f.Full, c.Measured[ToFull], 2*alone[k])
		}
	}
}

// Lessons in closed form: with b = 0.5 and r = 0.25 one lesson of ln 2 counts for 0.8, and leaves √(0.05 + 0.0625); many leave r.
func TestLessonsOfCharges(t *testing.T) {
	off := [measures]float64{math.NaN(), math.Ln2, math.NaN()}
	l := ChargeLesson{Current: 1, Off: off}
	at, left := taughtBy([]ChargeLesson{l}, ToFull, 0, 0.5, 0.25)
	close1(t, "mean", at, 0.8*math.Ln2, 1e-12)
	close1(t, "left", left, math.Sqrt(0.05+0.0625), 1e-12)
	many := make([]ChargeLesson, 1000)
	for k := range many {
		many[k] = l
	}
	at, left = taughtBy(many, ToFull, 0, 0.5, 0.25)
	close1(t, "mean of many", at, math.Ln2, 1e-3)
	close1(t, "left of many", left, 0.25, 1e-3)
	if at, left = taughtBy(many, ToMost, 0.1, 0.5, 0.25); at != 0.1 || left != 0.5 {
		t.Errorf("what was not measured taught %g, %g", at, left)
	}
	near, doublings := alike([]ChargeLesson{{Current: 1}, {Current: 1.9}, {Current: 5}}, 2)
	if len(near) != 2 || math.Abs(doublings-math.Log2(2/1.9)) > 1e-12 {
		t.Errorf("%d alike, %g doublings", len(near), doublings)
	}
	for amps, want := range map[float64]int{alikeCurrent * 0.99: 1, alikeCurrent * 1.01: 0} {
		if near, _ := alike([]ChargeLesson{{Current: 1}}, amps); len(near) != want {
			t.Errorf("%g times the current: %d alike", amps, len(near))
		}
	}
}

// What says how full a pack was: an end that was full, else a rest before it; a flat curve says nothing, and nickel has no such end.
func TestWhereAChargeBegan(t *testing.T) {
	file := warwick + "T25_cRate_1C_discharge_rest_charge_every3rd.csv"
	m := chargedSets[0].charges(t, file, 5)[0]
	for _, k := range []struct {
		chemistry string
		cut       func(*MeasuredCharge)
		says      string
	}{
		{"nmc", func(*MeasuredCharge) {}, "Where it began is counted back from the end, which was full."},
		{"nmc", func(m *MeasuredCharge) { m.Cut.Volts, m.Cut.End = math.NaN(), m.Cut.Change }, "by the voltage at rest before it."},
		{"nmc", func(m *MeasuredCharge) { m.Cut.Last, m.Rows.Start = 1.5, m.Cut.Begin }, "shows no rest before it"},
		{"lfp", func(m *MeasuredCharge) {
			m.Cut.Last = 1.5
			for k := range m.Rows.Volts {
				m.Rows.Volts[k] = 3.3
			}
		}, "hardly changes with the charge"},
		{"nimh", func(*MeasuredCharge) {}, "nickel is charged for a time"},
	} {
		e, err := Typical(chemistry(t, k.chemistry), quantity.Exact(quantity.AmpereHours(5)))
		if err != nil {
			t.Fatal(err)
		}
		one := m
		one.Rows.Volts = append([]float64(nil), m.Rows.Volts...)
		k.cut(&one)
		c, err := e.CompareCharge(one, nil)
		said := ""
		if err != nil {
			said = err.Error()
		} else {
			said = c.Start
		}
		if !strings.Contains(said, k.says) {
			t.Errorf("%s: %q, want %q", k.chemistry, said, k.says)
		}
	}
}

package runlog

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// The phases of measured charges, against what their sources count. NASA's second charge of B0005 (SOURCE.md: change at 3312.5 s, 1.3874 Ah before and
// 0.4938 Ah after it, to 30 mA; 1.5 A, 4.2 V); the 18650PF charge (SOURCE.md: 2.78376 Ah in all by the tester; 2.9 A to 4.2 V and down to 50 mA, which is its
// protocol). A discharge has none, and says so.
func TestPhasesOfMeasuredCharges(t *testing.T) {
	for _, k := range []struct {
		file                          string
		amps, volts, last             float64
		change, before, after, within float64 // s, Ah, Ah, Ah
	}{
		{"nasa-pcoe-18650/B0005_charge_second_05123.csv", 1.51, 4.2, 0.026, 3312.5, 1.3874, 0.4938, 0.01},
		{"panasonic-18650pf/25C_CCCV_charge_after_1C_start.csv", 2.9, 4.2, 0.05, math.NaN(), 2.320, 0.440, 0.03},
	} {
		r := measuredFile(t, k.file, NewOptions())
		p := r.Phases
		near := func(what string, got quantity.Quantity, want, within float64) {
			t.Helper()
			if !math.IsNaN(want) && !(math.Abs(got.Value-want) <= within) {
				t.Errorf("%s, %s: %g, want %g", k.file, what, got.Value, want)
			}
		}
		near("held current", p.HeldCurrent.Quantity(), k.amps, 0.02*k.amps)
		near("held voltage", p.HeldVoltage.Quantity(), k.volts, 0.015)
		near("last current", p.LastCurrent.Quantity(), k.last, 0.3*k.last)
		near("time with the current held", p.CurrentTime.Quantity(), k.change, 20)
		near("charge before", p.CurrentCharge.Quantity(), k.before, k.within)
		near("charge after", p.VoltageCharge.Quantity(), k.after, k.within)
		if whole := p.CurrentCharge.Value + p.VoltageCharge.Value; math.Abs(float64(whole/r.Charge.In.Value)-1) > 0.01 {
			t.Errorf("%s: %g Ah in its phases, %g Ah in all", k.file, float64(whole), float64(r.Charge.In.Value))
		}
	}
	r := measuredFile(t, "nasa-pcoe-18650/B0005_discharge_first_05122.csv", NewOptions())
	for _, name := range phaseFigures {
		if f, ok := r.Figure(name); !ok || f.Quantity.Known() || !strings.Contains(f.Quantity.Why(), "no charge") {
			t.Errorf("%s of a discharge: %+v", name, f)
		}
	}
}

// A meter's reading of the wall: energy in by it, with the uncertainty of both (quotient: JCGM 100:2008, 5.1.2).
func TestEnergyFromTheWall(t *testing.T) {
	o := NewOptions()
	o.Wall = quantity.Of(quantity.WattHours(9), quantity.WattHours(0.09))
	r := measuredFile(t, "nasa-pcoe-18650/B0005_charge_second_05123.csv", o)
	e := r.Phases.Efficiency
	if want := 7.6280 / 9; math.Abs(float64(e.Value)-want) > 0.002 {
		t.Errorf("%v, want %.3f (SOURCE.md has 7.6280 Wh)", e, want)
	}
	r = measuredFile(t, "nasa-pcoe-18650/B0005_charge_second_05123.csv", NewOptions())
	if f, _ := r.Figure("charging-efficiency"); f.Quantity.Known() || !strings.Contains(f.Quantity.Why(), "No meter") {
		t.Errorf("without a meter: %+v", f)
	}
}

func measuredFile(t *testing.T, name string, o Options) *Result {
	t.Helper()
	f, err := os.Open(filepath.Join("../../testdata/logs", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r, _, err := Measure(finding.NewStream(name), f, o)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

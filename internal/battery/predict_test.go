package battery

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"voltwright/internal/quantity"
)

func chemistry(t testing.TB, name string) *Chemistry {
	t.Helper()
	c, err := ChemistryNamed(name)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func show(r Residual, role string) string {
	return fmt.Sprintf("%-46s %-9s %8.1f %8.1f %+7.2f %% %7.1f %7.1f %7.1f mV %6.1f %6.1f °C",
		r.Log, role, float64(r.Measured), float64(r.Predicted), 100*r.TimeError(), 1000*float64(r.Usable), 1000*float64(r.All), 1000*float64(r.Drive), float64(r.Warmest), float64(r.WarmestCalc))
}

func trial(t *testing.T, chem string, ah float64, seen, unseen []Log) {
	t.Helper()
	e, err := Typical(chemistry(t, chem), quantity.Exact(quantity.AmpereHours(ah)))
	if err != nil {
		t.Fatal(err)
	}
	begin := time.Now()
	cal, err := e.Calibrate(seen...)
	if err != nil {
		t.Fatal(err)
	}
	c := cal.After.Cell()
	t.Logf("%s: %d steps, misfit %.2f, %v; Q %.3f Ah, R %.1f/%.1f/%.1f mΩ, τ %.0f/%.0f s, lag %.0f s, E %.0f/%.0f/%.0f J/mol, C %.0f J/K, h %.3f W/K", chem, cal.Steps, cal.Misfit, time.Since(begin).Round(time.Millisecond),
		float64(c.Capacity), 1000*c.Ohmic.At(.5), 1000*c.Branches[0].Resistance.At(.5), 1000*c.Branches[1].Resistance.At(.5), float64(c.Branches[0].Time), float64(c.Branches[1].Time), float64(c.Lag), c.ActivationOhmic, c.ActivationBranch, c.ActivationLag, c.HeatCapacity, c.Conductance)
	var lines []string
	for _, r := range cal.Residuals {
		lines = append(lines, show(r, "seen"))
	}
	for _, l := range unseen {
		r, err := Compare(c, l)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, show(r, "predicted"))
	}
	t.Log("\n" + strings.Join(lines, "\n"))
}

func TestTrial(t *testing.T) {
	w := func(n string) Log { return warwickLog(t, n) }
	trial(t, "nmc", 5, []Log{w("T25_cRate_0p1C_discharge_rest_charge"), w("T25_cRate_1C_discharge_rest_charge_every3rd")},
		[]Log{w("T25_cRate_0p5C_discharge_rest_charge"), w("T25_cRate_2C_discharge_rest_charge_every3rd"), w("T0_cRate_0p5C_discharge_rest_charge"), w("T45_cRate_1C_discharge_rest_charge")})
	s := func(n string) Log { return samsungLog(t, n) }
	trial(t, "nca", 3, []Log{s("C10_every5th"), s("2C")}, []Log{s("1C"), s("3C"), s("4C")})
	p := func(n string) Log { return panasonicLog(t, n) }
	h50 := p("25C_HPPC_5pulse_SOC50")
	h50.Drawn = quantity.Exact(quantity.AmpereHours(1.45002))
	h20 := p("25C_HPPC_5pulse_SOC20")
	h20.Drawn = quantity.Exact(quantity.AmpereHours(2.32002))
	trial(t, "nca", 2.9, []Log{p("25C_1C_discharge_start_a"), p("25C_HPPC_5pulse_SOC100"), h50, h20}, []Log{p("25C_US06_drive_cycle_every5th")})
	k20 := columns(t, k2+"K2_Discharge_Test_20C.txt", 0, 1, 2, 4, -1)
	k50 := columns(t, k2+"K2_Discharge_Test_50C.txt", 0, 1, 2, 4, -1)
	kp := columns(t, k2+"HPPC_20C_first30000.csv", -1, 1, 0, 2, -1)
	trial(t, "lfp", 2.6, []Log{k20}, []Log{k50})
	trial(t, "lfp", 2.6, []Log{kp}, []Log{k20, k50})
	trial(t, "lfp", 2.6, []Log{k20, kp}, []Log{k50})
}

func TestDiag(t *testing.T) {
	w := func(n string) Log { return warwickLog(t, n) }
	trial(t, "nmc", 5, []Log{w("T25_cRate_0p1C_discharge_rest_charge"), w("T25_cRate_1C_discharge_rest_charge_every3rd"), w("T25_cRate_0p5C_discharge_rest_charge"), w("T25_cRate_2C_discharge_rest_charge_every3rd")},
		nil)
	s := func(n string) Log { return samsungLog(t, n) }
	trial(t, "nca", 3, []Log{s("C10_every5th"), s("2C"), s("1C"), s("3C"), s("4C")}, nil)
}

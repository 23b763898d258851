package runlog

import (
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

const (
	openLogs  = "../../testdata/logs"
	shareLogs = "../../testdata/cc-by-sa"
)

// measureFile measures a log as it lies, with instruments that add nothing, so that what is left of the uncertainty comes
// from the samples alone.
func measureFile(t *testing.T, path string, columns map[Channel]string) *Result {
	t.Helper()
	return measurePart(t, path, "", columns)
}

// measurePart measures a part of it.
func measurePart(t *testing.T, path, part string, columns map[Channel]string) *Result {
	t.Helper()
	file, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	o := perfect()
	o.Columns, o.Part = columns, part
	r, found, err := Measure(finding.NewStream(filepath.Base(path)), file, o)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range found {
		if f.Level == finding.Error || f.Rule == "log-odd-sample" || f.Rule == "log-gap" { // none of these logs holds any
			t.Fatalf("%s: %s", f.Rule, f.Text)
		}
	}
	return r
}

// The values are those of each set's SOURCE.md: the counters of the battery testers and of the car's controller, the
// charge and energy that the publishers state, and trapezoids of the unthinned data. One edge rule serves all of them.
func TestAgainstCounters(t *testing.T) {
	const (
		charge = 0.001 // the targets: charge within 0.1 %, energy within 0.2 %
		energy = 0.002
	)
	type target struct {
		what  string
		value func(*Result) float64
		want  float64
	}
	qOut := func(r *Result) float64 { return float64(r.Charge.Out.Value) }
	qIn := func(r *Result) float64 { return float64(r.Charge.In.Value) }
	qNet := func(r *Result) float64 { return float64(r.Charge.Net()) }
	eOut := func(r *Result) float64 { return float64(r.Energy.Out.Value) }
	eIn := func(r *Result) float64 { return float64(r.Energy.In.Value) }
	eNet := func(r *Result) float64 { return float64(r.Energy.Net()) }
	for _, c := range []struct {
		path   string
		charge []target
		energy []target
	}{
		{openLogs + "/panasonic-18650pf/25C_1C_discharge_start_a.csv",
			[]target{{"tester's counter, Ah", qNet, 2.79826}}, []target{{"tester's counter, Wh", eNet, 9.82124}}},
		{openLogs + "/panasonic-18650pf/25C_1C_discharge_end_of_life_a.csv",
			[]target{{"tester's counter, Ah", qNet, 2.43406}}, []target{{"tester's counter, Wh", eNet, 8.48121}}},
		{openLogs + "/panasonic-18650pf/25C_CCCV_charge_after_1C_start.csv",
			[]target{{"tester's counter, Ah", qNet, -2.78376}}, []target{{"tester's counter, Wh", eNet, -10.83754}}},
		{openLogs + "/panasonic-18650pf/25C_HPPC_5pulse_SOC50.csv",
			[]target{{"tester's counter, Ah", qNet, 0.10878}}, []target{{"tester's counter, Wh", eNet, 0.35279}}},
		{openLogs + "/panasonic-18650pf/25C_US06_drive_cycle_every5th.csv",
			[]target{{"tester's counter, Ah", qNet, 2.58596}}, []target{{"tester's counter, Wh", eNet, 8.86022}}},
		{openLogs + "/lg-m50-warwick/T25_cRate_0p5C_discharge_rest_charge.csv",
			[]target{{"discharge, Ah", qOut, 4.84205}, {"charge, Ah", qIn, 4.79244}},
			[]target{{"discharge, Wh", eOut, 17.2988}, {"charge, Wh", eIn, 18.3714}}},
		{openLogs + "/lg-m50-warwick/T25_cRate_1C_discharge_rest_charge_every3rd.csv",
			[]target{{"discharge of the unthinned log, Ah", qOut, 4.78252}, {"charge, Ah", qIn, 4.73660}},
			[]target{{"discharge of the unthinned log, Wh", eOut, 16.6021}, {"charge, Wh", eIn, 18.1707}}},
		{openLogs + "/lg-m50-warwick/T25_cRate_2C_discharge_rest_charge_every3rd.csv",
			[]target{{"discharge of the unthinned log, Ah", qOut, 4.85981}, {"charge, Ah", qIn, 4.81326}},
			[]target{{"discharge of the unthinned log, Wh", eOut, 16.0627}, {"charge, Wh", eIn, 18.4508}}},
		{shareLogs + "/k2-26650-lfp-arts/K2_Discharge_Test_20C.txt",
			[]target{{"Ah", qOut, 2.19690}}, []target{{"Wh", eOut, 6.7645}}},
		{shareLogs + "/samsung-30q-arts/Q30_S001_1C.csv",
			[]target{{"Ah", qOut, 2.95650}}, []target{{"Wh", eOut, 10.4330}}},
	} {
		t.Run(filepath.Base(c.path), func(t *testing.T) {
			r := measureFile(t, c.path, nil)
			check := func(w target, within float64) {
				t.Helper()
				got := w.value(r)
				off := got/w.want - 1
				t.Logf("%-36s stated %10.5f measured %10.5f %+.3f %%", w.what, w.want, got, 100*off)
				if !(math.Abs(off) <= within) {
					t.Errorf("%s: %.5f, stated %.5f: off by %.3f %%", w.what, got, w.want, 100*off)
				}
			}
			for _, w := range c.charge {
				check(w, charge)
				// A counter is independent evidence: what the samples leave open must cover it.
				if u := math.Hypot(float64(r.Charge.Out.U), float64(r.Charge.In.U)); strings.Contains(w.what, "counter") && math.Abs(w.value(r)-w.want) > 2*u+1e-5 {
					t.Errorf("%s: %.5f ± %.5f does not cover %.5f", w.what, w.value(r), 2*u, w.want)
				}
			}
			for _, w := range c.energy {
				check(w, energy)
			}
		})
	}
}

// The published capacity counts until the voltage first goes below 2.7 V, so the samples end there. The sets' own counting
// is a trapezoid; here no row is out of turn, so the edge at the start stays in the middle and agrees.
func TestAgainstPublishedCapacity(t *testing.T) {
	for _, c := range []struct {
		file      string
		published float64
	}{
		{"B0005_discharge_first_05122.csv", 1.8564874208},
		{"B0005_discharge_last_05734.csv", 1.3250793286},
		{"B0034_discharge_4A_01809.csv", 1.6623217153},
	} {
		file, err := os.Open(filepath.Join(openLogs, "nasa-pcoe-18650", c.file))
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		scanner, err := NewScanner(finding.NewStream(c.file), file, perfect())
		if err != nil {
			t.Fatal(err)
		}
		m := NewMeter(perfect())
		for {
			s, ok := scanner.Next()
			if !ok {
				break
			}
			m.Add(s)
			if s.Values[Voltage] < 2.7 {
				break
			}
		}
		r, _ := m.Result()
		got := float64(r.Charge.Out.Value)
		t.Logf("%s: published %.5f, measured %.5f, %+.4f %%", c.file, c.published, got, 100*(got/c.published-1))
		near(t, c.file, got, c.published, 0.0002*c.published)
	}
}

// The car's logger keeps no rhythm, so nothing places its edges, and no rule that does not look at the counter reaches
// it within 0.2 %. What must hold: the counter lies within the expanded uncertainty from the samples, and the net energy with
// every edge at the later sample, which is shown beside, is nearer to it.
func TestOpenEdgesCoverTheCounter(t *testing.T) {
	r := measureFile(t, filepath.Join(openLogs, "f1tenth-rc-car", "DS5_coreData.csv"), map[Channel]string{Voltage: "VI", Current: "cI"})
	const counter = 0.6684 // Wh, net, the controller's own
	net := float64(r.Energy.Net())
	u := math.Hypot(float64(r.Energy.Out.U), float64(r.Energy.In.U))
	t.Logf("counter %.4f, measured %.4f ± %.4f (k = 2), %+.2f %%", counter, net, 2*u, 100*(net/counter-1))
	if math.Abs(net-counter) > 2*u {
		t.Errorf("net energy %.4f ± %.4f does not cover the counter %.4f", net, 2*u, counter)
	}
	near(t, "trapezoid, Wh", float64(r.Energy.Trapezoid.Out-r.Energy.Trapezoid.In), 0.6731, 0.0001)
	near(t, "trapezoid, Ah", float64(r.Charge.Trapezoid.Out-r.Charge.Trapezoid.In), 0.0571, 0.0001)
	later := float64(r.Energy.Later.Out - r.Energy.Later.In)
	if math.Abs(later-counter) > math.Abs(net-counter) {
		t.Errorf("edges at the later sample give %.4f", later)
	}
	if r.Charge.OpenEdges == 0 {
		t.Error("no edge is open")
	}
}

// Pulses: stated discharge and charge, and the resistance at the end of each 10 s pulse. The first row after an edge would
// give 0.007 Ω, which the source calls meaningless.
func TestPulses(t *testing.T) {
	r := measureFile(t, filepath.Join(openLogs, "samsung-30t-kollmeyer", "HPPC_multipulse.csv"), nil)
	near(t, "trapezoid of the discharge", float64(r.Charge.Trapezoid.Out), 0.02588, 0.00001)
	near(t, "trapezoid of the charge", float64(r.Charge.Trapezoid.In), 0.00945, 0.00001)
	near(t, "trapezoid of the discharged energy", float64(r.Energy.Trapezoid.Out), 0.1063, 0.0001)
	near(t, "trapezoid of the charged energy", float64(r.Energy.Trapezoid.In), 0.0396, 0.0001)
	if r.Resistance.Steps != 2 {
		t.Fatalf("%d steps, want the two pulses", r.Resistance.Steps)
	}
	near(t, "1C pulse", float64(r.Resistance.Listed[0].Resistance), 0.02066, 0.0002)
	near(t, "2C pulse", float64(r.Resistance.Listed[1].Resistance), 0.01972, 0.0002)

	r = measureFile(t, filepath.Join(openLogs, "panasonic-18650pf", "25C_HPPC_5pulse_SOC50.csv"), nil)
	if r.Resistance.Steps != 5 {
		t.Fatalf("%d steps, want five pulses", r.Resistance.Steps)
	}
	for k, want := range []float64{0.03650, 0.03733, 0.03697, 0.03657, 0.03658} {
		near(t, "R 10 s", float64(r.Resistance.Listed[k].Resistance), want, 0.0003) // the last steady row is at 9.9 s
	}
	near(t, "lowest voltage", float64(r.LowestVoltage.Value), 3.0122, 0.0001)
}

// Lead-acid, a minute between samples, voltage and temperature on separate rows, a clock that steps back. The stated
// values are trapezoids from the first to the last row with more than 0.25 A.
func TestLeadAcid(t *testing.T) {
	for _, c := range []struct {
		file           string
		ah, wh, lo, hi float64
	}{
		{"unit-a-2017-03-25.csv", 19.7386, 235.045, 23.25, 24.50},
		{"unit-a-2017-03-28.csv", 19.2825, 231.433, 21.37, 26.31},
	} {
		file, err := os.Open(filepath.Join(openLogs, "bboxx-lead-acid-17ah", c.file))
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		scanner, err := NewScanner(finding.NewStream(c.file), file, perfect())
		if err != nil {
			t.Fatal(err)
		}
		var rows []Sample
		first, last := -1, 0
		for {
			s, ok := scanner.Next()
			if !ok {
				break
			}
			if s.Values[Current] > 0.25 {
				if first < 0 {
					first = len(rows)
				}
				last = len(rows)
			}
			rows = append(rows, s)
		}
		r := meter(rows[first:last+1], perfect())
		near(t, c.file+" Ah", float64(r.Charge.Out.Value), c.ah, 0.001*c.ah)
		near(t, c.file+" Wh", float64(r.Energy.Out.Value), c.wh, 0.002*c.wh)
		t.Logf("%s: stated %.4f Ah %.3f Wh, measured %.4f Ah %.3f Wh", c.file, c.ah, c.wh, r.Charge.Out.Value, r.Energy.Out.Value)
	}
	r := measureFile(t, filepath.Join(openLogs, "bboxx-lead-acid-17ah", "unit-a-2017-03-25.csv"), nil)
	near(t, "rebound at the end of the log", float64(r.Cutout.Rebound.Peak.Value), 11.445, 0.03)
	// The last row under load already shows 10.799 V, the voltage after the opening beside the current before it.
	near(t, "opened at", float64(r.Cutout.OpenedVoltage.Value), 10.5556, 0.0001)
	// At the start it is the other way round: 12.949 V stands beside no current, after 13.131 V at rest.
	near(t, "sag", float64(r.Sag.Value), 13.1306-12.9489, 0.0001)
}

// CC–CV charges: 1.8822 Ah went in, of which 0.0021 Ah are a stray spike the other way in the second row.
func TestChargeLog(t *testing.T) {
	r := measureFile(t, filepath.Join(openLogs, "nasa-pcoe-18650", "B0005_charge_second_05123.csv"), nil)
	near(t, "charge in", float64(r.Charge.In.Value), 1.88218, 0.001*1.88218)
	near(t, "energy in", float64(r.Energy.In.Value), 7.6280, 0.002*7.6280)
	if r.Cutout != nil {
		t.Error("a cutout opened while charging")
	}
	if f, _ := r.Figure("cutout-voltage"); f.Quantity.Why() == "" {
		t.Error("the missing opening is not explained")
	}
}

// Discharges to a cut-off with a rest after them: the stated last voltage under load and the voltages of the rest.
func TestOpeningInMeasuredLogs(t *testing.T) {
	for _, c := range []struct {
		path, part    string
		opened, ended float64
		at            float64 // s
		within        float64 // s
	}{
		{"panasonic-18650pf/25C_1C_discharge_start_a.csv", "", 2.4995, 3.208, 3474.4, 0.1},
		{"lg-m50-warwick/T25_cRate_0p5C_discharge_rest_charge.csv", "discharge 1 to rest 2", 2.4996, 3.0832, 6973.0, 0.1},
		{"nasa-pcoe-18650/B0005_discharge_first_05122.csv", "", 2.6125, 3.2772, 3356.9, 10},
		{"nasa-pcoe-18650/B0034_discharge_4A_01809.csv", "", 2.1844, 3.5697, 1592.0, 5},
	} {
		r := measurePart(t, filepath.Join(openLogs, c.path), c.part, nil)
		e := r.Cutout
		if e == nil {
			t.Errorf("%s: no opening seen", c.path)
			continue
		}
		near(t, c.path+" opened at", float64(e.OpenedVoltage.Value), c.opened, 0.0002)
		near(t, c.path+" time", float64(e.OpenedAt.Value), c.at, c.within)
		near(t, c.path+" rebound", float64(e.Rebound.Peak.Value), c.ended, 0.0003)
		if !e.Inferred || e.Rebound.Fit == nil || !e.Rebound.StillRising {
			t.Errorf("%s: inferred %v, fit %v, still rising %v", c.path, e.Inferred, e.Rebound.Fit, e.Rebound.StillRising)
			continue
		}
		if math.Abs(float64(e.Rebound.Fit.Asymptote.Value)-c.ended) > 4*float64(e.Rebound.Fit.ResidualSD) {
			t.Errorf("%s: the rebound tends to %v, the log ends at %g V", c.path, e.Rebound.Fit.Asymptote, c.ended)
		}
	}
}

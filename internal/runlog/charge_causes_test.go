package runlog

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// checkCauses: what is told of why a flow is uncertain adds up to what is printed, and a wide interval has its reason.
func checkCauses(t *testing.T, what string, m *Meter, r *Result) {
	t.Helper()
	if !r.Charge.Out.Known() {
		return
	}
	for _, x := range []struct {
		name               string
		value, sampling, u float64
		of                 *causes
	}{
		{"charge-out", float64(r.Charge.Out.Value), float64(r.Charge.Sampling.Out), float64(r.Charge.Out.U), &m.accounts.charge.varOut},
		{"charge-in", float64(r.Charge.In.Value), float64(r.Charge.Sampling.In), float64(r.Charge.In.U), &m.accounts.charge.varIn},
		{"energy-out", float64(r.Energy.Out.Value), float64(r.Energy.Sampling.Out), float64(r.Energy.Out.U), &m.accounts.energy.varOut},
		{"energy-in", float64(r.Energy.In.Value), float64(r.Energy.Sampling.In), float64(r.Energy.In.U), &m.accounts.energy.varIn},
	} {
		if sum := math.Sqrt(x.of.sum()) / secondsPerHour; math.Abs(sum-x.sampling) > 1e-9*sum+1e-15 {
			t.Errorf("%s: %s: its reasons come to %g, %g stands in the interval", what, x.name, sum, x.sampling)
		}
		if math.IsNaN(x.u) {
			x.u = x.sampling
		}
		if wide := 2*x.u > tellWidth*x.value && x.value > 0; wide != strings.Contains(r.notes[x.name], "The interval is ±") {
			t.Errorf("%s: %s %g ± %g: %q", what, x.name, x.value, 2*x.u, r.notes[x.name])
		}
	}
}

// TestWideElapsedTime: a log so short that its own digits count says so.
func TestWideElapsedTime(t *testing.T) {
	r, _, err := Measure(finding.NewStream("log"), strings.NewReader("time_s,voltage_V\n0.000,25\n0.020,25.1\n0.040,25\n0.060,25.1\n"), NewOptions())
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(r.notes["elapsed-time"], "the times are known to 0.01 s") {
		t.Errorf("%q", r.notes["elapsed-time"])
	}
}

// TestWideIntervalsHaveReasons: each reason alone is the one that is told.
func TestWideIntervalsHaveReasons(t *testing.T) {
	for _, x := range []struct{ says, log string }{
		{"2 edges of the load open between", "time_s,voltage_V,current_A\n0,26,0\n10,26,0\n20,26,0\n30,26,0\n40,25,5.003\n50,25,5\n60,25,5\n70,26,0\n80,26,0\n"},
		{"rows share a stamp", "time_s,voltage_V,current_A\n" + strings.Repeat("0,26,0.003\n", 20) + strings.Repeat("1,26,0.003\n", 20) + strings.Repeat("2,25,5.003\n", 20) + strings.Repeat("3,25,5.003\n", 20) + strings.Repeat("4,26,0.003\n", 20)},
		{"the current changes between the rows", "time_s,voltage_V,current_A\n0,25,5.003\n10,26,1\n20,24,9\n30,25,2\n40,24,8\n50,24,8\n60,26,1\n"},
		{"the current is written to 1 A", "time_s,voltage_V,current_A\n0,25,5\n10,25,5\n20,25,5\n30,25,5\n"},
		{"the log's own counter differs", "time_s,voltage_V,current_A,used_Ah\n0,25,5.003,0\n1000,25,5,1.5\n2000,25,5,3.0\n3000,25,5,4.5\n"},
		{"gaps, and single intervals", "time_s,voltage_V,current_A\n0,25,5.003\n10,25,5\n20,25,5\n30,25,5\n40,25,5\n50,25,5\n60,25,5\n70,25,5\n80,25,5\n90,25,5\n100,25,5\n110,25,5\n120,25,5\n900,25,5\n910,25,5\n920,25,5\n"},
	} {
		s, err := NewScanner(finding.NewStream("log"), strings.NewReader(x.log), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		m := NewMeter(NewOptions())
		m.opinions.dialect = s.Dialect()
		for {
			sample, ok := s.Next()
			if !ok {
				break
			}
			m.Add(sample)
		}
		r, _ := m.Result()
		checkCauses(t, x.says, m, r)
		_, first, _ := strings.Cut(r.notes["charge-out"], "The interval is ±")
		if !strings.Contains(first, x.says) {
			t.Errorf("%q is not told: %q", x.says, r.notes["charge-out"])
		}
	}
}

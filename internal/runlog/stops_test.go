package runlog

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// drive is one sample a second, 6 A, with stops of so many seconds after each two minutes of driving.
func drive(stops ...int) []Sample {
	var out []Sample
	x := 0.0
	add := func(n int, i float64) {
		for range n {
			out = append(out, vi(x, 24, i))
			x++
		}
	}
	add(120, 6)
	for _, s := range stops {
		add(s, 0.02)
		add(120, 6)
	}
	return out
}

// Common practice, no source: under a 10 s rule a stop of 11 s is taken out, one of 9 s is not.
func TestStopRule(t *testing.T) {
	o := perfect()
	o.PauseAfter = 10
	r := meter(drive(11, 9), o)
	if len(r.Stops) != 2 {
		t.Fatalf("stops %v", r.Stops)
	}
	near(t, "first stop", float64(r.Stops[0].Length), 11, 1e-9)
	near(t, "second stop", float64(r.Stops[1].Length), 9, 1e-9)
	if !r.Stops[0].TakenOut || r.Stops[1].TakenOut {
		t.Errorf("stops %+v", r.Stops)
	}
	near(t, "elapsed", float64(r.Elapsed.Value), 379, 1e-9)
	near(t, "running", float64(r.Running.Value), 379-11, 1e-9)
	near(t, "stopped", float64(r.Stopped.Value), 20, 1e-9)
	near(t, "u of the running time", float64(r.Running.U), math.Sqrt(2*0.5*0.5/3), 1e-9)
}

func TestStopRuleTable(t *testing.T) {
	nan := math.NaN()
	for _, c := range []struct {
		name    string
		samples []Sample
		pause   float64
		idle    float64
		running float64
		stops   int
	}{
		{"no rule takes nothing out", drive(300, 60), nan, nan, 719, 2},
		{"exactly the rule stays in", drive(20), 20, nan, 259, 1},
		{"a rule of nothing takes all out", drive(20, 5), 0, nan, 384 - 25, 2},
		{"a flicker is no stop", drive(1, 1, 1), 0, nan, 482, 0},
		{"idle stated below the standing current", drive(60), 10, 0.01, 299, 0},
		{"idle stated above the driving current", drive(60), 10, 7, 0, 1},
	} {
		o := perfect()
		o.PauseAfter, o.Idle = quantity.Seconds(c.pause), quantity.Amperes(c.idle)
		r := meter(c.samples, o)
		if r.StopCount != c.stops {
			t.Errorf("%s: %d stops, want %d: %v", c.name, r.StopCount, c.stops, r.Stops)
		}
		near(t, c.name+": running", float64(r.Running.Value), c.running, 1e-9)
	}
}

// One wrong sample in a stop does not make two stops of it.
func TestFlickerInAStop(t *testing.T) {
	samples := drive(30)
	samples[135].Values[Current] = 60
	o := perfect()
	o.PauseAfter = 20
	r := meter(samples, o)
	if r.StopCount != 1 || !r.Stops[0].TakenOut {
		t.Errorf("stops %+v", r.Stops)
	}
}

// The default idle current follows the current that the run needs, not a spike nor the time stood.
func TestDefaultIdle(t *testing.T) {
	samples := drive(600, 900, 1200)
	samples[10].Values[Current] = 400
	if r := meter(samples, perfect()); r.Idle != 0.2 { // 5 % of 6 A is 0.3 A; the step below is 0.2 A
		t.Errorf("idle current %v, want 0.2 A", r.Idle)
	}
	for k := range samples {
		samples[k].Values[Current] /= 100
	}
	if r := meter(samples, perfect()); r.Idle != 0.01 { // the lowest step
		t.Errorf("idle current %v, want 0.01 A", r.Idle)
	}
}

func TestStopsAreBounded(t *testing.T) {
	var lengths []int
	for range 3 * MaxListed {
		lengths = append(lengths, 5)
	}
	o := perfect()
	o.PauseAfter = 2
	var samples []Sample
	x := 0.0
	for range lengths {
		for _, i := range []float64{6, 6, 6, 0, 0, 0, 0, 0} {
			samples = append(samples, vi(x, 24, i))
			x++
		}
	}
	r := meter(samples, o)
	if len(r.Stops) != MaxListed || r.StopCount != 3*MaxListed {
		t.Errorf("%d listed of %d", len(r.Stops), r.StopCount)
	}
	near(t, "stopped", float64(r.Stopped.Value), 5*3*MaxListed-0.5, 1e-6) // the last ends with the log
}

// An hour without a sample while nothing flows is counted as standing, and said; under load it is a gap.
func TestLongSilenceAtAStandIsSaid(t *testing.T) {
	var samples []Sample
	for k := range 40 {
		samples = append(samples, vi(float64(k), 25, 6))
	}
	for k := range 20 {
		samples = append(samples, vi(40+float64(k), 26, 0))
	}
	samples = append(samples, vi(3660, 26, 0))
	for k := range 20 {
		samples = append(samples, vi(3661+float64(k), 25, 6))
	}
	m := NewMeter(NewOptions())
	for _, s := range samples {
		m.Add(s)
	}
	r, found := m.Result()
	if len(found) != 1 || found[0].Rule != "log-gap" || found[0].Level != finding.Note || !strings.Contains(found[0].Text, "no sample for 1 h 0 min 1 s while no load is on") {
		t.Errorf("found %+v", found)
	}
	if r.GapCount != 0 {
		t.Errorf("%d gaps are left out; the silence has no load on either side", r.GapCount)
	}
}

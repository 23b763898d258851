package runlog

import (
	"math"
	"path/filepath"
	"slices"
	"testing"
)

// seriesCharge is Σ Current·Δt in Ah; a gap counts nothing.
func seriesCharge(s *Series) float64 {
	var sum float64
	at := s.Start
	for k, t := range s.Time {
		if !math.IsNaN(s.Current[k]) {
			sum += s.Current[k] * (t - at)
		}
		at = t
	}
	return sum / 3600
}

var seriesLogs = []struct {
	file    string
	columns map[Channel]string
}{
	{openLogs + "/samsung-30t-kollmeyer/HPPC_multipulse.csv", nil},
	{openLogs + "/panasonic-18650pf/25C_HPPC_5pulse_SOC100.csv", nil},
	{openLogs + "/panasonic-18650pf/25C_HPPC_5pulse_SOC50.csv", nil},
	{openLogs + "/panasonic-18650pf/25C_1C_discharge_start_a.csv", nil},
	{openLogs + "/panasonic-18650pf/25C_US06_drive_cycle_every5th.csv", nil},
	{openLogs + "/nasa-pcoe-18650/B0005_discharge_first_05122.csv", map[Channel]string{Time: "Time", Voltage: "Voltage_measured", Current: "Current_measured"}},
	{openLogs + "/lg-m50-warwick/T25_cRate_1C_discharge_rest_charge_every3rd.csv", nil},
}

// The oracle is the analysis itself: Charge.Out − Charge.In, which has its own checks against the testers' counters.
func TestSeriesKeepsTheCharge(t *testing.T) {
	for _, c := range seriesLogs {
		r := measureFile(t, c.file, c.columns)
		if r.Series == nil {
			t.Errorf("%s: no series", c.file)
			continue
		}
		net, scale := float64(r.Charge.Net()), float64(r.Charge.Out.Value+r.Charge.In.Value)
		for _, most := range []int{MaxSeriesRows, 1000, 300, 60, 8} {
			s := r.Series.Reduced(most)
			if len(s.Time) > most || len(s.Current) != len(s.Time) || len(s.Voltage) != len(s.Time) || len(s.Temperature) != len(s.Time) {
				t.Errorf("%s: %d rows of at most %d", c.file, len(s.Time), most)
			}
			if got := seriesCharge(s); math.Abs(got-net) > 1e-6*scale {
				t.Errorf("%s in %d rows: %.9g Ah, measured %.9g Ah", filepath.Base(c.file), len(s.Time), got, net)
			}
			if !slices.IsSorted(s.Time) || s.Time[0] <= s.Start {
				t.Errorf("%s: the times do not rise", c.file)
			}
		}
		t.Logf("%-50s %6d samples, %4d rows", filepath.Base(c.file), r.Rows, len(r.Series.Time))
	}
}

// A row ends where the current steps: between the two samples of every step of the pulse logs, and the row before and the
// row after it hold the currents of either side; the row after it may begin with one sample of a current still on its way.
func TestSeriesKeepsEdges(t *testing.T) {
	steps := 0
	for _, c := range seriesLogs[:3] {
		r := measureFile(t, c.file, c.columns)
		for _, most := range []int{MaxSeriesRows, 1500} {
			s := r.Series.Reduced(most)
			for _, step := range r.Resistance.Listed {
				before, after := float64(step.Before), float64(step.After)
				steps++
				k := slices.IndexFunc(s.Time, func(at float64) bool { return at >= float64(step.At) })
				for k < len(s.Time)-1 && math.Abs(s.Current[k]-before) < math.Abs(s.Current[k]-after) {
					k++
				}
				end := s.Time[k-1] // the row that ends at the step
				if end < float64(step.At)-1e-9 || end > float64(step.At+step.Settle)+1e-9 {
					t.Errorf("%s, %d rows: the step at %.3f s ends a row at %.3f s", filepath.Base(c.file), most, float64(step.At), end)
				}
				if math.Abs(s.Current[k-1]-before) > 0.03*math.Abs(after-before) || math.Abs(s.Current[k]-after) > 0.1*math.Abs(after-before) {
					t.Errorf("%s, %d rows: step at %.3f s from %.3f A to %.3f A is %.3f A to %.3f A", filepath.Base(c.file), most, float64(step.At), before, after, s.Current[k-1], s.Current[k])
				}
			}
		}
	}
	if steps < 20 {
		t.Errorf("only %d steps to look at", steps)
	}
}

// What a rest relaxes by is kept: the series follows the samples of a rest within a few parts in a thousand.
func TestSeriesKeepsRests(t *testing.T) {
	o := perfect()
	m := NewMeter(o)
	v := func(at float64) float64 { return 24 - math.Exp(-(at-3600)/40) }
	for at := 0.0; at <= 3600; at++ {
		m.Add(sampleAt(at, 23, 8))
	}
	for at := 3601.0; at <= 5400; at++ {
		m.Add(sampleAt(at, v(at), 0))
	}
	r, _ := m.Result()
	s := r.Series.Reduced(200)
	rest := 0
	for k, at := range s.Time {
		if at <= 3602 {
			continue
		}
		rest++
		if d := math.Abs(s.Voltage[k] - v(at)); d > 1e-9 {
			t.Errorf("at %.1f s: %.6f V, a sample says %.6f V", at, s.Voltage[k], v(at))
		}
		if k+1 < len(s.Time) && math.Abs(s.Voltage[k+1]-s.Voltage[k]) > 0.15 {
			t.Errorf("at %.1f s the voltage jumps from %.3f V to %.3f V", at, s.Voltage[k], s.Voltage[k+1])
		}
	}
	if rest < 20 {
		t.Errorf("only %d rows of the rest", rest)
	}
}

func sampleAt(t, v, i float64) Sample {
	s := Sample{Time: t}
	for c := range s.Values {
		s.Values[c] = math.NaN()
	}
	s.Values[Time], s.Values[Voltage], s.Values[Current] = t, v, i
	return s
}

// An hour at 1 kHz is 3.6 million samples.
func TestSeriesIsBounded(t *testing.T) {
	m := NewMeter(perfect())
	most := 0
	for n := range 3_600_000 {
		at := float64(n) / 1000
		i := 8 + 3*math.Sin(at*11) + 2*math.Sin(at/7)
		if n/900%3 == 0 {
			i = 0
		}
		m.Add(sampleAt(at, 26-at/2000-0.05*i, i))
		if n%1000 == 0 {
			most = max(most, len(m.series.rows))
		}
	}
	r, _ := m.Result()
	if most > MaxSeriesRows || len(r.Series.Time) > MaxSeriesRows || len(r.Series.Time) < MaxSeriesRows/8 {
		t.Errorf("%d rows at the end, %d at most", len(r.Series.Time), most)
	}
	if got, want := seriesCharge(r.Series), float64(r.Charge.Net()); math.Abs(got-want) > 1e-6*want {
		t.Errorf("%.9g Ah, measured %.9g Ah", got, want)
	}
}

// A gap is a row of its own without a current, and a log without voltage gives no series.
func TestSeriesGap(t *testing.T) {
	m := NewMeter(perfect())
	for at := 0.0; at < 100; at++ {
		m.Add(sampleAt(at, 25, 8))
	}
	for at := 2000.0; at < 2100; at++ {
		m.Add(sampleAt(at, 24, 8))
	}
	r, _ := m.Result()
	gaps := 0
	for k := range r.Series.Time {
		if math.IsNaN(r.Series.Current[k]) {
			gaps++
		}
	}
	if r.GapCount != 1 || gaps != 1 {
		t.Errorf("%d gaps in the result, %d in the series", r.GapCount, gaps)
	}
	if got, want := seriesCharge(r.Series), float64(r.Charge.Net()); math.Abs(got-want) > 1e-9 {
		t.Errorf("%.9g Ah, measured %.9g Ah", got, want)
	}
	m = NewMeter(perfect())
	for at := 0.0; at < 10; at++ {
		m.Add(sampleAt(at, math.NaN(), 8))
	}
	if r, _ := m.Result(); r.Series != nil {
		t.Error("a series without voltage")
	}
}

package runlog

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// stampedRow is a row of a made ride: rest, three loads with stops between, as a cell of 60 mΩ and a slower 40 mΩ answers.
type stampedRow struct{ t, v, i float64 }

// stampedRide is that ride read at the times that next gives, from start on.
func stampedRide(start float64, next func(k int) float64) []stampedRow {
	var rows []stampedRow
	slow, charge, last := 0.0, 0.0, start
	noise := rand.New(rand.NewPCG(7, uint64(start*1e6)))
	for k, t := 0, start; t < 900; k, t = k+1, t+next(k) {
		i := 0.0
		switch s := t - start; {
		case s > 63.37 && s < 240.81, s > 301.13 && s < 520.55:
			i = 8.2
		case s > 583.72 && s < 820.29:
			i = 6.3 + 1.5*math.Sin(s/7)
		}
		d := t - last
		slow += (0.04*i - slow) * (1 - math.Exp(-d/20))
		charge += i * d / 3600
		last = t
		rows = append(rows, stampedRow{t, 26.4 - charge - 0.06*i - slow + 3e-4*noise.NormFloat64(), i + 2e-3*noise.NormFloat64()})
	}
	return rows
}

// TestCoarseStamps: several rows to a stamp are spread over it, and what is told of the run agrees with full stamps within
// what is printed: one interval of k = 2 in fifty may miss, and none by more than half of it.
func TestCoarseStamps(t *testing.T) {
	checked, missed := 0, 0
	clock := func(s float64) string { return fmt.Sprintf("%d:%02d:%02d", int(s)/3600, int(s)/60%60, int(s)%60) }
	dresses := []struct {
		name, head string
		stamp      func(float64) string
	}{
		{"whole seconds", "time_s", func(s float64) string { return fmt.Sprintf("%d", int(s)) }},
		{"whole seconds with zeros behind", "time_s", func(s float64) string { return fmt.Sprintf("%d.000", int(s)) }},
		{"h:mm:ss", "Time", clock},
		{"dates without fractions", "Date Time", func(s float64) string { return "2026-04-12 " + fmt.Sprintf("%02d:%02d:%02d", 9, int(s)/60, int(s)%60) }},
		{"dates to the minute", "Date Time", func(s float64) string { return "2026-04-12 " + fmt.Sprintf("%02d:%02d", 9, int(s)/60) }},
		{"hh:mm", "Time", func(s float64) string { return fmt.Sprintf("%02d:%02d", 9, int(s)/60) }},
		{"minutes to a hundredth", "time_min", func(s float64) string { return fmt.Sprintf("%.2f", math.Floor(s/0.6)*0.01) }},
		{"hours to a thousandth", "time_h", func(s float64) string { return fmt.Sprintf("%.3f", math.Floor(s/3.6)*0.001) }},
	}
	for _, rate := range []struct {
		name string
		next func(r *rand.Rand) func(int) float64
	}{
		{"10 Hz", func(*rand.Rand) func(int) float64 { return func(int) float64 { return 0.1 } }},
		{"4 Hz", func(*rand.Rand) func(int) float64 { return func(int) float64 { return 0.25 } }},
		{"2 Hz", func(*rand.Rand) func(int) float64 { return func(int) float64 { return 0.5 } }},
		{"1.5 Hz", func(*rand.Rand) func(int) float64 { return func(int) float64 { return 1 / 1.5 } }},
		{"7 Hz, and a rest that is logged every ten seconds", func(*rand.Rand) func(int) float64 {
			t := 0.0
			return func(k int) float64 {
				d := 1. / 7
				if t < 61 || t > 241 && t < 300 {
					d = 10
					if t < 61 && t+d > 61 || t > 241 && t < 300 && t+d > 300 {
						d = 300.5 - t
						if t < 61 {
							d = 61.5 - t
						}
					}
				}
				t += d
				return d
			}
		}},
		{"three a second", func(r *rand.Rand) func(int) float64 {
			return func(int) float64 { return 0.05 + r.Float64()*0.5667 }
		}},
	} {
		for seed := range uint64(4) {
			r := rand.New(rand.NewPCG(seed, 12))
			rows := stampedRide(r.Float64()*50, rate.next(r))
			full := measureStamped(t, "time_s", rows, func(s float64) string { return fmt.Sprintf("%.4f", s) })
			for _, d := range dresses {
				if d.name == "minutes to a hundredth" && rate.name == "1.5 Hz" {
					continue // no two rows share a stamp
				}
				t.Run(fmt.Sprintf("%s %s %d", rate.name, d.name, seed), func(t *testing.T) {
					got := measureStamped(t, d.head, rows, d.stamp)
					for _, x := range []struct {
						name             string
						is, want, u, few float64
					}{
						{"elapsed", float64(got.Elapsed.Value), float64(full.Elapsed.Value), float64(got.Elapsed.U), 0.02},
						{"running time", float64(got.Running.Value), float64(full.Running.Value), float64(got.Running.U), 0.03},
						{"charge", float64(got.Charge.Out.Value), float64(full.Charge.Out.Value), float64(got.Charge.Sampling.Out), 0.03},
						{"energy", float64(got.Energy.Out.Value), float64(full.Energy.Out.Value), float64(got.Energy.Sampling.Out), 0.03},
						{"sag", float64(got.Sag.Value), float64(full.Sag.Value), float64(got.Sag.U), 0.06},
						{"resistance", float64(got.Resistance.Value), float64(full.Resistance.Value), float64(got.Resistance.U), 0.1},
					} {
						checked++
						if off := math.Abs(x.is - x.want); !(off <= 1.5*quantity.CoverageFactor*x.u) {
							t.Errorf("%s %.5g ± %.2g, with full stamps %.5g", x.name, x.is, quantity.CoverageFactor*x.u, x.want)
						} else if off > quantity.CoverageFactor*x.u {
							missed++
							t.Logf("%s %.5g ± %.2g, with full stamps %.5g", x.name, x.is, quantity.CoverageFactor*x.u, x.want)
						}
						if strings.Contains(rate.name, "rest") {
							x.few *= 40 // where in a minute the pace changes is not known
						}
						if strings.Contains(d.name, "minute") && strings.Contains(d.name, "to the") || d.name == "hh:mm" || strings.Contains(d.name, "hours") {
							x.few *= 4 // the row that a fall is read at may stand seconds off
						}
						if x.u*quantity.CoverageFactor > x.few*x.want {
							t.Errorf("%s %.5g ± %.2g is wide", x.name, x.is, quantity.CoverageFactor*x.u)
						}
					}
				})
			}
		}
	}
	t.Logf("%d of %d miss", missed, checked)
	if missed*50 > checked {
		t.Errorf("%d of %d intervals miss", missed, checked)
	}
}

func stampedLog(head string, rows []stampedRow, stamp func(float64) string) string {
	var b strings.Builder
	b.WriteString(head + ",voltage (V),current (A)\n")
	for _, r := range rows {
		fmt.Fprintf(&b, "%s,%.4f,%.2f\n", stamp(r.t), r.v, r.i)
	}
	return b.String()
}

func measureStamped(t *testing.T, head string, rows []stampedRow, stamp func(float64) string) *Result {
	t.Helper()
	o := NewOptions()
	o.PauseAfter = 10
	if s := stamp(0); len(s) == 5 && s[2] == ':' {
		o.TimeFormat = "hours-minutes"
	}
	o.Instruments = []Instrument{{Channel: Voltage, Resolution: 1e-4}, {Channel: Current, Resolution: 1e-2}}
	r, found, err := Measure(finding.NewStream("log"), strings.NewReader(stampedLog(head, rows, stamp)), o)
	if err != nil {
		t.Fatal(err)
	}
	coarse := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "log-coarse-stamps" })
	if full := strings.Contains(stamp(1./3), ".3333"); coarse == full {
		t.Errorf("coarse stamps are said: %v", coarse)
	}
	for _, f := range found {
		if f.Rule != "log-coarse-stamps" {
			t.Errorf("%s: %s", f.Rule, f.Text)
		}
	}
	return r
}

// TestEdgesAtOneInstantStay: two rows of one stamp on either side of a load's edge are an edge, in a log of one row a stamp
// and in one that writes such edges alone.
func TestEdgesAtOneInstantStay(t *testing.T) {
	for _, x := range []struct {
		name string
		log  func(*strings.Builder)
	}{
		{"a row a second", func(b *strings.Builder) {
			for k := range 100 {
				i := 0
				if k >= 30 && k < 60 {
					i = 5
				}
				if k == 30 || k == 60 {
					fmt.Fprintf(b, "%d,%.2f,%d\n", k, 26-float64(5-i)/50, 5-i)
				}
				fmt.Fprintf(b, "%d,%.2f,%d\n", k, 26-float64(i)/50, i)
			}
		}},
		{"edges alone, every second", func(b *strings.Builder) {
			for k := range 60 {
				fmt.Fprintf(b, "%d,%.2f,%d\n%d,%.2f,%d\n", k, 26-float64(k%2*5)/50, k%2*5, k, 26-float64((k+1)%2*5)/50, (k+1)%2*5)
			}
		}},
	} {
		var b strings.Builder
		b.WriteString("time_s,voltage (V),current (A)\n")
		x.log(&b)
		r, found, err := Measure(finding.NewStream("log"), strings.NewReader(b.String()), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		near(t, x.name, float64(r.Charge.Out.Value)*3600, 150, 1e-9)
		for _, f := range found {
			if f.Rule == "log-coarse-stamps" {
				t.Errorf("%s: %s", x.name, f.Text)
			}
		}
	}
}

// TestCoarseStampsStream: however many rows share a stamp, a bounded number is held back, every row is given out once, in
// order, and the books are closed.
func TestCoarseStampsStream(t *testing.T) {
	for _, n := range []int{1, 2, 3, 700, 3*coarseRows + 7} {
		var b strings.Builder
		b.WriteString("Time,voltage (V),current (A)\n")
		for minute := range 4 {
			for range n {
				fmt.Fprintf(&b, "09:%02d,25.1,3\n", minute)
			}
		}
		o := NewOptions()
		o.TimeFormat = "hours-minutes"
		s, err := NewScanner(finding.NewStream("log"), strings.NewReader(b.String()), o)
		if err != nil {
			t.Fatal(err)
		}
		rows, last, line := 0, math.Inf(-1), 0
		for {
			x, ok := s.Next()
			if !ok {
				break
			}
			rows++
			if x.Time < last || x.Line <= line {
				t.Fatalf("%d a stamp: row %d at %g after %g", n, x.Line, x.Time, last)
			}
			last, line = x.Time, x.Line
			if len(s.spread.rows) > 8*coarseRows {
				t.Fatalf("%d a stamp: %d rows are held back", n, len(s.spread.rows))
			}
		}
		if a := s.Accounts(); rows != 4*n || a.Used != rows {
			t.Errorf("%d a stamp: %d rows of %d, %+v", n, rows, 4*n, a)
		}
	}
}

package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A bench run of our own, made up: ten minutes of rest, of 5 A out and of 2 A in, a row every ten seconds, so that 0.833 Ah
// left and 0.333 Ah returned, but for the edges, where each of the two half-intervals is open: 0.014 Ah.
type madeRow struct {
	k            int
	t, v, i      float64 // i positive on discharge
	state        string
	q, back, way float64 // Ah out, Ah in, m
}

func madeRun() []madeRow {
	var rows []madeRow
	q, back := 0.0, 0.0
	for k := range 181 {
		r := madeRow{k: k, t: float64(10 * k), v: 26.4, state: "R"}
		switch {
		case k > 60 && k <= 120:
			r.i, r.state, r.v = 5, "D", 25.6-0.002*float64(k-60)
			q += 5 * 10. / 3600
		case k > 120:
			r.i, r.state, r.v = -2, "C", 26.6+0.002*float64(k-120)
			back += 2 * 10. / 3600
		}
		r.q, r.back, r.way = q, back, 2*r.t
		rows = append(rows, r)
	}
	return rows
}

// TestOneRunInManyDresses: what instruments do to a log, each dress an instance of a class that once gave wrong numbers or none.
func TestOneRunInManyDresses(t *testing.T) {
	hms := func(s float64) string { return fmt.Sprintf("%02d:%02d:%02d", int(s)/3600, int(s)/60%60, int(s)%60) }
	step := func(r madeRow) float64 { return float64(10 * (max(r.k-1, 0) % 60)) }
	for _, d := range []struct {
		name, head string
		row        func(madeRow) string
		says       string
	}{
		{"a column blank throughout between tabs", "time_s\tnote\tvoltage\tcurrent\tlamp", func(r madeRow) string { return fmt.Sprintf("%g\t\t%.3f\t%g\t", r.t, r.v, r.i) }, ""},
		{"no sign, letters for the state", "Time (s),Volts,Amps,Md", func(r madeRow) string { return fmt.Sprintf("%g,%.3f,%g,%s", r.t, r.v, math.Abs(r.i), r.state) }, "it has no sign"},
		{"no sign, words for the state", "Time (s),Voltage,Current,Step Type", func(r madeRow) string {
			return fmt.Sprintf("%g,%.3f,%g,%s", r.t, r.v, math.Abs(r.i), map[string]string{"R": "Rest", "D": "CC DChg", "C": "CCCV_Chg"}[r.state])
		}, "it has no sign"},
		{"charge positive, states in German", "Zeit [s];Spannung [V];Strom [A];Zustand", func(r madeRow) string {
			return fmt.Sprintf("%g;%.3f;%g;%s", r.t, r.v, -r.i, map[string]string{"R": "Pause", "D": "Entladen", "C": "Laden"}[r.state])
		}, "the state column says so"},
		{"a step's time before the run's", "Step Time (s),Test Time (s),Voltage (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("%g,%g,%.3f,%g", step(r), r.t, r.v, r.i) }, "step-time from"},
		{"a step's clock beside a cumulative one", "Time,Cumulative Time,Voltage(V),Current(A)", func(r madeRow) string {
			return fmt.Sprintf("%s,%s,%.3f,%g", hms(step(r)), hms(r.t), r.v, r.i)
		}, ""},
		{"Cycle C counts", "Rec,Cycle C,Time (s),Voltage (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("%d,%d,%g,%.3f,%g", r.k, 1, r.t, r.v, r.i) }, "cycle from \"Cycle C\""},
		{"minutes in the head", "Time (min),Voltage (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("%.6f,%.3f,%g", r.t/60, r.v, r.i) }, "time in minutes"},
		{"min behind an underline", "time_min,voltage_V,current_A", func(r madeRow) string { return fmt.Sprintf("%.6f,%.3f,%g", r.t/60, r.v, r.i) }, "time in minutes"},
		{"min in a row of units, and a second one", "time,voltage,current\nmin,V,A\n[min],[mean],[mean]", func(r madeRow) string { return fmt.Sprintf("%.6f,%.3f,%g", r.t/60, r.v, r.i) }, "time in minutes"},
		{"hours", "Run Time (h),Potential (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("%.8f,%.3f,%g", r.t/3600, r.v, r.i) }, "time in hours"},
		{"minutes without a unit beside dates", "TestTime\tVolts\tAmps\tStamp", func(r madeRow) string {
			return fmt.Sprintf("%.6f\t%.3f\t%g\t04/12/2026 %s", r.t/60, r.v, r.i, hms(32400+r.t))
		}, "time in minutes (found: no unit is named, and so it agrees with the dates)"},
		{"milliseconds without a unit beside a counter", "time,voltage,current,used_Ah", func(r madeRow) string { return fmt.Sprintf("%g,%.3f,%g,%.5f", 1000*r.t, r.v, r.i, r.q) }, "time in milliseconds (found"},
		{"days before the clock", "TestTime,Volts,Amps", func(r madeRow) string { return fmt.Sprintf("  0d %s.00,%.3f,%g", hms(r.t), r.v, r.i) }, ""},
		{"AM and PM, all on one day", "Time,Voltage (V),Current (A)", func(r madeRow) string {
			s := 42300 + r.t // from 11:45 on
			half := "AM"
			if s >= 43200 {
				half = "PM"
			}
			h := int(s) / 3600 % 12
			if h == 0 {
				h = 12
			}
			return fmt.Sprintf("5/11/2026 %d:%02d:%02d %s,%.3f,%g", h, int(s)/60%60, int(s)%60, half, r.v, r.i)
		}, ""},
		{"a month by its name", "DPT,Voltage (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("23-Nov-26 %s,%.3f,%g", hms(36000+r.t), r.v, r.i) }, "month by its name"},
		{"the month first by its name", "Date;Voltage (V);Current (A)", func(r madeRow) string {
			return fmt.Sprintf("Nov 23, 2026 %s;%.3f;%g", hms(36000+r.t), r.v, r.i)
		}, "month by its name"},
		{"dots, one day", "Datum;U [V];I [A]", func(r madeRow) string { return fmt.Sprintf("07.07.2026 %s;%.3f;%g", hms(36000+r.t), r.v, r.i) }, "day first"},
		{"a tab before each date", "Date Time,Voltage (V),Current (A)", func(r madeRow) string { return fmt.Sprintf("\t09/20/2026 %s.558,%.3f,%g", hms(36000+r.t), r.v, r.i) }, "month first"},
		{"a tilde before the head", "~made up\n~Time[s]\tU[V]\tI[A]\tT1[\xffC]", func(r madeRow) string { return fmt.Sprintf("%g\t%.3f\t%g\t25", r.t, r.v, r.i) }, "voltage from \"U[V]\""},
		{"a column for each way", "Time (s),Voltage (V),Charge current (A),Discharge current (A)", func(r madeRow) string {
			return fmt.Sprintf("%g,%.3f,%g,%g", r.t, r.v, max(0, -r.i), max(0, r.i))
		}, "it has a column for each way"},
		{"a column for each way in short, what goes in below zero", "t [s];U [V];Idis [mA];Ichg [mA]", func(r madeRow) string {
			if r.i < 0 {
				return fmt.Sprintf("%g;%.3f;;%g", r.t, r.v, 1000*r.i)
			}
			return fmt.Sprintf("%g;%.3f;%g;", r.t, r.v, 1000*r.i)
		}, "what goes in from \"Ichg [mA]\""},
		{"a step's time as a clock beside the run's", "Step Time,Test Time,Voltage (V),Current (A)", func(r madeRow) string {
			return fmt.Sprintf("%s,%s,%.3f,%g", hms(step(r)), hms(r.t), r.v, r.i)
		}, "step-time from"},
		{"kelvin", "time_s,temp_K,voltage_V,current_A", func(r madeRow) string { return fmt.Sprintf("%g,%.2f,%.3f,%g", r.t, 293.15+r.t/1000, r.v, r.i) }, ""},
		{"a long preamble with rows of numbers", strings.Repeat("channel 3, 4, 5\n", 90) + "Time (s),Voltage (V),Current (A),T (C),R (mO)", func(r madeRow) string { return fmt.Sprintf("%g,%.3f,%g,25,1", r.t, r.v, r.i) }, "above it"},
		{"milliamperes and millivolts", "Total Time (Seconds),Step Time (Seconds),Voltage (mV),Current (mA),PeakPower (W)", func(r madeRow) string {
			return fmt.Sprintf("%g,%g,%.1f,%g,0", r.t, step(r), 1000*r.v, 1000*r.i)
		}, ""},
		{"one row whose time is zero", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k == 100 {
				return "0,25.5,5"
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
		{"one row whose time is far ahead", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k == 100 {
				return "999999,25.5,5"
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
		{"four rows whose times are zero", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k >= 100 && r.k < 104 {
				return "0,25.5,5"
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
		{"three rows of another clock", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k >= 100 && r.k < 103 {
				return fmt.Sprintf("%g,%.3f,%g", 1e6+r.t, r.v, r.i)
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
		{"one row of zeros", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k == 100 {
				return "1000,0,0"
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
		{"one current of zero", "time_s,voltage_V,current_A", func(r madeRow) string {
			if r.k == 100 {
				return fmt.Sprintf("1000,%.3f,0", r.v)
			}
			return fmt.Sprintf("%g,%.3f,%g", r.t, r.v, r.i)
		}, ""},
	} {
		t.Run(d.name, func(t *testing.T) {
			var b strings.Builder
			b.WriteString(d.head + "\n")
			for _, r := range madeRun() {
				b.WriteString(d.row(r) + "\n")
			}
			o := NewOptions()
			if !measuresAlike(t, d.name, []byte(b.String())) {
				t.Error("it is not read to be published")
			}
			r, found, err := Measure(finding.NewStream("log"), strings.NewReader(b.String()), o)
			if err != nil {
				t.Fatal(err)
			}
			for _, f := range found {
				if f.Level == finding.Error {
					t.Errorf("%s: %s", f.Rule, f.Text)
				}
			}
			near(t, "elapsed", float64(r.Elapsed.Value), 1800, 0.1)
			near(t, "charge out", float64(r.Charge.Out.Value), 5./6, 0.015)
			near(t, "charge in", float64(r.Charge.In.Value), 1./3, 0.008)
			near(t, "lowest voltage", float64(r.LowestVoltage.Value), 25.48, 0.01)
			if d.name == "kelvin" {
				near(t, "temperature rise", float64(r.TemperatureRise.Value), 1.8, 0.01)
				near(t, "greatest temperature", greatestOf(r, Temperature), 21.8, 0.01)
			}
			if !strings.Contains(r.Dialect, d.says) {
				t.Errorf("%q lacks %q", r.Dialect, d.says)
			}
		})
	}
}

// TestSpeedWithoutItsUnit: a distance or positions settle it; a position is never printed.
func TestSpeedWithoutItsUnit(t *testing.T) {
	for _, unit := range []struct {
		symbol string
		factor float64
	}{{"m/s", 1}, {"km/h", 3.6}, {"mph", 1 / 0.44704}} {
		for _, by := range []string{"distance", "positions"} {
			var b strings.Builder
			head := "time_s,speed,distance\n"
			if by == "positions" {
				head = "time_s,speed,Latitude,Longitude\n"
			}
			b.WriteString(head)
			for k := range 200 { // 4 m/s due north from a point of the open sea
				if by == "distance" {
					fmt.Fprintf(&b, "%d,%.4f,%d\n", k, 4*unit.factor, 4*k)
				} else {
					fmt.Fprintf(&b, "%d,%.4f,%.7f,%.7f\n", k, 4*unit.factor, 10.1234567+float64(4*k)/111194.93, -30.7654321)
				}
			}
			r, found, err := Measure(finding.NewStream("log"), strings.NewReader(b.String()), NewOptions())
			if err != nil {
				t.Fatal(err)
			}
			near(t, unit.symbol+" by "+by, float64(r.TopSpeed.Value), 4, 0.001)
			near(t, "distance by "+by, float64(r.Distance.Value), 4*199, 1)
			said := r.Dialect + fmt.Sprintf("%+v", r.Figures())
			for _, f := range found {
				said += f.Text + f.Remedy
			}
			if strings.Contains(said, "10.12") || strings.Contains(said, "30.76") {
				t.Errorf("a position is printed: %s", said)
			}
		}
	}
}

// TestWhatIsNoRun: a table of cycles, a table of trips and a curve are refused by name, and so is a time that nothing settles.
func TestWhatIsNoRun(t *testing.T) {
	for _, x := range []struct{ rule, text string }{
		{"log-table-of-results", "Cycle_Index,Time_s,Q_dis,V_min,V_max,I_avg\n1,0,2.1,2.5,4.2,1\n2,9000,2.1,2.5,4.2,1\n3,18000,2.0,2.5,4.2,1\n4,27000,2.0,2.5,4.2,1\n"},
		{"log-table-of-results", "Trip ID,Duration(S),Avg Speed(Km/h),Total Ascent(m),Start_Voltage(V),End_Voltage(V)\n1,2886,15.5,52,41.6,36.8\n2,316,15.7,5,38.0,37.4\n3,400,15,5,38.0,37.4\n"},
		{"log-table-of-results", "SOC_percent,OCV_V\n0,2.5\n10,3.3\n20,3.4\n30,3.5\n40,3.6\n"},
		{"log-unit-open", "time,voltage,current\n202,4.06,0.1\n303,4.05,0.1\n404,4.06,0.1\n505,4.06,0.2\n606,4.07,0.2\n707,4.07,0.2\n"},
		{"log-empty", ""},
	} {
		_, found, err := Measure(finding.NewStream("log"), strings.NewReader(x.text), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		said := ""
		for _, f := range found {
			if f.Level == finding.Error {
				said += f.Rule + " "
			}
		}
		if !strings.Contains(said, x.rule) {
			t.Errorf("%q: errors %q, want %s", x.text[:min(30, len(x.text))], said, x.rule)
		}
	}
}

// greatestOf is the greatest value that is drawn of a channel.
func greatestOf(r *Result, c Channel) float64 {
	greatest := math.Inf(-1)
	for _, trace := range r.Traces {
		if trace.Channel == c {
			for _, y := range trace.Y {
				greatest = math.Max(greatest, y)
			}
		}
	}
	return greatest
}

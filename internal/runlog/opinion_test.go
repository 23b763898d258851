package runlog

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// madeWay is a ride with positions, a speed and no distance.
func madeWay() string {
	var b strings.Builder
	b.WriteString("time (s),latitude,longitude,speed (m/s),voltage (V),current (A)\n")
	for k := range 300 {
		fmt.Fprintf(&b, "%d,%.7f,10.0000000,2.00,%.2f,%.2f\n", k, 50+float64(k)*2/111195, 25.5-float64(k)/1000, 5+math.Sin(float64(k)/9))
	}
	return b.String()
}

// lines changes the rows from one to another of a text.
func lines(text string, from, to int, change func(cells []string) []string, sep string) string {
	rows := strings.Split(text, "\n")
	var out []string
	for k, row := range rows {
		if k >= from && k < to {
			cells := change(strings.Split(row, sep))
			if cells == nil {
				continue
			}
			row = strings.Join(cells, sep)
		}
		out = append(out, row)
	}
	return strings.Join(out, "\n")
}

// slowRide is a log of voltage and current alone, with a row every so many seconds by its head.
func slowRide(every int) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)\n")
	for k := range 60 {
		fmt.Fprintf(&b, "%d,%.2f,%.3f\n", k*every, 25.5-float64(k)/100, 0.6+0.2*math.Sin(float64(k)/4))
	}
	return b.String()
}

// Seconds that look like milliseconds are said just beyond each limit, and not just inside it, nor where anything settles them.
func TestSlowRows(t *testing.T) {
	milliseconds := NewOptions()
	milliseconds.TimeFormat = "seconds"
	for _, tt := range []struct {
		text string
		o    Options
		says bool
	}{
		{slowRide(99), NewOptions(), false}, {slowRide(100), NewOptions(), true}, {slowRide(117), NewOptions(), true}, {slowRide(118), NewOptions(), false},
		{slowRide(122), NewOptions(), false}, {slowRide(123), NewOptions(), true}, {slowRide(600), NewOptions(), false}, {slowRide(7140), NewOptions(), false}, {slowRide(7200), NewOptions(), true},
		{slowRide(2000), milliseconds, false},
		{strings.Replace(slowRide(2000), "time (s)", "time (ms)", 1), NewOptions(), false},
		{strings.ReplaceAll(slowRide(2000), ",0.", ",0.0000"), NewOptions(), true},
		{lines(slowRide(2000), 1, 61, func(c []string) []string { return []string{c[0], c[1], "0.000"} }, ","), NewOptions(), false}, // at rest
		{lines(slowRide(2000), 11, 61, func([]string) []string { return nil }, ","), NewOptions(), false},                            // too few rows to tell
		{withCounter(slowRide(2000)), NewOptions(), false},
	} {
		_, found, err := Measure(finding.NewStream("ride.csv"), strings.NewReader(tt.text), tt.o)
		if err != nil {
			t.Fatal(err)
		}
		if says := slices.ContainsFunc(found, func(f finding.Finding) bool { return f.Rule == "log-slow-rows" }); says != tt.says {
			t.Errorf("%s …: said %t, want %t", tt.text[:60], says, tt.says)
		}
	}
}

// withCounter adds a counter of charge that fits the log's time.
func withCounter(text string) string {
	used, last, current := 0.0, 0.0, 0.0
	return lines(strings.Replace(text, "current (A)", "current (A),used (Ah)", 1), 1, 61, func(c []string) []string {
		at, _ := strconv.ParseFloat(c[0], 64)
		now, _ := strconv.ParseFloat(c[2], 64)
		if at > 0 {
			used += (at - last) / 3600 * (now + current) / 2
		}
		last, current = at, now
		return append(c, fmt.Sprintf("%.5f", used))
	}, ",")
}

func swapHeads(text, a, b string) string {
	text = strings.Replace(text, a, "\x00", 1)
	text = strings.Replace(text, b, a, 1)
	return strings.Replace(text, "\x00", b, 1)
}

// madeStops is a ride of short pulls with stops between, of which some are written with the current's sign turned: no row beside
// another shows it, for the current is nothing where the sign changes.
func madeStops(turned bool) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)\n")
	for k := range 400 {
		i := []float64{0, 0, 4, 9, 6, 11, 5, 8, 0, 0}[k%10]
		v := 25.6 - float64(k)/800 - 0.08*i
		if turned && k >= 201 && k < 241 {
			i = -i
		}
		fmt.Fprintf(&b, "%d,%.3f,%.2f\n", k, v, i)
	}
	return b.String()
}

// madeAside is a log whose voltage also stands, as another one, in rows without a current.
func madeAside(other float64) string {
	var b strings.Builder
	b.WriteString("time (s),voltage (V),current (A)\n")
	for k := range 200 {
		if k%20 == 10 || k%20 == 11 {
			fmt.Fprintf(&b, "%d,%.2f,\n", 10*k, other-float64(k)/500)
			continue
		}
		fmt.Fprintf(&b, "%d,%.2f,%.2f\n", 10*k, 12.7-float64(k)/500, 1.5+math.Sin(float64(k)/30))
	}
	return b.String()
}

// thousandth writes the second cell a thousand times smaller.
func thousandth(cells []string) []string {
	x, _ := strconv.ParseFloat(cells[1], 64)
	cells[1] = strconv.FormatFloat(x/1000, 'f', 5, 64)
	return cells
}

// Each opinion speaks of a log with one thing wrong, names the likeliest reading where there is one, and has nothing to say
// of the same log without it.
func TestOpinions(t *testing.T) {
	stated := func(f func(o *Options)) func(o *Options) { return f }
	positive := false
	slow := "step,time (s),voltage,current\n"
	for k := range 900 {
		slow += fmt.Sprintf("1,%.1f,%.4f,%.3f\n", 3737.5*float64(k), 4.1-float64(k)/900, 1.5)
	}
	var all strings.Builder // word for word
	for _, c := range []struct {
		rule, text string
		options    func(o *Options)
		level      finding.Level
		says       string
	}{
		{"log-rows-out-of-order", func() string {
			rows := strings.Split(strings.TrimSpace(madeRide()), "\n")
			for k := 20; k < 500; k += 20 {
				rows[k], rows[k+15] = rows[k+15], rows[k]
			}
			return strings.Join(rows, "\n")
		}(), nil, finding.Error, "the rows are out of order"},
		{"log-times-disagree", strings.Replace(madeRide(), "time (s)", "time (min)", 1), nil, finding.Error, "say `time: seconds`"},
		{"log-step-time-disagrees", strings.Replace(madeTest(), "Step Time (min)", "Step Time (h)", 1), nil, finding.Error, "the steps' own time"},
		{"log-interval-disagrees", "# recorded at 10Hz\n" + madeRide(), nil, finding.Warning, "a line above them names 0.1 s"},
		{"log-slow-rows", slowRide(2000), nil, finding.Error, "33 min 20 s by the head's seconds"},
		{"log-implausible", strings.Replace(slowRide(2), "current (A)", "current (kA)", 1), nil, finding.Warning, "the current looks like A"},
		{"log-power-disagrees", strings.Replace(madeRide(), "power (W)", "power (kW)", 1), nil, finding.Error, "the power looks like W"},
		{"log-counter-disagrees", strings.Replace(madeRide(), "used (Ah)", "used (mAh)", 1), nil, finding.Error, "the charge-counter looks like Ah"},
		{"log-energy-counter-disagrees", strings.Replace(madeRide(), "used (Wh)", "used (kWh)", 1), nil, finding.Error, "the energy-counter looks like Wh"},
		{"log-distance-disagrees", strings.Replace(madeRide(), "speed (km/h)", "speed (m/s)", 1), nil, finding.Error, "the speed looks like km/h"},
		{"log-position-disagrees", strings.Replace(madeWay(), "speed (m/s)", "speed (mph)", 1), nil, finding.Error, "the speed looks like m/s"},
		{"log-state-disagrees", strings.ReplaceAll(madeTest(), "\tCharge\t", "\tDischarge\t"), nil, finding.Error, "the other way than the state says"},
		{"log-implausible", strings.Replace(madeTest(), "Voltage (V)", "Voltage (kV)", 1), nil, finding.Error, "the voltage looks like V"},
		{"log-columns-exchanged", swapHeads(madeTest(), "Current (A)", "Voltage (V)"), nil, finding.Error, "voltage and current look exchanged"},
		{"log-sign-disagrees", madeTest(), stated(func(o *Options) { o.DischargeNegative = &positive }), finding.Error, "say `discharge: negative`"},
		{"log-pace", slow, nil, finding.Error, "these times look like milliseconds"},
		{"log-not-this-pack", madeRide(), stated(func(o *Options) { o.Series = 2 }), finding.Error, "it looks like 9 in series"},
		{"log-beyond-capacity", madeRide(), stated(func(o *Options) { o.Rated = quantity.Exact(quantity.AmpereHours(1)) }), finding.Error, "the pack is stated to hold 1 Ah"},
		{"log-jumps", lines(madeRide(), 250, 330, func(c []string) []string { c[2], c[3] = c[3], c[2]; return c }, ","), nil, finding.Warning, "while a current flows"},
		{"log-digits-change", lines(madeRide(), 250, 330, func(c []string) []string { c[3] = "0.00" + strings.Replace(c[3], ".", "", 1); return c }, ","), nil, finding.Note, "finer digits"},
		{"log-scale-changes", lines(madeCurrent(), 20, 60, thousandth, ","), nil, finding.Warning, "by a factor of 1/1000"},
		{"log-columns-exchanged", swapHeads(madeRide(), "voltage (V)", "temperature (°C)"), nil, finding.Error, "temperature and voltage look exchanged"},
		{"log-columns-exchanged", swapHeads(madeRide(), "current (A)", "temperature (°C)"), nil, finding.Error, "temperature and current look exchanged"},
		{"log-implausible", strings.Replace(strings.Replace(madeTest(), "Current (A)", "Current (mA)", 1), "\tCapacity (Ah)\tEnergy (Wh)", "\tx\ty", 1), nil, finding.Warning, "the current looks like A"},
		{"log-long-interval", lines(madeRide(), 250, 253, func([]string) []string { return nil }, ","), nil, finding.Note, "1 interval is about twice as long as the usual one or longer, 8 s in all"},
		{"log-sign-disagrees", madeStops(true), nil, finding.Warning, "the voltage answers its changes the wrong way, in"},
		{"log-jumps", madeAside(25.5), nil, finding.Warning, "between two rows of which one holds no current, or across rows that hold no voltage, in 20 places"},
		{"log-holes", lines(madeRide(), 250, 270, func(c []string) []string { c[3] = ""; return c }, ","), nil, finding.Warning, "the current is empty in 20 of 600 rows"},
		{"log-long-interval", lines(madeRide(), 250, 262, func([]string) []string { return nil }, ","), nil, finding.Warning, "much longer than those beside it"},
	} {
		o := NewOptions()
		if c.options != nil {
			c.options(&o)
		}
		r, found, err := Measure(finding.NewStream("log"), strings.NewReader(c.text), o)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&all, "%s, %s\n%s", c.rule, c.says, wordForWord(r, found))
		at := slices.IndexFunc(found, func(f finding.Finding) bool {
			return f.Rule == c.rule && strings.Contains(f.Text+" "+f.Remedy, c.says)
		})
		if at < 0 { // said otherwise, as shown below
			at = slices.IndexFunc(found, func(f finding.Finding) bool { return f.Rule == c.rule })
		}
		if at < 0 {
			t.Errorf("%s says nothing; %v", c.rule, found)
			continue
		}
		if f := found[at]; f.Level != c.level || !strings.Contains(f.Text+" "+f.Remedy, c.says) || f.Remedy == "" {
			t.Errorf("%s: %s: %s (%s), want %s and %q", c.rule, f.Level, f.Text, f.Remedy, c.level, c.says)
		}
	}
	recorded.Text(t, "testdata/opinions.golden", all.String())
	for _, twin := range []string{madeRide(), madeTest(), madeWay(), madeStops(false), "# recorded every 2 s\n" + madeRide()} {
		_, found, err := Measure(nil, strings.NewReader(twin), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		for _, row := range opinionTable {
			for _, f := range found {
				if f.Rule == row.doc.Name {
					t.Errorf("%s of a good log: %s", f.Rule, f.Text)
				}
			}
		}
	}
}

// A voltage that two instruments write in rows of their own is one pack's.
func TestVoltageBeside(t *testing.T) {
	_, found := measureText(t, madeAside(12.7))
	for _, f := range found {
		if f.Rule != "log-holes" {
			t.Errorf("%s: %s", f.Rule, f.Text)
		}
	}
}

// Every opinion is tried above.
func TestEveryOpinionIsTried(t *testing.T) {
	text := readBase(t, "internal/runlog/opinion_test.go", 1000) + readBase(t, "internal/runlog/opinion_second_test.go", 1000)
	for _, row := range opinionTable {
		if !strings.Contains(text, "\""+row.doc.Name+"\"") {
			t.Errorf("%s is not tried", row.doc.Name)
		}
		if row.doc.What == "" || row.doc.Why == "" || row.doc.Source == "" || row.doc.Title == "" {
			t.Errorf("%s is not documented", row.doc.Name)
		}
	}
}

package runlog

import (
	"fmt"
	"strings"
	"testing"
)

// spoken are the findings of a rule, as "line: level: text (remedy)".
func spoken(t *testing.T, rule, text string) string {
	t.Helper()
	_, found := measureText(t, text)
	var list []string
	for _, f := range found {
		if f.Rule == rule {
			list = append(list, fmt.Sprintf("%d: %s: %s (%s)", f.Span.Position().Line, f.Level, f.Text, f.Remedy))
		}
	}
	return strings.Join(list, "\n")
}

// table writes a log: a head and rows of numbers.
func table(head string, rows int, cells func(k int) []float64) string {
	var b strings.Builder
	b.WriteString(head + "\n")
	for k := range rows {
		for j, x := range cells(k) {
			if j > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(&b, "%.9g", x)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// A load of six amperes that comes and goes every ten rows, with what a second column makes of each row.
func pulsed(head string, rows int, second func(k int, v, i float64) float64) string {
	return table("time (s),battery voltage (V),battery current (A),"+head, rows, func(k int) []float64 {
		i := 6.0
		if k%20 < 10 {
			i = 0.6
		}
		v := 26.25 - 0.05*i - float64(k)/1000
		return []float64{float64(k), v, i, second(k, v, i)}
	})
}

func TestSecondCurrent(t *testing.T) {
	const rule, remedy = "log-second-column-disagrees", " (look at the unit and at the sign of both columns, from there on)"
	between := func(from, to int, inside, outside float64) func(int, float64, float64) float64 {
		return func(k int, _, i float64) float64 {
			if k >= from && k < to {
				return inside * i
			}
			return outside * i
		}
	}
	for _, c := range []struct {
		name, head string
		second     func(k int, v, i float64) float64
		want       string
	}{
		{"alike", "current (A)", between(0, 0, 1, 1), ""},
		{"always the other way", "current (A)", between(0, 0, 1, -1), ""},
		{"a third of it, behind a converter", "current (A)", between(0, 0, 1, 0.3), ""},
		{"four rows the other way", "current (A)", between(30, 34, -1, 1), ""},
		{"five rows the other way", "current (A)", between(30, 35, -1, 1), "32: warning: the current and the log's second current have the same sign in 55 rows and not in 5, first here" + remedy},
		{"five rows the same way", "current (A)", between(50, 55, 1, -1), "52: warning: the current and the log's second current have the same sign in 55 rows and not in 5, first here" + remedy},
		{"four rows a thousandth", "current (A)", between(30, 34, 1000, 1), ""},
		{"five rows a thousandth", "current (A)", between(30, 35, 1000, 1), "32: warning: the current is a thousandth of the log's second current in 5 of 60 rows, first here" + remedy},
		{"five rows a thousand times", "current (A)", between(30, 35, 0.001, 1), "32: warning: the current is a thousand times the log's second current in 5 of 60 rows, first here" + remedy},
		{"five rows 1090 times", "current (A)", between(30, 35, 1/1090.0, 1), "32: warning: the current is a thousand times the log's second current in 5 of 60 rows, first here" + remedy},
		{"five rows 1110 times", "current (A)", between(30, 35, 1/1110.0, 1), ""},
		{"a thousand times throughout", "current (mA)", between(0, 0, 1, 1), "2: error: the current is a thousand times the log's second current throughout: one of the two is in another unit (look at the units of both in the head)"},
		{"nothing at times, behind a switch", "current (A)", between(30, 60, 0.00009, 1), ""},
		{"a voltage a thousand times throughout", "voltage (mV)", func(_ int, v, _ float64) float64 { return v }, "2: error: the voltage is a thousand times the log's second voltage throughout: one of the two is in another unit (look at the units of both in the head)"},
		{"a thousandth throughout", "current (kA)", between(0, 0, 1, 1), "2: error: the current is a thousandth of the log's second current throughout: one of the two is in another unit (look at the units of both in the head)"},
		{"a voltage behind a lead", "voltage (V)", func(_ int, v, i float64) float64 { return v - 0.3*i }, ""},
	} {
		if got := spoken(t, rule, pulsed(c.head, 100, c.second)); got != c.want {
			t.Errorf("%s:\nhave %s\nwant %s", c.name, got, c.want)
		}
	}
}

// thermal is a discharge with two thermometers.
func thermal(head string, rows int, pair func(k int) (float64, float64)) string {
	return table("time (s),voltage (V),current (A),"+head, rows, func(k int) []float64 {
		x, y := pair(k)
		return []float64{float64(10 * k), 26 - float64(k)/100, 5, x, y}
	})
}

// risesAfter falls from 20 °C in the middle of a hundred rows and ends above it, having moved by 10 K in all.
func risesAfter(k int, part float64) float64 {
	switch {
	case k < 40:
		return 20
	case k < 60:
		return 20 - 10*(1-part)
	}
	return 20 + 10*part
}

func TestThermometers(t *testing.T) {
	const rule = "log-second-column-disagrees"
	const two, air = "battery temperature (°C),temperature (°C)", "battery temperature (°C),ambient temperature (°C)"
	steady := func(x, y float64) func(int) (float64, float64) {
		return func(k int) (float64, float64) { return x + float64(k)/100, y }
	}
	const mend = " (look at the unit and at the sign of both in the head; if one of the two stood somewhere else, say so in the note)"
	const rows = " (look at the rows from there on: the two columns have changed places)"
	exchange := func(from, to int, apart, noise float64) func(int) (float64, float64) {
		return func(k int) (float64, float64) {
			x, y := 20.01+apart, 20.02
			if k%2 == 1 {
				x += noise
			}
			if k >= from && k < to {
				x, y = y, x
			}
			return x, y
		}
	}
	for _, c := range []struct {
		name, head string
		pair       func(k int) (float64, float64)
		want       string
	}{
		{"alike", two, steady(21, 22), ""},
		{"warm from a ride", air, steady(45, 21), ""},
		{"turned", air, steady(-24, 25), "2: warning: the temperature begins at -23.96 °C and the ambient temperature at 25 °C: the temperature looks to be of the other sign" + mend},
		{"the other one turned", two, steady(24, -25), "2: warning: the temperature begins at 24.05 °C and the second temperature at -25 °C: the second temperature looks to be of the other sign" + mend},
		{"9.9 K apart", air, steady(-5.0, 4.9), ""},
		{"10.1 K apart", air, steady(-5.1, 5.1), "2: warning: the temperature begins at -5.055 °C and the ambient temperature at 5.1 °C: the temperature looks to be of the other sign" + mend},
		{"turned and 2.9 K off", air, steady(-22.1, 25), "2: warning: the temperature begins at -22.06 °C and the ambient temperature at 25 °C: the temperature looks to be of the other sign" + mend},
		{"turned and 3.1 K off", air, steady(-21.8, 25), ""},
		{"a thousandth", air, func(int) (float64, float64) { return 0.025, 25.5 }, "2: warning: the temperature begins at 0.025 °C and the ambient temperature at 25.5 °C: the temperature looks to be a thousand times too small" + mend},
		{"near nothing", air, steady(0.5, 25.5), ""},
		{"cold from outside", air, steady(-5, 23.5), ""},
		{"°C under °F", "battery temperature (°F),ambient temperature (°C)", steady(23, 23.5), "2: warning: the temperature begins at -4.975 °C and the ambient temperature at 23.5 °C: the temperature looks to be °C, read as °F" + mend},
		{"°F under °C", air, steady(73.4, 23), "2: warning: the temperature begins at 73.45 °C and the ambient temperature at 23 °C: the temperature looks to be °F, read as °C" + mend},
		{"°F under °C, below 45", air, steady(44.9, 7), ""},
		{"exchanged for ten rows", two, exchange(40, 50, 1, 0), "42: warning: the temperature and the second temperature exchange their values from one row to the next, in 2 places, first here" + rows},
		{"exchanged, within the noise", two, exchange(40, 50, 1, 0.3), ""},
		{"exchanged from the ninth row on", two, exchange(9, 100, 1, 0), ""},
		{"exchanged from the tenth row on", two, exchange(10, 100, 1, 0), "12: warning: the temperature and the second temperature exchange their values from one row to the next, in 1 place, first here" + rows},
		{"surroundings that rise", air, func(k int) (float64, float64) { return 20 + float64(k)/100, 20 + 0.031*float64(k) },
			"0: note: the ambient temperature rises by 2.93 K while the temperature moves by 0.99 K: a pack warms more than what is around it, and the two may be exchanged (if the vehicle came into the sun or into a warm room, nothing is wrong; else name the right column: `columns: {temperature: HEAD, ambient: HEAD}`)"},
		{"surroundings that rise by less than three times as much", air, func(k int) (float64, float64) { return 20 + float64(k)/90, 20 + 0.031*float64(k) }, ""},
		{"surroundings that rise by 2.9 K", air, func(k int) (float64, float64) { return 20, 20 + 0.0296*float64(k) }, ""},
		{"surroundings that rise by 0.79 of what they move by", air, func(k int) (float64, float64) { return 20, risesAfter(k, 0.79) }, ""},
		{"surroundings that rise by 0.81 of what they move by", air, func(k int) (float64, float64) { return 20, risesAfter(k, 0.81) },
			"0: note: the ambient temperature rises by 8.1 K while the temperature moves by 0 K: a pack warms more than what is around it, and the two may be exchanged (if the vehicle came into the sun or into a warm room, nothing is wrong; else name the right column: `columns: {temperature: HEAD, ambient: HEAD}`)"},
		{"surroundings that cool", air, func(k int) (float64, float64) { return 20, 20 - 0.1*float64(k) }, ""},
	} {
		if got := spoken(t, rule, thermal(c.head, 100, c.pair)); got != c.want {
			t.Errorf("%s:\nhave %s\nwant %s", c.name, got, c.want)
		}
	}
}

// missing is a load that comes and goes, of which a stretch is not written; the voltage answers it there by a part.
func missing(part float64, from, to int) string {
	return table("time (s),voltage (V),current (A)", 240, func(k int) []float64 {
		i := 0.0
		if k%12 >= 6 {
			i = 10
		}
		v := 26 - 0.05*i
		if k >= from && k < to {
			v, i = 26-0.05*i*part, i/1000
		}
		return []float64{float64(5 * k), v, i}
	})
}

func TestCurrentMissing(t *testing.T) {
	const rule = "log-current-missing"
	want := func(volts string) string {
		return "80: warning: the voltage falls and rises by " + volts + " and more within 10 s, as under a load, while the current is nothing, in three places and more, first here (look at the current from there on: at its unit, at its range, and for a loose contact)"
	}
	for _, c := range []struct {
		part     float64
		from, to int
		want     string
	}{
		{1, 72, 72, ""},
		{1, 72, 108, want("0.5 V")},
		{1, 72, 102, ""}, // two rises
		{0.61, 72, 108, want("0.305 V")},
		{0.59, 72, 108, ""},
	} {
		if got := spoken(t, rule, missing(c.part, c.from, c.to)); got != c.want {
			t.Errorf("%g from %d to %d:\nhave %s\nwant %s", c.part, c.from, c.to, got, c.want)
		}
	}
}

// Where the rows with a current do not show how the voltage answers one, nothing is told of those without.
func TestCurrentMissingWithoutAnswers(t *testing.T) {
	for name, second := range map[string]func(k int) (volts, amps float64){
		"few rows with a current": func(k int) (float64, float64) {
			if k < 4 {
				return 26 - 0.5*float64(k%2), 10 * float64(k%2)
			}
			return 26 - 0.5*float64(k/6%2), 0.001
		},
		"a voltage that does not answer": func(k int) (float64, float64) {
			if k < 60 {
				return 26 - 0.5*float64(k/4%2), 10 * float64(k%4%3)
			}
			return 26 - 0.5*float64(k/6%2), 0.001
		},
	} {
		text := table("time (s),voltage (V),current (A)", 240, func(k int) []float64 {
			v, i := second(k)
			return []float64{float64(5 * k), v, i}
		})
		if got := spoken(t, "log-current-missing", text); got != "" {
			t.Errorf("%s: %s", name, got)
		}
	}
}

package evidence

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/journal"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
	"voltwright/internal/value"
)

func TestJudge(t *testing.T) {
	seconds := func(v float64) quantity.Quantity {
		return quantity.Quantity{Dimension: quantity.Time, Value: v, U: 0.1, Decimals: -1}
	}
	of := func(d quantity.Dimension, v float64) quantity.Quantity {
		return quantity.Quantity{Dimension: d, Value: v, U: math.NaN(), Decimals: -1}
	}
	known := func(v, u float64) quantity.Quantity {
		return quantity.Quantity{Dimension: quantity.Charge, Value: v, U: u, Decimals: -1}
	}
	tests := []struct {
		words  string
		figure quantity.Quantity
		rule   string // "" if the words are true
	}{
		{"47 min", seconds(47 * 60), ""},
		{"47 min", seconds(47*60 + 30), ""},
		{"47 min", seconds(47*60 - 30), ""},
		{"47 min", seconds(47*60 + 30.1), "false-statement"},
		{"47 min", seconds(47*60 - 30.1), "false-statement"},
		{"47.0 min", seconds(47*60 + 3.1), "false-statement"},
		{"2 h 7 min", seconds(7620 + 29), ""},
		{"2 h 7 min", seconds(7620 + 31), "false-statement"},
		{"2 h 7 min 30.5 s", seconds(7650.54), ""},
		{"2 h 7 min 30.5 s", seconds(7650.56), "false-statement"},
		{"2:07:30", seconds(7650.4), ""},
		{"1.24 Ah", of(quantity.Charge, 1.2449), ""},
		{"1.24 Ah", of(quantity.Charge, 1.2451), "false-statement"},
		{"1.24 Ah ± 0.02 Ah", known(1.2449, 0.0101), ""},
		{"(1.24 ± 0.02) Ah", known(1.2449, 0.0101), ""},
		{"(1240 +/- 20) mAh", known(1.2402, 0.0101), ""},
		{"(1.24 ± 0.02) Ah", known(1.2451, 0.0101), "false-statement"},
		{"(1.24 ± 0.02) Ah", known(1.2449, 0.0126), "false-statement"},       // ± 0.0252
		{"(1.24 ± 0.02) Ah", of(quantity.Charge, 1.2449), "false-statement"}, // the uncertainty is not known
		{"1.24 Ah", known(1.2449, 0.3), ""},
		{"1240 mAh", of(quantity.Charge, 1.2404), ""},
		{"64 °F", of(quantity.Temperature, 18), ""}, // 64.4 °F
		{"65 °F", of(quantity.Temperature, 18), "false-statement"},
		{"9 km/h", of(quantity.Speed, 2.6), ""}, // 9.36 km/h; the last digit is a nine
		{"9 km/h", of(quantity.Speed, 2.7), "false-statement"},
		{"-0.5 V", of(quantity.Voltage, -0.54), ""},
		{"47 V", seconds(47 * 60), "statement-not-judged"},
		{"the best part of an hour", seconds(3300), ""},
		{"the best part of an hour", seconds(2800), "false-statement"},
		{"1 h", seconds(31 * 60), "false-statement"},
		{"about 1 h", seconds(5 * 60), "false-statement"},
		{"about 1 h", seconds(47 * 60), "false-statement"},
		{"a while", seconds(3300), "statement-not-judged"},
		{"47", seconds(47 * 60), "statement-not-judged"},
		{"", seconds(47 * 60), ""},
	}
	for _, tt := range tests {
		got := judge(&notes.Embed{Words: tt.words}, figure(tt.figure, ""), "en")
		rule := ""
		if len(got) > 0 {
			rule = got[0].Rule
		}
		if rule != tt.rule {
			t.Errorf("%q against %s: %q, want %q (%v)", tt.words, tt.figure.Rounded(), rule, tt.rule, got)
		}
	}
}

func TestJudgeSaysWhatWouldBeTrue(t *testing.T) {
	got := judge(&notes.Embed{Words: "51 min"},
		figure(quantity.Quantity{Dimension: quantity.Time, Value: 2830, U: 5, Decimals: -1}, ""), "en")
	if want := "the sentence says 51 min and `barrow/1-li-ion/bench-1/running-time` is 47 min 10 s ± 10 s"; len(got) != 1 || got[0].Text != want {
		t.Fatalf("got %+v, want %q", got, want)
	}
	if !strings.Contains(got[0].Remedy, "write 47 min,") {
		t.Errorf("remedy %q", got[0].Remedy)
	}
}

func TestMissingFigureIsNotQuoted(t *testing.T) {
	got := judge(&notes.Embed{Words: ""}, figure(quantity.Quantity{Value: math.NaN()}, "A stopwatch gives no charge."), "en")
	want := "`barrow/1-li-ion/bench-1/running-time` has no value: A stopwatch gives no charge"
	if len(got) != 1 || got[0].Rule != "statement-without-value" || got[0].Text != want {
		t.Fatalf("got %+v, want %q", got, want)
	}
}

// figure is the running time of a run, with another value and reason.
func figure(q quantity.Quantity, missing string) value.Value {
	version := &journal.Version{Vehicle: &journal.Vehicle{Slug: "barrow"}, Slug: "1-li-ion"}
	run := &journal.Run{Version: version, Slug: "bench-1"}
	v := value.Value{Name: "running-time", Place: run.Place(), Form: value.FormNumber, Quantity: quantity.Some(q)}
	if missing != "" {
		v.Quantity = quantity.None[quantity.Quantity](missing)
	}
	return v
}

// What a page prints of a figure may be written into a sentence as it stands.
func TestPrintedWordsAreTrue(t *testing.T) {
	n := 0
	for _, d := range []quantity.Dimension{quantity.Time, quantity.Charge, quantity.Energy, quantity.Voltage, quantity.Current, quantity.Resistance,
		quantity.Length, quantity.Speed, quantity.Temperature, quantity.TemperatureDifference, quantity.EnergyPerLength} {
		for _, v := range []float64{0.00349, 0.0194315, 0.68, 1.2499, 24.7906, 99.96, 501.849, 7784, 14138.4, 11844.8} {
			for _, part := range []float64{math.NaN(), 0, 0.0003, 0.0021, 0.0304, 0.36} {
				q := quantity.Quantity{Dimension: d, Value: v, U: part * v, Decimals: -1}
				words := q.Rounded()
				if got := judge(&notes.Embed{Words: words}, figure(q, ""), "en"); len(got) > 0 {
					t.Errorf("%s of %g (u = %g): %s", words, v, q.U, got[0].Text)
				}
				n++
			}
		}
	}
	if n < 600 {
		t.Errorf("only %d were tried", n)
	}
}

// Two numbers with a colon are minutes and seconds. Who meant hours and minutes is told so.
func TestHoursAndMinutesWithAColon(t *testing.T) {
	for _, tt := range []struct {
		words          string
		seconds        float64
		hours, minutes int
		is             bool
	}{
		{"1:34", 5630, 1, 34, true},
		{" 1:34 ", 5610, 1, 34, true},
		{"1:34", 5609, 0, 0, false},
		{"1:34", 94, 0, 0, false},
		{"1:34:00", 5640, 0, 0, false},
		{"about 1:34", 5640, 0, 0, false},
	} {
		v := value.Value{Form: value.FormNumber, Quantity: quantity.Some(quantity.Quantity{Dimension: quantity.Time, Value: tt.seconds, Unit: "s"})}
		h, m, is := hoursMinutes(tt.words, v)
		if is != tt.is || is && (h != tt.hours || m != tt.minutes) {
			t.Errorf("%q of %g s: %d h %d min, %t", tt.words, tt.seconds, h, m, is)
		}
	}
}

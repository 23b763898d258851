package runlog

import (
	"testing"
	"time"
)

// The oracle for dates is time.Parse of the standard library.
func TestDateTimeAgainstStandardLibrary(t *testing.T) {
	for _, c := range []struct{ text, layout string }{
		{"2026-04-12 10:11:12.345", "2006-01-02 15:04:05"}, {"2026-04-12T10:11:12Z", time.RFC3339}, {"2026-04-12T10:11:12.5+02:00", time.RFC3339},
		{"2026-04-12T10:11:12-0330", "2006-01-02T15:04:05-0700"}, {"2024-02-29 23:59:59", "2006-01-02 15:04:05"}, {"1970-01-01 00:00:00", "2006-01-02 15:04:05"},
		{"2000-03-01 00:00:00", "2006-01-02 15:04:05"}, {"1999-12-31 12:00", "2006-01-02 15:04"}, {"2026/04/12 10:11:12", "2006/01/02 15:04:05"},
		{"2026-04-12", "2006-01-02"}, {"20260412T101112", ""}, {"2100-03-01T00:00:00Z", time.RFC3339},
	} {
		s, ok := timeDateTime.parseStamp([]byte(c.text))
		if c.layout == "" {
			if ok {
				t.Errorf("%q was read though its clock has no colons", c.text)
			}
			continue
		}
		want, err := time.Parse(c.layout, c.text)
		if err != nil {
			t.Fatal(err)
		}
		got := time.Unix(s.whole, int64(s.part*1e9+0.5)).UTC()
		if !ok || !got.Equal(want) {
			t.Errorf("%q: %v, want %v", c.text, got, want.UTC())
		}
	}
}

// TestDatesWithTheNameOfTheMonth: each first and last of a month as the standard library writes it.
func TestDatesWithTheNameOfTheMonth(t *testing.T) {
	for month := time.January; month <= time.December; month++ {
		for _, day := range []time.Time{time.Date(2026, month, 1, 10, 11, 12, 0, time.UTC), time.Date(2024, month+1, 0, 23, 59, 59, 0, time.UTC)} {
			for _, layout := range []string{"2 Jan 2006 15:04:05", "02-Jan-06 15:04:05", "Jan 2, 2006 15:04:05", "2006-Jan-02 15:04:05", "January 2 2006 15:04:05", "Mon 2 Jan 2006 15:04:05", "Monday, Jan 2 2006 15:04:05"} {
				text := day.Format(layout)
				s, ok := timeMonthName.parseStamp([]byte(text))
				if got := time.Unix(s.whole, int64(s.part*1e9+0.5)).UTC(); !ok || !got.Equal(day) {
					t.Errorf("%q: %v, %t; want %v", text, got, ok, day)
				}
			}
		}
	}
}

// What a message quotes of a field: all of it while it is short and has few digits, else its beginning.
func TestFieldsInMessages(t *testing.T) {
	for text, want := range map[string]string{"": `""`, "volts": `"volts"`, "tenletters": `"tenletters"`, "elevenlette": `"elev"…`, "1234": `"1234"`, "12345": `"1234"…`, "ab1.234": `"ab1.234"`, "ab12.345": `"ab12"…`} {
		if got := quoteField([]byte(text)); got != want {
			t.Errorf("%s: %s, want %s", text, got, want)
		}
	}
}

func TestWrittenTimes(t *testing.T) {
	for _, c := range []struct {
		form timeForm
		text string
		want float64 // s; a date counts from its midnight
		ok   bool
	}{
		{timeClock, "1:02:03", 3723, true}, {timeClock, "01:02:03.25", 3723.25, true}, {timeClock, "1:02:03,5", 3723.5, true},
		{timeClock, "27:00:00", 97200, true}, {timeClock, "12:00:01 AM", 1, true}, {timeClock, "1:00:00 pm", 46800, true},
		{timeClock, "13:00:00 pm", 0, false}, {timeClock, "1:60:00", 0, false}, {timeClock, "1:02", 0, false}, {timeClock, "1:02:03 x", 0, false},
		{timeClock, "", 0, false}, {timeMinutesSeconds, "90:30.5", 5430.5, true}, {timeMinutesSeconds, "1:02:03", 0, false},
		{timeHoursMinutes, "1:30", 5400, true}, {timeHoursMinutes, "1:30.5", 0, false},
		{timeDateTime, "2026-02-29", 0, false}, {timeDateTime, "2026-13-01", 0, false}, {timeDateTime, "12.04.2026 10:00:00", 0, false},
		{timeDateTime, "2026-04-12 25:00:00", 0, false}, {timeDateTime, "2026-04-12 10:00:00+2", 0, false},
		{timeDateTime, "2026-04-12 10:00:00+02:000", 0, false}, {timeDateTime, "2026-04-12 10:00:00+002:00", 0, false}, {timeDateTime, "2026-04-12 10:00:00+2:00", 0, false}, {timeDateTime, "2026-04-12 10:00:00+02:0", 0, false},
		{timeDateTime, "2026-04-12 10:00:00+24:00", 0, false}, {timeDateTime, "2026-04-12 10:00:00+02:60", 0, false}, {timeDateTime, "2026-04-12 10:00:00+02", 28800, true},
		{timeDayFirst, "31/04/2026", 0, false}, {timeMonthFirst, "31/01/2026", 0, false},
	} {
		s, ok := c.form.parseStamp([]byte(c.text))
		got := float64(s.whole%86400) + s.part
		if !c.form.dated() {
			got = float64(s.whole) + s.part
		}
		if ok != c.ok || ok && got != c.want {
			t.Errorf("%s as %s: %v, %t; want %v, %t", c.text, c.form.word(), got, ok, c.want, c.ok)
		}
	}
	day, _ := timeDayFirst.parseStamp([]byte("03.04.26 10:00:00"))
	iso, _ := timeDateTime.parseStamp([]byte("2026-04-03T10:00:00"))
	month, _ := timeMonthFirst.parseStamp([]byte("4/3/2026 10:00:00 AM"))
	if day != iso || month != iso {
		t.Errorf("one instant in three orders: %v, %v, %v", day, iso, month)
	}
}

// Fractions keep their digits beside the seconds of fifty years.
func TestStampKeepsDigits(t *testing.T) {
	a, _ := timeDateTime.parseStamp([]byte("2026-04-12T10:11:12.123456789Z"))
	b, _ := timeDateTime.parseStamp([]byte("2026-04-12T10:11:12.123456788Z"))
	if d := a.since(b); d < 0.99e-9 || d > 1.01e-9 {
		t.Errorf("one nanosecond came out as %g s", d)
	}
}

func TestStepInText(t *testing.T) {
	for _, c := range []struct {
		line string
		want float64
	}{
		{"Timestep,1Hz,,", 1}, {"sample rate: 10 Hz", 0.1}, {"Interval = 0.5 s", 0.5}, {"sampling interval 200 ms", 0.2},
		{"length 12 s", 0}, {"1 Hz and 2 Hz", 0}, {"nothing", 0},
	} {
		if got, _ := stepInText([]string{c.line}); got != c.want {
			t.Errorf("%q: %v, want %v", c.line, got, c.want)
		}
	}
}

package runlog

import (
	"testing"
	"time"
)

// TestWrittenTimesAtTheirLimits: what is a time of a form and what is none any more, one step on. A date is told by the standard
// library's calendar, a clock by its seconds.
func TestWrittenTimesAtTheirLimits(t *testing.T) {
	day := func(y, m, d, h, mi int, s float64) float64 {
		return float64(time.Date(y, time.Month(m), d, h, mi, 0, 0, time.UTC).Unix()) + s
	}
	const none = -1.0
	for _, x := range []struct {
		form timeForm
		text string
		want float64
	}{
		{timeClock, "0:00:00", 0}, {timeClock, "000001:02:03", 3723}, {timeClock, "0000001:02:03", none}, {timeClock, "1:2:3", 3723},
		{timeClock, "1:002:03", none}, {timeClock, "1:59:60", 7200}, {timeClock, "1:59:61", none}, {timeClock, "0:60:00", none}, {timeClock, "1:60:00", none},
		{timeClock, "1:02:03.", none}, {timeClock, "1:02:03.x", none}, {timeClock, "1:02:03.25x", none}, {timeClock, " 1:02:03 ", 3723}, {timeClock, "1:02:03:04", none},
		{timeClock, ":02:03", none}, {timeClock, "1::03", none}, {timeClock, "1:02:", none}, {timeClock, "-1:02:03", none}, {timeClock, "12", none},
		{timeClock, "12:00:00 AM", 0}, {timeClock, "12:59:59 pm", 46799}, {timeClock, "1:00:00 p.m.", 46800}, {timeClock, "11:00:00 P.M", 82800}, {timeClock, "1:00:00PM", 46800},
		{timeClock, "0:00:00 AM", none}, {timeClock, "13:00:00 AM", none}, {timeClock, "1:00:00 AMX", none}, {timeClock, "1:00:00 xm", none}, {timeClock, "1:00:00 a", none}, {timeClock, "1:00:00 am .", none},
		{timeClock, "1d 00:00:01", 86401}, {timeClock, "1 day, 0:00:01", 86401}, {timeClock, "2 days 0:00:01", 172801}, {timeClock, "2 Tage, 0:00:01", 172801}, {timeClock, "1 Tag 0:00:01", 86401},
		{timeClock, "2t 0:00:01", 172801}, {timeClock, "2j 0:00:01", 172801}, {timeClock, "2.03:04:05", 183845}, {timeClock, "2.03:04", none}, {timeClock, "2 weeks 0:00:01", none}, {timeClock, "99999d 0:00:00", 99999 * 86400},
		{timeClock, "100000d 0:00:00", none}, {timeClock, "2 0:00:01", none}, {timeClock, "3d,0:00:01", 259201},
		{timeMinutesSeconds, "0:00", 0}, {timeMinutesSeconds, "999999:59", 999999*60 + 59}, {timeMinutesSeconds, "1:60", 120}, {timeMinutesSeconds, "1:61", none}, {timeMinutesSeconds, "90:30,25", 5430.25},
		{timeMinutesSeconds, "1:02:03", none}, {timeMinutesSeconds, "75", none}, {timeMinutesSeconds, "1:30 PM", none}, {timeMinutesSeconds, "1d 1:30", none},
		{timeHoursMinutes, "23:59", 86340}, {timeHoursMinutes, "1:59", 7140}, {timeHoursMinutes, "1:60", none}, {timeHoursMinutes, "0:60", 3600}, {timeHoursMinutes, "1:30.0", 5400}, {timeHoursMinutes, "1:30.5", none},
		{timeHoursMinutes, "1:30 PM", 48600}, {timeHoursMinutes, "1:02:03", none}, {timeHoursMinutes, "12:05 am", 300},
		{timeDateTime, "2026-04-12", day(2026, 4, 12, 0, 0, 0)}, {timeDateTime, "20260412", day(2026, 4, 12, 0, 0, 0)}, {timeDateTime, "20260412 10:11:12", day(2026, 4, 12, 10, 11, 12)},
		{timeDateTime, "20261301", none}, {timeDateTime, "2026041", none}, {timeDateTime, "202604121", none}, {timeDateTime, "20260431", none}, {timeDateTime, "2026-4-2", day(2026, 4, 2, 0, 0, 0)},
		{timeDateTime, "2026-004-02", none}, {timeDateTime, "226-04-02", none}, {timeDateTime, "2026.04.12 10:11", day(2026, 4, 12, 10, 11, 0)}, {timeDateTime, "2026-04/12", none}, {timeDateTime, "2026:04:12", none},
		{timeDateTime, "2026-04-12T24:00:00", day(2026, 4, 13, 0, 0, 0)}, {timeDateTime, "2026-04-12T24:00:01", none}, {timeDateTime, "2026-04-12_10:11:12", day(2026, 4, 12, 10, 11, 12)}, {timeDateTime, "2026-04-12,10:11:12", day(2026, 4, 12, 10, 11, 12)},
		{timeDateTime, "2026-04-12t10:11:12", day(2026, 4, 12, 10, 11, 12)}, {timeDateTime, "2026-04-12 - 10:11:12", day(2026, 4, 12, 10, 11, 12)}, {timeDateTime, "2026-04-12\t10:11:12", none}, {timeDateTime, "2026-04-12 \t10:11:12", day(2026, 4, 12, 10, 11, 12)},
		{timeDateTime, "2026-04-12x10:11:12", none}, {timeDateTime, "2026-04-12 10:11:12.5", day(2026, 4, 12, 10, 11, 12.5)}, {timeDateTime, "2026-04-12 10:11.5", none}, {timeDateTime, "2026-04-12 10:11:12 Z", day(2026, 4, 12, 10, 11, 12)},
		{timeDateTime, "2026-04-12 10:11:12z", day(2026, 4, 12, 10, 11, 12)}, {timeDateTime, "2026-04-12 10:11:12+01:30", day(2026, 4, 12, 8, 41, 12)}, {timeDateTime, "2026-04-12 10:11:12-0130", day(2026, 4, 12, 11, 41, 12)},
		{timeDateTime, "2026-04-12 10:11:12+23", day(2026, 4, 11, 11, 11, 12)}, {timeDateTime, "2026-04-12 10:11:12+24", none}, {timeDateTime, "2026-04-12 10:11:12+01:59", day(2026, 4, 12, 8, 12, 12)}, {timeDateTime, "2026-04-12 10:11:12+01:60", none},
		{timeDateTime, "2026-04-12 10:11:12+0160", none}, {timeDateTime, "2026-04-12 10:11:12+1", none}, {timeDateTime, "2026-04-12 10:11:12+010", none}, {timeDateTime, "2026-04-12 10:11:12 UTC", none}, {timeDateTime, "2026-04-12 10:11:12+01:30x", none}, {timeDateTime, "2026-04-12 10:11:12+01:3", none},
		{timeDateTime, "2024-02-29", day(2024, 2, 29, 0, 0, 0)}, {timeDateTime, "2025-02-29", none}, {timeDateTime, "2000-02-29", day(2000, 2, 29, 0, 0, 0)}, {timeDateTime, "1900-02-29", none}, {timeDateTime, "2026-04-31", none}, {timeDateTime, "2026-00-01", none},
		{timeDateTime, "2026-01-00", none}, {timeDateTime, "2026-12-31", day(2026, 12, 31, 0, 0, 0)}, {timeDateTime, "2026-12-32", none}, {timeDateTime, "0000-01-01", day(2000, 1, 1, 0, 0, 0)}, {timeDateTime, "00000101", none}, {timeDateTime, "00010101", day(1, 1, 1, 0, 0, 0)}, {timeDateTime, "0099-01-01", day(2099, 1, 1, 0, 0, 0)}, {timeDateTime, "0100-01-01", day(100, 1, 1, 0, 0, 0)},
		{timeDayFirst, "3.4.26", day(2026, 4, 3, 0, 0, 0)}, {timeDayFirst, "3.4.2026 10:11:12", day(2026, 4, 3, 10, 11, 12)}, {timeDayFirst, "3/4/26 1:00 PM", day(2026, 4, 3, 13, 0, 0)}, {timeDayFirst, "31-12-99", day(2099, 12, 31, 0, 0, 0)},
		{timeDayFirst, "3.4.026", day(2026, 4, 3, 0, 0, 0)}, {timeDayFirst, "3.4.6", none}, {timeDayFirst, "3.13.2026", none}, {timeDayFirst, "003.4.2026", none}, {timeDayFirst, "3.4", none}, {timeDayFirst, "3.4.20260", none}, {timeDayFirst, "3.4/2026", none}, {timeDayFirst, "3;4;2026", none},
		{timeMonthFirst, "12/31/2026", day(2026, 12, 31, 0, 0, 0)}, {timeMonthFirst, "13/1/2026", none}, {timeMonthFirst, "2/29/2028 23:59:59", day(2028, 2, 29, 23, 59, 59)},
		{timeMonthName, "23-Nov-26", day(2026, 11, 23, 0, 0, 0)}, {timeMonthName, "23 Nov 2026 10:11:12", day(2026, 11, 23, 10, 11, 12)}, {timeMonthName, "Nov 23, 2026", day(2026, 11, 23, 0, 0, 0)}, {timeMonthName, "2026-Nov-23", day(2026, 11, 23, 0, 0, 0)},
		{timeMonthName, "Nov 23rd '26", day(2026, 11, 23, 0, 0, 0)}, {timeMonthName, "1st May 2026", day(2026, 5, 1, 0, 0, 0)}, {timeMonthName, "Monday, 23 November 2026", day(2026, 11, 23, 0, 0, 0)}, {timeMonthName, "2. März 2026", day(2026, 3, 2, 0, 0, 0)},
		{timeMonthName, "3 févr. 2026", day(2026, 2, 3, 0, 0, 0)}, {timeMonthName, "4/août/2026", day(2026, 8, 4, 0, 0, 0)}, {timeMonthName, "September 5 2026", day(2026, 9, 5, 0, 0, 0)}, {timeMonthName, "30 Feb 2026", none}, {timeMonthName, "32 Jan 2026", none},
		{timeMonthName, "23 Nov", none}, {timeMonthName, "Nov 2026", none}, {timeMonthName, "23 Nox 2026", none}, {timeMonthName, "Nov soon 23 2026", none}, {timeMonthName, "Jan soon 23 2026", none}, {timeMonthName, "Jan st 23 2026", day(2026, 1, 23, 0, 0, 0)}, {timeMonthName, "23 Nov 20261", none}, {timeMonthName, "23;Nov;2026", none}, {timeMonthName, "Novembering 23 2026", none},
		{timeSeconds, "12", none},
	} {
		s, ok := x.form.parseStamp([]byte(x.text))
		got := none
		if ok {
			got = float64(s.whole) + s.part
		}
		if got != x.want {
			t.Errorf("%q as %s: %v, want %v", x.text, timeFormFacts[x.form].word, got, x.want)
		}
	}
	for name, want := range map[string]int{"Januar": 1, "feb": 2, "Mrz": 3, "maart": 3, "maerz": 3, "Avril": 4, "mei": 5, "Mai": 5, "juin": 6, "Juillet": 7, "aug": 8, "aout": 8, "SEPT": 9, "september": 9, "Okt": 10, "oct": 10, "nov": 11, "Dez": 12, "décembre": 12, "septembers": 0, "ja": 0, "": 0} {
		if got := monthOf(name); got != want {
			t.Errorf("%q is month %d, want %d", name, got, want)
		}
	}
	for _, x := range []struct {
		text string
		want bool
	}{{"1:02", true}, {"1:2", false}, {"12:34:56", true}, {"2026-04-12", true}, {"3.4.2026", true}, {"4/13/26", true}, {"1 May 2026", true}, {"May 1, 2026", true}, {"Dinner", false}, {"1234", false}, {"12:34:56 and so on till the end of day 1", false}} {
		if got := looksLikeTime([]byte(x.text)); got != x.want {
			t.Errorf("%q looks like a time: %t", x.text, got)
		}
	}
}

// TestStampsFarOff: the greatest time that is taken for one.
func TestStampsFarOff(t *testing.T) {
	for _, x := range []struct {
		stamp stamp
		want  bool
	}{{stamp{part: 1e12}, true}, {stamp{part: -1e12}, true}, {stamp{part: 1.0001e12}, false}, {stamp{whole: 999999999999}, true}, {stamp{whole: 1000000000000}, false}, {stamp{whole: -999999999999}, true}, {stamp{whole: -1000000000000}, false}} {
		if got := x.stamp.usable(); got != x.want {
			t.Errorf("%v: %t", x.stamp, got)
		}
	}
	if d := (stamp{100, 0.25}).since(stamp{90, 0.75}); d != 9.5 {
		t.Errorf("since: %v", d)
	}
	if s := (stamp{100, 0.25}).plus(stamp{90, 0.5}); s != (stamp{190, 0.75}) {
		t.Errorf("plus: %v", s)
	}
}

package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

func TestNumbersAsTimes(t *testing.T) {
	rising := func(n int, from, step float64) []float64 {
		return repeated(n, func(k int) float64 { return from + step*float64(k) })
	}
	for _, x := range []struct {
		name   string
		values []float64
		unit   string
		want   timeForm
		open   bool
		doubt  string
	}{
		{"seconds", rising(9, 0, 1), "s", timeSeconds, false, ""}, {"no unit", rising(9, 0, 1), "", timeSeconds, true, ""}, {"a unit of no time", rising(9, 0, 1), "V", timeSeconds, true, ""}, {"days", rising(9, 0, 1), "d", timeDays, false, ""},
		{"a date", rising(9, 1e9, 1), "", timeUnix, false, ""}, {"less", rising(9, 1e9-1, 1), "", timeSeconds, true, ""}, {"the last", rising(9, 4.1e9-1, 1), "", timeUnix, false, ""}, {"more", rising(9, 4.1e9, 1), "", timeSeconds, true, ""},
		{"in milliseconds", rising(9, 1e12, 500), "ms", timeUnixMilliseconds, false, ""}, {"less than that", rising(9, 0.99e12, 1), "ms", timeMilliseconds, false, ""}, {"in microseconds", rising(9, 1e15, 500), "", timeUnixMicroseconds, false, ""}, {"up to that", rising(9, 4.0999e15, 500), "", timeUnixMicroseconds, false, ""}, {"more than that", rising(9, 4.1001e15, 500), "µs", timeMicroseconds, false, ""},
		{"minutes of that size", rising(9, 2e9, 1), "min", timeMinutes, false, ""}, {"hours of that size", rising(9, 2e9, 1), "h", timeHours, false, ""}, {"seconds of that size", rising(9, 2e9, 1), "s", timeUnix, false, ""},
		{"steps of 49", rising(9, 0, 49), "", timeSeconds, true, ""}, {"steps of 50", rising(9, 0, 50), "", timeSeconds, true, "by 50 a row"}, {"steps of 60", rising(9, 0, 60), "", timeSeconds, true, ""}, {"steps of 61", rising(9, 0, 61), "", timeSeconds, true, "by 61 a row"}, {"steps of 50, named", rising(9, 0, 50), "s", timeSeconds, false, ""},
		{"three steps of 50", rising(4, 0, 50), "", timeSeconds, true, ""}, {"four", rising(5, 0, 50), "", timeSeconds, true, "by 50 a row"}, {"not whole", rising(9, 0.5, 50), "", timeSeconds, true, ""}, {"mostly 50", []float64{0, 50, 100, 101, 151, 201}, "", timeSeconds, true, "by 50 a row"}, {"mostly 1", []float64{0, 1, 2, 52, 102, 103}, "", timeSeconds, true, ""}, {"half of either", []float64{0, 1, 2, 52, 102}, "", timeSeconds, true, "by 50 a row"},
	} {
		var u *unit
		if x.unit != "" {
			u = unitOf(x.unit)
		}
		c := chooseNumericTime(x.values, u, u != nil)
		if c.form != x.want || c.unitOpen != x.open || x.doubt == "" != (c.suspicious == "") || !strings.Contains(c.suspicious, x.doubt) {
			t.Errorf("%s: %s, open %t, %q", x.name, c.form.word(), c.unitOpen, c.suspicious)
		}
	}
}

func TestTextsAsTimes(t *testing.T) {
	texts := func(words ...string) (out [][]byte) {
		for _, w := range words {
			out = append(out, []byte(w))
		}
		return out
	}
	nine := func(good, bad string, n int) [][]byte { // of ten texts, so many bad ones
		var out []string
		for k := range 10 {
			if k < n {
				out = append(out, bad)
			} else {
				out = append(out, good)
			}
		}
		return texts(out...)
	}
	for _, x := range []struct {
		texts [][]byte
		want  string
	}{
		{nil, "- the time column holds nothing"}, {texts("10:11:12"), "clock "}, {texts("2026-04-12"), "date-time "}, {texts("12 May 2026"), "month-name "}, {nine("10:11:12", "soon", 1), "clock "}, {nine("10:11:12", "soon", 2), "- the time \"soon\" is in no form that is known"}, {nine("2026-04-12", "x", 1), "date-time "}, {nine("2026-04-12", "x", 2), "- the time \"x\" is in no form that is known"}, {nine("1 May 2026", "x", 1), "month-name "}, {nine("1 May 2026", "x", 2), "- the time \"x\" is in no form that is known"},
		{texts("1:30", "2:30"), "- \"1:30\" may be minutes and seconds or hours and minutes: nothing in the log tells"}, {texts("1:30.5", "2:30"), "minutes-seconds found: there are fractions of the second part"}, {texts("1:30", "2:30,5"), "minutes-seconds found: there are fractions of the second part"}, {texts("23:59", "24:00"), "minutes-seconds found: the first part passes 23"}, {texts("23:58", "23:59"), "- \"23:58\" may be minutes and seconds or hours and minutes: nothing in the log tells"}, {texts("1:30 PM", "2:30 PM"), "hours-minutes "}, {nine("1:30 PM", "x", 1), "hours-minutes "}, {nine("1:30 PM", "x", 2), "- the time \"x\" is in no form that is known"}, {nine("1:30.5", "x", 1), "minutes-seconds found: there are fractions of the second part"}, {nine("1:30.5", "x", 2), "- the time \"x\" is in no form that is known"},
		{texts("13.4.2026", "12.4.2026"), "day-first found: in 1 of 2 rows no month could be the other number"}, {texts("4/13/2026", "4/12/2026"), "month-first found: in 1 of 2 rows no month could be the other number"}, {texts("3.4.2026"), "day-first a date with dots"}, {texts("12.4.2026"), "day-first a date with dots"}, {texts("3/4.2026"), "- the time \"3/4.2026\" is in no form that is known"}, {texts("3/4/2026"), "day-first or month first: both give the same times"}, {nine("13/4/2026", "x", 1), "day-first found: in 9 of 9 rows no month could be the other number"}, {nine("13/4/2026", "x", 2), "- the time \"x\" is in no form that is known"}, {nine("4/13/2026", "x", 2), "- the time \"x\" is in no form that is known"},
		{texts("3/4/2026 23:59:59", "4/4/2026 00:00:01"), "day-first found: so the log spans 2 s"}, {texts("3/4/2026 23:59:59", "3/5/2026 00:00:01"), "month-first found: so the log spans 2 s"}, {texts("3/4/2026", "4/4/2026", "3/4/2026"), "day-first found: so the log spans 24 h 0 min 0 s"}, {texts("4/4/2026", "3/4/2026"), "day-first found: so the log spans 24 h 0 min 0 s"}, {texts("3/4/2026", "4/5/2026"), "- \"3/4/2026\" may be day first or month first: nothing in the log tells"},
		{texts("1/1/2026 00:00:00", "1/1/2026 23:59:59"), "day-first or month first: both give the same times"}, {texts("1/1/2026", "2/2/2026"), "- \"1/1/2026\" may be day first or month first: nothing in the log tells"},
		{texts("1/1/2026", "7/1/2026"), "day-first found: so the log spans 144 h 0 min 0 s"}, {texts("1/2/2026", "6/3/2026"), "- \"1/2/2026\" may be day first or month first: nothing in the log tells"},
	} {
		c := chooseWrittenTime(x.texts)
		got := c.form.word() + " " + c.from
		if c.problem != "" {
			got = "- " + c.problem
		}
		if got != x.want {
			t.Errorf("%q: %q, want %q", x.texts, got, x.want)
		}
		if c.either != strings.Contains(x.want, "both give") {
			t.Errorf("%q: either way %t", x.texts, c.either)
		}
	}
	for _, x := range []struct {
		a, b [][]byte
		want string
	}{
		{texts("2026-04-12"), texts("10:11:12"), "true date-time true"}, {texts("10:11"), texts("25.4.2026"), "false day-first true"}, {texts("10:11:12"), texts("10:11:12"), "false  false"}, {texts("2026-04-12"), texts("2026-04-12"), "false  false"}, {texts("2026-04-12"), nil, "false  false"}, {texts("2026-04-12"), nine("10:11", "x", 1), "true date-time true"}, {texts("2026-04-12"), nine("10:11", "x", 2), "false  false"}, {nine("10:11", "x", 1), texts("2026-04-12"), "false date-time true"},
	} {
		first, c, ok := chooseDayTime(x.a, x.b)
		if got := fmt.Sprint(first, " ", c.form.word(), " ", ok); got != x.want {
			t.Errorf("%q and %q: %s, want %s", x.a, x.b, got, x.want)
		}
	}
}

func TestIntervalsInWords(t *testing.T) {
	for _, x := range []struct {
		lines []string
		want  float64
		text  string
	}{
		{[]string{"1Hz"}, 1, "1Hz"}, {[]string{"10 Hz"}, 0.1, "10 Hz"}, {[]string{"10 HZ"}, 0.1, "10 HZ"}, {[]string{"interval 0.5 s"}, 0.5, "0.5 s"}, {[]string{"0.5 s interval"}, 0, ""}, {[]string{"Timestep:2min"}, 120, "2min"}, {[]string{"period=20ms"}, 0.02, "20ms"}, {[]string{"Sampling (s)|3"}, 0, ""}, {[]string{"sample rate;4\tHz"}, 0.25, "4 Hz"}, {[]string{"delta_t, 5 s"}, 5, "5 s"}, {[]string{"dt \"5\" s"}, 5, "5 s"}, {[]string{"step 5 V"}, 0, ""}, {[]string{"step 0 s"}, 0, ""}, {[]string{"step -5 s"}, 0, ""}, {[]string{"step 5"}, 0, ""}, {[]string{"width 5 s"}, 0, ""},
		{[]string{"1 Hz", "1 Hz"}, 1, "1 Hz"}, {[]string{"1 Hz", "2 Hz"}, 0, ""}, {[]string{"interval 0.5 s", "2 Hz"}, 0.5, "2 Hz"}, {[]string{"step", "5 s"}, 0, ""}, {nil, 0, ""}, {[]string{"dtx 5 s"}, 0, ""},
	} {
		if got, text := stepInText(x.lines); got != x.want || text != x.text {
			t.Errorf("%q: %v, %q", x.lines, got, text)
		}
	}
}

// TestGreatestOfAChannel: what is taken for measured, and what nothing on a small vehicle can be, a hundredth on.
func TestGreatestOfAChannel(t *testing.T) {
	for c, most := range map[Channel]float64{Time: 1e12, Voltage: 1e4, Current: 1e5, Temperature: 1e4, Ambient: 1e4, Speed: 1e3, Distance: 1e9, ChargeCounter: 1e9, EnergyCounter: 1e9, ChargeReturned: 1e9, EnergyReturned: 1e9, Power: 1e8, Duty: 1e4, Rotation: 1e7, StepTime: 1e12, Step: 1e9, Cycle: 1e9, SecondTime: 1e12, ByPosition: 1e9, State: 1} {
		for x, want := range map[float64]bool{most: true, -most: true, 1.01 * most: false, -1.01 * most: false, 0.99 * most: true} {
			if c.credible(x) != want {
				t.Errorf("%s of %g: %t", c, x, !want)
			}
		}
	}
	if n := len(Channels()); n != 18 || Channels()[17] != Cycle || len(Measurable()) != 14 || Measurable()[13] != Rotation || Channels()[0] != Time {
		t.Errorf("%v, %v", Channels(), Measurable())
	}
	for _, c := range []Channel{channelCountAsChannel, 200} {
		if c.String() != "unknown" || c.Label() != "Unknown" || c.Unit() != "" || c.Dimension() != State.Dimension() {
			t.Errorf("channel %d: %s, %s, %q", c, c, c.Label(), c.Unit())
		}
	}
	if ByPosition.String() != "by-position" || ByPosition.Label() != "Way along the positions" || ByPosition.Unit() != "m" {
		t.Error("the last channel")
	}
}

const channelCountAsChannel = Channel(channelCount)

// TestWhatAStampCounts: seconds that the number of a form counts.
func TestWhatAStampCounts(t *testing.T) {
	for form, want := range map[timeForm][2]float64{timeSeconds: {1, 60}, timeMilliseconds: {1e-3, 60}, timeMicroseconds: {1e-6, 60}, timeNanoseconds: {1e-9, 60}, timeMinutes: {60, 60}, timeHours: {3600, 60}, timeDays: {86400, 60}, timeClock: {1, 60}, timeMinutesSeconds: {1, 1}, timeHoursMinutes: {60, 60}, timeDateTime: {1, 60}, timeUnix: {1, 60}, timeUnixMilliseconds: {1e-3, 60}, timeUnixMicroseconds: {1e-6, 60}, timeSplit: {1, 60}, timeStep: {0, 0}} {
		if got := form.stampUnit(false); math.Abs(got-want[0]) > 1e-12*want[0] {
			t.Errorf("%s: %v", form.word(), got)
		}
		if got := form.stampUnit(true); got != want[1] {
			t.Errorf("%s in whole minutes: %v", form.word(), got)
		}
	}
	for form, want := range map[timeForm]timeForm{timeDayFirst: timeMonthFirst, timeMonthFirst: timeDayFirst, timeDateTime: timeDateTime, timeSeconds: timeSeconds} {
		if form.turned() != want {
			t.Errorf("%s turned is %s", form.word(), form.turned().word())
		}
	}
	for _, f := range []timeForm{timeSeconds, timeMilliseconds, timeMicroseconds, timeMinutes, timeHours, timeDays, timeNanoseconds, timeUnix, timeUnixMilliseconds, timeUnixMicroseconds} {
		if !f.numeric() || f.dated() || f.clocked() {
			t.Errorf("%s is a number", f.word())
		}
	}
	for _, f := range []timeForm{timeUnknown, timeClock, timeMinutesSeconds, timeHoursMinutes, timeDateTime, timeDayFirst, timeMonthFirst, timeMonthName, timeSplit, timeStep} {
		if f.numeric() || f.clocked() != (f == timeClock || f == timeHoursMinutes) || f.dated() != (f == timeDateTime || f == timeDayFirst || f == timeMonthFirst || f == timeMonthName) {
			t.Errorf("%s is none", f.word())
		}
	}
}

// TestEitherWayRound: dates that may be day first or month first, until a row shows it.
func TestEitherWayRound(t *testing.T) {
	day := func(d float64) stamp { return stamp{whole: int64(d * 86400)} }
	for _, x := range []struct {
		name        string
		own, other  []stamp
		form        timeForm
		last        float64 // what the last row comes to, in days
		stillEither bool
	}{
		{"nothing tells", []stamp{day(1), day(1)}, []stamp{day(30), day(30)}, timeDayFirst, 1, true}, {"its own is shorter", []stamp{day(1), day(2)}, []stamp{day(30), day(61)}, timeDayFirst, 2, false}, {"the other is shorter", []stamp{day(1), day(32)}, []stamp{day(30), day(31)}, timeMonthFirst, 2, false}, {"its own goes back", []stamp{day(10), day(5)}, []stamp{day(30), day(61)}, timeMonthFirst, 41, false}, {"the other goes back", []stamp{day(1), day(32)}, []stamp{day(30), day(20)}, timeDayFirst, 32, false}, {"both go back", []stamp{day(10), day(5)}, []stamp{day(30), day(29)}, timeDayFirst, 5, false}, {"the other stands", []stamp{day(1), day(2)}, []stamp{day(30), day(30)}, timeMonthFirst, 1, false},
	} {
		r := &rowTimes{form: timeDayFirst, either: true}
		var s stamp
		for k := range x.own {
			s = x.own[k]
			r.settle(&s, x.other[k])
		}
		if got := (float64(s.whole) + s.part) / 86400; math.Abs(got-x.last) > 1e-9 || r.form != x.form || r.either != x.stillEither || r.first != x.own[0] || r.rows != len(x.own) {
			t.Errorf("%s: %v, %s, %t", x.name, got, r.form.word(), r.either)
		}
	}
}

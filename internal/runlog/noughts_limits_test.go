package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Dates that may stand either way round are settled where the log spans five times as long the one way as the other. From 1 January to 7 February are
// 37 days, to 2 July 182; less three quarters of a day they are as one to five.
func TestHowMuchShorterADateSpeaks(t *testing.T) {
	for start, clear := range map[string]bool{"17:59": false, "18:01": true} {
		for _, form := range []timeForm{timeDayFirst, timeMonthFirst} {
			last := "7/2/2026 0:00:00"
			if form == timeMonthFirst {
				last = "2/7/2026 0:00:00"
			}
			c := chooseWrittenTime([][]byte{[]byte("1/1/2026 " + start + ":00"), []byte(last)})
			if (c.problem == "") != clear || clear && c.form != form {
				t.Errorf("from %s to %s: %s, %q", start, last, c.form.word(), c.problem)
			}
		}
	}
}

// A time in whole seconds beside nanoseconds is one up to 1e12 s, beyond which a binary fraction of 53 digits cannot tell a tenth of a millisecond.
func TestGreatestWholeSeconds(t *testing.T) {
	for start, rows := range map[int64]int{970_000_000_000: 40, 1_010_000_000_000: 0, -970_000_000_000: 40, -1_010_000_000_000: 0} {
		var b strings.Builder
		b.WriteString("s,ns,voltage (V),current (A)\n")
		for k := range 40 {
			fmt.Fprintf(&b, "%d,500000000,%.2f,%.1f\n", start+int64(k), 25-0.01*float64(k), 5.0)
		}
		_, samples := readAll(t, "whole seconds", []byte(b.String()), NewOptions())
		if len(samples) != rows {
			t.Errorf("%d s: %d rows", start, len(samples))
		}
		if rows > 0 && math.Abs(samples[rows-1].Time-samples[0].Time-39) > 1e-9 {
			t.Errorf("%d s: %v to %v", start, samples[0].Time, samples[rows-1].Time)
		}
	}
}

// A pack that nothing was drawn from has given nothing: a row of no current is no load, though it is as much as the greatest so far.
func TestNoCurrentIsNoLoad(t *testing.T) {
	o := NewOptions()
	w := newCutoutWatch(&o, spec{})
	watched(w, [3]float64{0, 25, 0}, [3]float64{1, 24, 0}, [3]float64{2, 20, 0})
	if w.sawDischarge || w.loaded || w.endsLoaded || !math.IsInf(w.lowestLoaded, 1) || w.event != nil {
		t.Errorf("%+v", w)
	}
	watched(w, [3]float64{3, 25, -5}, [3]float64{4, 25, -5})
	if w.sawDischarge || w.loaded || w.endsLoaded {
		t.Errorf("charge: %+v", w)
	}
}

// A run of steps without end is kept in four thousand rows at most; one row more and the two thousand that are left go on.
func TestStepsWithoutEnd(t *testing.T) {
	b := seriesBuilder{}
	for k := range MaxSeriesRows + 1 {
		i := float64(1 + 9*(k%2))
		p := passage{a: instant{t: float64(k), v: 25, i: i}, b: instant{t: float64(k + 1), v: 25, i: i}, kind: ramp}
		b.pass(&p)
		if k == MaxSeriesRows-1 && len(b.rows) != MaxSeriesRows {
			t.Fatalf("%d rows of so many steps", len(b.rows))
		}
	}
	if n := len(b.rows); n > MaxSeriesRows/2+1 || n < MaxSeriesRows/8 {
		t.Errorf("%d rows", n)
	}
	charge := 0.0
	for _, r := range b.rows {
		charge += r.charge
	}
	if want := 5.5*MaxSeriesRows + 1; math.Abs(charge-want) > 1e-6 { // half of the seconds at 1 A and at 10 A, and the last at 1 A
		t.Errorf("%v A s, want %v", charge, want)
	}
}

// Heads that say something, and columns that the values could be taken for something else by: a log whose heads are there is not guessed at.
func TestValuesSpeakWhereHeadsDoNot(t *testing.T) {
	rising := repeated(30, func(k int) float64 { return 10 * float64(k) })
	amps := repeated(30, func(k int) float64 { return float64(k%5) - 1 })
	volts := repeated(30, func(k int) float64 { return 25 - 0.01*float64(k) })
	watts := repeated(30, func(k int) float64 { return volts[k] * amps[k] })
	for _, x := range []struct {
		name  string
		heads []string
		taken map[int]Channel // by what a head says
		step  float64
		want  string
	}{
		{"no heads", []string{"", "", "", ""}, nil, 0, "time 0, voltage 1, current 2, power 3"},
		{"heads that say nothing", []string{"a", "b", "c", "d"}, nil, 0, "time 0, voltage 1, current 2, power 3"},
		{"a voltage is named", []string{"a", "voltage", "c", "d"}, map[int]Channel{1: Voltage}, 0, "voltage 1"},
		{"a current is named", []string{"a", "b", "current", "d"}, map[int]Channel{2: Current}, 0, "current 2"},
		{"a current is stated of a log without heads", []string{"", "", "", ""}, map[int]Channel{2: Current}, 0, "time 0, current 2"},
		{"a voltage is stated of a log without heads", []string{"", "", "", ""}, map[int]Channel{1: Voltage}, 0, "time 0, voltage 1"},
		{"the interval is stated", []string{"", "", "", ""}, nil, 2, "voltage 1, current 2, power 3"},
	} {
		a := columns(rising, volts, amps, watts)
		a.plan.names, a.options.Step = x.heads, 0
		if x.step > 0 {
			a.options.Step = 2
		}
		for i, c := range x.taken {
			a.take(c, i, "")
		}
		a.byEvidence()
		var got []string
		if a.plan.time != nil {
			got = append(got, fmt.Sprintf("time %d", a.plan.time.columns[0].index))
		}
		for _, s := range a.plan.sources {
			got = append(got, fmt.Sprintf("%s %d", s.channel, s.index))
		}
		if strings.Join(got, ", ") != x.want {
			t.Errorf("%s: %s, want %s", x.name, strings.Join(got, ", "), x.want)
		}
	}
}

// A time in the step rises as the time does, to a hundredth.
func TestHowNearlyAStepsTimeRises(t *testing.T) {
	for times, want := range map[float64]int{0.9902: 1, 0.9898: 0, 1.0098: 1, 1.0102: 0} {
		a := columns(repeated(30, func(k int) float64 { return 10 * float64(k) }), repeated(30, func(int) float64 { return 6 }), repeated(30, func(int) float64 { return 150 }), repeated(30, func(k int) float64 { return 10 * times * float64(k) }))
		a.take(Time, 0, "")
		if a.followers(1, 2); len(a.plan.sources) != want || want > 0 && a.plan.sources[0].channel != StepTime {
			t.Errorf("%g of the time: %+v", times, a.plan.sources)
		}
	} // What stands still as long as the time does, ten rows to a stamp, does not rise with it.
	a := columns(repeated(40, func(k int) float64 { return float64(k / 10) }), repeated(40, func(int) float64 { return 6 }), repeated(40, func(int) float64 { return 150 }), repeated(40, func(int) float64 { return 5 }))
	a.take(Time, 0, "")
	if a.followers(1, 2); len(a.plan.sources) != 0 {
		t.Errorf("a column that stands still: %+v", a.plan.sources)
	}
}

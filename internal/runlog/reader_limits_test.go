package runlog

import (
	"fmt"
	"math"
	"testing"
)

// TestStepsThatTellTheSign: +1 where the voltage falls as the current rises, -1 where it rises with it, 0 where the steps do not
// tell. Of each rule a pair just inside and just outside.
func TestStepsThatTellTheSign(t *testing.T) {
	rows := func(pairs ...float64) []probeRow { // current, voltage
		var out []probeRow
		for k := 0; k < len(pairs); k += 2 {
			out = append(out, probeRow{float64(k), pairs[k+1], pairs[k]})
		}
		return out
	}
	// Four steps of 1 A to and fro, and beside what they do to the voltage one volt of it times e that they do not: the
	// correlation is 1/√(1 + e²), and 0.6 at 4/3.
	noisy := func(sign, e float64) []probeRow {
		v := []float64{0, sign + e, e + e, sign + e, 0}
		var out []probeRow
		for k, x := range v {
			out = append(out, probeRow{float64(k), 100 + x, float64(k % 2)})
		}
		return out
	}
	for _, x := range []struct {
		name string
		rows []probeRow
		want int
	}{
		{"none", nil, 0}, {"one", rows(5, 26), 0}, {"two, falling", rows(0, 26, 5, 25), 1}, {"two, rising", rows(0, 25, 5, 26), -1},
		{"discharge below zero", rows(0, 26, -5, 25, -5, 25, 0, 26), -1}, {"no answer", rows(0, 26, 5, 26), 0}, {"half a thousandth of the voltage", rows(0, 100, 5, 99.951), 0}, {"a bit more", rows(0, 100, 5, 99.949), 1}, {"a bit more, the other way", rows(0, 100, 5, 100.051), -1}, {"of two answers the root of the mean square", rows(0, 100, 5, 99.94, 0, 99.98), 1}, {"less than that", rows(0, 100, 5, 99.945, 0, 99.965), 0},
		{"a range of a twentieth of it, and a bit", rows(-10, 26, -9.48, 25, -10, 26), 1}, {"a bit less", rows(-10, 26, -9.52, 25, -10, 26), 0},
		{"a range of a twentieth above zero", rows(10, 26, 9.48, 27), 1}, {"a bit less above zero", rows(10, 26, 9.52, 27), 0},
		{"a step of a fifth of the range speaks", rows(0, 26, 1.95, 26, 3.9, 26, 5.85, 26, 7.8, 26, 9.75, 26, 10, 26, 7.98, 27), 1}, {"one of less does not", rows(0, 26, 1.95, 26, 3.9, 26, 5.85, 26, 7.8, 26, 9.75, 26, 10, 26, 8.02, 27), 0},
		{"the voltage goes to half", rows(0, 26, 5, 13), 1}, {"to less", rows(0, 26, 5, 12.9), 0}, {"comes from less", rows(0, 12.9, 5, 26), 0}, {"from half", rows(0, 13, 5, 26), -1},
		{"the voltage all but goes, below zero", rows(0, -26, 5, -12.9), 0},
		{"agreeing just enough", noisy(-1, 1.3), 1}, {"just too little", noisy(-1, 1.37), 0}, {"the other way, enough", noisy(1, 1.3), -1}, {"the other way, too little", noisy(1, 1.37), 0},
	} {
		if got := stepSign(x.rows); got != x.want {
			t.Errorf("%s: %d, want %d", x.name, got, x.want)
		}
	}
}

func TestDriftThatTellsTheSign(t *testing.T) {
	run := func(n int, v func(k int) float64, i func(k int) float64) []probeRow {
		var out []probeRow
		for k := range n {
			out = append(out, probeRow{float64(k), v(k), i(k)})
		}
		return out
	}
	flat := func(x float64) func(int) float64 { return func(int) float64 { return x } }
	ends := func(first, last float64) func(int) float64 { // of twenty rows, the first two and the last two
		return func(k int) float64 {
			switch {
			case k < 2:
				return first
			case k > 17:
				return last
			}
			return 77
		}
	}
	one := func(other float64, n int) func(int) float64 { // so many rows of another current than 1 A
		return func(k int) float64 {
			if k < n {
				return other
			}
			return 1
		}
	}
	for _, x := range []struct {
		name string
		rows []probeRow
		want int
	}{
		{"nine rows", run(9, func(k int) float64 { return 25 - float64(k) }, flat(5)), 0}, {"ten rows", run(10, func(k int) float64 { return 25 - float64(k) }, flat(5)), 1},
		{"falls under a negative", run(20, ends(25, 24), flat(-5)), -1}, {"rises under a negative", run(20, ends(24, 25), flat(-5)), 1}, {"rises under a positive", run(20, ends(24, 25), flat(5)), -1},
		{"nothing flows", run(20, ends(25, 24), flat(0)), 0}, {"no voltage at all", run(20, flat(0), flat(5)), 0},
		{"half a per cent of the voltage, and a bit", run(20, ends(100, 99.49), flat(5)), 1}, {"a bit less", run(20, ends(100, 99.51), flat(5)), 0}, {"half a per cent up, and a bit", run(20, ends(100, 100.51), flat(5)), -1},
		{"two rows in twenty the other way", run(20, ends(25, 24), one(-1, 2)), 1}, {"three", run(20, ends(25, 24), one(-0.5, 3)), 1}, {"too many", run(20, ends(25, 24), one(-1.1, 2)), 0}, {"just few enough", run(20, ends(25, 24), one(-0.99, 2)), 1},
		{"three tenths of the greatest", run(20, ends(25, 24), one(3.3, 1)), 1}, {"less", run(20, ends(25, 24), one(3.4, 1)), 0},
		{"a rest after it, in which it comes back", append(run(10, func(k int) float64 { return 25 - float64(k)/10 }, flat(5)), run(9, flat(26), flat(0))...), 1}, {"a rest before it", append(run(9, flat(26), flat(0)), run(10, func(k int) float64 { return 25 + float64(k)/10 }, flat(-5))...), 1},
	} {
		if got := driftSign(x.rows); got != x.want {
			t.Errorf("%s: %d, want %d", x.name, got, x.want)
		}
	}
	if discharges(run(3, flat(20), flat(-1))) != true || discharges(run(3, flat(20), flat(1))) || discharges(nil) {
		t.Error("the mean current of the probe")
	}
}

// TestStatesThatTellTheSign: what flows where the state says charge, and where it says discharge.
func TestStatesThatTellTheSign(t *testing.T) {
	for _, x := range []struct {
		in, out  float64
		negative bool
		sign     int
		byRow    bool
	}{
		{0, 0, false, 0, false}, {2, 5, false, 0, true}, {-2, -5, true, 0, true}, {0, 5, false, 1, true}, {0, 5, true, 1, false}, {2, 0, false, -1, true}, {2, 0, true, -1, false},
		{-2, 5, true, 1, false}, {2, -5, true, -1, false}, {-2, 0, true, 1, false}, {0, -5, true, -1, false},
	} {
		p := probe{flow: [2]float64{x.in, x.out}, negative: x.negative}
		if sign, byRow := p.stateSign(); sign != x.sign || byRow != x.byRow {
			t.Errorf("%+v: %d, %t", x, sign, byRow)
		}
	}
	for _, x := range []struct {
		state, current, turn, want float64
	}{
		{StateCharge, 2, 0, -2}, {StateCharge, -2, 0, -2}, {StateCharge, -2, -1, 2}, {StateDischarge, 5, 0, 5}, {StateDischarge, -5, 0, 5}, {StateDischarge, -5, -1, 5}, {StateDischarge, -5, 1, -5},
		{StateRest, 3, 0, 3}, {StateRest, -3, 0, -3}, {StateRest, -3, -1, 3}, {StateDischarge, 5, -1, 5}, {StateCharge, 2, 1, -2},
	} {
		var s Sample
		s.Values[State], s.Values[Current], s.Values[Power] = x.state, x.current, 26*x.current
		signByState.sign(&s, x.turn)
		if s.Values[Current] != x.want || s.Values[Power] != 26*x.want {
			t.Errorf("%+v: %v A, %v W", x, s.Values[Current], s.Values[Power])
		}
		s.Values[Current] = x.current
		if signWhole.sign(&s, x.turn); s.Values[Current] != x.current {
			t.Errorf("one rule for all rows turned %+v", x)
		}
	}
}

// TestStrays: which row is held back, and which row runs on from the one before. The row before is at 100 s, its interval 1 s or 5 s.
func TestStrays(t *testing.T) {
	for _, x := range []struct {
		form   timeForm
		step   float64
		times  []float64
		strays bool
		leaves int
	}{
		{timeSeconds, 1, []float64{101, 102}, false, 0}, {timeSeconds, 1, []float64{99, 102}, false, 1}, {timeSeconds, 1, []float64{98.9, 101}, true, 1}, {timeSeconds, 1, []float64{160, 101}, false, 1}, {timeSeconds, 1, []float64{161, 101}, true, 1},
		{timeSeconds, 5, []float64{199, 105}, false, 0}, {timeSeconds, 5, []float64{201, 105}, true, 1}, {timeSeconds, 2.9, []float64{160, 105}, false, 0}, {timeSeconds, 2.9, []float64{160.1, 102.9}, true, 1},
		{timeSeconds, 1, []float64{500}, true, 0}, {timeSeconds, 1, []float64{500, 501}, true, 0}, {timeSeconds, 1, []float64{500, 99}, true, 0}, {timeSeconds, 1, []float64{500, 100}, true, 1},
		{timeSeconds, 1, []float64{500, 119.9}, true, 1}, {timeSeconds, 1, []float64{500, 120.1}, true, 0}, // twenty times what the later row is off: the nearer of the two
		{timeSeconds, 1, []float64{7, 8, 101}, true, 2}, {timeSeconds, 1, []float64{7, 8, 9, 101}, true, 3}, {timeSeconds, 1, []float64{500, 7, 101}, true, 2}, {timeSeconds, 1, []float64{500, 501, 101}, true, 2},
		{timeSeconds, 1, []float64{90, 97, 102.9}, true, 2}, {timeSeconds, 1, []float64{90, 97, 103.1}, true, 0}, // nearer to the row before than to the strays
		{timeSeconds, 1, []float64{90, 97.1, 101}, true, 0}, {timeSeconds, 1, []float64{90, 96.9, 101}, true, 2}, {timeSeconds, 2, []float64{90, 94.1, 101}, true, 0}, {timeSeconds, 2, []float64{90, 93.9, 101}, true, 2}, // it runs on from the strays
		{timeSeconds, 1, []float64{90, 80, 110}, true, 2}, {timeSeconds, 1, []float64{90, 80, 130}, true, 0}, {timeSeconds, 1, []float64{90, 80, 125}, true, 0}, {timeSeconds, 1, []float64{90, 80, 119}, true, 2},
		{timeClock, 1, []float64{100 - 43200, 101}, true, 1}, {timeClock, 1, []float64{100 - 43201, 101}, false, 1}, {timeSeconds, 1, []float64{100 - 43201, 101}, true, 1}, {timeHoursMinutes, 60, []float64{100 - 43201, 160}, false, 1},
		{timeStep, 1, []float64{7, 101}, false, 1},
	} {
		s := &Scanner{placed: stamp{part: 100}, clock: rowClock{rows: 9, step: x.step}}
		s.times[0].form = x.form
		for _, at := range x.times {
			s.waiting = append(s.waiting, &parsedRow{time: rowTime{stamp: [2]stamp{{part: at}}}})
		}
		if got := s.strays(s.waiting[0]); got != x.strays {
			t.Errorf("%+v: strays %t", x, got)
		}
		if got := s.runsOn(); got != x.leaves {
			t.Errorf("%+v: %d leave", x, got)
		}
		s.clock.rows = 0
		if s.strays(s.waiting[0]) {
			t.Errorf("%+v: the first row strays", x)
		}
	}
}

// TestClockThatNeverFalls: the clock of the rows, an interval of 1 s before.
func TestClockThatNeverFalls(t *testing.T) {
	for _, x := range []struct {
		form    timeForm
		at      []float64
		want    []float64
		restart int // the row, 0 for none
		says    string
	}{
		{timeSeconds, []float64{10, 11, 12}, []float64{0, 1, 2}, 0, ""}, {timeSeconds, []float64{10, 11, 11}, []float64{0, 1, 1}, 0, ""},
		{timeSeconds, []float64{10, 11, 10, 12}, []float64{0, 1, 1, 2}, 0, "log-clock-back"}, {timeSeconds, []float64{10, 12, 10.9, 12}, []float64{0, 2, 4, 5.1}, 2, "log-clock-restart"},
		{timeClock, []float64{43201, 0}, []float64{0, 43199}, 0, "log-midnight"}, {timeClock, []float64{43200, 43200, 0}, []float64{0, 0, 0}, 2, "log-clock-restart"}, {timeSeconds, []float64{43201, 43202, 0}, []float64{0, 1, 2}, 2, "log-clock-restart"},
		{timeHoursMinutes, []float64{86340, 0, 60}, []float64{0, 60, 120}, 0, "log-midnight"}, {timeClock, []float64{86399, 0, 86399, 1}, []float64{0, 1, 86400, 86402}, 0, "log-midnight"},
		{timeClock, []float64{86399.5, 86399.8, 0.1, 0.05}, []float64{0, 0.3, 0.6, 0.6}, 0, "log-midnight"},
		{timeSeconds, []float64{10, 11, 10.5, 10.6, 10.7, 10.8, 10.9, 10.91, 10.92, 10.93, 10.94, 10.95, 10.96, 10.97}, []float64{0, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 2, 2.01}, 12, "log-clock-back"},
	} {
		var c rowClock
		report := &tally{}
		for k, at := range x.at {
			got, restart := c.place(stamp{part: at}, x.form, report, noSpan)
			if math.Abs(got-x.want[k]) > 1e-9 || restart != (x.restart > 0 && k == x.restart) {
				t.Errorf("%v: row %d at %v, anew %t, want %v", x.at, k, got, restart, x.want[k])
			}
		}
		if said := fmt.Sprint(report.findings()); x.says != "" != (len(report.findings()) > 0) {
			t.Errorf("%v: %s", x.at, said)
		} else if x.says != "" && report.findings()[0].Rule != x.says && report.findings()[len(report.findings())-1].Rule != x.says {
			t.Errorf("%v: %s", x.at, said)
		}
	}
}

// TestWaysAlongPositions: a degree of latitude is 111.195 km on a sphere of the earth's mean radius; a degree of longitude is that
// times the cosine of the latitude. A quarter of the way round is 10 007.56 km.
func TestWaysAlongPositions(t *testing.T) {
	for _, x := range []struct{ lat1, long1, lat2, long2, want float64 }{
		{0, 0, 1, 0, 111195.08}, {10, 20, 11, 20, 111195.08}, {-11, 20, -10, 20, 111195.08}, {0, 0, 0, 1, 111195.08}, {60, 10, 60, 10.001, 55.5975}, {60, -10, 60, -10.001, 55.5975},
		{0, 0, 90, 0, 10007557.2}, {0, 0, 0, 90, 10007557.2}, {0, -90, 0, 90, 20015114.4}, {45, 0, 45, 0, 0}, {30, 0, 60, 90, 7154413.1},
	} {
		if got := greatCircle(x.lat1, x.long1, x.lat2, x.long2); math.Abs(got-x.want) > 1e-5*x.want+1e-6 {
			t.Errorf("%+v: %v m", x, got)
		}
	}
	var w way
	for _, x := range []struct {
		lat, long, want float64
	}{{10, 20, 0}, {11, 20, 111195.08}, {math.NaN(), 20, math.NaN()}, {90.1, 20, math.NaN()}, {-90.1, 20, math.NaN()}, {11, 180.1, math.NaN()}, {11, -180.1, math.NaN()}, {0, 0, math.NaN()}, {10, 20, 222390.16}} {
		got := w.add(x.lat, x.long)
		if math.IsNaN(got) != math.IsNaN(x.want) || math.Abs(got-x.want) > 2 {
			t.Errorf("%+v: %v", x, got)
		}
	}
	for _, at := range [][2]float64{{90, 20}, {-90, -180}, {10, 180}, {0, 7}, {7, 0}} {
		var w way
		if got := w.add(at[0], at[1]); got != 0 {
			t.Errorf("%v is a position, and the first: %v", at, got)
		}
	}
}

func TestAgreeingRatios(t *testing.T) {
	for _, x := range []struct {
		ratio, factor, within float64
		want                  bool
	}{
		{1, 1, 0.1, true}, {0.91, 1, 0.1, true}, {0.89, 1, 0.1, false}, {1.11, 1, 0.1, true}, {1.12, 1, 0.1, false}, {3.59, 3.6, 0.1, true}, {2161, 3600, 0.4, true}, {2159, 3600, 0.4, false}, {5999, 3600, 0.4, true}, {6001, 3600, 0.4, false},
	} {
		if got := agrees(x.ratio, x.factor, x.within); got != x.want {
			t.Errorf("%+v: %t", x, got)
		}
	}
}

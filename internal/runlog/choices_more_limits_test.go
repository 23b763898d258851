package runlog

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// A log that was not written for longer than a minute, and for more than twenty times its interval, has a gap: among its first rows by their median, later
// by that of all before.
func TestLengthOfAGap(t *testing.T) {
	for _, x := range []struct {
		every, long float64
		n           int
		want        bool
	}{{1, 60.5, 8, true}, {1, 59.5, 8, false}, {5, 102, 8, true}, {5, 98, 8, false}, {1, 60.5, 40, true}, {1, 59.5, 40, false}, {5, 104, 40, true}, {5, 96, 40, false}} {
		var times, amps []float64
		for k := range x.n {
			times, amps = append(times, x.every*float64(k)), append(amps, 10)
		}
		times, amps = append(times, times[x.n-1]+x.long), append(amps, 10)
		all := walked(times, amps, math.NaN())
		if got := all[len(all)-1].kind == gap; got != x.want {
			t.Errorf("%+v: %t", x, got)
		}
	}
}

// The rhythm is that of the last eight intervals: a short one before them is forgotten, one among them is not.
func TestWhatARhythmRemembers(t *testing.T) {
	for tens, want := range map[int]passageKind{7: openEdge, 8: placedEdge} {
		times := []float64{0, 2}
		for range tens {
			times = append(times, times[len(times)-1]+10)
		}
		at := times[len(times)-1]
		times = append(times, at+3, at+13, at+23)
		amps := repeated(len(times), func(k int) float64 {
			if k >= len(times)-2 {
				return 0
			}
			return 5
		})
		if p := walked(times, amps, math.NaN())[len(times)-3]; p.kind != want {
			t.Errorf("%d of ten seconds: %+v", tens, p)
		}
	}
}

// Beside a step the current may move by a quarter of it.
func TestHowFlatBesideAStep(t *testing.T) {
	for _, x := range []struct {
		amps []float64
		want bool
	}{{[]float64{0, 2.35, 12, 12}, true}, {[]float64{0, 2.45, 12, 12}, false}, {[]float64{0, 0, 10, 12.45}, true}, {[]float64{0, 0, 10, 12.55}, false}} {
		if p := walked([]float64{0, 1, 2, 3}, x.amps, math.NaN())[1]; (p.kind == openEdge) != x.want {
			t.Errorf("%v: %+v", x.amps, p)
		}
	}
}

// A vehicle that stands may stand through a gap; one that moves by more than 0.05 m/s is not known to have gone on, and the way is that of the rows alone.
func TestStandingThroughAGap(t *testing.T) {
	for v, seconds := range map[float64]float64{0.049: 538, 0.051: 38} {
		var rows []Sample
		for k := range 40 {
			at := float64(k)
			if k >= 20 {
				at += 499
			}
			rows = append(rows, row(at, map[Channel]float64{Voltage: 25, Current: 5, Speed: v}))
		}
		r := meter(rows, perfect())
		near(t, "way", float64(r.Distance.Value), v*seconds, 1e-9)
	}
}

// What was put in is said where it is a ten-thousandth of what was drawn, and the other way round.
func TestWhatIsWorthSaying(t *testing.T) {
	for _, x := range []struct {
		out, in float64
		want    string
	}{{1, 0.98e-4, "1 Ah"}, {1, 1.02e-4, "drawn and"}, {0.98e-4, 1, "1 Ah put in"}, {1.02e-4, 1, "drawn and"}, {0, 2, "2 Ah put in"}, {2, 0, "2 Ah"}, {0, 0, "0 Ah"}} {
		got := drawnAndPut(x.out, x.in)
		if got != x.want && !(x.want == "drawn and" && strings.Contains(got, " drawn and ") && strings.HasSuffix(got, " put in")) {
			t.Errorf("%+v: %s", x, got)
		}
	}
}

// A voltage stands alone where it is off by ten times what its neighbours are apart.
func TestHowFarAloneAVoltageStands(t *testing.T) {
	for off, left := range map[float64]bool{9.8: false, 10.2: true} {
		w := oddWatch{peak: 10}
		rows := []Sample{vi(0, 100, 8), vi(1, 100.5+off, 8), vi(2, 101, 8)}
		if got := !w.lookedAt(rows).sample(1).Has(Voltage); got != left {
			t.Errorf("%g times: left out %t", off, got)
		}
	}
}

// The voltage may be written before the current by a row that is no more than ten seconds older.
func TestHowLongBeforeAStep(t *testing.T) {
	type r = [3]float64
	known := spec{known: true}
	for ago, want := range map[float64]float64{9.7: 0.25, 10.3: 0.125} {
		res := stepsOf(r{1 - ago, 27.001, 0}, r{1, 26.001, 0}, r{2, 25.2, 8}, r{3, 25.001, 8}).result(known, known)
		near(t, "resistance", float64(res.Value), want, 1e-9)
	}
}

// Steps that are not answered, and currents that change their sign, are told where they stand in less than a fifth of the rows.
func TestHowOftenAJumpIsNoise(t *testing.T) {
	for n, want := range map[int]string{195: "nn", 205: ""} {
		h := heard()
		w := &jumpWitness{peak: 1000, pairs: 1000, edges: n, unmoved: 1, mirrored: n}
		if got := levels(w.say(h)); strings.ReplaceAll(got, "?", "") != want {
			t.Errorf("%d of a thousand: %q, want %q", n, got, want)
		}
	}
}

// A fiftieth of the greatest current flows neither way.
func TestWhatFlowsNeitherWay(t *testing.T) {
	for i, silentStill := range map[float64]bool{0.0197: true, -0.0197: true, 0.0203: false, -0.0203: false} {
		w := &silent{}
		s := vi(0, 25, i)
		if w.row(&s, 25, i, 1); w.quiet != silentStill {
			t.Errorf("%g of the greatest: quiet %t", i, w.quiet)
		}
		w.quiet = true
		if w.row(&s, 25, i, 1); w.quiet != silentStill {
			t.Errorf("%g of the greatest, later: quiet %t", i, w.quiet)
		}
	}
	for _, x := range []struct {
		from, to float64
		found    bool
		side     int
	}{{-0.197, 10, true, 0}, {-0.203, 10, false, 0}, {0.197, -10, true, 1}, {0.203, -10, false, 1}, {10, -0.197, true, 0}, {10, -0.203, false, 0}} {
		w := &answers{peak: 10, rows: []answerRow{{0, 25, x.from}, {1, 25, x.to}}}
		if from, side := w.change(); (from != nil) != x.found || x.found && side != x.side {
			t.Errorf("%+v: %v, %d", x, from, side)
		}
	}
}

// Two thermometers exchange their values where these are five last digits apart and five times what they usually move by.
func TestHowFarThermometersAreApart(t *testing.T) {
	for _, x := range []struct {
		apart, moves float64
		decimals     int
		want         bool
	}{{0.49, 0, 1, false}, {0.51, 0, 1, true}, {0.98, 4, 3, false}, {1.02, 4, 3, true}} {
		for k := range 2 {
			w := &thermometers{rows: 100}
			w.grain[0].decimals, w.grain[1].decimals = 3, 3
			w.grain[k].decimals, w.moves[k] = x.decimals, x.moves
			if got := w.told(x.apart); got != x.want {
				t.Errorf("%d: %+v: %t", k, x, got)
			}
		}
	}
}

// A clock that goes back by up to a second is held; beyond that it was set back.
func TestHowFarAClockIsHeld(t *testing.T) {
	for back, restart := range map[int64]bool{980: false, 1020: true} { // ms
		var c rowClock
		report := &tally{}
		for _, ms := range []int64{0, 1000, 5000, 5000 - back} {
			s := stamp{whole: ms / 1000, part: float64(ms%1000) / 1000}
			_, again := c.place(s, timeSeconds, report, func() finding.Span { return finding.Span{} })
			if again != (restart && ms == 5000-back) {
				t.Errorf("back by %d ms: anew %t", back, again)
			}
		}
	}
}

// A sag of readings by hand: a load read within ten seconds of the rest before it.
func TestHowSoonAReadingUnderLoad(t *testing.T) {
	for seconds, known := range map[float64]bool{9.7: true, 10.3: false} {
		r, _ := FromReadings([]Reading{reading(0, 26, 0), reading(seconds/60, 25.2, 8), reading(30, 25, 8)}, perfect())
		if r.Sag.Known() != known {
			t.Errorf("after %g s: %v", seconds, r.Sag)
		}
		if known {
			near(t, "sag", float64(r.Sag.Value), 0.8, 1e-12)
		}
	}
}

// A time constant of more than three times what was watched is not told; the curve is the law itself, without noise.
func TestHowSlowATimeConstant(t *testing.T) {
	x := repeated(24, func(k int) float64 { return 2 * float64(k) })
	for times, found := range map[float64]bool{2.93: true, 3.07: false} {
		tau := times * x[23]
		y := repeated(24, func(k int) float64 { return 25 - math.Exp(-x[k]/tau) })
		fit, why := fitRebound(x, y, 0, 0)
		if (fit != nil) != found {
			t.Errorf("%g times what was watched: %+v, %q", times, fit, why)
		}
		if fit != nil {
			near(t, "tau", float64(fit.TimeConstant.Value), tau, 1e-3*tau)
		}
	}
}

// Gaps without a load are reported one by one up to twenty, and so are those under load, of which the rest are counted.
func TestHowManyGapsAreReported(t *testing.T) {
	for _, amps := range []float64{0, 8} {
		var rows []Sample
		at := 0.0
		for k := range 40 * 25 {
			at++
			if k > 100 && k%40 == 0 {
				at += 500
			}
			i := amps
			if k < 40 {
				i = 8
			}
			rows = append(rows, vi(at, 25, i))
		}
		m := NewMeter(perfect())
		for _, s := range rows {
			m.Add(s)
		}
		r, found := m.Result()
		n := 0
		for _, f := range found {
			if f.Rule == "log-gap" {
				n++
			}
		}
		if want := map[float64]int{0: 20, 8: 21}[amps]; n != want { // the last says how many more there are
			t.Errorf("%g A: %d of 22 gaps are reported, want %d", amps, n, want)
		}
		if want := map[float64]int{0: 0, 8: 22}[amps]; r.GapCount != want {
			t.Errorf("%g A: %d gaps", amps, r.GapCount)
		}
	}
}

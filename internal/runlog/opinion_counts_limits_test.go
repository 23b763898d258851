package runlog

import (
	"math"
	"slices"
	"testing"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

func TestDisagreementsInWords(t *testing.T) {
	for ratio, want := range map[float64]string{1.5: "1.5 times", 1.49: "49 % more than", 1: "0 % more than", 0.99: "1 % less than", 0.67: "33 % less than", 0.66: "1/1.52 of", 1 / 1.5: "1/1.5 of", 3.6: "3.6 times"} {
		if got := apart(ratio); got != want {
			t.Errorf("%g: %q, want %q", ratio, got, want)
		}
	}
	for _, ratio := range []float64{math.Inf(1), math.Inf(-1), math.NaN()} {
		if got := apart(ratio); got != "not to be compared with" {
			t.Errorf("%g: %q", ratio, got)
		}
	}
	for ratio, want := range map[float64]finding.Level{1.49: finding.Warning, 1.5: finding.Error, 0.67: finding.Warning, 1 / 1.5: finding.Error, 0.66: finding.Error, math.NaN(): finding.Error} {
		if got := grave(ratio); got != want {
			t.Errorf("%g: %v", ratio, got)
		}
	}
	for ratio, want := range map[float64]bool{1090: true, 1110: false, 910: true, 890: false} {
		if near2(ratio, 1000) != want {
			t.Errorf("%g is a thousand: %t", ratio, !want)
		}
	}
}

// Two clocks in all.
func TestClocksInAll(t *testing.T) {
	for _, c := range []struct {
		ours, other float64
		jumps       int
		want        string
		holds       bool
	}{
		{100, 100, 0, "", true}, {100, 100, 1, "n", true}, {1000, 1011.9, 0, "", true}, {1000, 1012.5, 0, "w", false}, {1000, 988.1, 0, "", true}, {1000, 987.5, 0, "w", false}, {1, 2.99, 0, "", true}, {1, 3.08, 0, "e", false}, {0, 0, 0, "", false}, {0, 900, 0, "e", false}, {900, 0, 0, "e", false}, {900, -1, 0, "e", false}, {-900, -900, 0, "", false},
		{10000, 10101.5, 0, "", true}, {10000, 10104, 0, "w", false}, {1000, 1e6, 0, "e", false},
	} {
		w := &clockPair{has: true, jumps: c.jumps}
		w.sumOurs.add(c.ours)
		w.sumOther.add(c.other)
		list, holds := w.judge(heard(), "it")
		if got := levels(list); got != c.want || holds != c.holds {
			t.Errorf("%+v: %q, %t", c, got, holds)
		}
		if w.has = false; true {
			if list, holds := w.judge(heard(), "it"); list != nil || holds {
				t.Error("a clock that is not there")
			}
		}
	}
	w := &clockPair{}
	for k, other := range []float64{0, 10, 50, 60, 75, math.NaN(), 90} {
		w.add(&Sample{Time: float64(10 * k), Line: k + 2}, other)
	}
	if w.jumps != 3 || w.worst != 30 || w.jump.line != 4 || w.sumOurs.value() != 60 || w.sumOther.value() != 90 {
		t.Errorf("%d jumps, the worst of %g s in line %d, %g s against %g s", w.jumps, w.worst, w.jump.line, w.sumOurs.value(), w.sumOther.value())
	}
	for restarts, want := range map[bool]float64{true: 10, false: -80} {
		w := &clockPair{restarts: restarts}
		for k, other := range []float64{90, 0, 10} {
			w.add(&Sample{Time: float64(10 * k)}, other)
		}
		if w.sumOther.value() != want {
			t.Errorf("that starts again %t: %g", restarts, w.sumOther.value())
		}
	}
}

// The usual interval beside the one that the head names.
func TestIntervalThatIsNamed(t *testing.T) {
	for _, c := range []struct {
		usual, named float64
		seen         int
		want         string
	}{{1, 1, 10, ""}, {1.47, 1, 10, ""}, {1.53, 1, 10, "w"}, {1, 1.47, 10, ""}, {1, 1.53, 10, "w"}, {29, 1, 10, "w"}, {31, 1, 10, "e"}, {1, 29, 10, "w"}, {1, 31, 10, "e"}, {5, 1, 9, ""}, {5, 0, 10, ""}} {
		h := heard()
		h.dialect.NamedStep = c.named
		h.meter.walker.intervals = quantiles{}
		h.meter.walker.intervals.add(c.usual, 1)
		h.meter.walker.seen = c.seen
		if got := levels((&namedInterval{}).say(h)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// A counter by its steps: which way, and how often the way changes.
func TestCounterStepByStep(t *testing.T) {
	c := counterColumn{}
	for _, x := range []struct{ x, flowed, rate float64 }{{5, 0, 1}, {6, 1, 1}, {6.5, 1, math.NaN()}, {6.25, -1, -1}, {6, -1, 0}, {6, 0, -1}, {8, 1, -2}, {9, 0, 0}} {
		c.add(x.x, x.flowed, x.rate, false)
	}
	if got := []float64{c.moved[0].value(), c.moved[1].value(), c.up.value(), c.down.value(), c.along}; !slices.Equal(got, []float64{2.5, 2.5, 4.5, 0.5, 1}) || c.turns != 2 || c.direction != 2 || c.last != 9 {
		t.Errorf("%v, %d turns, %d", got, c.turns, c.direction)
	}
	if got, want := c.digit(), 0.01*(1+math.Sqrt2); math.Abs(got-want) > 1e-15 {
		t.Errorf("a digit of %g, want %g", got, want)
	}
	if none := (&counterColumn{}); none.digit() != 0 {
		t.Error("a counter that is not there has no digit")
	}
}

// What one column counts, by what flowed each way.
func TestSidesOfACounter(t *testing.T) {
	none := math.NaN()
	for _, x := range []struct {
		name                string
		out, in             float64 // moved
		up, down, along     float64
		flowedOut, flowedIn float64
		wantOut, wantIn     float64
		without             bool
	}{
		{"each way", 10, 4, 14, 0, 1, 10, 4, 10, 4, false}, {"not there", 10, 4, 14, 0, 1, 10, 4, none, none, true}, {"out alone", 10, 0.5, 10.5, 0, 1, 10, 4, 10.5, none, false}, {"in alone", 0.5, 4, 4.5, 0, 1, 10, 4, none, 4.5, false},
		{"three tenths", 10, 1.24, 11.24, 0, 1, 10, 4, 10, 1.24, false}, {"less", 10, 1.16, 11.16, 0, 1, 10, 4, 11.16, none, false},
		{"nothing flows in", 10, 0.3, 10.3, 0, 1, 10, 0.099, 10.3, none, false}, {"more flows in", 10, 0.3, 10.3, 0, 1, 10, 0.101, 10, 0.3, false}, {"a hundredth flows in", 10, 0.3, 10.3, 0, 1, 100, 1, 10.3, none, false},
		{"a hundredth flows out", 0.3, 10, 10.3, 0, 1, 1, 100, none, 10.3, false},
		{"of what is left", 3, 9, 10, 4, 1, 10, 4, 10, 4, false}, {"the other way", 3, 9, 4, 10, -1, 10, 4, 10, 4, false}, {"falls a little", 10, 4, 20, 0.098, 1, 10, 4, 10, 4, false}, {"falls more", 10, 4, 20, 0.102, 1, 10, 4, 20.102, none, false}, {"neither way", 3, 9, 10, 4, 0, 10, 4, 10, 4, false},
		{"nothing", 0, 0, 0, 0, 0, 10, 4, none, none, false},
	} {
		c := counterColumn{}
		c.has, c.along = !x.without, x.along
		c.moved[0].add(x.out)
		c.moved[1].add(x.in)
		c.up.add(x.up)
		c.down.add(x.down)
		got := c.sides(x.flowedOut, x.flowedIn)
		for k, want := range []float64{x.wantOut, x.wantIn} {
			if !(math.Abs(got[k]-want) < 1e-9) && !(math.IsNaN(got[k]) && math.IsNaN(want)) {
				t.Errorf("%s: %v, want %g and %g", x.name, got, x.wantOut, x.wantIn)
				break
			}
		}
	}
}

// What the counters of a log are held against: the current over the time, since each one's last value.
func TestCounterBesideRows(t *testing.T) {
	w := newChargeCounter()
	none := math.NaN()
	for k, r := range [][3]float64{{2, 1, none}, {4, none, none}, {none, none, none}, {2, 1.5, 0.5}, {-2, 2, 0.75}} {
		s := row(3600*float64(k), map[Channel]float64{Current: r[0], ChargeCounter: r[1], ChargeReturned: r[2]})
		s.Line = k + 2
		if w.row(&s); k == 1 && w.flow != [2]float64{3, 3} || k == 3 && w.flow != [2]float64{0, 0} {
			t.Errorf("row %d: %v", k, w.flow)
		}
	}
	if w.line != 2 || w.outs.last != 2 || w.ins.last != 0.75 || w.outs.moved[0].value() != 0.5 || w.outs.moved[1].value() != 0.5 || w.outs.turns != 1 {
		t.Errorf("%+v", w)
	}
	s := row(20000, map[Channel]float64{Current: 5, ChargeCounter: 9})
	s.Restart = true
	if w.row(&s); w.flow != [2]float64{} || w.outs.last != 9 || w.outs.up.value() != 1 {
		t.Errorf("a new beginning: %+v", w)
	}
	if e := newEnergyCounter(); e.rate(&s) == e.rate(&s) {
		t.Error("no power without a voltage")
	}
	if v := vi(0, 25, -2); newEnergyCounter().rate(&v) != -50 || newChargeCounter().rate(&v) != -2 {
		t.Error("another rate")
	}
	// Two columns: the second counts what returns, or the first does both.
	both, out, in := newChargeCounter(), newChargeCounter(), newChargeCounter()
	fill := func(c *counterColumn, out, in float64) {
		c.has = true
		c.moved[0].add(out)
		c.moved[1].add(in)
		c.up.add(out + in)
	}
	fill(&both.outs, 10, 4)
	fill(&out.outs, 10, 0)
	fill(&out.ins, 0, 4.5)
	fill(&in.ins, 10, 4)
	for k, x := range []struct {
		w       *counterWitness
		out, in float64
	}{{both, 10, 4}, {out, 10, 4.5}, {in, 10, 4}} {
		if a, b := x.w.counted(10, 4); a != x.out || b != x.in {
			t.Errorf("%d: %g and %g", k, a, b)
		}
	}
}

// The integral beside the counter: within the interval, within a digit, half a per cent, and beyond.
func TestFlowBesideACounter(t *testing.T) {
	for _, c := range []struct {
		name                              string
		out, in, countedOut, countedIn, u float64
		decimals                          int
		want                              string
		widened                           float64
	}{
		{"alike", 10, 0, 10, 0, 0, 9, "", 0}, {"within twice the uncertainty", 10, 0, 10.019, 0, 0.01, 9, "", 0}, {"beyond", 10, 0, 10.021, 0, 0.01, 9, "n", 0.021 / math.Sqrt(3)}, {"half a per cent and less", 10, 0, 10.049, 0, 0, 9, "n", 0.049 / math.Sqrt(3)}, {"more", 10, 0, 10.051, 0, 0, 9, "w", 0.051 / math.Sqrt(3)}, {"less by as much", 10, 0, 9.949, 0, 0, 9, "w", 0.051 / math.Sqrt(3)},
		{"a ten-thousandth", 10, 0, 10.00098, 0, 0, 9, "", 0.00098 / math.Sqrt(3)}, {"more than that", 10, 0, 10.00102, 0, 0, 9, "n", 0.00102 / math.Sqrt(3)}, {"within a digit", 10, 0, 10.1, 0, 0, 1, "", 0.1 / math.Sqrt(3)}, {"beyond a digit", 10, 0, 10.2, 0, 0, 1, "w", 0.2 / math.Sqrt(3)},
		{"by a factor", 10, 0, 20, 0, 0, 9, "e", 0}, {"both ways", 10, 5, 20, 11, 0, 9, "ee", 0}, {"in by a little", 10, 5, 10, 5.1, 0, 9, "w", 0},
	} {
		w, h := newChargeCounter(), heard()
		w.outs.has, w.ins.has = true, true
		w.outs.grain.decimals, w.ins.grain.decimals = c.decimals, 9
		w.outs.moved[0].add(c.countedOut)
		w.outs.up.add(c.countedOut)
		w.ins.moved[1].add(c.countedIn)
		w.ins.up.add(c.countedIn)
		f := &h.result.Charge
		f.Out, f.In = quantity.Exact(quantity.AmpereHours(c.out)), quantity.Exact(quantity.AmpereHours(c.in))
		f.Out.U, f.In.U = 0, 0
		f.Sampling = FlowPair[quantity.AmpereHours]{Out: quantity.AmpereHours(c.u), In: 0}
		got := levels(compareFlow(h, w, f, &h.meter.accounts.charge))
		if got != c.want || math.Abs(float64(f.Out.U)-c.widened) > 1e-7 || float64(f.Counted.Out) != c.countedOut {
			t.Errorf("%s: %q, want %q; widened by %g, want %g; counted %v", c.name, got, c.want, f.Out.U, c.widened, f.Counted)
		}
	}
	w, h := newChargeCounter(), heard()
	h.result.Charge.Out.Value = quantity.AmpereHours(math.NaN())
	w.outs.has = true
	if got := w.say(h); got != nil {
		t.Errorf("without a charge: %v", got)
	}
}

// Rows that go back: more than three, and more than one in a hundred.
func TestRowsThatGoBack(t *testing.T) {
	for _, c := range []struct {
		rows, restarts int
		want           string
	}{{100, 3, ""}, {100, 4, "e"}, {399, 4, "e"}, {400, 4, ""}, {10, 3, ""}} {
		if got := levels((&rowOrder{rows: c.rows, restarts: c.restarts}).say(nil)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	w := &rowOrder{}
	for k := range 4 {
		w.row(&Sample{Restart: k > 1, Line: k + 2})
	}
	if w.rows != 4 || w.restarts != 2 || w.first.line != 4 {
		t.Errorf("%+v", w)
	}
}

func TestEmptyCells(t *testing.T) {
	for _, c := range []struct {
		channel     Channel
		empty, rows int
		want        string
	}{{Voltage, 1, 2, "n"}, {Voltage, 2, 3, ""}, {Voltage, 0, 3, ""}, {Current, 1, 99, "w"}, {Current, 1, 100, "n"}, {Voltage, 1, 20, "n"}, {State, 1, 20, ""}} {
		w := &holeWitness{rows: c.rows}
		w.empty[c.channel] = c.empty
		if got := levels(w.say(heard())); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	w := &holeWitness{}
	for k, values := range []map[Channel]float64{{Voltage: 25, Current: 5}, {Voltage: 25}, {Temperature: 20}, {Current: 5, Temperature: 20}, {}, {Voltage: 25, Temperature: 20}} {
		s := row(float64(k), values)
		s.Line = k + 2
		w.row(&s)
	}
	if w.rows != 5 || w.empty[Current] != 3 || w.empty[Voltage] != 2 || w.first[Current].line != 3 || w.first[Voltage].line != 5 {
		t.Errorf("%d rows, %d, %d", w.rows, w.empty[Current], w.empty[Voltage])
	}
}

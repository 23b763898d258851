package runlog

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// A voltage of nothing beside a current, row by row; and what moves under load.
func TestExchangedRowByRow(t *testing.T) {
	w := &exchangedWitness{}
	for k, r := range [][2]float64{{20, 10}, {0.2, 5}, {0.195, 5}, {0.195, 2}, {0.195, 2.05}, {0.19, -5}, {21, 0.5}, {22, 0.51}, {math.NaN(), 5}, {5, math.NaN()}} {
		s := vi(float64(k), r[0], r[1])
		s.Line = k + 2
		w.row(&s)
	}
	if w.short != 3 || w.first.line != 4 || w.rows != 8 || w.loaded != 7 || w.lowV != 0.19 || w.highV != 22 || w.lowI != -5 || w.highI != 10 || math.Abs(w.discharge.value()-19.56) > 1e-9 || w.topV != 22 || w.topI != 10 {
		t.Errorf("%+v", w)
	}
	for _, c := range []struct {
		name      string
		w         exchangedWitness
		discharge float64
		want      string
	}{
		{"two rows of nothing", exchangedWitness{short: 2}, 0, ""}, {"three", exchangedWitness{short: 3}, 0, "e"},
		{"flat", exchangedWitness{rows: 19, loaded: 10, lowV: 24.951, highV: 25, lowI: 4, highI: 5.01}, 1, "w"}, {"not flat", exchangedWitness{rows: 19, loaded: 10, lowV: 24.949, highV: 25, lowI: 4, highI: 5.01}, 1, ""}, {"a current that stays", exchangedWitness{rows: 19, loaded: 10, lowV: 25, highV: 25, lowI: 4.01, highI: 5}, 1, ""}, {"just stays", exchangedWitness{rows: 19, loaded: 10, lowV: 25, highV: 25, lowI: 4, highI: 5}, 1, ""},
		{"nine rows", exchangedWitness{rows: 12, loaded: 9, lowV: 25, highV: 25, lowI: 1, highI: 5}, 1, ""}, {"half of the rows", exchangedWitness{rows: 20, loaded: 10, lowV: 25, highV: 25, lowI: 1, highI: 5}, 1, ""}, {"a charge", exchangedWitness{rows: 19, loaded: 10, lowV: 25, highV: 25, lowI: -5, highI: -1}, -1, ""}, {"neither", exchangedWitness{rows: 19, loaded: 10, lowV: 25, highV: 25, lowI: -5, highI: 5}, 0, ""},
	} {
		c.w.discharge.add(c.discharge)
		if got := levels(c.w.say(nil)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A step's own time starts again with each step, and alone.
func TestTimeWithinSteps(t *testing.T) {
	hear := func(rows ...[3]float64) *stepTime {
		w := &stepTime{}
		for k, r := range rows {
			s := row(r[0], map[Channel]float64{Step: r[1], StepTime: r[2]})
			s.Line = k + 2
			w.row(&s)
		}
		return w
	}
	none := math.NaN()
	for _, c := range []struct {
		name        string
		w           *stepTime
		ours, other float64
	}{
		{"two steps", hear([3]float64{0, 1, 0}, [3]float64{10, 1, 10}, [3]float64{20, 2, 15}, [3]float64{30, 2, 25}), 20, 20}, {"that start again alone", hear([3]float64{0, 1, 0}, [3]float64{10, 1, 10}, [3]float64{20, 1, 0}, [3]float64{30, 1, 10}), 20, 20},
		{"without a step", hear([3]float64{0, 1, 0}, [3]float64{10, none, 10}, [3]float64{20, 1, 20}), 20, 20}, {"that stand", hear([3]float64{0, 1, 5}, [3]float64{10, 1, 5}), 10, 0},
	} {
		if c.w.sumOurs.value() != c.ours || c.w.sumOther.value() != c.other {
			t.Errorf("%s: %g and %g", c.name, c.w.sumOurs.value(), c.w.sumOther.value())
		}
	}
	for unit, want := range map[string]string{"": "n", "min": "e"} {
		h := heard()
		h.dialect.Columns = []Column{{Channel: StepTime, Unit: unit}, {Channel: Voltage}}
		if got := levels(hear([3]float64{0, 1, 0}, [3]float64{10, 1, 100}).say(h)); got != want || h.timeHolds {
			t.Errorf("in %q: %q", unit, got)
		}
	}
	h := heard()
	if hear([3]float64{0, 1, 0}, [3]float64{10, 1, 10}).say(h); !h.timeHolds {
		t.Error("a time that agrees holds")
	}
	second := &secondTime{}
	second.has = true
	second.sumOurs.add(10)
	second.sumOther.add(10)
	if h = heard(); second.say(h) != nil || !h.timeHolds {
		t.Error("a second time that agrees holds")
	}
}

// Nineteen of twenty intervals within a fifth.
func TestRegularIntervals(t *testing.T) {
	for _, c := range []struct {
		low, high float64 // weights of intervals of 0.7 and 1.3
		seen      int
		want      bool
	}{{4.9, 4.9, 10, true}, {5.2, 0, 10, false}, {0, 5.2, 10, false}, {4.9, 0, 9, false}, {4.8, 0, 10, true}, {0, 4.8, 11, true}} {
		w := &walker{seen: c.seen}
		w.intervals.add(0.7, c.low)
		w.intervals.add(1.3, c.high)
		w.intervals.add(1, 100-c.low-c.high)
		if w.regular() != c.want {
			t.Errorf("%+v", c)
		}
	}
	for other, want := range map[float64]bool{1.19: true, 1.21: false, 0.81: true, 0.79: false} {
		w := &walker{seen: 10}
		w.intervals.add(1, 90)
		w.intervals.add(other, 10)
		if w.regular() != want {
			t.Errorf("one in ten is of %g", other)
		}
	}
}

// About twice as long, by half a per cent of the whole.
func TestAboutTwiceAsLong(t *testing.T) {
	for _, c := range []struct {
		name    string
		longest []float64
		seen    int
		whole   float64
		want    string
	}{
		{"one", []float64{2}, 50, 199, "n"}, {"of too long a log", []float64{2}, 50, 201, ""}, {"just half a per cent", []float64{2}, 50, 200, "n"}, {"one in fifty", []float64{2}, 49, 100, ""}, {"1.8 times", []float64{1.8}, 50, 100, ""}, {"more", []float64{1.83}, 50, 100, "n"}, {"less", []float64{1.75}, 50, 100, ""}, {"5 times", []float64{5}, 50, 100, "n"}, {"beyond", []float64{5.1}, 50, 100, ""}, {"a bit less", []float64{4.9}, 50, 100, "n"},
		{"fifteen", []float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}, 1000, 100, "n"}, {"sixteen", []float64{2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2}, 1000, 100, ""}, {"none", nil, 50, 100, ""},
	} {
		w, h := &longInterval{}, heard()
		for k, d := range c.longest {
			w.longest = append(w.longest, interval{d: d, line: 40 - k})
		}
		of := &walker{seen: c.seen}
		of.intervals.add(1, 100)
		h.meter.first, h.meter.last = 1000, 1000+c.whole
		list := w.about(h, of)
		if got := levels(list); got != c.want || got != "" && list[0].line != 41-len(c.longest) {
			t.Errorf("%s: %q", c.name, got)
		}
	}
}

// What long intervals hide is put into the interval, and is grave from half a per cent of the charge on.
func TestWhatLongIntervalsHide(t *testing.T) {
	for _, c := range []struct {
		out, in, counted float64
		want             string
	}{{10, 1, 0.0495, "n"}, {10, 1, 0.0505, "w"}, {1, 10, 0.0495, "n"}, {1, 10, 0.0505, "w"}} {
		h := heard()
		f := &h.result.Charge
		f.Out, f.In = quantity.Exact(quantity.AmpereHours(c.out)), quantity.Exact(quantity.AmpereHours(c.in))
		f.Sampling = FlowPair[quantity.AmpereHours]{}
		w := &longInterval{}
		h.meter.walker.intervals = quantiles{}
		h.meter.walker.intervals.add(1, 90)
		h.meter.walker.intervals.add(2, 10)
		h.meter.walker.intervals.add(30, 1)
		h.meter.walker.seen = 50
		w.longest = []interval{{d: 30, charge: 3600 * c.counted, volts: 10, loaded: true, line: 8}}
		w.gapVar.add(3600 * 3600 * 0.01)
		if got := levels(w.say(h)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
		u, other := f.Out.U, f.In.U
		if c.in > c.out {
			u, other = other, u
		}
		if want := math.Sqrt(c.counted*c.counted/3 + 0.01); math.Abs(float64(u)-want) > 1e-9 || other != 0 {
			t.Errorf("%+v: widened by %g, want %g", c, float64(u), want)
		}
	}
	for seen, want := range map[int]string{49: "", 50: "n"} {
		for _, spread := range []bool{false, true} {
			h := heard()
			h.result.Charge.Out = quantity.Exact(quantity.AmpereHours(1))
			h.meter.walker.intervals = quantiles{}
			h.meter.walker.intervals.add(1, 90)
			h.meter.walker.intervals.add(2, 10)
			h.meter.walker.intervals.add(30, 1)
			h.meter.walker.seen = seen
			w := &longInterval{spread: spread, found: 3, longest: []interval{{d: 30, line: 8}}}
			if got := levels(w.say(h)); got != want && !spread || spread && got != "" {
				t.Errorf("%d intervals, spread %t: %q", seen, spread, got)
			}
		}
	}
}

// What two legs are together.
func TestLegsTogether(t *testing.T) {
	legs := follow(0, 10, 5, 20, -5, 30, 0, 10, 10, 5)
	for k, kind := range []string{"r", "d", "c", "c", "d"} {
		if k > 0 {
			legs[k].low, legs[k].high, legs[k].energyOut, legs[k].energyIn = 25-float64(k), 25+float64(k), float64(k), float64(2*k)
			legs[0].join(&legs[k])
		}
		if got := kindsOf(legs[:1]); got != kind {
			t.Errorf("%d: %s, want %s", k, got, kind)
		}
	}
	if l := legs[0]; l.rows != 5 || l.chargeOut != 150 || l.chargeIn != 150 || l.flowing != 55 || l.peak != 10 || l.low != 21 || l.high != 29 || l.energyOut != 10 || l.energyIn != 20 || l.loaded.t != 10 || l.last.t != 75 || l.length() != 75 {
		t.Errorf("%+v", l)
	}
	none := math.NaN()
	for _, c := range [][4]float64{{1, 2, 1, 2}, {2, 1, 1, 2}, {none, 1, 1, 1}, {1, none, 1, 1}} {
		if lesser(c[0], c[1]) != c[2] || greater(c[0], c[1]) != c[3] {
			t.Errorf("%g and %g: %g, %g", c[0], c[1], lesser(c[0], c[1]), greater(c[0], c[1]))
		}
	}
}

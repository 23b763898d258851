package runlog

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// What one numeric form of time is worth is what the unit of that name is worth.
func TestFormsOfTimeAreUnits(t *testing.T) {
	for form, symbol := range map[timeForm]string{timeSeconds: "s", timeMilliseconds: "ms", timeMicroseconds: "µs", timeMinutes: "min", timeHours: "h", timeUnix: "s", timeUnixMilliseconds: "ms", timeUnixMicroseconds: "µs"} {
		u, ok := quantity.FindUnit(symbol)
		if !ok {
			t.Fatal(symbol)
		}
		if got := formScale[form]; math.Abs(got/u.Base(1)-1) > 1e-12 {
			t.Errorf("%s: %g, and a %s is %g s", form.word(), got, symbol, u.Base(1))
		}
	}
	if len(formScale) != 8 {
		t.Errorf("%d forms", len(formScale))
	}
}

// The correlation of two columns by its definition, about the means or about nothing.
func TestCorrelations(t *testing.T) {
	x, y := []float64{3, 4, 3.5, 5, 2}, []float64{-2, -2.4, -2.1, -2.2, -1.7}
	n := float64(len(x))
	var side answerSide
	var w together
	var sx, sy, xx, yy, xy float64
	for i := range x {
		side.vi.add(x[i] * y[i])
		side.vv.add(x[i] * x[i])
		side.ii.add(y[i] * y[i])
		w.n++
		w.sum[1].add(x[i])
		w.sum[2].add(y[i])
		w.square[1].add(x[i] * x[i])
		w.square[2].add(y[i] * y[i])
		w.cross[0].add(x[i] * y[i])
		sx, sy, xx, yy, xy = sx+x[i], sy+y[i], xx+x[i]*x[i], yy+y[i]*y[i], xy+x[i]*y[i]
	}
	if got, want := side.correlation(), xy/math.Sqrt(xx*yy); math.Abs(got-want) > 1e-12 {
		t.Errorf("of changes: %g, want %g", got, want)
	}
	want := math.Abs(xy/n-sx*sy/n/n) / math.Sqrt((xx/n-sx*sx/n/n)*(yy/n-sy*sy/n/n))
	if got := w.correlation(0); math.Abs(got-want) > 1e-12 {
		t.Errorf("of columns: %g, want %g", got, want)
	}
	var none together
	none.n = 3
	for range 3 { // the least spread that counts is a thousandth of the mean
		none.sum[1].add(7)
		none.square[1].add(49)
	}
	none.sum[2], none.square[2], none.cross[0] = w.sum[2], w.square[2], w.cross[0]
	if got := none.correlation(0); got != 0 {
		t.Errorf("of a column that does not move: %g", got)
	}
}

// Two clocks part from row to row by more than 2 s and a twentieth of the longer interval.
func TestClocksPart(t *testing.T) {
	for other, parts := range map[float64]int{188.1: 0, 187.9: 1, 212.6: 0, 212.8: 1} {
		var w clockPair
		w.add(&Sample{Time: 0}, 0)
		w.add(&Sample{Time: 200}, other)
		if w.jumps != parts {
			t.Errorf("200 s against %g s: %d jumps, want %d", other, w.jumps, parts)
		}
	}
}

// When a counter has started again: bounds in its last digit, a hundredth here.
func TestCounterStartsAgain(t *testing.T) {
	c := counterColumn{}
	c.grain.add(0.01)
	if c.grain.size() != 0.01 {
		t.Fatalf("a digit of %g", c.grain.size())
	}
	for _, tt := range []struct {
		from, to, flowed float64
		step, want       bool
	}{
		{0.0195, 0, 0, false, false}, {0.0205, 0, 0, false, true}, // to zero
		{0.0245, 0.005, 0, false, false}, {0.0255, 0.005, 0, false, true}, // to about zero
		{0.0395, 0.0195, 0, true, false}, {0.0405, 0.0198, 0, true, true}, {0.05, 0.0255, 0, true, false}, {0.06, 0.025, 0, true, true}, {0.0395, 0.019, 0.01, true, true}, {0.0385, 0.019, 0.01, true, false}, // at a step of the program
		{1, 0.31, 0.1, false, true}, {1, 0.33, 0.1, false, false}, {0.5, 0.31, 0.1, false, false},
		{1, 1, 0, false, false}, {1, 1.5, 0, true, false}, {-1, 0, 0, false, true},
	} {
		if got := c.restarted(tt.from, tt.to, tt.flowed, tt.step); got != tt.want {
			t.Errorf("from %g to %g, %g flowed, a step %t: %t", tt.from, tt.to, tt.flowed, tt.step, got)
		}
	}
}

// The answer of the voltage to a load that comes on: not across a gap, of half the peak and more, and of edges that are short
// beside the flow.
func TestAnswerToALoad(t *testing.T) {
	edge := func(kind passageKind, amps, volts, seconds float64) *passage {
		return &passage{a: instant{t: 0, i: 0, v: 26}, b: instant{t: seconds, i: amps, v: 26 - volts}, kind: kind}
	}
	for _, tt := range []struct {
		words string
		p     *passage
		time  float64
		want  float64
	}{
		{"an edge", edge(ramp, 5, 0.5, 1), 2000, 0.1}, {"across a gap", edge(gap, 5, 0.5, 1), 2000, 0},
		{"half of the peak", edge(openEdge, 5, 0.5, 1), 2000, 0.1}, {"less than half", edge(openEdge, 4.9, 0.5, 1), 2000, 0},
		{"a thousandth of the flow", edge(openEdge, 5, 0.5, 2), 2001, 0.1}, {"longer", edge(openEdge, 5, 0.5, 2.01), 2000, 0},
	} {
		w := &paceWitness{}
		w.pass(tt.p)
		if got := w.ohms(tt.time, 10); math.Abs(got-tt.want) > 1e-12 {
			t.Errorf("%s: %g Ω, want %g", tt.words, got, tt.want)
		}
	}
}

// Three rows are enough for a power that is another.
func TestPowerOfThreeRows(t *testing.T) {
	for rows, says := range map[int]bool{2: false, 3: true} {
		text := "time (s),voltage (V),current (A),power (W)\n"
		for k := range rows {
			text += fmt.Sprintf("%d,%.1f,5.0,%.1f\n", k, 25-0.1*float64(k), 200-0.8*float64(k))
		}
		_, found, err := Measure(finding.NewStream("x.csv"), strings.NewReader(text), NewOptions())
		if err != nil {
			t.Fatal(err)
		}
		said := false
		for _, f := range found {
			said = said || f.Rule == "log-power-disagrees"
		}
		if said != says {
			t.Errorf("%d rows: said %t", rows, said)
		}
	}
}

// What may flow in a gap or a long interval, at whose ends no voltage stands, leaves the charge open and no energy.
func TestWhatIsHiddenWithoutAVoltage(t *testing.T) {
	w, none := &longInterval{}, math.NaN()
	w.pass(&passage{kind: gap, a: instant{i: 5, v: none}, b: instant{t: 100, i: 3, v: none}})
	if got := math.Sqrt(w.gapVar.value()); math.Abs(got-500/math.Sqrt(3)) > 1e-9 || w.gapVarE.value() != 0 {
		t.Errorf("in a gap: %g A s, and (W s)² of %g", got, w.gapVarE.value())
	}
	w.pass(&passage{kind: gap, a: instant{i: 5, v: none}, b: instant{t: 100, i: 3, v: 20}})
	if got := math.Sqrt(w.gapVarE.value()); math.Abs(got-20*500/math.Sqrt(3)) > 1e-9 {
		t.Errorf("with a voltage at one end: %g W s", got)
	}
}

// Of each column that an instrument writes it is said where its digits become finer.
func TestDigitsOfEachColumn(t *testing.T) {
	for _, c := range []Channel{Voltage, Current, Temperature, Speed, Distance, ChargeCounter, Power} {
		w, want := &digitsWitness{}, ""
		for k := range 60 {
			x := 20 + float64(k%7)/10
			if k >= 55 {
				x += 0.003
			}
			s := row(float64(k), map[Channel]float64{c: x})
			w.row(&s)
		}
		if c != ChargeCounter && c != Power { // which are counted and computed
			want = "the " + c.String() + " is written to"
		}
		list := w.say(nil)
		if len(list) != min(1, len(want)) || len(list) == 1 && !strings.HasPrefix(list[0].text, want) {
			t.Errorf("%s: %v", c, list)
		}
	}
}

// Which two values go the same way.
func TestSameWay(t *testing.T) {
	none := math.NaN()
	for _, x := range []struct {
		a, b float64
		want bool
	}{{1, 2, true}, {-1, -2, true}, {1, -2, false}, {-1, 2, false}, {0, 1, false}, {1, 0, false}, {0, -1, false}, {-1, 0, false}, {0, 0, false}, {none, 1, false}, {1e-200, 1e-200, true}} {
		if got := sameWay(x.a, x.b); got != x.want {
			t.Errorf("%g and %g: %t", x.a, x.b, got)
		}
	}
}

// A rebound that comes with the last sample alone has no time constant, but it rises.
func TestReboundOfTheLastSample(t *testing.T) {
	x := []float64{0, 1, 2, 3, 4, 5, 6}
	for why, y := range map[string][]float64{
		"The voltage does not change after the opening.": {20, 20, 20, 20, 20, 20, 20},
		"The voltage does not rise after the opening.":   {20, 20.1, 20.2, 20.3, 20.2, 20.1, 20},
	} {
		if _, got := fitRebound(x, y, 0, 0); got != why {
			t.Errorf("%v: %q, want %q", y, got, why)
		}
	}
	if _, got := fitRebound(x, []float64{20, 20, 20, 20, 20, 20, 20.5}, 0, 0); strings.Contains(got, "does not") {
		t.Errorf("a rise in the last sample: %q", got)
	}
	if _, got := fitRebound(x, []float64{20, 20.3, 20.4, 20.4, 20.3, 20.1, 20}, 0, 0); got != "The voltage does not rise after the opening." {
		t.Errorf("a rise that is gone with the last sample: %q", got)
	}
}

// Powers of ten in words.
func TestTenths(t *testing.T) {
	for power, want := range map[int]string{-3: "1/1000", -1: "1/10", 0: "1", 1: "10", 2: "100"} {
		if got := tenth(power); got != want {
			t.Errorf("10 to the power of %d is %q, want %q", power, got, want)
		}
	}
}

// A log that breaks off is an error of reading, also where only a part of it is wanted.
func TestPartOfABrokenReader(t *testing.T) {
	o, broken := NewOptions(), errors.New("the cable came out")
	o.Part = "discharge 1"
	if _, _, err := Measure(finding.NewStream("x.csv"), iotest.ErrReader(broken), o); !errors.Is(err, broken) {
		t.Errorf("the error is %v", err)
	}
}

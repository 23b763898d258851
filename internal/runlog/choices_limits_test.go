package runlog

import (
	"math"
	"testing"

	"voltwright/internal/quantity"
)

// Our own choices of figures, each of a pair just inside and just outside.

// A logger has a rhythm where the middle half of its intervals lies within 15 % of the middle one: of 10 s, within 1.5 s.
func TestHowSteadyARhythmIs(t *testing.T) {
	for long, want := range map[float64]passageKind{11.47: placedEdge, 11.53: openEdge} {
		w := newWalker(math.NaN(), func(*passage) {})
		w.rhythm, w.last = []float64{10, 10, 10, long}, 3
		p := passage{a: instant{t: 43, i: 5, stepAt: math.NaN()}, b: instant{t: 53, stepAt: math.NaN()}, kind: openEdge, at: 0.5, loose: 5}
		if w.place(&p); p.kind != want || want == placedEdge && p.at != 0 {
			t.Errorf("a quarter at %g s: %+v", long, p)
		}
	}
}

// Up to a two-hundredth of the greatest current is a rest, before the greatest and after it.
func TestHowMuchIsARest(t *testing.T) {
	for _, x := range []struct {
		amps []float64 // ten seconds each
		want string
	}{
		{[]float64{10, 0.0497}, "dr"}, {[]float64{10, 0.0503}, "d"}, {[]float64{10, -0.0497}, "dr"}, {[]float64{10, -0.0503}, "dc"},
		{[]float64{0.0497, 10}, "rd"}, {[]float64{0.0503, 10}, "d"}, {[]float64{-0.0497, 10}, "rd"}, {[]float64{-0.0503, 10}, "cd"},
	} {
		c := cutter{}
		for k, i := range x.amps {
			p := passage{a: instant{t: 10 * float64(k), v: 25, i: i}, b: instant{t: 10 * float64(k+1), v: 25, i: i}, kind: ramp}
			c.pass(&p)
		}
		if got := kindsOf(c.legs); got != x.want {
			t.Errorf("%v: %s, want %s", x.amps, got, x.want)
		}
	}
}

// A resolution that is none leaves the last digit without a part in the uncertainty; an accuracy in digits is not known then.
func TestResolutionsThatAreNone(t *testing.T) {
	for _, resolution := range []float64{0, -0.1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		for digits, known := range map[float64]bool{0: true, 2: false} {
			o := NewOptions()
			o.Instruments = []Instrument{{Channel: Current, Accuracy: quantity.Accuracy{Fraction: 0.01, Digits: digits}, Resolution: resolution}}
			if s := specOf(&o, Current); s.digit() != 0 || s.known != known {
				t.Errorf("%g and %v digits: %+v", resolution, digits, s)
			}
		}
	}
	o := NewOptions()
	o.Instruments = []Instrument{{Channel: Current, Accuracy: quantity.Accuracy{Digits: 2}, Resolution: 0.1}}
	if s := specOf(&o, Current); math.Abs(s.digit()-0.1/math.Sqrt(12)) > 1e-15 || !s.known { // a rectangle (JCGM 100:2008, 4.3.7)
		t.Errorf("%+v", s)
	}
	if s := specOf(&o, Voltage); s.known {
		t.Errorf("%+v", s)
	}
}

// Of as many rows of three fields as of four the four hold, each time anew.
func TestAsManyRowsOfEither(t *testing.T) {
	text := "0,25,5\n1,25,5\n2,25,5\n3,25,5,1\n4,25,5,1\n5,25,5,1\n"
	for range 64 { // in whatever order the counts are looked through
		if l := tryLayout(sniffed(text), ',', '.'); l.fields != 4 {
			t.Fatalf("%d fields", l.fields)
		}
	}
}

// The digits of both counters bound what they can tell: of two that show tenths, an integral that is off by two tenths is not off.
func TestDigitsOfBothCounters(t *testing.T) {
	for _, x := range []struct {
		counted float64
		outs    int // decimals
		ins     int
		want    string
	}{{10.195, 1, 1, ""}, {10.205, 1, 1, "w"}, {10.109, 1, 2, ""}, {10.112, 1, 2, "w"}, {10.109, 2, 1, ""}, {10.112, 2, 1, "w"}} {
		w, h := newChargeCounter(), heard()
		w.outs.has, w.ins.has = true, true
		w.outs.grain.decimals, w.ins.grain.decimals = x.outs, x.ins
		w.outs.moved[0].add(x.counted)
		w.outs.up.add(x.counted)
		f := &h.result.Charge
		f.Out.Value, f.In.Value, f.Out.U, f.In.U = 10, 0, 0, 0
		f.Sampling = FlowPair[quantity.AmpereHours]{}
		if got := levels(compareFlow(h, w, f, &h.meter.accounts.charge)); got != x.want {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

package runlog

import (
	"fmt"
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
		f.Out, f.In = quantity.Exact(quantity.AmpereHours(10)), quantity.Exact(quantity.AmpereHours(0))
		f.Sampling = FlowPair[quantity.AmpereHours]{}
		if got := levels(compareFlow(h, w, f, &h.meter.accounts.charge)); got != x.want {
			t.Errorf("%+v: %q", x, got)
		}
	}
}

// A time that is open by more than half a per cent, at k = 2, says why.
func TestWhyATimeIsWide(t *testing.T) {
	for _, x := range []struct {
		u, loose float64
		want     string
	}{{0.248, 0, ""}, {0.252, 0, "The interval is wide, as the times are known to 0.5 s."}, {0.252, 0.1, "The interval is wide, as rows share a stamp."}} {
		m, r := NewMeter(NewOptions()), newResult(EvidenceLog)
		m.grain, m.digit, m.loose[0] = decimalGrain{decimals: 1}, 0.5, x.loose
		r.Elapsed = quantity.Of(100, quantity.Seconds(x.u))
		if m.tellCauses(r); r.notes["elapsed-time"] != x.want {
			t.Errorf("± %g s: %q", x.u, r.notes["elapsed-time"])
		}
	}
}

// A fiftieth of a column's greatest value is nothing, of what goes in and of what comes out.
func TestHowMuchFlowsBothWays(t *testing.T) {
	for _, x := range []struct {
		in, out float64
		want    bool
	}{{0.0398, 5, false}, {0.0402, 5, true}, {2, 0.0995, false}, {2, 0.1005, true}} {
		a := columns([]float64{2, 0, x.in, 0, 2}, []float64{0, -5, x.out, -5, 0})
		if got := a.bothFlow(0, 1); got != x.want {
			t.Errorf("%g in and %g out: %t", x.in, x.out, got)
		}
	}
}

// An opening that is not stated is where the load goes off within a hundredth of its lowest voltage and three hundredths below the first; one that is
// stated, within a hundredth of it.
func TestWhereItOpensByItself(t *testing.T) {
	o := NewOptions()
	for _, x := range []struct {
		v, first float64
		want     bool
	}{{20.195, 25, true}, {20.205, 25, false}, {20, 20.61, false}, {20, 20.63, true}} {
		w := newCutoutWatch(&o, spec{})
		w.lowestLoaded, w.first = 20, x.first
		if got := w.atOpening(x.v); got != x.want {
			t.Errorf("%g V after %g V: %t", x.v, x.first, got)
		}
	}
	o.Cutout = &Cutout{Opens: quantity.Exact(quantity.Volts(20)), Threshold: quantity.Missing[quantity.Volts]()}
	for v, want := range map[float64]bool{20.195: true, 20.205: false} {
		if w := newCutoutWatch(&o, spec{}); w.atOpening(v) != want {
			t.Errorf("%g V beside what is stated: %t", v, !want)
		}
		w := newCutoutWatch(&o, spec{})
		w.follow(&instant{v: 20, i: 5})
		if w.follow(&instant{v: v, i: 5}); w.endsAtLowest != want {
			t.Errorf("it ends at %g V: %t", v, !want)
		}
	}
	// Loaded is what is a fifth of the greatest current and above; not off yet is what is more than a twentieth.
	for i, want := range map[float64][2]bool{1.95: {false, true}, 2.05: {true, true}, 0.51: {false, true}, 0.49: {false, false}} {
		w := newCutoutWatch(&o, spec{})
		w.follow(&instant{v: 25, i: 10})
		w.lowestLoaded = 99
		if w.follow(&instant{v: 24, i: i}); (w.lowestLoaded == 24) != want[0] || w.endsLoaded != want[1] {
			t.Errorf("%g A of 10 A: lowest %g V, on %t", i, w.lowestLoaded, w.endsLoaded)
		}
	}
}

// A time constant is told up to a standard uncertainty of half of it: of a rebound with more and more of a ripple on it, by the same fit.
func TestHowLooseATimeConstant(t *testing.T) {
	x := repeated(24, func(k int) float64 { return 2 * float64(k) })
	rippled := func(by float64) []float64 {
		return repeated(24, func(k int) float64 { return 25 - math.Exp(-x[k]/12) + by*float64(k*7%5-2) })
	}
	part := func(by float64) float64 {
		fit, err := curveFit(relaxation, []float64{25, 1, 12}, x, rippled(by))
		if err != nil {
			return math.Inf(1)
		}
		return fit.deviations[2] / fit.parameters[2]
	}
	at := func(want float64) float64 { // the ripple that leaves a part open
		low, high := 0.0, 1.0
		for range 60 {
			if mid := (low + high) / 2; part(mid) < want {
				low = mid
			} else {
				high = mid
			}
		}
		return low
	}
	for want, found := range map[float64]bool{0.485: true, 0.515: false} {
		by := at(want)
		if math.Abs(part(by)-want) > 0.005 {
			t.Fatalf("a ripple of %g leaves %g open", by, part(by))
		}
		if fit, why := fitRebound(x, rippled(by), 0, 0); (fit != nil) != found {
			t.Errorf("%g of it open: %+v, %q", want, fit, why)
		}
	}
}

// The weakest heads that are believed, each by itself: a duration for a time, a pas (French, a step) for a step.
func TestWeakestHeads(t *testing.T) {
	rows := ""
	for k := range 30 {
		rows += fmt.Sprintf("%d,25,5,%d\n", k, 1+k/10)
	}
	for head, want := range map[string]string{
		"duration,voltage (V),discharge current (A),x":    "time duration, voltage voltage (V), current discharge current (A)",
		"time (s),voltage (V),discharge current (A),pas":  "time time (s), voltage voltage (V), current discharge current (A), step pas",
		"time (s),voltage (V),discharge current (A),loop": "time time (s), voltage voltage (V), current discharge current (A)",
	} {
		if got := takenOf(t, head+"\n"+rows); got != want {
			t.Errorf("%s: %s, want %s", head, got, want)
		}
	}
}

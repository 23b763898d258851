package runlog

import (
	"cmp"
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"voltwright/internal/quantity"
)

// TestSumsAgainstBigFloats: a compensated sum is within an ulp or two of the exact one (Neumaier 1974), which 400 bits hold.
func TestSumsAgainstBigFloats(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	for range 50 {
		var s total
		exact := new(big.Float).SetPrec(400)
		for range 200 {
			x := (r.Float64() - 0.5) * math.Pow(10, float64(r.IntN(30)-15))
			s.add(x)
			exact.Add(exact, big.NewFloat(x))
		}
		want, _ := exact.Float64()
		if math.Abs(s.value()-want) > 4e-16*math.Abs(want) {
			t.Fatalf("%v, exactly %v", s.value(), want)
		}
	}
}

// TestOrderStatistics holds median, quantile and moments to sorting and to their definitions.
func TestOrderStatistics(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for n := range 40 {
		var values []float64
		var m moments
		var q quantiles
		var all []weighted
		for range n {
			x, w := r.NormFloat64()*5, r.Float64()+0.1
			values = append(values, x)
			m.add(x)
			q.add(x, w)
			all = append(all, weighted{math.Abs(x), w})
		}
		sorted := slices.Sorted(slices.Values(values))
		mean, square := 0.0, 0.0
		for _, x := range values {
			mean += x / float64(n)
		}
		for _, x := range values {
			square += (x - mean) * (x - mean)
		}
		if n == 0 {
			if !math.IsNaN(median(values)) || !math.IsNaN(m.average()) || !math.IsNaN(q.exceededBy(0)) {
				t.Error("nothing has a middle")
			}
			continue
		}
		near(t, "median", median(values), (sorted[(n-1)/2]+sorted[n/2])/2, 1e-12)
		near(t, "mean", m.average(), mean, 1e-12)
		if n > 1 {
			near(t, "sd", m.sd(), math.Sqrt(square/float64(n-1)), 1e-12)
		} else if !math.IsNaN(m.sd()) || !math.IsNaN(studentHalfWidth(1, 1, 0.95)) {
			t.Error("one value has no spread")
		}
		slices.SortFunc(all, func(a, b weighted) int { return cmp.Compare(b.value, a.value) })
		weight := q.weight * r.Float64()
		sum, want := 0.0, all[n-1].value
		for _, w := range all {
			if sum += w.weight; sum > weight {
				want = w.value
				break
			}
		}
		near(t, "exceeded", q.exceededBy(weight), want, 0)
		near(t, "peak", q.peak, all[0].value, 0)
	}
	// t₀.₉₇₅ with 3 degrees of freedom is 3.182446 (JCGM 100:2008, table G.2: 3.18).
	near(t, "half width of four", studentHalfWidth(2, 4, 0.95), 3.182446305, 1e-6)
	var q quantiles
	for _, w := range []float64{0, -1, math.NaN()} {
		q.add(5, w)
	}
	q.add(math.NaN(), 1)
	if q.weight != 0 || q.peak != 0 {
		t.Errorf("%+v", q)
	}
	// In bins of one per cent from 4097 values on: within half a per cent of the value, at every size.
	for _, scale := range []float64{0.001, 1, 1e6} {
		var q quantiles
		var values []float64
		for k := range 6000 {
			x := scale * (1 + float64(k)/1000)
			q.add(x, 1)
			values = append(values, x)
		}
		for _, part := range []float64{0.01, 0.05, 0.5, 0.95} {
			want := values[len(values)-1-int(part*6000)]
			near(t, "in bins", q.exceededBy(part*6000)/want, 1, 0.0052)
		}
	}
	for x, want := range map[float64]int{0: 0, 1e-4: 0, 1.0001e-4: 1, 1.005e-4: 1, 1.011e-4: 2, 1e30: quantileBins - 1} {
		if got := quantileBin(x); got != want {
			t.Errorf("%v in bin %d, want %d", x, got, want)
		}
	}
}

// TestSplitIsTheArea: the area of the positive and of the negative part of a straight line, against a sum over small steps.
func TestSplitIsTheArea(t *testing.T) {
	for _, x := range [][3]float64{{2, 4, 3}, {-2, -4, 3}, {3, -1, 8}, {-3, 1, 8}, {0, 5, 2}, {5, 0, 2}, {0, -5, 2}, {0, 0, 1}, {1, 1, 0}} {
		out, in := split(x[0], x[1], x[2])
		var o, i float64
		const n = 100000
		for k := range n {
			y := x[0] + (x[1]-x[0])*(float64(k)+0.5)/n
			o += max(y, 0) * x[2] / n
			i += max(-y, 0) * x[2] / n
		}
		near(t, "out", out, o, 1e-8)
		near(t, "in", in, i, 1e-8)
	}
}

// TestCountersOfASquare: a current of 10 A for an hour, then −4 A for half an hour, sampled once a minute, with the edge where the log
// leaves it: by hand, 10 A·h less or more what the open minute holds.
func TestCountersOfASquare(t *testing.T) {
	var samples []Sample
	for k := range 91 {
		i, v := 10.0, 25.0
		if k > 60 {
			i, v = -4, 27
		}
		samples = append(samples, vi(float64(60*k), v, i))
	}
	r := meter(samples, perfect())
	minute := 1. / 60
	near(t, "out", float64(r.Charge.Out.Value), 10+5*minute, 1e-12)
	near(t, "in", float64(r.Charge.In.Value), 4*(29.5*minute), 1e-12)
	near(t, "earlier", float64(r.Charge.Earlier.Out), 10, 1e-12)
	near(t, "later", float64(r.Charge.Later.Out), 10+10*minute, 1e-12)
	near(t, "earlier in", float64(r.Charge.Earlier.In), 4*30*minute, 1e-12)
	near(t, "later in", float64(r.Charge.Later.In), 4*29*minute, 1e-12)
	cross := 10. / 14
	near(t, "trapezium", float64(r.Charge.Trapezoid.Out), 10+10*cross/2*minute, 1e-12)
	near(t, "trapezium in", float64(r.Charge.Trapezoid.In), 4*29*minute+4*(1-cross)/2*minute, 1e-12)
	// The edge is anywhere in its minute: rectangular, half-width ½ min·10 A (JCGM 100:2008, 4.3.7).
	near(t, "sampling", float64(r.Charge.Sampling.Out), 10*0.5*minute/math.Sqrt(3), 1e-12)
	near(t, "sampling in", float64(r.Charge.Sampling.In), 4*0.5*minute/math.Sqrt(3), 1e-12)
	if r.Charge.Edges != 1 || r.Charge.OpenEdges != 1 {
		t.Errorf("%d edges, %d open", r.Charge.Edges, r.Charge.OpenEdges)
	}
	near(t, "energy", float64(r.Energy.Out.Value), 250+125*minute, 1e-9)
	near(t, "energy in", float64(r.Energy.In.Value), 108*29.5*minute, 1e-9)
	near(t, "elapsed", float64(r.Elapsed.Value), 5400, 0)
	// An instrument of ±1 % (rectangular) errs alike all the way, and digits of 0.1 A once an interval.
	o := NewOptions()
	o.Instruments = []Instrument{{Channel: Current, Accuracy: quantity.Accuracy{Fraction: 0.01}, Resolution: 0.1}, {Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.02}}}
	r = meter(samples, o)
	shared := (10 + 3*minute) * 0.01 / math.Sqrt(3) // of the mean of the two ends, 3 A over the open minute
	digits := 0.1 / math.Sqrt(12) * minute * math.Sqrt(61)
	sampling := 10 * 0.5 * minute / math.Sqrt(3)
	near(t, "u of out", float64(r.Charge.Out.U), math.Sqrt(shared*shared+digits*digits+sampling*sampling), 1e-9)
	volts := 25.0
	fromI, fromV := volts*shared, (250+78*minute)*0.02/math.Sqrt(3)
	if got := float64(r.Energy.Out.U); got < math.Hypot(fromI, fromV) || got > 1.05*math.Hypot(math.Hypot(fromI, fromV), 25*sampling) {
		t.Errorf("u of the energy: %v, by hand some %v", got, math.Hypot(math.Hypot(fromI, fromV), 25*sampling))
	}
}

// walked is what the walker makes of currents at times.
func walked(times, amps []float64, limit float64) []passage {
	var out []passage
	w := newWalker(limit, func(p *passage) { out = append(out, *p) })
	for k := range times {
		w.add(instant{t: times[k], i: amps[k], v: 25})
	}
	w.finish()
	return out
}

// TestWhatIsAGap: the documented bounds, each on both sides: a stated gap is what is longer than it; by default more than twenty times the
// median and more than 60 s, in a log of at least four intervals, the first eleven judged together, and only where there is load on either side (2 % of the greatest).
func TestWhatIsAGap(t *testing.T) {
	run := func(every, long, before, after, limit float64, n int) passage {
		var times, amps []float64
		for k := range n {
			times, amps = append(times, float64(k)*every), append(amps, 10)
		}
		amps[n-1] = before
		amps = append(amps, after)
		times = append(times, times[n-1]+long)
		all := walked(times, amps, limit)
		return all[len(all)-1]
	}
	nan := math.NaN()
	for _, x := range []struct {
		every, long, before, after, limit float64
		n                                 int
		gap, blind                        bool
	}{
		{1, 61, 10, 10, nan, 30, true, false}, {1, 59, 10, 10, nan, 30, false, false}, {5, 106, 10, 10, nan, 30, true, false}, {5, 98, 10, 10, nan, 30, false, false}, {1, 61, 10, 10, nan, 11, true, false}, {1, 61, 10, 10, nan, 10, true, false}, {1, 61, 10, 10, nan, 4, true, false}, {1, 61, 10, 10, nan, 3, false, false},
		{1, 61, 0.21, 0.21, nan, 30, true, false}, {1, 61, 0.19, 0.19, nan, 30, false, true}, {1, 61, 0, 0.21, nan, 30, true, false}, {1, 61, -0.3, 0, nan, 30, true, false},
		{1, 4.01, 10, 10, 4, 3, true, false}, {1, 4, 10, 10, 4, 3, false, false},
	} {
		p := run(x.every, x.long, x.before, x.after, x.limit, x.n)
		if (p.kind == gap) != x.gap || p.blind != x.blind {
			t.Errorf("%+v: %v, blind %v", x, p.kind, p.blind)
		}
	}
}

// TestWhatIsAnEdge: a step of a tenth of the greatest, with neighbours that change by a quarter of it at the most, each bound on both sides; placed
// where one interval falls out of a steady rhythm.
func TestWhatIsAnEdge(t *testing.T) {
	for _, x := range []struct {
		amps []float64
		edge bool
	}{
		{[]float64{10, 10, 9, 9}, true}, {[]float64{10, 10, 9.01, 9.01}, false}, {[]float64{10, 10, 11.12, 11.12}, true}, {[]float64{0, 0, 10, 10}, true}, {[]float64{0, 2.4, 12, 12}, true}, {[]float64{0, 2.5, 12, 12}, false},
		{[]float64{0, 0, 10, 12.4}, true}, {[]float64{0, 0, 10, 12.6}, false}, {[]float64{10, 10, 10, 10}, false}, {[]float64{5, 5, -5, -5}, true},
	} {
		p := walked([]float64{0, 1, 2, 3}, x.amps, math.NaN())[1]
		if (p.kind == openEdge) != x.edge || x.edge && (p.loose != 0.5 || p.at != 0.5) {
			t.Errorf("%v: %+v", x.amps, p)
		}
	}
	// A logger that writes a row at once when something happens, on top of one every ten seconds: the row out of rhythm is beside the edge.
	for _, x := range []struct {
		times []float64
		kind  passageKind
		at    float64
		loose float64
	}{
		{[]float64{0, 10, 20, 30, 40, 43, 53, 63}, placedEdge, 0, 0.5}, // the interval before the edge is short: it came at its beginning
		{[]float64{0, 10, 20, 30, 40, 50, 57.9, 67.9}, placedEdge, 1, 0.395}, {[]float64{0, 10, 20, 30, 40, 50, 58.1, 68.1}, openEdge, 0.5, 4.05}, {[]float64{0, 10, 20, 30, 40, 50, 60, 70}, openEdge, 0.5, 5},
		{[]float64{0, 10, 24, 33, 47, 57, 60, 70}, openEdge, 0.5, 1.5}, {[]float64{40, 40, 40, 30, 40, 43, 53, 63}, openEdge, 0.5, 5},
	} {
		amps := []float64{5, 5, 5, 5, 5, 5, 0, 0}
		p := walked(x.times, amps, math.NaN())[5]
		if p.kind != x.kind || p.at != x.at || math.Abs(p.loose-x.loose) > 1e-9 {
			t.Errorf("%v: kind %d at %v ± %v", x.times, p.kind, p.at, p.loose)
		}
	}
}

// TestStopsAtTheRule: a stop as long as the rule is none that is taken out, one that is longer is; a second's flicker is nothing.
func TestStopsAtTheRule(t *testing.T) {
	for _, x := range []struct {
		stop  float64
		count int
		out   bool
	}{{10, 1, false}, {10.1, 1, true}, {1, 0, false}, {1.1, 1, false}, {9.9, 1, false}} {
		w := newStopWatch(1, 10)
		w.begin(0, 5)
		w.pass(100, 0.3, 0.9)
		w.pass(100+x.stop, 0.4, 5)
		w.pass(500, 0, 5)
		w.finish(600)
		if w.count != x.count || (w.takenOut.value() > 0) != x.out {
			t.Errorf("a stop of %v s: %d counted, %v s taken out", x.stop, w.count, w.takenOut.value())
		}
		if x.count == 1 {
			near(t, "stood", w.stood.value(), x.stop, 1e-9)
			near(t, "variance of the ends", w.looseAll.value(), (0.3*0.3+0.4*0.4)/3, 1e-12)
			near(t, "since", float64(w.stops[0].Start), 100, 0)
			if x.out {
				near(t, "taken out", w.takenOut.value(), x.stop, 1e-9)
				near(t, "variance of what is taken out", w.loose.value(), (0.3*0.3+0.4*0.4)/3, 1e-12)
			}
		}
	}
	// At the end of the log a stop that goes on counts until then; it begins at the first sample where that stands.
	w := newStopWatch(1, 10)
	w.begin(0, 0.5)
	w.pass(30, 0, 5)
	w.pass(80, 0, 0)
	w.finish(95)
	if w.count != 2 || w.takenOut.value() != 45 || w.stops[1].Start != 80 || w.stops[1].Length != 15 {
		t.Errorf("%+v", w.stops)
	}
	for x, below := range map[float64]bool{1: false, 0.99: true, -0.99: true, -1: false} {
		if w.below(x) != below {
			t.Errorf("%v stands: %v", x, !below)
		}
	}
	// The rung of idle current: the greatest that is at most a twentieth of the usual current; speed goes before current.
	for usual, want := range map[float64]float64{10: 0.5, 9.9: 0.2, 0.1: 0.01, 20: 1, 5000: 100} {
		o := NewOptions()
		if got := newStopRule(&o).choose(1, usual, true).threshold; got != want {
			t.Errorf("of %v A usual, %v A is idle, want %v A", usual, got, want)
		}
	}
	o := NewOptions()
	o.Idle = 3
	r := newStopRule(&o)
	if r.choose(1, 10, true).threshold != 3 || r.choose(1, 10, false) != nil {
		t.Error("a stated idle current")
	}
	r.speed(0, 1, 0)
	if r.choose(1, 10, true) == r.bySpeed {
		t.Error("one speed tells no stop")
	}
	r.speed(1, 0.04, 0)
	if r.choose(1, 10, true) != r.bySpeed || r.bySpeed.threshold != 0.05 {
		t.Error("speed goes before current")
	}
}

// TestResetMarginAtItsBound: 0.2 V, or the expanded uncertainty where that is more (common practice, no source), on both sides.
func TestResetMarginAtItsBound(t *testing.T) {
	volts := func(v, u float64) quantity.Measured[quantity.Volts] {
		return quantity.Of(quantity.Volts(v), quantity.Volts(u))
	}
	for _, x := range []struct {
		reset, rebound, u, margin, needed float64
		ok                                bool
	}{{25, 24.8, 0, 0.2, 0.2, true}, {25, 24.81, 0, 0.19, 0.2, false}, {25, 24.6, 0.2, 0.4, 0.4, true}, {25, 24.61, 0.2, 0.39, 0.4, false}, {25, 24.7, 0.09, 0.3, 0.2, true}, {24, 25, 0, -1, 0.2, false}} {
		m := NewResetMargin(volts(x.reset, 0), volts(x.rebound, x.u))
		near(t, "margin", float64(m.Margin.Value), x.margin, 1e-9)
		near(t, "needed", float64(m.Needed), x.needed, 1e-9)
		if m.OK != x.ok {
			t.Errorf("%+v: %+v", x, m)
		}
	}
	if m := NewResetMargin(quantity.Missing[quantity.Volts](), volts(24, 0)); m.OK || m.Margin.Known() || m.Needed != 0.2 {
		t.Errorf("%+v", m)
	}
}

// TestReboundFound: an exponential without noise gives its own three numbers back; one that was not watched, or does not rise, gives none.
func TestReboundFound(t *testing.T) {
	points := func(n int, step, a, b, tau float64) (x, y []float64) {
		for k := range n {
			x = append(x, float64(k)*step)
			y = append(y, a-b*math.Exp(-float64(k)*step/tau))
		}
		return x, y
	}
	x, y := points(200, 3, 25.4, 1.3, 90)
	fit, why := fitRebound(x, y, 17, 0.01)
	if fit == nil {
		t.Fatal(why)
	}
	near(t, "asymptote", float64(fit.Asymptote.Value), 25.4, 1e-9)
	near(t, "amplitude", float64(fit.Amplitude.Value), 1.3, 1e-9)
	near(t, "time constant", float64(fit.TimeConstant.Value), 90, 1e-6)
	near(t, "u of the asymptote is the meter's", float64(fit.Asymptote.U), 0.01, 1e-9)
	near(t, "r²", fit.R2, 1, 1e-12)
	near(t, "on the curve", float64(fit.At(90)), 25.4-1.3/math.E, 1e-9)
	if fit.Start != 17 || fit.Points != 200 {
		t.Errorf("%+v", fit)
	}
	for name, c := range map[string]struct {
		n              int
		step, b, tau   float64
		found, reverse bool
	}{
		"six points": {6, 20, 1, 30, true, false}, "five points": {5, 20, 1, 30, false, false}, "falling": {50, 3, -1, 30, false, false}, "flat": {50, 3, 0, 30, false, false},
		"watched for half its time constant": {100, 1, 1, 200, true, false}, "watched for a quarter of it": {100, 1, 1, 400, false, false},
	} {
		x, y := points(c.n, c.step, 25, c.b, c.tau)
		if fit, why := fitRebound(x, y, 0, 0); (fit != nil) != c.found || (why == "") != c.found {
			t.Errorf("%s: %+v, %q", name, fit, why)
		}
	}
}

// TestKeptOfMany holds what is kept of long traces to all of them: the last so many, the ends, and each extreme.
func TestKeptOfMany(t *testing.T) {
	for _, n := range []int{0, 1, 5, 6, 17} {
		r := newRecent[int](6)
		for k := range n {
			r.add(k)
		}
		all := r.all()
		if len(all) != min(n, 6) {
			t.Fatalf("%d of %d are kept", len(all), n)
		}
		for k, x := range all {
			if x != n-len(all)+k {
				t.Errorf("of %d: %v", n, all)
			}
			if back, ok := r.back(len(all) - 1 - k); !ok || back != x {
				t.Errorf("of %d: %d back is %d", n, len(all)-1-k, back)
			}
		}
		if _, ok := r.back(len(all)); ok {
			t.Errorf("of %d there is one more", n)
		}
	}
	random := rand.New(rand.NewPCG(3, 3))
	for _, n := range []int{10, MaxTracePoints, MaxTracePoints + 1, 9 * MaxTracePoints} {
		var h thinner
		var first, last, low, high float64
		for k := range n {
			y := random.NormFloat64()
			if k == 0 {
				first, low, high = y, y, y
			}
			last, low, high = y, min(low, y), max(high, y)
			h.add(float64(k), y)
		}
		c := h.trace(Voltage)
		if len(c.T) > MaxTracePoints || c.Y[0] != first || c.Y[len(c.Y)-1] != last || slices.Min(c.Y) != low || slices.Max(c.Y) != high || !slices.IsSorted(c.T) || c.Channel != Voltage {
			t.Errorf("of %d points %d are kept: %v to %v of %v to %v", n, len(c.T), slices.Min(c.Y), slices.Max(c.Y), low, high)
		}
		if n <= MaxTracePoints && len(c.T) != n {
			t.Errorf("of %d points %d are kept", n, len(c.T))
		}
		if n > MaxTracePoints && len(c.T) < MaxTracePoints/4 {
			t.Errorf("of %d points only %d are kept", n, len(c.T))
		}
		var d decimator
		for k := range n {
			d.add(float64(k), float64(2*k))
		}
		if len(d.x) > fitPoints || d.x[0] != 0 || n > fitPoints && len(d.x) < fitPoints/2 {
			t.Errorf("of %d points %d are kept", n, len(d.x))
		}
		for k := range d.x {
			if d.x[k] != float64(k*d.every) || d.y[k] != 2*d.x[k] {
				t.Fatalf("of %d points: %v at %d, every %d", n, d.x[k], k, d.every)
			}
		}
	}
	for x, want := range map[float64]bool{1e12: true, -1e12: true, 1.1e12: false, math.NaN(): false, math.Inf(1): false} {
		if usable(x) != want {
			t.Errorf("%v is usable", x)
		}
	}
}

// TestReducedRunsKeepWhatFlowed: however a run is reduced, its charge is that of the samples (conservation), it ends when it ended, and a
// step of the current is where it was.
func TestReducedRunsKeepWhatFlowed(t *testing.T) {
	random := rand.New(rand.NewPCG(4, 4))
	var samples []Sample
	amps, volts := 5.0, 26.0
	for k := range 6000 {
		if random.IntN(40) == 0 {
			amps = 10 * random.Float64()
		}
		volts -= 0.0005
		samples = append(samples, vi(float64(k), volts-0.1*amps, amps+0.01*random.NormFloat64()))
	}
	r := meter(samples, perfect())
	for _, rows := range []int{1 << 20, 1000, 100, 8, 1} {
		s := r.Series.Reduced(rows)
		if len(s.Time) > max(rows, 8) || s.Time[len(s.Time)-1] != 5999 || !slices.IsSorted(s.Time) {
			t.Errorf("reduced to %d: %d rows until %v", rows, len(s.Time), s.Time[len(s.Time)-1])
		}
		charge, from := 0.0, s.Start
		for k := range s.Time {
			charge += s.Current[k] * (s.Time[k] - from) / 3600
			from = s.Time[k]
		}
		near(t, "charge", charge, float64(r.Charge.Out.Value-r.Charge.In.Value), 1e-9*charge)
	}
	if (*Series)(nil).Reduced(5) != nil {
		t.Error("nothing is reduced to something")
	}
	c := Trace{T: []float64{0, 10, 20}, Y: []float64{1, 3, 2}}
	for x, want := range map[float64]float64{-5: 1, 0: 1, 5: 2, 10: 3, 15: 2.5, 20: 2, 30: 2} {
		if got, _ := c.between(x, 0); got != want {
			t.Errorf("at %v: %v, want %v", x, got, want)
		}
	}
}

// TestResistanceOfAStep: some 24 V behind 0.1 Ω, from rest to 20 A and back: the fall over the step is 0.1 Ω, by Ohm's law; which steps tell it and
// which do not, at their bounds: within 1 s to 10 s, with a tenth of the step of drift at the most, and three digits of fall.
func TestResistanceOfAStep(t *testing.T) {
	log := func(every, drift, ohms, digit float64, rows int) []Sample {
		var samples []Sample
		for k := range 5 + rows {
			amps := 0.0
			if k >= 5 {
				amps = 20 + drift*float64(k-5)
			}
			v := math.Round((24.1234-ohms*amps)/digit) * digit
			samples = append(samples, vi(float64(k)*every, v, amps))
		}
		return samples
	}
	for _, x := range []struct {
		every, drift, ohms, digit float64
		rows, steps               int
	}{
		{1, 0, 0.1, 0.001, 9, 1}, {4.9, 0, 0.1, 0.001, 9, 1}, {5.1, 0, 0.1, 0.001, 9, 0}, {0.2, 0, 0.1, 0.001, 5, 1}, {0.2, 0, 0.1, 0.001, 4, 0}, {1, 0.1, 0.1, 0.001, 9, 1}, {1, 3, 0.1, 0.001, 9, 0}, {1, 0, 0.015, 0.1, 9, 1}, {1, 0, 0.01, 0.1, 9, 0}, {1, 0, -0.1, 0.001, 9, 0},
	} {
		r := meter(log(x.every, x.drift, x.ohms, x.digit, x.rows), perfect())
		if r.Resistance.Steps != x.steps {
			t.Errorf("%+v: %d steps, %d refused", x, r.Resistance.Steps, r.Resistance.Refused)
		}
		if x.steps == 1 {
			near(t, "resistance", float64(r.Resistance.Measured.Value), x.ohms, x.digit/20+1e-9)
		}
	}
	var all []Sample
	for k := range 40 {
		amps := 0.0
		if k%20 >= 10 {
			amps = 20
		}
		all = append(all, vi(float64(k), 24.123-0.1*amps, amps))
	}
	r := meter(all, perfect())
	if r.Resistance.Steps != 2 || r.Resistance.Kind != "rise of the load" || math.Abs(float64(r.Sag.Value)-2) > 1e-9 {
		t.Errorf("%+v, sag %v", r.Resistance, r.Sag.Value)
	}
	near(t, "settled", float64(r.Resistance.Settle), 10, 1e-9)
}

// TestReadingsByHand: 10 A for an hour between two readings: 10 A·h and 245 W·h, ± a tenth of it (rectangular); each voltage as it was read.
func TestReadingsByHand(t *testing.T) {
	reading := func(at, v, i, c, way, speed float64) Reading {
		x := NewReading(quantity.Seconds(at))
		x.Voltage, x.Current, x.Temperature, x.Distance, x.Speed = quantity.Volts(v), quantity.Amperes(i), quantity.Celsius(c), quantity.Metres(way), quantity.MetresPerSecond(speed)
		return x
	}
	nan := math.NaN()
	r, found := FromReadings([]Reading{reading(0, 25, 10, 18, 100, 1.5), reading(3600, 24, 10, 27, 5100, 1.2)}, perfect())
	if len(found) > 0 {
		t.Fatal(found)
	}
	near(t, "charge", float64(r.Charge.Out.Value), 10, 1e-12)
	near(t, "u of it", float64(r.Charge.Out.U), 0.1*10/math.Sqrt(3), 1e-9)
	near(t, "energy", float64(r.Energy.Out.Value), 245, 1e-9)
	near(t, "u of the energy", float64(r.Energy.Out.U), 0.1*245/math.Sqrt(3), 1e-9)
	near(t, "mean current", float64(r.MeanCurrent.Value), 10, 1e-12)
	near(t, "mean voltage", float64(r.MeanVoltage.Value), 24.5, 1e-9)
	near(t, "elapsed", float64(r.Elapsed.Value), 3600, 0)
	near(t, "u of elapsed", float64(r.Elapsed.U), 2*math.Sqrt(2./3), 1e-12)
	near(t, "distance", float64(r.Distance.Value), 5000, 0)
	near(t, "speed", float64(r.MeanSpeed.Value), 5000./3600, 1e-12)
	near(t, "top", float64(r.TopSpeed.Value), 1.5, 0)
	near(t, "rise", float64(r.TemperatureRise.Value), 9, 1e-12)
	near(t, "start", float64(r.StartVoltage.Value), 25, 0)
	near(t, "end", float64(r.EndVoltage.Value), 24, 0)
	near(t, "lowest", float64(r.LowestVoltage.Value), 24, 0)
	near(t, "greatest", float64(r.PeakCurrent.Value), 10, 0)
	// From 4 A to 8 A: 6 A·h, ± half the change and a tenth of the mean.
	r, _ = FromReadings([]Reading{reading(0, 25, 4, nan, nan, nan), reading(3600, 25, 8, nan, nan, nan)}, perfect())
	near(t, "charge", float64(r.Charge.Out.Value), 6, 1e-12)
	near(t, "u of it", float64(r.Charge.Out.U), (4+0.1*12)/2/math.Sqrt(3), 1e-9)
	// A charge is what goes in.
	r, _ = FromReadings([]Reading{reading(0, 26, -3, nan, nan, nan), reading(7200, 28, -3, nan, nan, nan)}, perfect())
	near(t, "in", float64(r.Charge.In.Value), 6, 1e-12)
	near(t, "energy in", float64(r.Energy.In.Value), 162, 1e-9)
	near(t, "weighted by what went in", float64(r.MeanVoltage.Value), 27, 1e-9)
	near(t, "net", float64(r.MeanCurrent.Value), -3, 1e-12)
	near(t, "of a magnitude", float64(r.PeakCurrent.Value), -3, 0)
	// Sag: from rest to load within ten seconds, the greatest.
	r, _ = FromReadings([]Reading{reading(0, 25, 0, nan, nan, nan), reading(10, 24, 5, nan, nan, nan), reading(20, 25, 0, nan, nan, nan), reading(30, 23.5, 8, nan, nan, nan), reading(40, 25, 0, nan, nan, nan), reading(51, 20, 8, nan, nan, nan)}, perfect())
	near(t, "sag", float64(r.Sag.Value), 1.5, 1e-12)
	for x, want := range map[float64]float64{-1: 5, 0: 5, 2: 6, 4: 7, 6: 5, 8: 3, 9: 3} {
		if got := interpolate([]float64{0, 4, 8}, []float64{5, 7, 3}, x); got != want {
			t.Errorf("at %v: %v", x, got)
		}
	}
}

// TestLapsByHand: four laps of 100 m in 60 s, with a stop of 10 s and one of 20 s in the second: by hand.
func TestLapsByHand(t *testing.T) {
	w := NewStopwatch()
	w.Lap = quantity.Of[quantity.Metres](100, 0.5)
	w.Resolution = 0.1
	w.Laps = []quantity.Seconds{60, 60, 60, 60}
	w.Stops = []LapStop{{Lap: 2, Lasted: 10}, {Lap: 2, Lasted: 20}, {Lap: 4, Lasted: 60}}
	o := perfect()
	o.PauseAfter = 10
	r, found := FromStopwatch(w, o)
	if len(found) > 0 || r.StopCount != 3 {
		t.Fatal(found)
	}
	press, digit := 0.3/math.Sqrt(3), 0.1/math.Sqrt(12)
	near(t, "elapsed", float64(r.Elapsed.Value), 240, 0)
	near(t, "u", float64(r.Elapsed.U), math.Sqrt(2*press*press+digit*digit), 1e-12)
	near(t, "stopped", float64(r.Stopped.Value), 90, 1e-12)
	near(t, "u of that", float64(r.Stopped.U), math.Sqrt(6*press*press+3*digit*digit), 1e-12)
	near(t, "running", float64(r.Running.Value), 160, 1e-12)
	near(t, "u of that", float64(r.Running.U), math.Sqrt(6*press*press+3*digit*digit), 1e-12)
	near(t, "distance", float64(r.Distance.Value), 400, 0)
	near(t, "u of that", float64(r.Distance.U), 2, 1e-12)
	near(t, "speed", float64(r.MeanSpeed.Value), 2.5, 1e-12)
	if r.Stops[0].TakenOut || !r.Stops[1].TakenOut || r.Stops[2].Start != 180 || r.Stops[0].Start != 60 {
		t.Errorf("%+v", r.Stops)
	}
	for _, bad := range []LapStop{{Lap: 0, Lasted: 5}, {Lap: 5, Lasted: 5}, {Lap: 1, Lasted: 0}, {Lap: 1, Lasted: 61}, {Lap: 2, Lasted: 31}} {
		w.Stops = []LapStop{{Lap: 2, Lasted: 30}, bad}
		if r, found := FromStopwatch(w, o); len(found) != 1 || r.StopCount != 1 || r.Skipped != 1 {
			t.Errorf("%+v: %v", bad, found)
		}
	}
}

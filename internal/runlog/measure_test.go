package runlog

import (
	"math"
	"math/rand/v2"
	"testing"

	"voltwright/internal/quantity"
)

// row makes a sample of which only these values are known.
func row(t float64, values map[Channel]float64) Sample {
	s := Sample{Time: t}
	for c := range s.Values {
		s.Values[c] = math.NaN()
	}
	s.Values[Time] = t
	for c, v := range values {
		s.Values[c] = v
	}
	return s
}

// vi is a row of voltage and current.
func vi(t, v, i float64) Sample { return row(t, map[Channel]float64{Voltage: v, Current: i}) }

// meter measures samples.
func meter(samples []Sample, o Options) *Result {
	m := NewMeter(o)
	for _, s := range samples {
		m.Add(s)
	}
	r, _ := m.Result()
	return r
}

// perfect states instruments without any error, so that what is left of an uncertainty comes from the samples.
func perfect() Options {
	o := NewOptions()
	for _, c := range []Channel{Voltage, Current, Temperature, Speed, Distance, Time} {
		o.Instruments = append(o.Instruments, Instrument{Channel: c})
	}
	return o
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s = %.10g, want %.10g ± %g", what, got, want, within)
	}
}

// jittered gives n rising times from 0 to the end, unevenly spaced.
func jittered(n int, end float64, seed uint64) []float64 {
	random := rand.New(rand.NewPCG(seed, 7))
	t := make([]float64, n)
	for k := range t {
		t[k] = end * float64(k) / float64(n-1)
		if k > 0 && k < n-1 {
			t[k] += (random.Float64() - 0.5) * 0.8 * end / float64(n-1)
		}
	}
	return t
}

// The oracles are the integrals of the functions, in closed form.
func TestClosedForms(t *testing.T) {
	const end = 3600.0
	for _, c := range []struct {
		name            string
		i, v            func(t float64) float64
		out, in, wh     float64 // wh is out less in
		within          float64 // relative, of the greatest
		seed            uint64
		samples         int
		mean, p95, peak float64
	}{
		{"constant", func(float64) float64 { return 5 }, func(float64) float64 { return 24 },
			5, 0, 120, 1e-12, 1, 500, 5, 5, 5},
		{"ramp", func(x float64) float64 { return 10 * x / end }, func(float64) float64 { return 24 },
			5, 0, 120, 1e-12, 2, 500, 5, 9.5, 10},
		{"ramp through zero", func(x float64) float64 { return 4 - 8*x/end }, func(float64) float64 { return 20 },
			1, 1, 0, 1e-12, 3, 701, 0, 3.8, 4},
		{"ramp of both", func(x float64) float64 { return 2 + 4*x/end }, func(x float64) float64 { return 25 - 3*x/end },
			4, 0, 25*4 - 3*(1+4.0/3), 2e-6, 4, 2000, 4, 5.8, 6},
		{"exponential", func(x float64) float64 { return 8 * math.Exp(-x/900) }, func(float64) float64 { return 12 },
			8 * 900 * (1 - math.Exp(-4)) / 3600, 0, 12 * 8 * 900 * (1 - math.Exp(-4)) / 3600, 2e-6, 5, 2000,
			2 * (1 - math.Exp(-4)), 8 * math.Exp(-0.2), 8},
	} {
		t.Run(c.name, func(t *testing.T) {
			var samples []Sample
			for _, x := range jittered(c.samples, end, c.seed) {
				samples = append(samples, vi(x, c.v(x), c.i(x)))
			}
			o := perfect()
			o.Part = "discharge 1 to charge 1" // of what goes through zero; the whole of the others
			r := meter(samples, o)
			scale := math.Max(c.out, c.in)
			near(t, "charge out", float64(r.Charge.Out.Value), c.out, c.within*scale)
			near(t, "charge in", float64(r.Charge.In.Value), c.in, c.within*scale)
			near(t, "energy", float64(r.Energy.Net()), c.wh, c.within*25*scale)
			near(t, "mean current", float64(r.MeanCurrent.Value), c.mean, c.within*10)
			near(t, "current exceeded 5 % of the time", float64(r.P95Current.Value), c.p95, 0.01*c.peak)
			near(t, "peak current", float64(r.PeakCurrent.Value), c.peak, 1e-12)
			if err := math.Abs(float64(r.Charge.Out.Value) - c.out); err > 2*float64(r.Charge.Out.U)+1e-12 {
				t.Errorf("charge is off by %g, more than its expanded uncertainty %g", err, 2*r.Charge.Out.U)
			}
		})
	}
}

// An accuracy is an error that all samples share: it does not average out. The oracle is the closed form.
func TestSharedErrorDoesNotAverageOut(t *testing.T) {
	const n, i, v = 3601, 5.0, 24.0
	var samples []Sample
	for k := range n {
		samples = append(samples, vi(float64(k), v, i))
	}
	o := NewOptions()
	o.Instruments = []Instrument{
		{Channel: Current, Accuracy: quantity.Accuracy{Fraction: 0.01, Digits: 2}, Resolution: 0.01},
		{Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.005}, Resolution: 0.1},
	}
	r := meter(samples, o)
	sharedI := (0.01*i + 2*0.01) / math.Sqrt(3)
	lastDigit := 0.01 / math.Sqrt(12) / math.Sqrt(n-1) // over an hour, in Ah
	near(t, "u of the charge", float64(r.Charge.Out.U), math.Hypot(sharedI, lastDigit), 1e-9)
	sharedV := 0.005 * v / math.Sqrt(3)
	digit := math.Hypot(v*0.01, i*0.1) / math.Sqrt(12) / math.Sqrt(n-1)
	near(t, "u of the energy", float64(r.Energy.Out.U), math.Hypot(math.Hypot(v*sharedI, i*sharedV), digit), 1e-9)
	near(t, "u of the lowest voltage", float64(r.LowestVoltage.U), math.Hypot(sharedV, 0.1/math.Sqrt(12)), 1e-12)

	r = meter(samples, NewOptions())
	if !math.IsNaN(float64(r.Charge.Out.U)) {
		t.Errorf("no instrument is stated, yet the charge has the uncertainty %g", r.Charge.Out.U)
	}
	near(t, "charge without instruments", float64(r.Charge.Out.Value), 5, 1e-12)
}

// A plain trapezoid draws a ramp across a load edge. The true charge of a 10 A pulse from 95 s to 205 s is 1100 A·s.
func TestEdgeBetweenSamples(t *testing.T) {
	at := func(x float64) float64 {
		if x >= 95 && x < 205 {
			return 10
		}
		return 0
	}
	var plain []Sample // a free-running logger, 10 s
	for k := range 31 {
		x := float64(10 * k)
		plain = append(plain, vi(x, 24, at(x)))
	}
	r := meter(plain, perfect())
	near(t, "edges in the middle", float64(r.Charge.Out.Value)*3600, 1100, 1e-9)
	near(t, "bound: earlier samples", float64(r.Charge.Earlier.Out)*3600, 1100, 1e-9) // one edge gains what the other loses
	if r.Charge.OpenEdges != 2 || r.Charge.Edges != 2 {
		t.Errorf("%d edges, %d open; want 2, 2", r.Charge.Edges, r.Charge.OpenEdges)
	}
	near(t, "u from the samples", float64(r.Charge.Sampling.Out)*3600, math.Sqrt(2)*10*5/math.Sqrt(3), 1e-9)

	// A logger that writes a row out of turn when the load goes off, at 203 s, then keeps its 10 s.
	var events []Sample
	for k := range 21 {
		x := float64(10 * k)
		events = append(events, vi(x, 24, 10))
	}
	events = append(events, vi(203, 23, 10))
	for k := 1; k < 10; k++ {
		events = append(events, vi(203+float64(10*k), 25, 0))
	}
	r = meter(events, perfect())
	near(t, "edge at the row out of turn", float64(r.Charge.Out.Value)*3600, 2030, 1e-9)
	near(t, "by straight lines", float64(r.Charge.Trapezoid.Out)*3600, 2080, 1e-9)
	if r.Charge.OpenEdges != 0 || r.Charge.Edges != 1 {
		t.Errorf("%d edges, %d open; want 1, 0", r.Charge.Edges, r.Charge.OpenEdges)
	}
	f, _ := r.Figure("charge-out")
	if len(f.Extra) != 1 || math.Abs(f.Extra[0].Quantity.Value*3600-2080) > 1e-9 {
		t.Errorf("the figure by straight lines is not shown beside: %+v", f.Extra)
	}
}

// The row after the edge out of turn: a logger that samples every 10 s, but at once when the load comes on, at 54 s.
func TestEdgeAtTheLaterRow(t *testing.T) {
	var samples []Sample
	for k := range 6 {
		samples = append(samples, vi(float64(10*k), 25, 0))
	}
	for k := range 11 {
		samples = append(samples, vi(54+float64(10*k), 24, 6))
	}
	r := meter(samples, perfect())
	near(t, "charge", float64(r.Charge.Out.Value)*3600, 600, 1e-9)
	near(t, "u", float64(r.Charge.Out.U)*3600, 6*0.05*4/math.Sqrt(3), 1e-9)
	near(t, "first stop", float64(r.Stops[0].Length), 54, 1e-9)
}

// A time written in whole seconds is known to half a second either way; both ends count. Over hours the rate of the
// logger's clock counts for more: 50 parts in a million of a day are 4.3 s.
func TestElapsedTime(t *testing.T) {
	whole := []Sample{vi(0, 24, 5), vi(1, 24, 5), vi(7, 24, 5)}
	near(t, "u for whole seconds", float64(meter(whole, NewOptions()).Elapsed.U), math.Hypot(1/math.Sqrt(6), 7*50e-6/math.Sqrt(3)), 1e-12)
	tenths := []Sample{vi(0, 24, 5), vi(1.3, 24, 5), vi(7, 24, 5)}
	near(t, "u for tenths", float64(meter(tenths, NewOptions()).Elapsed.U), math.Hypot(0.1/math.Sqrt(6), 7*50e-6/math.Sqrt(3)), 1e-12)
	day := []Sample{vi(0, 24, 5), vi(43200.3, 24, 5), vi(86400, 24, 5)}
	near(t, "u over a day", float64(meter(day, NewOptions()).Elapsed.U), 4.32/math.Sqrt(3), 1e-3)
	o := NewOptions()
	o.Instruments = []Instrument{{Channel: Time, Accuracy: quantity.Accuracy{Fraction: 0.001}}}
	near(t, "u of a stated clock", float64(meter(tenths, o).Elapsed.U), 0.007/math.Sqrt(3), 1e-12)
}

// Adding samples on the straight lines between those of a log must not change what it gives.
func TestResamplingInvariance(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	for round := range 20 {
		var coarse, fine []Sample
		i, v := 6.0, 25.0
		for k := range 200 {
			x := float64(k)
			coarse = append(coarse, vi(x, v, i))
			fine = append(fine, vi(x, v, i))
			nextI := i + (random.Float64()-0.5)*0.4
			nextV := v - random.Float64()*0.01
			if k < 199 {
				fine = append(fine, vi(x+0.25, v+(nextV-v)/4, i+(nextI-i)/4), vi(x+0.5, v+(nextV-v)/2, i+(nextI-i)/2))
			}
			i, v = nextI, nextV
		}
		a, b := meter(coarse, perfect()), meter(fine, perfect())
		near(t, "charge", float64(b.Charge.Out.Value), float64(a.Charge.Out.Value), 1e-12)
		near(t, "energy", float64(b.Energy.Out.Value), float64(a.Energy.Out.Value), 1e-5)
		near(t, "lowest voltage", float64(b.LowestVoltage.Value), float64(a.LowestVoltage.Value), 0)
		near(t, "peak", float64(b.PeakCurrent.Value), float64(a.PeakCurrent.Value), 0)
		if t.Failed() {
			t.Fatalf("round %d", round)
		}
	}
}

// Two halves of a log that share a sample add up to the whole.
func TestSplitAdds(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 6))
	var samples []Sample
	for k, x := range jittered(600, 1200, 9) {
		samples = append(samples, vi(x, 25-0.001*x, 5+2*math.Sin(float64(k)/40)+random.Float64()*0.01))
	}
	whole := meter(samples, perfect())
	for _, cut := range []int{1, 50, 299, 430, 598} {
		a, b := meter(samples[:cut+1], perfect()), meter(samples[cut:], perfect())
		near(t, "charge", float64(a.Charge.Out.Value+b.Charge.Out.Value), float64(whole.Charge.Out.Value), 1e-12)
		near(t, "energy", float64(a.Energy.Out.Value+b.Energy.Out.Value), float64(whole.Energy.Out.Value), 1e-11)
		near(t, "elapsed", float64(a.Elapsed.Value+b.Elapsed.Value), float64(whole.Elapsed.Value), 1e-9)
		near(t, "variance", square(a.Charge.Sampling.Out)+square(b.Charge.Sampling.Out), square(whole.Charge.Sampling.Out), 1e-15)
	}
}

func square[K ~float64](x K) float64 { return float64(x) * float64(x) }

// Rows that hold only the one or only the other: each current gets the voltage on the line between its neighbours.
func TestRowsWithHoles(t *testing.T) {
	var samples []Sample
	for k := range 101 {
		x := float64(10 * k)
		samples = append(samples, row(x, map[Channel]float64{Voltage: 26 - x/1000}))
		samples = append(samples, row(x+3, map[Channel]float64{Current: 4}))
		samples = append(samples, row(x+5, map[Channel]float64{Temperature: 20 + x/500}))
	}
	r := meter(samples, perfect())
	near(t, "charge", float64(r.Charge.Out.Value)*3600, 4*1000, 1e-9)
	// 4 A × ∫(26 − t/1000) dt from 3 s to 1003 s; the last 3 s hold the last voltage, 25 V
	want := 4 * (26*997 - (1000.0*1000-9)/2000 + 3*25)
	near(t, "energy", float64(r.Energy.Out.Value)*3600, want, 4*10*0.003) // one interval bends
	near(t, "temperature rise", float64(r.TemperatureRise.Value), 2, 1e-12)
}

func TestGapUnderLoad(t *testing.T) {
	var samples []Sample
	for k := range 100 {
		samples = append(samples, vi(float64(k), 24, 6))
	}
	for k := range 100 {
		samples = append(samples, vi(1099+float64(k), 23, 6)) // 1000 s without a sample
	}
	m := NewMeter(perfect())
	for _, s := range samples {
		m.Add(s)
	}
	r, found := m.Result()
	near(t, "charge", float64(r.Charge.Out.Value)*3600, 6*(99+99), 1e-9)
	if r.GapCount != 1 || len(found) != 1 || found[0].Rule != "log-gap" {
		t.Fatalf("gaps %d, findings %v", r.GapCount, found)
	}
	near(t, "left out", float64(r.Gaps[0].LeftOut)*3600, 6000, 1e-9)

	samples[150].Restart = true // nothing is known of how long that took
	near(t, "charge round a restart", float64(meter(samples, perfect()).Charge.Out.Value)*3600, 6*(99+98), 1e-9)
	samples[150].Restart = false
	o := perfect()
	o.Gap = 2000
	near(t, "charge with a longer gap stated", float64(meter(samples, o).Charge.Out.Value)*3600, 6*1198, 1e-9)

	for k := range samples { // the same hole without load is no gap
		samples[k].Values[Current] = 0.001
	}
	samples[0].Values[Current] = 6
	if r := meter(samples, perfect()); r.GapCount != 0 {
		t.Errorf("a hole without load is reported as a gap")
	}
}

func TestResistanceAndSag(t *testing.T) {
	const r0 = 0.05 // Ω, a pure resistance: the steps must give it back exactly
	var samples []Sample
	i := 0.0
	for k := range 400 {
		x := float64(k) * 0.5
		switch {
		case k%80 == 20:
			i = 8
		case k%80 == 60:
			i = 0
		}
		samples = append(samples, vi(x, 26-r0*i, i))
	}
	o := NewOptions()
	o.Instruments = []Instrument{
		{Channel: Current, Accuracy: quantity.Accuracy{Fraction: 0.01, Digits: 5}, Resolution: 0.01},
		{Channel: Voltage, Accuracy: quantity.Accuracy{Fraction: 0.002, Digits: 2}, Resolution: 0.01},
	}
	r := meter(samples, o)
	near(t, "resistance", float64(r.Resistance.Value), r0, 1e-12)
	if r.Resistance.Steps != 5 || r.Resistance.Kind != "rise of the load" {
		t.Errorf("%d %s, want 5 rises", r.Resistance.Steps, r.Resistance.Kind)
	}
	// u: the accuracy in proportion and two last digits each; what both readings share to the same amount cancels
	uV := math.Hypot(0.002*0.4/math.Sqrt(3), math.Sqrt2*0.01/math.Sqrt(12)) / 0.4
	uI := math.Hypot(0.01*8/math.Sqrt(3), math.Sqrt2*0.01/math.Sqrt(12)) / 8
	near(t, "u of the resistance", float64(r.Resistance.U), r0*math.Hypot(uV, uI), 1e-9)
	near(t, "sag", float64(r.Sag.Value), 0.4, 1e-12)

	near(t, "u of the sag", float64(r.Sag.U), math.Hypot(0.002*0.4/math.Sqrt(3), math.Sqrt2*0.01/math.Sqrt(12)), 1e-9)

	// Two steps, 0.05 Ω and 0.06 Ω: the standard error of a median of two, √(π/2)·s/√2, with s = 0.01/√2.
	samples = samples[:0]
	for k := range 160 {
		i, r0 := 0.0, 0.05
		if k >= 80 {
			r0 = 0.06
		}
		if k%80 >= 40 {
			i = 8
		}
		samples = append(samples, vi(float64(k)*0.5, 26-r0*i, i))
	}
	r = meter(samples, perfect())
	near(t, "median of two", float64(r.Resistance.Value), 0.055, 1e-12)
	near(t, "scatter", float64(r.Resistance.Scatter), math.Sqrt(math.Pi/2)*0.01/2, 1e-9)

	// A load of 0.6 s has not settled.
	samples = samples[:0]
	for k := range 200 {
		i := 0.0
		if k%40 >= 20 && k%40 < 26 {
			i = 8
		}
		samples = append(samples, vi(float64(k)*0.1, 26-r0*i, i))
	}
	if r := meter(samples, perfect()); r.Resistance.Kind == "rise of the load" {
		t.Errorf("a load of 0.6 s gave the resistance %v", r.Resistance.Measured)
	}

	samples = samples[:0]
	for k := range 100 {
		samples = append(samples, vi(float64(k), 24, 5+math.Sin(float64(k))))
	}
	f, _ := meter(samples, o).Figure("resistance")
	if f.Quantity.Why() == "" {
		t.Errorf("a current without steady steps gave the resistance %v", f.Quantity)
	}
}

func TestTravel(t *testing.T) {
	var samples []Sample
	for k := range 601 {
		x := float64(k)
		v := 2.0
		if k >= 200 && k <= 260 { // stands for 61 samples
			v = 0
		}
		samples = append(samples, row(x, map[Channel]float64{Voltage: 24, Current: 3, Speed: v}))
	}
	o := perfect()
	o.PauseAfter = 20
	r := meter(samples, o)
	near(t, "distance", float64(r.Distance.Value), 2*(600-61), 1e-9)
	near(t, "running time", float64(r.Running.Value), 600-61, 1e-9)
	near(t, "mean speed", float64(r.MeanSpeed.Value), 2, 1e-9)
	near(t, "top speed", float64(r.TopSpeed.Value), 2, 0)
	near(t, "energy per distance", float64(r.PerDistance.Value), 24*3*600/3600/(2*(600-61)/1000.0), 1e-9)
	o.Rated = quantity.Exact(quantity.AmpereHours(10))
	near(t, "full cycles", float64(meter(samples, o).FullCycles.Value), 6*600/3600.0/20, 1e-12)

	for k := range samples { // an odometer of its own goes first
		samples[k].Values[Distance] = float64(1000 + k)
	}
	near(t, "distance by its column", float64(meter(samples, o).Distance.Value), 600, 1e-9)
}

// Every figure has a name of the fixed list, a label, and either a value or a reason.
func TestEveryFigureAnswers(t *testing.T) {
	runs := map[string]*Result{
		"nothing":      meter(nil, NewOptions()),
		"one sample":   meter([]Sample{vi(0, 24, 5)}, NewOptions()),
		"voltage only": meter([]Sample{row(0, map[Channel]float64{Voltage: 24}), row(9, map[Channel]float64{Voltage: 23})}, NewOptions()),
		"current only": meter([]Sample{row(0, map[Channel]float64{Current: 4}), row(9, map[Channel]float64{Current: 4})}, NewOptions()),
		"times only":   meter([]Sample{row(0, nil), row(9, nil)}, NewOptions()),
	}
	docs := map[string]bool{}
	for _, d := range analysisDocs() {
		docs[d.Name] = true
	}
	for name, r := range runs {
		figures := r.Figures()
		if len(figures) != len(figureTable) {
			t.Errorf("%s: %d figures, want %d", name, len(figures), len(figureTable))
		}
		for _, f := range figures {
			known := !math.IsNaN(numberOf(f).Value)
			if known == (f.Quantity.Why() != "") {
				t.Errorf("%s: %s is %v and says %q", name, f.Name, numberOf(f).Value, f.Quantity.Why())
			}
			if f.Label == "" || !docs[f.Formula] {
				t.Errorf("%s: %s has the label %q and the formula %q", name, f.Name, f.Label, f.Formula)
			}
		}
	}
	if f, _ := runs["nothing"].Figure("charge-out"); f.Quantity.Why() != "The log holds no samples." {
		t.Errorf("an empty log says %q", f.Quantity.Why())
	}
}

package battery

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"voltwright/internal/quantity"
)

// TestSampleOfTheNormal: each dimension of the sample holds each of its strata once (McKay, Beckman and Conover 1979), at the middle of the
// stratum by the normal distribution, so that mean and variance are those of it; no two dimensions go together.
func TestSampleOfTheNormal(t *testing.T) {
	all := points(samples, 12)
	column := func(d int) []float64 {
		var out []float64
		for _, p := range all {
			out = append(out, p[d])
		}
		return out
	}
	for d := range 12 {
		c := column(d)
		square := 0.0
		for _, x := range c {
			square += x * x / samples
		}
		if math.Abs(square-1) > 0.02 {
			t.Errorf("dimension %d has a variance of %v", d, square)
		}
		sorted := slices.Sorted(slices.Values(c))
		for k, x := range sorted {
			if want := math.Sqrt2 * math.Erfinv((2*float64(k)+1)/samples-1); math.Abs(x-want) > 1e-12 {
				t.Fatalf("stratum %d of dimension %d is at %v, want %v", k, d, x, want)
			}
		}
		for e := range d {
			r := 0.0
			for k, x := range column(e) {
				r += x * c[k] / samples
			}
			if math.Abs(r) > 0.25 { // four standard deviations of chance
				t.Errorf("dimensions %d and %d go together by %v", d, e, r)
			}
		}
	}
	// 2.5 % and 97.5 % by linear interpolation between order statistics (type 7 of Hyndman and Fan 1996): of 0 to 40, 1 and 39.
	var y []float64
	for k := range 41 {
		y = append(y, float64((k*7)%41))
	}
	if low, high := middle95(y); low != 1 || high != 39 {
		t.Errorf("%v to %v", low, high)
	}
	y = []float64{10, 0}
	if low, high := middle95(y); math.Abs(low-0.25) > 1e-12 || math.Abs(high-9.75) > 1e-12 {
		t.Errorf("%v to %v", low, high)
	}
}

// TestSpreadsAddUp: unknowns that are independent add as squares (JCGM 100:2008, equation 10), the groups hold each of them once, and what is
// sampled agrees with what goes by straight lines where the answer is nearly one.
func TestSpreadsAddUp(t *testing.T) {
	for _, name := range []string{"nmc", "lead-acid-agm"} {
		e, err := Typical(chemistry(t, name), quantity.Of[quantity.AmpereHours](5, 0.1))
		if err != nil {
			t.Fatal(err)
		}
		f := func(c *Cell) ([]float64, error) {
			return []float64{float64(c.Capacity), c.Curve.at(0.5), c.Ohmic.At(0.5), float64(c.Lag), c.HeatCapacity, float64(c.ResistanceAt(0.5, 0, 600))}, nil
		}
		s, err := e.Spread(f)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := sampled([]*Estimate{e}, func(c []*Cell) ([]float64, error) { return f(c[0]) })
		if err != nil || len(rows) != samples {
			t.Fatal(err)
		}
		for k := range s {
			sum := 0.0
			for i, p := range s[k].Parts {
				sum += p.U * p.U
				if i > 0 && p.U > s[k].Parts[i-1].U {
					t.Errorf("%s: %+v are not in order", name, s[k].Parts)
				}
			}
			close1(t, name+": squares", math.Sqrt(sum), s[k].U, 1e-9)
			mean, square := 0.0, 0.0
			for _, y := range rows {
				mean += y[k] / samples
			}
			for _, y := range rows {
				square += (y[k] - mean) * (y[k] - mean) / samples
			}
			if k == 1 && math.Abs(math.Sqrt(square)/s[k].U-1) > 0.15 {
				t.Errorf("%s: answer %d is spread by %v, sampled by %v", name, k, s[k].U, math.Sqrt(square))
			}
			if k == 0 { // the label's tails are long beyond two standard deviations, so its middle is compared: 68.3 % of a normal distribution within one
				near := 0.0
				for _, y := range rows {
					if math.Abs(y[k]-s[k].Value) <= s[k].U {
						near += 1. / samples
					}
				}
				if math.Abs(near-0.683) > 0.08 {
					t.Errorf("%s: %.3f of the samples are within one standard deviation of the capacity", name, near)
				}
			}
		}
		if largest := s[0].Parts[0]; largest.Name != "capacity" || s[1].Parts[0].Name != "open-circuit voltage" || s[2].Parts[0].Name != "resistance" || s[3].Parts[0].Name != "lag" || s[4].Parts[0].Name != "warming" {
			t.Errorf("%s: %+v", name, largest)
		}
		values, err := e.Values()
		if err != nil || values[0].Quantity.Value != s[0].Value || values[0].Quantity.U != s[0].U || values[1].Quantity.Value >= values[2].Quantity.Value || values[2].Quantity.Value >= values[3].Quantity.Value {
			t.Errorf("%s: %+v, %v", name, values, err)
		}
		c := e.Cell()
		close1(t, "after ten seconds", values[2].Quantity.Value, float64(c.ResistanceAt(0.5, 25, 10)), 1e-12)
		close1(t, "after ten minutes", values[3].Quantity.Value, float64(c.ResistanceAt(0.5, 25, 600)), 1e-12)
		close1(t, "cooling", values[6].Quantity.Value, c.HeatCapacity/c.Conductance, 1e-12)
		// A stated resistance is what the cell has then, a fifth uncertain unless it says otherwise.
		for u, want := range map[quantity.Ohms]float64{0: 0.2, 0.002: 0.04} {
			stated, err := e.WithResistance(quantity.Of[quantity.Ohms](0.05, u))
			if err != nil {
				t.Fatal(err)
			}
			r, err := stated.Spread(func(c *Cell) ([]float64, error) { return []float64{float64(c.ResistanceAt(0.5, 25, 10))}, nil })
			if err != nil || math.Abs(r[0].Value/0.05-1) > 0.2 || r[0].U/r[0].Value > want*1.05 {
				t.Errorf("%s: %+v for 50 mΩ ± %v, %v", name, r[0], want, err)
			}
		}
		if _, err := e.WithResistance(quantity.Exact(quantity.Ohms(0))); err == nil {
			t.Error("a resistance of nothing")
		}
	}
}

// TestLogsAreTakenWhole: whatever rows are left out of a log, the charge of the stretches is the trapezium's over all of them, and each that is kept
// is as it was written; rows without a number and rows that go back are passed over.
func TestLogsAreTakenWhole(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 9))
	c := chemistry(t, "nmc")
	full, _ := c.Curve().At(1)
	var tm, amps, volts, celsius []float64
	i := 0.0
	for k := range 3000 {
		if r.IntN(50) == 0 {
			i = 5 * r.Float64()
		}
		if k < 3 {
			i = 0
		}
		tm, amps, volts, celsius = append(tm, float64(k)), append(amps, i+0.01*r.NormFloat64()), append(volts, 7*(float64(full)-0.0002*float64(k))), append(celsius, 20+float64(k)/1000)
	}
	amps[0] = 0
	l := NewLog("log", 7, tm, amps, volts, celsius)
	for _, all := range []bool{false, true} {
		p, err := prepareRows(l, c, 5, all)
		if err != nil {
			t.Fatal(err)
		}
		var sum, seconds, area, heat float64
		for _, piece := range p.pieces {
			sum += piece.amps * piece.seconds
			seconds += piece.seconds
			heat += piece.temp * piece.seconds
		}
		for k := 1; k < len(tm); k++ {
			area += (amps[k] + amps[k-1]) / 2
		}
		close1(t, "charge", sum, area, 1e-9)
		close1(t, "time", seconds, 2999, 1e-12)
		close1(t, "temperature", heat/seconds, 21.4995, 1e-9)
		if all && len(p.marks) != 3000 || !all && (len(p.marks) > enoughMarks || len(p.marks) < 50) || !p.marks[0].first {
			t.Errorf("%d marks", len(p.marks))
		}
		for _, m := range p.marks {
			if k := int(m.t); math.Abs(m.volts*7-volts[k]) > 1e-9 || m.amps != amps[k] || m.temp != celsius[k] {
				t.Fatalf("%+v", m)
			}
		}
		if p.drawn != 0 || p.startTemp != 20 || p.ambient != 20 || !p.measured || p.fullAssume {
			t.Errorf("%+v", p)
		}
	}
	odd := NewLog("odd", 1, []float64{0, 2, 1, 2, 3, 4}, []float64{1, 1, 1, math.NaN(), 1, 1}, []float64{4, 4, 4, 4, math.NaN(), 4}, nil)
	if rows := usableRows(odd); !slices.Equal(rows, []int{0, 1, 5}) {
		t.Errorf("%v", rows)
	}
	odd.Celsius = []float64{math.NaN(), 21, 22, 23, 24, math.NaN()}
	if got := filled(odd, []int{0, 1, 5}); !slices.Equal(got, []float64{21, 21, 21}) {
		t.Errorf("%v", got)
	}
	odd.Celsius = []float64{math.NaN(), math.NaN(), 1, 1, 1, math.NaN()}
	if got := filled(odd, []int{0, 1, 5}); got != nil {
		t.Errorf("%v", got)
	}
	for name, bad := range map[string]Log{"one row": NewLog("a", 1, []float64{0}, []float64{1}, []float64{4}, nil), "no series": NewLog("a", 0, tm, amps, volts, nil), "short volts": NewLog("a", 1, tm, amps, volts[1:], nil), "short amperes": NewLog("a", 1, tm, amps[1:], volts, nil), "short temperatures": NewLog("a", 1, tm, amps, volts, celsius[1:])} {
		if bad.Check() == nil {
			t.Errorf("%s passes", name)
		}
	}
	if err := NewLog("a", 1, tm[:2], amps[:2], volts[:2], celsius[:2]).Check(); err != nil {
		t.Error(err)
	}
}

// TestHowALogStarts: full where the first rest voltage says 97 % or more, or where it begins under a fiftieth of the capacity or more; else by the
// voltage. What is stated to be drawn goes before.
func TestHowALogStarts(t *testing.T) {
	c := chemistry(t, "nmc")
	for _, x := range []struct {
		z, amps, drawn float64
		assumed, rest  bool
		charge         float64
	}{{0.975, 0, math.NaN(), false, false, 1}, {0.965, 0, math.NaN(), false, true, 0.965}, {0.5, 0.099, math.NaN(), false, true, 0.5}, {0.5, 0.101, math.NaN(), true, false, 1}, {0.5, -0.2, math.NaN(), true, false, 1}, {0.5, 0, 1, false, false, 0.8}} {
		v, _ := c.Curve().At(x.z)
		p := &prepared{first: observation{amps: x.amps, volts: float64(v)}, drawn: x.drawn, restStart: math.NaN()}
		p.start(c, 5)
		if p.fullAssume != x.assumed || math.IsNaN(p.restStart) == x.rest {
			t.Errorf("%+v: %+v", x, p)
		}
		close1(t, "charge", p.startCharge(&Cell{Curve: c.Curve(), Capacity: 5}), x.charge, 1e-9)
	}
	// What a row's time leaves open: the volts that a jump of the current beside it makes, each second.
	o := func(at, amps, volts float64) observation { return observation{t: at, amps: amps, volts: volts} }
	for _, x := range []struct {
		before, at, after observation
		want              float64
	}{
		{o(0, 0, 4), o(1, 10, 3.5), o(2, 10, 3.5), 0.5}, {o(0, 0, 4), o(1, 10, 3.95), o(2, 10, 3.95), 0.2}, {o(0, 0, 4), o(4, 10, 3.6), o(8, 10, 3.6), 0.1}, {o(0, 10, 4), o(1, 10, 4), o(2, 0, 4.3), 0.3}, {o(0, 10, 4), o(1, 10, 3), o(2, 10, 2), 0}, {o(0, 0, 4), o(0.5, 10, 3.5), o(1, 10, 3.5), 0.5},
	} {
		close1(t, "timing", timing(x.before, x.at, x.after, 0.02), x.want, 1e-12)
	}
}

// TestResidualsByHand: the root of the weighted mean square, the stretch that is compared, and what a prediction says of a log that the same
// cell made: nothing but rounding is left.
func TestResidualsByHand(t *testing.T) {
	var m mean
	m.add(3, 2)
	m.add(-1, 4)
	close1(t, "root", float64(m.root()), math.Sqrt((9*2+4)/6.), 1e-12)
	close1(t, "time", Residual{Predicted: 110, Measured: 100}.TimeError(), 0.1, 1e-12)
	p := &prepared{log: NewLog("a", 1, []float64{0, 10, 20, 30, 40, 50, 60}, []float64{0, 0.1, 5, math.NaN(), 5, 5, 0.1}, []float64{4, 4, 3.6, 3.5, 3.4, 3.4, 3.2}, nil)}
	if first, last, row := p.discharge(5); first != 10 || last != 50 || row != 5 { // 0.1 A is no more than a fiftieth of 5 Ah
		t.Errorf("%v to %v, row %d", first, last, row)
	}
	if first, last, row := p.discharge(4.9); first != 0 || last != 60 || row != 6 {
		t.Errorf("%v to %v, row %d", first, last, row)
	}
	if first, _, row := p.discharge(1000); !math.IsNaN(first) || row != -1 {
		t.Errorf("%v, row %d", first, row)
	}
	e, err := Typical(chemistry(t, "nmc"), quantity.Exact(quantity.AmpereHours(5)))
	if err != nil {
		t.Fatal(err)
	}
	cell := e.Cell()
	pack := NewPack(cell, 7)
	o, err := Simulate(Scenario{Packs: []Pack{pack}, Demand: Demand{Parts: []Part{{Idle(), 60}, {Drawing(2.5), 1e6}}}, Ambient: 25, Levels: []Level{{Name: "end", Volts: 7 * 3.1}}, TracePoints: 4000, Tolerance: 1e-5})
	if err != nil {
		t.Fatal(err)
	}
	var tm, amps, volts []float64
	for k, row := range o.Trace {
		if k > 0 && row.Amperes > 0 && amps[k-1] == 0 {
			tm, amps, volts = append(tm, float64(row.At)), append(amps, 2.5), append(volts, float64(row.Volts))
			continue
		}
		tm, amps, volts = append(tm, float64(row.At)), append(amps, float64(row.Amperes)), append(volts, float64(row.Volts))
	}
	l := NewLog("simulated", 7, tm, amps, volts, nil)
	l.Ambient = quantity.Exact(quantity.Celsius(25))
	r, err := Compare(cell, l)
	if err != nil {
		t.Fatal(err)
	}
	close1(t, "measured", float64(r.Measured), float64(o.Levels[0].At)-60, 0.01)
	close1(t, "predicted", float64(r.Predicted), float64(r.Measured), 0.005)
	close1(t, "cutoff", float64(r.Cutoff), 3.1, 1e-6)
	if r.All > 0.006 || r.Usable > 0.006 || r.Drive > 0.006 || !math.IsNaN(float64(r.Warmest)) {
		t.Errorf("%+v", r)
	}
	// A cell of a tenth less capacity ends about a tenth sooner.
	less := *cell
	less.Capacity *= 0.9
	if r, err = Compare(&less, l); err != nil || r.TimeError() > -0.09 || r.TimeError() < -0.12 || r.All < 0.01 {
		t.Errorf("%+v, %v", r.TimeError(), err)
	}
}

// TestWidthOfASampledLevel: half of what 95 % of the sample leave open on the wider side, by hand; too wide for a number where it is wider than the time.
func TestWidthOfASampledLevel(t *testing.T) {
	rows := func(low, high float64, never int) [][]float64 {
		var out [][]float64
		for k := range 41 {
			x := low + (high-low)*float64(k)/40
			row := []float64{x, 2 * x, 3 * x, 100 - x, 5000}
			if k < never {
				row[0] = math.NaN()
			}
			out = append(out, row)
		}
		return out
	}
	l := Reached{Level: Level{Name: "cutout", Volts: 21}, At: 1000, Charge: 2000, Energy: 3000, Left: 100 - 1000}
	u, _, err := spreadOfLevel(rows(900, 1300, 0), 0, l, 0)
	if err != nil {
		t.Fatal(err)
	}
	// 2.5 % and 97.5 % of 900, 910 … 1300: 910 and 1290.
	for k, want := range []float64{145, 290, 435, 45} {
		if k == 3 {
			want = max((100-910)-(100-1000), (100-1000)-(100-1290)) / 2
		}
		close1(t, "u", u[k], want, 1e-9)
	}
	for _, x := range []struct {
		low, high, model float64
		never            int
		unsure           bool
	}{{500, 1540, 0, 0, false}, {500, 1560, 0, 0, true}, {700, 1300, 0.1, 0, false}, {700, 1300, 0.12, 0, false}, {900, 1100, 0, 3, true}} {
		_, _, err := spreadOfLevel(rows(x.low, x.high, x.never), 0, l, x.model)
		uncertain, ok := err.(*UncertainError)
		if ok != x.unsure {
			t.Errorf("%+v: %v", x, err)
		}
		if ok && math.Abs(uncertain.Never-float64(x.never)/41) > 1e-12 {
			t.Errorf("%+v: never in %v", x, uncertain.Never)
		}
	}
}

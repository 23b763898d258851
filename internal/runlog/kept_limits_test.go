package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// stairs says the rows of a reduced run.
func stairs(s *Series) string {
	var out []string
	for k := range s.Time {
		word := fmt.Sprintf("%.4g:%.4g/%.4g", s.Time[k], s.Current[k], s.Voltage[k])
		if !math.IsNaN(s.Temperature[k]) {
			word += fmt.Sprintf("/%.4g", s.Temperature[k])
		}
		out = append(out, word)
	}
	return strings.Join(out, " ")
}

// TestStaircaseAtItsLimits: which rows of a run become one: a current within three per cent of the greatest, a time of a fiftieth of that
// since the last step, a voltage that moved by less than a thousandth.
func TestStaircaseAtItsLimits(t *testing.T) {
	type row struct {
		for_, v, i float64
		kind       passageKind
	}
	build := func(temp *Trace, rows ...row) string {
		b := seriesBuilder{peak: 10}
		at, v, i := 0.0, rows[0].v, rows[0].i
		for _, r := range rows {
			a, z := instant{t: at, v: v, i: i}, instant{t: at + r.for_, v: r.v, i: r.i}
			p := passage{a: a, b: z, at: 0.25, kind: r.kind}
			b.pass(&p)
			at, v, i = at+r.for_, r.v, r.i
		}
		return stairs(newSeries(b.rows, b.peak, temp))
	}
	long := row{for_: 100, v: 25, i: 5}
	for _, x := range []struct {
		name string
		rows []row
		want string
	}{
		{"two seconds a hundred after the step", []row{long, {1, 25, 5, ramp}, {1, 25, 5, ramp}}, "100:5/25 102:5/25"}, {"a hundredth more", []row{long, {1, 25, 5, ramp}, {1.05, 25, 5, ramp}}, "100:5/25 101:5/25 102:5/25"},
		{"the current within three per cent", []row{long, {1, 25, 5, ramp}, {1, 25, 5.29, ramp}}, "100:5/25 102:5.072/25"}, {"more", []row{long, {1, 25, 5, ramp}, {1, 25, 5.31, ramp}}, "100:5/25 101:5/25 102:5.155/25"}, {"down", []row{long, {1, 25, 5, ramp}, {1, 25, 4.71, ramp}}, "100:5/25 102:4.928/25"}, {"down more", []row{long, {1, 25, 5, ramp}, {1, 25, 4.69, ramp}}, "100:5/25 101:5/25 102:4.845/25"},
		{"the voltage within a thousandth", []row{long, {1, 25, 5, ramp}, {1, 25.0249, 5, ramp}}, "100:5/25 102:5/25.02"}, {"more of it", []row{long, {1, 25, 5, ramp}, {1, 25.0251, 5, ramp}}, "100:5/25 101:5/25 102:5/25.03"},
		{"its voltage is that of its end", []row{long, {1, 25, 5, ramp}, {1, 25.02, 5.29, ramp}}, "100:5/25 102:5.072/25.02"},
		{"an edge in it", []row{long, {4, 24, 9, openEdge}, {4, 24, 9, ramp}}, "100:5/25 101:5/25 104:9/24 108:9/24"}, {"soon after the step", []row{long, {4, 24, 9, openEdge}, {0.03, 24, 9, ramp}, {0.03, 24, 9, ramp}}, "100:5/25 101:5/25 104:9/24 104.1:9/24"}, {"a gap", []row{long, {50, 26, 3, gap}, {100, 26, 3, ramp}}, "100:5/25 150:NaN/NaN 250:3/26"}, {"a gap and what joins after it", []row{long, {50, 26, 3, gap}, {1, 26, 3, ramp}, {0.01, 26, 3, ramp}}, "100:5/25 150:NaN/NaN 151:3/26 151:3/26"},
		{"no time", []row{long, {0, 25, 5, ramp}}, "100:5/25"}, {"a current that moves has its mean voltage", []row{{for_: 100, v: 25, i: 5}, {10, 24, 9, ramp}}, "100:5/25 110:7/24.5"},
	} {
		if got := build(nil, x.rows...); got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	warm := &Trace{T: []float64{0, 50, 150}, Y: []float64{20, 21, 25}}
	if got := build(warm, row{for_: 25, v: 25, i: 5}, row{for_: 50, v: 25, i: 5}, row{for_: 100, v: 25, i: 5}); got != "25:5/25/20.5 75:5/25/22 175:5/25/25" {
		t.Errorf("with a temperature: %s", got)
	}
	for _, x := range []struct{ at, want float64 }{{-5, 20}, {0, 20}, {25, 20.5}, {50, 21}, {100, 23}, {150, 25}, {200, 25}} {
		if y, _ := warm.between(x.at, 0); y != x.want {
			t.Errorf("at %v: %v", x.at, y)
		}
	}
}

// TestJoinedRows: what coarsening joins, one rule at a time.
func TestJoinedRows(t *testing.T) {
	base := func() []stretch {
		return []stretch{{from: 0, to: 10, charge: 50, low: 5, high: 5, begin: 25, volt: 25, area: 250, since: 1000}, {from: 10, to: 20, charge: 50, low: 5, high: 5, begin: 25, volt: 25, area: 250, since: 1000}}
	}
	for _, x := range []struct {
		name   string
		change func(r []stretch, j *joining)
		joined bool
	}{
		{"alike", func([]stretch, *joining) {}, true}, {"longer than may be", func(_ []stretch, j *joining) { j.longest = 19.9 }, false}, {"just so long", func(_ []stretch, j *joining) { j.longest = 20 }, true}, {"too soon after the step", func(r []stretch, _ *joining) { r[1].since = 999 }, false}, {"so long as the shortest", func(r []stretch, j *joining) { r[1].since, j.least = 1, 20 }, true}, {"longer than that", func(r []stretch, j *joining) { r[1].since, j.least = 1, 19.9 }, false},
		{"a current just within", func(r []stretch, _ *joining) { r[1].high = 5.3 }, true}, {"a current beyond", func(r []stretch, _ *joining) { r[1].high = 5.31 }, false}, {"a low one beyond", func(r []stretch, _ *joining) { r[0].low = 4.69 }, false}, {"a voltage just within", func(r []stretch, _ *joining) { r[1].volt = 25.025 }, true}, {"a voltage beyond", func(r []stretch, _ *joining) { r[1].volt = 25.026 }, false},
		{"a gap", func(r []stretch, _ *joining) { r[1].gap = true }, false}, {"two gaps", func(r []stretch, _ *joining) { r[0].gap, r[1].gap = true, true }, true}, {"a gap in what is joined at last", func(r []stretch, j *joining) { r[0].gap, j.least = true, 320 }, true}, {"a gap before that", func(r []stretch, j *joining) { r[0].gap, j.least = true, 319 }, false},
	} {
		rows, j := base(), joining{longest: 100, since: 50, volts: 0.001, band: 0.3000001}
		x.change(rows, &j)
		out := j.join(rows)
		if (len(out) == 1) != x.joined {
			t.Errorf("%s: %d rows", x.name, len(out))
		}
		if len(out) == 1 && (out[0].from != 0 || out[0].to != 20 || out[0].charge != 100 || out[0].area != 500 || out[0].length() != 20) {
			t.Errorf("%s: %+v", x.name, out[0])
		}
	}
}

// TestFiguresByName: every figure by its name, with its label, and none by another.
func TestFiguresByName(t *testing.T) {
	r := newResult(EvidenceLog)
	r.TopSpeed = quantity.Of[quantity.MetresPerSecond](2, quantity.MetresPerSecond(math.Inf(1)))
	names := FigureNames()
	if len(names) != len(figureTable) || names[0] != "elapsed-time" || names[len(names)-1] != "full-cycles" {
		t.Fatalf("%v", names)
	}
	for k, f := range r.Figures() {
		label, ok := FigureLabel(names[k])
		by, found := r.Figure(names[k])
		if !ok || !found || f.Name != names[k] || f.Label != label || by.Name != f.Name || by.Quantity.Why() != f.Quantity.Why() || by.Formula != f.Formula {
			t.Errorf("%s: %+v, %+v", names[k], f, by)
		}
	}
	if _, ok := FigureLabel("nothing"); ok {
		t.Error("there is no such label")
	}
	if _, ok := r.Figure("nothing"); ok {
		t.Error("there is no such figure")
	}
	if f, _ := r.Figure("top-speed"); f.Quantity.Why() != "" || numberOf(f).Value != 2 || !math.IsNaN(numberOf(f).U) { // an uncertainty without an end is not known
		t.Errorf("%+v", f)
	}
	r.TopSpeed = quantity.Exact(quantity.MetresPerSecond(math.Inf(1)))
	r.note("top-speed", "a note")
	if f, _ := r.Figure("top-speed"); f.Quantity.Why() != "The evidence does not give it." || !math.IsNaN(numberOf(f).Value) || f.Note != "" {
		t.Errorf("%+v", f)
	}
	r.miss("top-speed", "A reason.")
	r.miss("top-speed", "Another.")
	if f, _ := r.Figure("top-speed"); f.Quantity.Why() != "A reason." {
		t.Errorf("%+v", f)
	}
	// Of an opening what is missing has its own reason.
	r.Cutout = &CutoutEvent{ResetPoint: quantity.Missing[quantity.Volts](), Rebound: Rebound{NoFit: "No fit.", Peak: quantity.Missing[quantity.Volts](), TimeToPeak: quantity.Missing[quantity.Seconds]()}, Margin: ResetMargin{Margin: quantity.Missing[quantity.Volts]()}}
	const unset = "The cutout's reset threshold is not stated."
	for name, want := range map[string]string{"rebound-peak": "No fit.", "rebound-time": "No fit.", "rebound-asymptote": "No fit.", "rebound-time-constant": "No fit.", "reset-point": unset, "reset-margin": unset} {
		if f, _ := r.Figure(name); f.Quantity.Why() != want {
			t.Errorf("%s: %q", name, f.Quantity.Why())
		}
	}
	r.Cutout.ResetPoint = quantity.Exact(quantity.Volts(23))
	if f, _ := r.Figure("reset-margin"); f.Quantity.Why() != "No fit." {
		t.Errorf("%q", f.Quantity.Why())
	}
	// What follows from several, and why it does not.
	for _, x := range []struct {
		distance, out, in float64
		want, note        string
	}{
		{1000, 20, 0, "20", ""}, {1000, 20, 5, "15", "Energy out less energy in, by distance."}, {0, 20, 0, "The vehicle did not move.", ""}, {math.NaN(), 20, 0, "No way.", ""}, {1000, math.NaN(), 0, "No energy.", ""},
	} {
		r := newResult(EvidenceLog)
		r.Distance, r.Energy.Out, r.Energy.In = quantity.Exact(quantity.Metres(x.distance)), quantity.Exact(quantity.WattHours(x.out)), quantity.Exact(quantity.WattHours(x.in))
		if math.IsNaN(x.distance) {
			r.miss("distance", "No way.")
		}
		r.miss("energy-out", "No energy.")
		o := NewOptions()
		r.finish(&o)
		f, _ := r.Figure("energy-per-distance")
		if got := f.Quantity.Why() + strings.Trim(digits6(numberOf(f).Value), "Na"); got != x.want || f.Note != x.note {
			t.Errorf("%+v: %q, %q", x, got, f.Note)
		}
	}
	for _, x := range []struct {
		rated, out float64
		want       string
	}{{20, 5, "0.25"}, {0, 5, "The pack's rated charge is not stated."}, {-1, 5, "The pack's rated charge is not stated."}, {20, math.NaN(), "No charge."}} {
		r := newResult(EvidenceLog)
		r.Charge.Out = quantity.Exact(quantity.AmpereHours(x.out))
		r.miss("charge-out", "No charge.")
		o := NewOptions()
		o.Rated = quantity.Exact(quantity.AmpereHours(x.rated))
		r.finish(&o)
		f, _ := r.Figure("full-cycles")
		if got := f.Quantity.Why() + strings.Trim(digits6(numberOf(f).Value), "Na"); got != x.want {
			t.Errorf("%+v: %q", x, got)
		}
	}
	// The same by another rule is told from half a thousandth on.
	flow := func(out, straight, earlier, later, counted float64, open int) int {
		f := missingFlow[quantity.AmpereHours]()
		f.Out, f.Trapezoid.Out, f.Earlier.Out, f.Later.Out, f.Counted.Out, f.OpenEdges = quantity.Exact(quantity.AmpereHours(out)), quantity.AmpereHours(straight), quantity.AmpereHours(earlier), quantity.AmpereHours(later), quantity.AmpereHours(counted), open
		f.In, f.Trapezoid.In, f.Earlier.In, f.Later.In, f.Counted.In = f.Out, f.Trapezoid.Out, f.Earlier.Out, f.Later.Out, f.Counted.Out
		if a, b := len(flowExtras(&f, false)), len(flowExtras(&f, true)); a != b {
			t.Errorf("%d out, %d in", a, b)
		}
		return len(flowExtras(&f, false))
	}
	nan := math.NaN()
	for _, x := range []struct{ got, want int }{{flow(1, 1, 1, 1, nan, 1), 0}, {flow(1, 1.00049, 1, 1, nan, 1), 0}, {flow(1, 1.00051, 1, 1, nan, 1), 1}, {flow(1, 0.99949, 1, 1, nan, 1), 1}, {flow(1, 1, 1.1, 1, nan, 1), 2}, {flow(1, 1, 1, 1.1, nan, 1), 2}, {flow(1, 1, 1.1, 1.1, nan, 0), 0}, {flow(1, 1, 1, 1, 1, 0), 1}, {flow(1, 1.1, 1.1, 1.1, 1, 1), 4}, {flow(-1, -1.00049, 1, 1, nan, 0), 0}} {
		if x.got != x.want {
			t.Errorf("%d are told, want %d", x.got, x.want)
		}
	}
}

// TestRepeatsByHand: a figure over runs has its dimension, and its mean the standard error.
func TestRepeatsByHand(t *testing.T) {
	var runs []*Result
	for _, i := range []float64{5.0, 5.2, 5.4} {
		runs = append(runs, meter([]Sample{vi(0, 24, i), vi(3600, 24, i)}, NewOptions()))
	}
	for _, row := range Repeat(runs) {
		if row.Name != "charge-out" {
			continue
		}
		q := row.Interval()
		if q.Dimension != quantity.Charge || row.Dimension != quantity.Charge || row.Label != "Charge out" || row.Confidence != 0.95 || row.N != 3 || q.Decimals != -1 {
			t.Errorf("%+v, %+v", row, q)
		}
		near(t, "mean", q.Value, 5.2, 1e-12)
		near(t, "its standard error", q.U, 0.2/math.Sqrt(3), 1e-12)
		return
	}
	t.Error("no charge")
}

// TestShareOfWeights: the magnitude that a part of the weight exceeds, from the first to beyond the last.
func TestShareOfWeights(t *testing.T) {
	q := &quantiles{}
	if !math.IsNaN(q.exceededBy(1)) {
		t.Error("nothing is exceeded")
	}
	for _, w := range []weighted{{3, 1}, {-7, 2}, {5, 1}, {1, 4}, {9, 0}, {9, -1}, {math.NaN(), 1}} {
		q.add(w.value, w.weight)
	}
	for by, want := range map[float64]float64{0: 7, 1.9: 7, 2: 5, 2.9: 5, 3: 3, 4: 1, 7.9: 1, 8: 1, 99: 1} {
		if got := q.exceededBy(by); got != want {
			t.Errorf("exceeded by %v of 8: %v, want %v", by, got, want)
		}
	}
	for _, n := range []int{4096, 4097} {
		q := &quantiles{}
		for k := range n {
			q.add(10+float64(k)/1000, 1)
		}
		if exact := q.exceededBy(float64(n)/2) == 10+float64((n-1)/2)/1000; exact != (n == 4096) && exact != (n%2 == 0) || (q.bins == nil) != (n == 4096) {
			t.Errorf("of %d: exact %t", n, exact)
		}
	}
}

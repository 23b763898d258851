package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// A gap that is no length is none that is stated.
func TestWhatIsNoGap(t *testing.T) {
	for _, gap := range []float64{0, -5, math.NaN(), math.Inf(1), math.Inf(-1)} {
		o := NewOptions()
		o.Gap = quantity.Seconds(gap)
		if limit := NewMeter(o).walker.gapLimit; !math.IsNaN(limit) {
			t.Errorf("a gap of %g s: a limit of %g s", gap, limit)
		}
	}
	o := NewOptions()
	o.Gap = 20
	if limit := NewMeter(o).walker.gapLimit; limit != 20 {
		t.Errorf("a limit of %g s", limit)
	}
}

// TestWhatOneIntervalCounts: a counter over one interval of ten seconds, by the area under its course: out and in, by straight
// lines, with the edge at either end, and the variance by its reasons (a rectangle of half-width h has the variance h²/3).
func TestWhatOneIntervalCounts(t *testing.T) {
	stamped := func(p passage, u float64) passage { p.a.u = u; return p }
	ten := passage{b: instant{t: 10}, at: 0.5}
	open, placed := ten, ten
	open.kind, open.loose = openEdge, 5
	placed.kind, placed.at, placed.loose = placedEdge, 0.2, 0.5
	for _, x := range []struct {
		name               string
		p                  passage
		a, b, digit        float64
		out, in            float64
		trapOut, trapIn    float64
		earlierOut, later  float64
		varOut, varIn      [4]float64 // open, placed, between rows, stamps
		digitsOut, digitIn float64
	}{
		{"steady", ten, 4, 4, 0.1, 40, 0, 40, 0, 40, 40, [4]float64{}, [4]float64{}, 1, 0},
		{"rising", ten, 2, 6, 0.1, 40, 0, 40, 0, 40, 40, [4]float64{0, 0, 4 * 4 * 25. / 3, 0}, [4]float64{}, 1, 0},
		{"steady in", ten, -4, -4, 0.1, 0, 40, 0, 40, 0, 0, [4]float64{}, [4]float64{}, 0, 1},
		{"turning", ten, 3, -1, 0.1, 11.25, 1.25, 11.25, 1.25, 11.25, 11.25, [4]float64{0, 0, 9 * 25. / 3, 0}, [4]float64{0, 0, 25. / 3, 0}, 1, 0},
		{"turning the other way", ten, -3, 1, 0.1, 1.25, 11.25, 1.25, 11.25, 1.25, 1.25, [4]float64{0, 0, 25. / 3, 0}, [4]float64{0, 0, 9 * 25. / 3, 0}, 0, 1},
		{"as much out as in", ten, 2, -2, 0.1, 5, 5, 5, 5, 5, 5, [4]float64{0, 0, 4 * 25. / 3, 0}, [4]float64{0, 0, 4 * 25. / 3, 0}, 0, 0},
		{"an open edge", open, 0, 6, 0.1, 30, 0, 30, 0, 60, 0, [4]float64{36 * 25. / 3, 0, 0, 0}, [4]float64{}, 1, 0},
		{"an open edge in", open, -6, 0, 0.1, 0, 30, 0, 30, 0, 0, [4]float64{}, [4]float64{36 * 25. / 3, 0, 0, 0}, 0, 1},
		{"a placed edge", placed, 0, 6, 0.1, 48, 0, 30, 0, 60, 0, [4]float64{0, 36 * 0.25 / 3, 0, 0}, [4]float64{}, 1, 0},
		{"a placed edge in", placed, -6, 0, 0.1, 0, 12, 0, 30, 0, 0, [4]float64{}, [4]float64{0, 36 * 0.25 / 3, 0, 0}, 0, 1},
		{"rising between coarse stamps", stamped(ten, 0.2), 2, 6, 0, 40, 0, 40, 0, 40, 40, [4]float64{0, 0, 16 * 25. / 3, 16 * 0.04}, [4]float64{}, 0, 0},
		{"falling in between them", stamped(ten, 0.2), -2, -6, 0, 0, 40, 0, 40, 0, 0, [4]float64{}, [4]float64{0, 0, 16 * 25. / 3, 16 * 0.04}, 0, 0},
	} {
		var c counter
		p := x.p
		c.add(&p, x.a, x.b, x.digit)
		check := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-9 {
				t.Errorf("%s: %s %v, want %v", x.name, what, got, want)
			}
		}
		check("out", c.out.value(), x.out)
		check("in", c.in.value(), x.in)
		check("straight out", c.trapOut.value(), x.trapOut)
		check("straight in", c.trapIn.value(), x.trapIn)
		check("earlier", c.earlierOut.value(), x.earlierOut)
		check("later", c.laterOut.value(), x.later)
		if x.p.kind != ramp { // what does not go out by one rule comes in by it
			check("earlier in", c.earlierIn.value(), math.Max(-x.b, 0)*10)
			check("later in", c.laterIn.value(), math.Max(-x.a, 0)*10)
		} else {
			check("earlier in", c.earlierIn.value(), x.in)
			check("later in", c.laterIn.value(), x.in)
		}
		for k, why := range []cause{openEdges, placedEdges, betweenRows, stamps} {
			check(fmt.Sprintf("variance out, %d", k), c.varOut[why].value(), x.varOut[k])
			check(fmt.Sprintf("variance in, %d", k), c.varIn[why].value(), x.varIn[k])
		}
		check("digits out", c.varOut[lastDigits].value(), x.digitsOut*x.digit*x.digit*100)
		check("digits in", c.varIn[lastDigits].value(), x.digitIn*x.digit*x.digit*100)
	}
	for _, p := range []passage{{kind: gap, b: instant{t: 10}}} {
		var c counter
		if c.add(&p, 4, 4, 1); c != (counter{}) {
			t.Error("a gap is counted")
		}
	}
	var c counter
	if c.add(&ten, math.NaN(), 4, 1); c != (counter{}) {
		t.Error("what is not known is counted")
	}
	if c.add(&ten, 4, math.NaN(), 1); c != (counter{}) {
		t.Error("what is not known is counted")
	}
}

// TestWhatAccountsShare: the instruments' part of charge and energy over two intervals, one out and one in: 10 s at 6 A and 25 V, then
// 10 s at −2 A and 27 V, the current good to 1 % of the reading, the voltage to 0.5 % (rectangular), the last digits 0.1 A and 0.01 V.
func TestWhatAccountsShare(t *testing.T) {
	s := accounts{current: spec{quantity.Accuracy{Fraction: 0.01}, 0.1, true}, voltage: spec{quantity.Accuracy{Fraction: 0.005}, 0.01, true}}
	first := passage{a: instant{v: 25, i: 6}, b: instant{t: 10, v: 25, i: 6}, at: 0.5}
	second := passage{before: &first.a, a: instant{t: 10, v: 27, i: -2}, b: instant{t: 20, v: 27, i: -2}, at: 0.5}
	s.add(&first)
	s.add(&second)
	root3, h := math.Sqrt(3), 3600.
	q, e := s.chargeFlow(), s.energyFlow()
	digit := 0.1 / math.Sqrt(12) * 10 / h
	near(t, "out", float64(q.Out.Value), 60/h, 1e-12)
	near(t, "in", float64(q.In.Value), 20/h, 1e-12)
	near(t, "u out", float64(q.Out.U), math.Hypot(0.06/root3*10/h, digit), 1e-12)
	near(t, "u in", float64(q.In.U), math.Hypot(0.02/root3*10/h, digit), 1e-12)
	near(t, "energy out", float64(e.Out.Value), 1500/h, 1e-12)
	near(t, "energy in", float64(e.In.Value), 540/h, 1e-12)
	digits := func(i, v float64) float64 { return math.Hypot(v*0.1, i*0.01) / math.Sqrt(12) * 10 / h }
	near(t, "u energy out", float64(e.Out.U), math.Hypot(math.Hypot(25*0.06*10/root3/h, 6*0.125*10/root3/h), digits(6, 25)), 1e-12)
	near(t, "u energy in", float64(e.In.U), math.Hypot(math.Hypot(27*0.02*10/root3/h, 2*0.135*10/root3/h), digits(2, 27)), 1e-12)
	near(t, "samples out", float64(q.Sampling.Out), digit, 1e-12)

	// Without one of the two the energy's uncertainty is not known; without a voltage there is no energy.
	s.voltage.known = false
	if e := s.energyFlow(); !math.IsNaN(float64(e.Out.U)) || !math.IsNaN(float64(e.In.U)) || e.Out.Value == 0 {
		t.Errorf("%+v", e)
	}
	s.current.known = false
	if q := s.chargeFlow(); !math.IsNaN(float64(q.Out.U)) || !math.IsNaN(float64(q.In.U)) {
		t.Errorf("%+v", q)
	}
	var none accounts
	dark := passage{a: instant{v: math.NaN(), i: 6}, b: instant{t: 10, v: 25, i: 6}, at: 0.5}
	none.add(&dark)
	if none.withVoltage != 0 || none.energy.out.value() != 0 || none.charge.out.value() != 60 {
		t.Errorf("%+v", none)
	}
}

// TestEndsOfCoarseStamps: where a log, or a gap in it, begins or ends within a stamp, what flows in its uncertainty stands in the variance.
func TestEndsOfCoarseStamps(t *testing.T) {
	var s accounts
	a, b := instant{t: 0, v: 25, i: 6, u: 0.3}, instant{t: 10, v: 25, i: -2, u: 0.5}
	whole := passage{a: a, b: a, at: 0.5}
	s.add(&whole)
	near(t, "at the beginning", s.charge.varOut[stamps].value(), 6*0.3*6*0.3, 1e-12)
	near(t, "its energy", s.energy.varOut[stamps].value(), 150*0.3*150*0.3, 1e-9)
	s.add(&passage{before: &a, a: a, b: b, kind: gap})
	near(t, "before a gap", s.charge.varOut[stamps].value(), 2*6*0.3*6*0.3, 1e-12)
	near(t, "after a gap", s.charge.varIn[stamps].value(), 2*0.5*2*0.5, 1e-12)
	near(t, "its energy", s.energy.varIn[stamps].value(), 50*0.5*50*0.5, 1e-9)
	if s.last != b {
		t.Errorf("the last is %+v", s.last)
	}
	if s.withVoltage != 1 || s.charge.out.value() != 0 {
		t.Errorf("a gap is counted: %+v", s)
	}
	known := accounts{current: spec{quantity.Accuracy{Fraction: 0.01}, 0, true}, voltage: spec{known: true}}
	if known.add(&passage{a: a, b: b, kind: gap}); known.sharedOut.value() != 0 || known.sharedIn.value() != 0 || known.fromIOut.value() != 0 || known.withVoltage != 0 || known.edges != 0 {
		t.Errorf("a gap is counted: %+v", known)
	}
	s.add(&passage{before: &a, a: b, b: b, at: 0.5})
	near(t, "within a log nothing more", s.charge.varIn[stamps].value(), 2*0.5*2*0.5, 1e-12)
}

// TestVoltagesForCurrents: a row with a current takes its own voltage, or one on the line between those before and after it.
func TestVoltagesForCurrents(t *testing.T) {
	nan := math.NaN()
	join := func(rows ...[3]float64) string {
		var b strings.Builder
		j := newJoiner(func(a instant) { fmt.Fprintf(&b, "%g:%g,%.6g ", a.t, a.v, a.i) })
		for _, r := range rows {
			s := row(r[0], map[Channel]float64{Voltage: r[1], Current: r[2]})
			j.add(&s)
		}
		j.flush()
		return strings.TrimSpace(b.String())
	}
	for _, x := range []struct {
		rows [][3]float64
		want string
	}{
		{[][3]float64{{0, 26, 1}, {1, 25, 2}}, "0:26,1 1:25,2"},
		{[][3]float64{{0, 26, nan}, {1, nan, 5}, {3, nan, 6}, {4, 24, nan}}, "1:25.5,5 3:24.5,6"},
		{[][3]float64{{0, nan, 4}, {1, nan, 5}, {4, 24, 7}}, "0:24,4 1:24,5 4:24,7"},
		{[][3]float64{{0, 26, nan}, {1, nan, 5}}, "1:26,5"}, {[][3]float64{{0, nan, 5}}, "0:NaN,5"},
		{[][3]float64{{0, 26, nan}, {2, nan, 5}, {2, 22, nan}, {2, 23, nan}, {2, nan, 6}, {2, 21, nan}}, "2:22,5 2:21,6"},
	} {
		if got := join(x.rows...); got != x.want {
			t.Errorf("%v: %q, want %q", x.rows, got, x.want)
		}
	}
	// A voltage that stays away is waited for over so many rows, and then the last one holds.
	for _, x := range []struct {
		n    int
		want float64
	}{{255, 25}, {256, 26}, {257, 26}} {
		var first instant
		any := false
		j := newJoiner(func(a instant) {
			if !any {
				first, any = a, true
			}
		})
		s := row(0, map[Channel]float64{Voltage: 26})
		j.add(&s)
		for k := range x.n {
			s := row(float64(k)+1, map[Channel]float64{Current: 5})
			j.add(&s)
		}
		s = row(float64(x.n)+2, map[Channel]float64{Voltage: 26 - float64(x.n) - 2})
		j.add(&s)
		if first.t != 1 || first.v != x.want {
			t.Errorf("%d rows: %v V at %v, want %v", x.n, first.v, first.t, x.want)
		}
	}
}

// TestWhereAStepBegan: a time in the step says when the step began, where it began since the row before.
func TestWhereAStepBegan(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		name          string
		before, after Sample
		want          float64
	}{
		{"it goes on", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: 15}), nan},
		{"it began three seconds ago", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: 3}), 17},
		{"it began at the row", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: 0}), 20},
		{"just then, at the row before", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: 10}), 10},
		{"before the row before", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: 10.1}), nan},
		{"one per cent less than it would go on", row(10, map[Channel]float64{StepTime: 0}), row(20, map[Channel]float64{StepTime: 9.91}), nan},
		{"more than that", row(10, map[Channel]float64{StepTime: 0}), row(20, map[Channel]float64{StepTime: 9.89}), 10.11},
		{"two thousandths less, in a short interval", row(10, map[Channel]float64{StepTime: 0}), row(10.1, map[Channel]float64{StepTime: 0.0981}), nan},
		{"more than that, in a short interval", row(10, map[Channel]float64{StepTime: 0}), row(10.1, map[Channel]float64{StepTime: 0.0979}), 10.0021},
		{"below nought", row(10, map[Channel]float64{StepTime: 5}), row(20, map[Channel]float64{StepTime: -1}), nan},
		{"there was none before", row(10, nil), row(20, map[Channel]float64{StepTime: 3}), nan},
		{"there is none", row(10, map[Channel]float64{StepTime: 5}), row(20, nil), nan},
	} {
		for _, how := range []string{"", "anew", "loose"} {
			j := newJoiner(func(instant) {})
			j.step(&x.before)
			after, want := x.after, x.want
			switch how {
			case "anew":
				after.Restart, want = true, nan
			case "loose":
				after.Loose, want = 0.1, nan
			}
			got := j.step(&after)
			if math.IsNaN(got) != math.IsNaN(want) || math.Abs(got-want) > 1e-9 {
				t.Errorf("%s %s: %v, want %v", x.name, how, got, want)
			}
		}
	}
}

// TestEdgesAtTheirLimits: a passage and where its edge is placed, for what TestWhatIsAnEdge and TestWhatIsAGap leave open.
func TestEdgesAtTheirLimits(t *testing.T) {
	type point struct{ t, i float64 }
	walk := func(change func([]instant), points ...point) []passage {
		var rows []instant
		for _, p := range points {
			rows = append(rows, instant{t: p.t, i: p.i, v: 25, stepAt: math.NaN()})
		}
		if change != nil {
			change(rows)
		}
		var out []passage
		w := newWalker(math.NaN(), func(p *passage) { out = append(out, *p) })
		for _, r := range rows {
			w.add(r)
		}
		w.finish()
		return out
	}
	edge := []point{{0, 6}, {10, 6}, {20, 6}, {30, 6}, {40, 6}, {50, 0}, {60, 0}, {70, 0}}
	for _, x := range []struct {
		name      string
		change    func([]instant)
		kind      passageKind
		at, loose float64
	}{
		{"open", nil, openEdge, 0.5, 5},
		{"the step says when", func(r []instant) { r[5].stepAt = 43 }, placedEdge, 0.3, 0.5}, {"at its beginning", func(r []instant) { r[5].stepAt = 40 }, placedEdge, 0, 0.5}, {"at its end", func(r []instant) { r[5].stepAt = 50 }, placedEdge, 1, 0.5},
		{"before it", func(r []instant) { r[5].stepAt = 39.9 }, openEdge, 0.5, 5}, {"after it", func(r []instant) { r[5].stepAt = 50.1 }, openEdge, 0.5, 5},
		{"coarse stamps before it", func(r []instant) { r[4].u = 0.4 }, openEdge, 0.5, math.Hypot(5, math.Sqrt(3)*0.4)}, {"after it", func(r []instant) { r[5].u = 0.6 }, openEdge, 0.5, math.Hypot(5, math.Sqrt(3)*0.6)},
		{"coarse stamps, and a step that says when", func(r []instant) { r[5].u, r[5].stepAt = 0.6, 43 }, openEdge, 0.5, math.Hypot(5, math.Sqrt(3)*0.6)},
		{"at one instant", func(r []instant) { r[5].t = 40 }, placedEdge, 0, 0}, {"anew", func(r []instant) { r[5].restart = true }, gap, 0.5, 0},
		{"a rhythm that is just steady", func(r []instant) { r[1].t, r[2].t, r[4].t = 10.6, 19.9, 33 }, placedEdge, 0, 0.85}, {"one that is not", func(r []instant) { r[1].t, r[2].t, r[4].t = 8.5, 20, 33 }, openEdge, 0.5, 8.5},
		{"two intervals are no rhythm", func(r []instant) { r[0].t, r[1].t, r[4].t = 10, 10, 33 }, openEdge, 0.5, 8.5},
	} {
		p := walk(x.change, edge...)[4]
		if p.kind != x.kind || math.Abs(p.at-x.at) > 1e-9 || math.Abs(p.loose-x.loose) > 1e-9 {
			t.Errorf("%s: kind %d at %v ± %v, want %d at %v ± %v", x.name, p.kind, p.at, p.loose, x.kind, x.at, x.loose)
		}
	}
	// Rows of one time are no part of a rhythm.
	twice := walk(nil, point{0, 6}, point{10, 6}, point{20, 6}, point{20, 6}, point{30, 6}, point{40, 6}, point{43, 6}, point{53, 0}, point{63, 0})
	if p := twice[6]; p.kind != placedEdge || p.at != 0 {
		t.Errorf("a rhythm with two rows of one time places no edge: %+v", p)
	}
	// The first current of a log that is read whole sets what counts as a load among its first rows.
	first := walk(nil, point{0, 0.5}, point{1, 0.5}, point{2, 0.5}, point{3, 0.5}, point{4, 0.5}, point{90, 0.5}, point{91, 30}, point{92, 30})
	if !first[4].blind || first[4].kind != ramp {
		t.Errorf("half an ampere before thirty is a load: %+v", first[4])
	}
}

// TestRungsOfIdling: each rung of the ladder from a twentieth of the usual current on.
func TestRungsOfIdling(t *testing.T) {
	rungs := []float64{0.01, 0.02, 0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100}
	for k, rung := range rungs {
		o := NewOptions()
		if got := newStopRule(&o).choose(1, 20*rung, true).threshold; got != rung {
			t.Errorf("of %v A usual, %v A is idle", 20*rung, got)
		}
		if k > 0 {
			if got := newStopRule(&o).choose(1, 19.8*rung, true).threshold; got != rungs[k-1] {
				t.Errorf("of %v A usual, %v A is idle", 19.8*rung, got)
			}
		}
	}
	// Without a crossing an edge is loose by half its interval and by its stamps; the stop begins where the current changed.
	o := NewOptions()
	o.Idle, o.PauseAfter = 1, 10
	r := newStopRule(&o)
	a, b, c := instant{t: 0, i: 5}, instant{t: 10, i: 0, u: 0.2}, instant{t: 40, i: 5}
	r.current(&passage{a: a, b: b, at: 0.5})
	r.current(&passage{a: b, b: c, at: 0.25, kind: openEdge, loose: 3})
	w := r.choose(60, 5, true)
	if w.count != 1 || w.stops[0].Start != 5 || w.stops[0].Length != 12.5 || !w.stops[0].TakenOut {
		t.Fatalf("%+v", w.stops)
	}
	near(t, "its ends", w.looseAll.value(), (25+3*0.2*0.2+9)/3, 1e-9)
	r = newStopRule(&o)
	r.speed(0, 1, 0)
	r.speed(10, 0, 0.3)
	r.speed(30, 1, 0.4)
	w = r.choose(60, 5, true)
	if w.count != 1 || w.stops[0].Start != 5 || w.stops[0].Length != 15 {
		t.Fatalf("%+v", w.stops)
	}
	near(t, "its ends by the speed", w.looseAll.value(), (25+3*0.3*0.3+100+3*0.4*0.4)/3, 1e-9)
}

// TestRowsAtOneTimeAreNoInterval: rows of one time say nothing of how often the log writes.
func TestRowsAtOneTimeAreNoInterval(t *testing.T) {
	for _, n := range []int{4, 40} {
		var last passage
		w := newWalker(math.NaN(), func(p *passage) { last = *p })
		for k := range n {
			for range 3 {
				w.add(instant{t: 5 * float64(k), i: 10})
			}
		}
		end := instant{t: 5*float64(n-1) + 80, i: 10}
		w.add(end)
		w.finish()
		if n == 40 && last.kind == gap || last.length() != 80 {
			t.Errorf("%d stamps: 80 s after every 5 s are a gap: %+v", n, last)
		}
	}
	// Of three a stamp, the first four stamps have three intervals: too few to tell a gap from.
	var last passage
	w := newWalker(math.NaN(), func(p *passage) { last = *p })
	for _, at := range []float64{0, 0, 0, 5, 5, 10, 10, 71} {
		w.add(instant{t: at, i: 10})
	}
	if w.finish(); last.kind == gap {
		t.Errorf("three intervals tell a gap: %+v", last)
	}
	w = newWalker(math.NaN(), func(p *passage) { last = *p })
	for _, at := range []float64{0, 0, 0, 1, 1, 2, 3, 64.1} {
		w.add(instant{t: at, i: 10})
	}
	if w.finish(); last.kind != gap {
		t.Errorf("four intervals of which three are a second do not tell a gap: %+v", last)
	}
}

// TestTravelByHand: a distance by its rises, a way by the speed, what its instrument leaves, and how the stops leave the mean.
func TestTravelByHand(t *testing.T) {
	o := perfect()
	o.PauseAfter = 5
	var rows []Sample
	for k := range 41 {
		v, d := 2., 2*float64(min(k, 10))
		if k > 10 && k < 31 {
			v = 0
		}
		if k >= 31 {
			d = 20 + 2*float64(k-30)
		}
		rows = append(rows, row(float64(k), map[Channel]float64{Speed: v, Distance: d, Voltage: 25, Current: v}))
	}
	r := meter(rows, o)
	near(t, "distance", float64(r.Distance.Value), 40, 1e-12)
	near(t, "running", float64(r.Running.Value), 40-20, 1e-9)
	near(t, "mean speed", float64(r.MeanSpeed.Value), 2, 1e-9)
	near(t, "u of the mean speed", float64(r.MeanSpeed.U), 2*float64(r.Running.U)/20, 1e-12)
	near(t, "top speed", float64(r.TopSpeed.Value), 2, 0)
	for k := range rows {
		rows[k].Values[Distance] = math.NaN()
	}
	o.Instruments = []Instrument{{Channel: Speed, Accuracy: quantity.Accuracy{Fraction: 0.02}, Resolution: 0.1}}
	r = meter(rows, o)
	near(t, "way", float64(r.Distance.Value), 40, 1e-9) // 10 s at 2, one falling, one rising, 9 at 2
	shared := 0.02 * 40 / math.Sqrt(3)
	digits, steps := 0.1/math.Sqrt(12), 2*math.Sqrt(2)*0.5/math.Sqrt(3)
	near(t, "u of the way", float64(r.Distance.U), math.Sqrt(shared*shared+21*digits*digits+steps*steps), 1e-9)
	near(t, "u of the top speed", float64(r.TopSpeed.U), math.Hypot(0.04/math.Sqrt(3), digits), 1e-12)
	r = meter(rows[:1], o)
	if f, _ := r.Figure("mean-speed"); f.Quantity.Why() == "" {
		t.Errorf("one speed gives a mean: %+v", f)
	}
	if f, _ := r.Figure("distance"); f.Quantity.Why() == "" {
		t.Errorf("one speed gives a way: %+v", f)
	}
	if f, _ := r.Figure("temperature-rise"); f.Quantity.Why() != "The log has no temperature column." {
		t.Errorf("%+v", f)
	}
	two := meter([]Sample{row(0, map[Channel]float64{Temperature: 20}), row(9, map[Channel]float64{Temperature: 23})}, o)
	near(t, "rise", float64(two.TemperatureRise.Value), 3, 1e-12)
	one := meter([]Sample{row(0, map[Channel]float64{Temperature: 20})}, o)
	if one.TemperatureRise.Known() {
		t.Error("one temperature rises")
	}
}

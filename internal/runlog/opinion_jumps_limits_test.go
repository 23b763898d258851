package runlog

import (
	"fmt"
	"math"
	"slices"
	"testing"
)

// heard is what a witness can ask of where nothing else was measured.
func heard() *hearing {
	m := NewMeter(NewOptions())
	return &hearing{result: newResult(EvidenceLog), meter: m, options: &m.o, dialect: &Dialect{}}
}

// levels are those of what was said, by their first letters; a question mark stands behind what is said of the head or of a place
// in no row.
func levels(list []said) string {
	text := ""
	for _, s := range list {
		text += s.level.String()[:1]
		if s.line == 1 || s.line == 0 && s.offset != 0 {
			text += "?"
		}
	}
	return text
}

// jumped hears rows of a time, a voltage and a current.
func jumped(rows ...[3]float64) *jumpWitness {
	w := &jumpWitness{}
	for k, r := range rows {
		s := vi(r[0], r[1], r[2])
		s.Line = k + 2
		w.row(&s)
	}
	return w
}

// five are rows a second apart of which two and three have these values: volts and amperes.
func five(v0, v1, v2, v3, v4, i0, i1, i2, i3, i4 float64) [][3]float64 {
	return [][3]float64{{0, v0, i0}, {1, v1, i1}, {2, v2, i2}, {3, v3, i3}, {4, v4, i4}}
}

func TestGreatestMoveOfATemperature(t *testing.T) {
	for d, want := range map[float64]float64{0: 3, 10: 3, 10.1: 10, 60: 10, 60.1: 20, 900: 20} {
		if got := warmest(d); got != want {
			t.Errorf("%g s: %g K, want %g", d, got, want)
		}
	}
}

// Rows that are judged together are at most a minute apart, and five of them at most four.
func TestRowsJudgedTogether(t *testing.T) {
	for _, c := range []struct {
		times []float64
		pairs int
	}{
		{[]float64{0, 60}, 0}, {[]float64{0, 60, 61}, 1}, {[]float64{0, 60.5, 61}, 0}, {[]float64{0, 63, 64}, 0}, {[]float64{0, 57.5, 58}, 1},
		{[]float64{0, 60, 120, 180, 240}, 3}, {[]float64{0, 60, 120, 180, 241}, 2}, {[]float64{0, 60, 120, 180, 236}, 3},
	} {
		var rows [][3]float64
		for _, at := range c.times {
			rows = append(rows, [3]float64{at, 25, 5})
		}
		if got := jumped(rows...).pairs; got != c.pairs {
			t.Errorf("%v: %d pairs, want %d", c.times, got, c.pairs)
		}
	}
}

func TestKindsOfJumps(t *testing.T) {
	kinds := func(w *jumpWitness) string {
		return fmt.Sprintf("loaded %d mirrored %d edges %d unmoved %d jumps %d", w.loaded, w.mirrored, w.edges, w.unmoved, w.jumps)
	}
	const none = "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 0"
	for _, c := range []struct {
		name string
		rows [][3]float64
		want string
	}{
		{"by three tenths", five(25, 25, 25, 32.4, 32.4, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"across a row without a current", [][3]float64{{0, 25, 10}, {1, 25, 10}, {2, 25, math.NaN()}, {3, 25, 10}, {4, 26, 10}, {5, 26, 10}}, "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"by more", five(25, 25, 25, 32.6, 32.6, 10, 10, 10, 10, 10), "loaded 1 mirrored 0 edges 0 unmoved 0 jumps 0"},
		{"down by more", five(32.6, 32.6, 32.6, 25, 25, 10, 10, 10, 10, 10), "loaded 1 mirrored 0 edges 0 unmoved 0 jumps 0"},
		{"below half a volt", five(0.3, 0.3, 0.3, 0.49, 0.49, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"above half a volt", five(0.3, 0.3, 0.3, 0.51, 0.51, 10, 10, 10, 10, 10), "loaded 1 mirrored 0 edges 0 unmoved 0 jumps 0"},
		{"half a volt", five(0.25, 0.25, 0.25, 0.5, 0.5, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"a twentieth of the peak flows", [][3]float64{{0, 25, 10}, {1, 25, 0.5}, {2, 25, 0.5}, {3, 25, 0.5}, {4, 25, 0.5}, {5, 25, 0.5}, {6, 35, 0.5}, {7, 35, 0.5}}, "loaded 0 mirrored 0 edges 1 unmoved 1 jumps 1"},
		{"less than a twentieth flows", [][3]float64{{0, 25, 10}, {1, 25, 0.49}, {2, 25, 0.49}, {3, 25, 0.49}, {4, 25, 0.49}, {5, 25, 0.49}, {6, 35, 0.49}, {7, 35, 0.49}}, "loaded 0 mirrored 0 edges 1 unmoved 1 jumps 1"},
		{"more than a twentieth flows", [][3]float64{{0, 25, 10}, {1, 25, 0.51}, {2, 25, 0.51}, {3, 25, 0.51}, {4, 25, 0.51}, {5, 25, 0.51}, {6, 35, 0.51}, {7, 35, 0.51}}, "loaded 1 mirrored 0 edges 1 unmoved 1 jumps 0"},
		{"it flows before alone", [][3]float64{{0, 25, 10}, {1, 25, 10}, {2, 35, 0.1}, {3, 35, 0.1}}, "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a sign and its size", five(25, 25, 25, 25.6, 25.6, 10, 10, 10, -10, -10), "loaded 0 mirrored 1 edges 1 unmoved 0 jumps 0"},
		{"a sign and a size within a twentieth", five(25, 25, 25, 25.6, 25.6, 10, 10, 10, -9.51, -9.51), "loaded 0 mirrored 1 edges 1 unmoved 0 jumps 0"},
		{"a size a twentieth more", five(25, 25, 25, 25.6, 25.6, 10, 10, 10, -10.51, -10.51), "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a size a twentieth less", five(25, 25, 25, 25.6, 25.6, 10, 10, 10, -9.49, -9.49), "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a sign of nothing", [][3]float64{{0, 25, 10}, {1, 25, 10}, {2, 25.5, 0.19}, {3, 25.5, -0.19}, {4, 25.5, -0.19}}, "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a sign of a little", [][3]float64{{0, 25, 10}, {1, 25, 10}, {2, 25.5, 0.205}, {3, 25.5, -0.205}, {4, 25.5, -0.205}}, "loaded 0 mirrored 1 edges 1 unmoved 0 jumps 0"},
		{"a sign of just as little", [][3]float64{{0, 25, 10}, {1, 25, 10}, {2, 25.5, 0.2}, {3, 25.5, -0.2}, {4, 25.5, -0.2}}, "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a step of half", five(25, 25, 25, 25, 25, 10, 10, 10, 5, 5), "loaded 0 mirrored 0 edges 1 unmoved 1 jumps 0"},
		{"a step of less", five(25, 25, 25, 25, 25, 10, 10, 10, 5.1, 5.1), none},
		{"a step of more", five(25, 25, 25, 25, 25, 10, 10, 10, 4.9, 4.9), "loaded 0 mirrored 0 edges 1 unmoved 1 jumps 0"},
		{"answered by a thousandth and less", five(25, 25, 25, 25.0245, 25.0245, 10, 10, 10, 5, 5), "loaded 0 mirrored 0 edges 1 unmoved 1 jumps 0"},
		{"answered by more", five(25, 25, 25, 25.0255, 25.0255, 10, 10, 10, 5, 5), "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"answered a row later", five(25, 25, 25, 25, 25.1, 10, 10, 10, 5, 5), "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"answered a row before", five(25, 25, 25.1, 25.1, 25.1, 10, 10, 10, 5, 5), "loaded 0 mirrored 0 edges 1 unmoved 0 jumps 0"},
		{"a jump of 3 %", five(25, 25, 25, 25.76, 25.76, 10, 10, 10, 10, 10), none},
		{"a jump of more", five(25, 25, 25, 25.79, 25.79, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"a jump while the current moves by a twentieth", five(25, 25, 25, 26, 26, 10, 10, 10, 9.51, 9.51), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"a jump while the current moves by more", five(25, 25, 25, 26, 26, 10, 10, 10, 9.49, 9.49), none},
		{"a jump while the current moved before", five(25, 25, 25, 26, 26, 10, 9.4, 9.4, 9.4, 9.4), none},
		{"a move of 20 mV", five(0.1, 0.1, 0.1, 0.1195, 0.1195, 10, 10, 10, 10, 10), none},
		{"a move of more", five(0.1, 0.1, 0.1, 0.1205, 0.1205, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"a third of it before", five(25, 24.66, 25, 26, 26, 10, 10, 10, 10, 10), none},
		{"less than a third before", five(25, 24.68, 25, 26, 26, 10, 10, 10, 10, 10), "loaded 0 mirrored 0 edges 0 unmoved 0 jumps 1"},
		{"a third of it after", five(25, 25, 25, 26, 26.34, 10, 10, 10, 10, 10), none},
		{"without a voltage", five(math.NaN(), math.NaN(), math.NaN(), math.NaN(), math.NaN(), 10, 10, 10, 0, 0), none},
		{"no current at all", five(25, 25, 25, 26, 26, 0, 0, 0, 0, 0), none},
		{"no voltage at all", five(0, 0, 0, 0, 0, 10, 10, 10, 0, 0), none},
	} {
		if got := kinds(jumped(c.rows...)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// What the voltage moves by at an edge is known after three, 0.1 Ω here: a quarter of it is no answer, half of what the greatest
// current takes is a jump.
func TestJumpsBesideAnswers(t *testing.T) {
	after := func(edges int, more ...[2]float64) *jumpWitness {
		var rows [][3]float64
		add := func(v, i float64) {
			for range 6 {
				rows = append(rows, [3]float64{float64(len(rows)), v, i})
			}
		}
		add(25, 10)
		for k := range edges {
			if k%2 == 0 {
				add(25.5, 5)
			} else {
				add(25, 10)
			}
		}
		for _, x := range more {
			add(x[0], x[1])
		}
		return jumped(rows...)
	}
	for _, c := range []struct {
		name           string
		w              *jumpWitness
		unmoved, jumps int
	}{
		{"a quarter and less", after(3, [2]float64{25.38, 10}), 1, 0}, {"more than a quarter", after(3, [2]float64{25.37, 10}), 0, 0},
		{"a quarter and less of two", after(2, [2]float64{25.12, 5}), 0, 0}, {"after four", after(4, [2]float64{25.12, 5}), 1, 0},
		{"half of the greatest", after(3, [2]float64{25.98, 5}), 0, 0}, {"more than half", after(3, [2]float64{26.02, 5}), 0, 1},
		{"half after two", after(2, [2]float64{25.6, 10}), 0, 0},
	} {
		if c.w.unmoved != c.unmoved || c.w.jumps != c.jumps {
			t.Errorf("%s: %d unmoved, %d jumps, want %d, %d", c.name, c.w.unmoved, c.w.jumps, c.unmoved, c.jumps)
		}
	}
	stiff := &jumpWitness{peak: 10, answered: 3, count: 4}
	stiff.answer.add(0.001)
	stiff.steps.add(10)
	for moved, jumps := range map[float64]int{0.124: 0, 0.1275: 1} { // half a per cent of the voltage at the least
		w := *stiff
		for k := range w.rows {
			w.rows[k] = jumpRow{t: float64(k), v: 25, i: 10}
		}
		w.rows[3].v, w.rows[4].v = 25+moved, 25+moved
		w.judge()
		if w.jumps != jumps {
			t.Errorf("a move of %g V: %d jumps", moved, w.jumps)
		}
	}
}

// What grows by more than a fifth makes nothing of what came before.
func TestGreatestCurrentGrows(t *testing.T) {
	for to, edges := range map[float64]int{11.9: 1, 12.1: 0} {
		w := jumped([3]float64{0, 25, 10}, [3]float64{1, 25, 10}, [3]float64{2, 25.5, 4}, [3]float64{3, 25.5, 4}, [3]float64{4, 25.5, 4}, [3]float64{5, 24, to})
		if w.edges != edges {
			t.Errorf("to %g A: %d edges", to, w.edges)
		}
		if w.peak != to {
			t.Errorf("to %g A: a peak of %g A", to, w.peak)
		}
	}
}

func TestVoltagesBesideTheCurrent(t *testing.T) {
	const no = math.MaxFloat64 // as a current: none
	for _, c := range []struct {
		name string
		rows [][2]float64
		want int
	}{
		{"by three tenths", [][2]float64{{25, 5}, {32.4, no}}, 0}, {"by more", [][2]float64{{25, 5}, {32.6, no}}, 1}, {"less by more", [][2]float64{{32.6, no}, {25, 5}}, 1},
		{"with a current each", [][2]float64{{25, 5}, {35, 5}}, 0}, {"without", [][2]float64{{25, no}, {35, no}}, 0},
		{"across a row without a voltage", [][2]float64{{25, 5}, {math.NaN(), 5}, {35, 5}}, 1}, {"across a row without both", [][2]float64{{25, 5}, {math.NaN(), no}, {35, 5}}, 0},
		{"across rows of which one holds a current", [][2]float64{{25, 5}, {math.NaN(), 5}, {math.NaN(), no}, {35, 5}}, 1},
		{"up to half a volt", [][2]float64{{0.1, 5}, {0.49, no}}, 0}, {"beyond", [][2]float64{{0.1, 5}, {0.51, no}}, 1}, {"to half a volt", [][2]float64{{0.1, 5}, {0.5, no}}, 0},
		{"once and back", [][2]float64{{25, 5}, {35, no}, {25, 5}}, 2},
	} {
		w := &jumpWitness{}
		for k, r := range c.rows {
			s := vi(float64(k), r[0], r[1])
			if r[1] == no {
				s.Values[Current] = math.NaN()
			}
			s.Line = k + 2
			w.besides(&s)
		}
		if w.aside != c.want || w.aside > 0 && w.firstAside.line == 0 {
			t.Errorf("%s: %d, want %d", c.name, w.aside, c.want)
		}
		w.row(&Sample{Restart: true})
	}
	w := &jumpWitness{}
	a, b := vi(0, 25, 5), vi(1, 35, math.NaN())
	b.Restart = true
	w.besides(&a)
	w.besides(&b)
	if w.aside != 0 {
		t.Error("a log that begins again is another one")
	}
}

// How often a jump is told of, by its counts.
func TestWhatIsSaidOfJumps(t *testing.T) {
	for _, c := range []struct {
		name string
		w    jumpWitness
		want string
	}{
		{"nothing", jumpWitness{}, ""},
		{"loaded", jumpWitness{loaded: 1}, "w"}, {"aside", jumpWitness{aside: 1, count: 1}, "w"}, {"aside without a current", jumpWitness{aside: 1}, ""}, {"warm", jumpWitness{warm: 1}, "w"},
		{"mirrored", jumpWitness{mirrored: 1, pairs: 6, peak: 9}, "n"}, {"mirrored in a fifth", jumpWitness{mirrored: 1, pairs: 5, peak: 9}, ""}, {"mirrored in nothing", jumpWitness{mirrored: 1, pairs: 6, peak: 2}, ""},
		{"above twenty digits", jumpWitness{mirrored: 1, pairs: 6, peak: 2.01}, "n"}, {"just above 19", jumpWitness{mirrored: 1, pairs: 6, peak: 1.95}, ""},
		{"restless", jumpWitness{restless: 5, warmPairs: 249}, "w"}, {"four", jumpWitness{restless: 4, warmPairs: 10}, ""}, {"five of many", jumpWitness{restless: 5, warmPairs: 250}, ""},
		{"unmoved", jumpWitness{unmoved: 1, edges: 2, pairs: 11, peak: 9}, "w"}, {"less than half", jumpWitness{unmoved: 1, edges: 3, pairs: 16, peak: 9}, "n"}, {"a fifth of edges", jumpWitness{unmoved: 1, edges: 2, pairs: 10, peak: 9}, ""},
		{"two jumps", jumpWitness{jumps: 2, pairs: 10}, "w"}, {"one", jumpWitness{jumps: 1, pairs: 10, greatest: 0.05}, ""}, {"a great one", jumpWitness{jumps: 1, pairs: 10, greatest: 0.051}, "w"}, {"more than a fifth", jumpWitness{jumps: 2, pairs: 9}, "e"},
	} {
		h := heard()
		h.meter.written = decimalGrain{decimals: 1}
		if got := levels(c.w.say(h)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A temperature that moves within 10 s by more than 1.5 K is restless, and by more than 3 K it jumps.
func TestTemperaturesThatJump(t *testing.T) {
	for _, c := range []struct {
		d, moved                  float64
		restart                   bool
		warm, restless, warmPairs int
	}{
		{10, 1.5, false, 0, 0, 1}, {10, 1.55, false, 0, 1, 1}, {10, -1.55, false, 0, 1, 1}, {10, 3, false, 0, 1, 1}, {10, 3.1, false, 1, 1, 1}, {10, -3.1, false, 1, 1, 1},
		{10.2, 9.9, false, 0, 0, 0}, {10.2, 10.1, false, 1, 0, 0}, {900, 19.9, false, 0, 0, 0}, {900, 20.1, false, 1, 0, 0}, {901, 30, false, 0, 0, 0}, {10, 30, true, 0, 0, 0},
	} {
		w := &jumpWitness{}
		a, b := row(100, map[Channel]float64{Temperature: 20}), row(100+c.d, map[Channel]float64{Temperature: 20 + c.moved})
		b.Restart, b.Line = c.restart, 3
		w.row(&a)
		w.row(&b)
		if w.warm != c.warm || w.restless != c.restless || w.warmPairs != c.warmPairs {
			t.Errorf("%+v: %d, %d, %d", c, w.warm, w.restless, w.warmPairs)
		}
		if w.warm > 0 && w.firstWarm.line != 3 || w.restless > 0 && w.firstRestless.line != 3 {
			t.Errorf("%+v: in another row", c)
		}
	}
}

// alongside is a sum of n differences with these correlations of temperature and current, voltage and temperature, voltage and current.
func alongside(n int, step float64, r ...float64) *together {
	w := &together{n: n, step: step, high: 10}
	for k := range 3 {
		w.square[k].add(float64(n))
		w.cross[k].add(float64(n) * r[k])
	}
	return w
}

func TestColumnsThatMoveTogether(t *testing.T) {
	for _, c := range []struct {
		name string
		w    *together
		want string
	}{
		{"surely", alongside(20, 1, 0.81, 0.1, 0.1), "e"}, {"surely, the other", alongside(20, 1, 0.1, 0.81, 0.1), "e"}, {"nineteen rows", alongside(19, 1, 0.9, 0.1, 0.1), ""},
		{"just so much", alongside(20, 1, 0.8, 0.1, 0.1), "e"}, {"a small step", alongside(20, 0.99, 0.9, 0.1, 0.1), ""}, {"a step a little less", alongside(20, 0.96, 0.9, 0.1, 0.1), ""}, {"a step a little more", alongside(20, 1.04, 0.9, 0.1, 0.1), "e"},
		{"not surely and few rows", alongside(99, 5, 0.79, 0.1, 0.1), ""}, {"not surely", alongside(100, 5, 0.79, 0.1, 0.1), "w"}, {"a step of three tenths", alongside(100, 3, 0.5, 0.1, 0.1), "w"}, {"a step of less", alongside(100, 2.95, 0.5, 0.1, 0.1), ""},
		{"little", alongside(100, 5, 0.39, 0.1, 0.1), ""}, {"enough", alongside(100, 5, 0.41, 0.1, 0.1), "w"}, {"just enough", alongside(100, 5, 0.4, 0.1, 0.1), "w"},
		{"half as much beside it", alongside(100, 5, 0.9, 0.46, 0.1), ""}, {"less beside it", alongside(100, 5, 0.9, 0.44, 0.1), "e"}, {"half as much of the others", alongside(100, 5, 0.9, 0.1, 0.46), ""}, {"less of the others", alongside(100, 5, 0.9, 0.1, 0.44), "e"},
		{"seldom", &together{alone: [2]int{0, 20}, apart: [2]int{100, 0}}, "w"}, {"seldom, the other", &together{alone: [2]int{20, 0}, apart: [2]int{0, 100}}, "w"}, {"too few", &together{alone: [2]int{0, 10}, apart: [2]int{99, 0}}, ""},
		{"not so seldom", &together{alone: [2]int{0, 21}, apart: [2]int{100, 0}}, ""}, {"just so seldom", &together{alone: [2]int{0, 24}, apart: [2]int{120, 0}}, "w"}, {"a little less seldom", &together{alone: [2]int{0, 24}, apart: [2]int{119, 0}}, ""},
		{"never", &together{alone: [2]int{0, 0}, apart: [2]int{100, 0}}, ""}, {"once", &together{alone: [2]int{0, 1}, apart: [2]int{100, 0}}, "w"},
	} {
		if got := levels(c.w.say("")); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// What the sums hold of rows: differences of rows at most a minute apart.
func TestRowsThatMoveTogether(t *testing.T) {
	w := &together{}
	add := func(at, v, i, c float64, restart bool) {
		s := row(at, map[Channel]float64{Voltage: v, Current: i, Temperature: c})
		s.Restart = restart
		w.row(&s)
	}
	add(0, 25, 5, 20, false)
	add(60, 24, 8, 22, false) // −1, 3, 2
	add(121, 23, 9, 21, false)
	add(122, 22, 7, 26, true)
	add(123, 21, 6, 18, false) // −1, −1, −8
	if w.n != 2 || w.step != 8 || w.low != 18 || w.high != 26 || w.alone != [2]int{5, 5} || w.apart != [2]int{} {
		t.Errorf("%d differences, step %g, from %g to %g, %v, %v", w.n, w.step, w.low, w.high, w.alone, w.apart)
	}
	got := []float64{w.sum[0].value(), w.sum[1].value(), w.sum[2].value(), w.square[0].value(), w.square[1].value(), w.square[2].value(), w.cross[0].value(), w.cross[1].value(), w.cross[2].value()}
	if want := []float64{-2, 2, -6, 2, 10, 68, 14, 6, -2}; !slices.Equal(got, want) {
		t.Errorf("sums %v, want %v", got, want)
	}
	none := math.NaN()
	add(124, 21, none, 18, false)
	add(125, none, 5, 18, false)
	add(126, none, none, 18, false)
	add(127, 21, 5, none, false)
	if w.n != 2 || w.alone != [2]int{7, 7} || w.apart != [2]int{1, 1} {
		t.Errorf("%d, %v, %v", w.n, w.alone, w.apart)
	}
}

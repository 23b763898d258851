package runlog

import (
	"fmt"
	"math"
	"testing"
)

// Two thermometers are read another way where that brings them within 3 K of each other.
func TestOtherReadings(t *testing.T) {
	for _, c := range []struct {
		first, second float64
		units         [2]string
		which         int
		looks         string
	}{
		{20, 29.9, [2]string{"°C", "°C"}, 0, ""}, {-4.9, 4.9, [2]string{"°C", "°C"}, 0, ""}, {-5.1, 5.1, [2]string{"°C", "°C"}, 0, "of the other sign"}, {-5, 5, [2]string{"°C", "°C"}, 0, "of the other sign"},
		{-20, 22.9, [2]string{"°C", "°C"}, 0, "of the other sign"}, {-20, 23.1, [2]string{"°C", "°C"}, 0, ""}, {22.9, -20, [2]string{"°C", "°C"}, 1, "of the other sign"},
		{0.02, 22.9, [2]string{"°C", "°C"}, 0, "a thousand times too small"}, {0.02, 23.1, [2]string{"°C", "°C"}, 0, ""}, {22.9, 0.02, [2]string{"°C", "°C"}, 1, "a thousand times too small"},
		{-5, 20, [2]string{"°F", "°C"}, 0, "°C, read as °F"}, {-5, 20, [2]string{"°C", "°C"}, 0, ""}, {-5, 26.1, [2]string{"°F", "°C"}, 0, ""}, {-5, 25.9, [2]string{"°F", "°C"}, 0, "°C, read as °F"},
		{68, 20, [2]string{"°C", "°C"}, 0, "°F, read as °C"}, {68, 20, [2]string{"K", "°C"}, 0, ""}, {68, 23.1, [2]string{"°C", "°C"}, 0, ""}, {68, 22.9, [2]string{"°C", "°C"}, 0, "°F, read as °C"}, {68, 17.1, [2]string{"°C", "°C"}, 0, "°F, read as °C"}, {68, 16.9, [2]string{"°C", "°C"}, 0, ""}, {20, 68, [2]string{"°C", "°C"}, 1, "°F, read as °C"},
		{44.9, 7, [2]string{"°C", "°C"}, 0, ""}, {45, 7, [2]string{"°C", "°C"}, 0, "°F, read as °C"}, {46, 7, [2]string{"°C", "°C"}, 0, "°F, read as °C"},
		{20 - 273.15, 20, [2]string{"K", "°C"}, 0, "°C, read as K"}, {17.1 - 273.15, 20, [2]string{"K", "°C"}, 0, "°C, read as K"}, {16.9 - 273.15, 20, [2]string{"K", "°C"}, 0, ""},
		{-99, 101, [2]string{"°C", "°C"}, 0, "of the other sign"}, {-101, 100, [2]string{"°C", "°C"}, 0, ""}, {61, -61, [2]string{"°C", "°C"}, 1, "of the other sign"}, {61, -59.9, [2]string{"°C", "°C"}, 1, "of the other sign"},
		{10, -10, [2]string{"°C", "°C"}, 1, "of the other sign"}, {-100, 100, [2]string{"°C", "°C"}, 0, "of the other sign"}, {60, -60, [2]string{"°C", "°C"}, 1, "of the other sign"},
	} {
		which, looks, ok := otherReading([2]float64{c.first, c.second}, c.units)
		if which != c.which || looks != c.looks || ok != (c.looks != "") {
			t.Errorf("%g and %g, %v: %d, %q, want %d, %q", c.first, c.second, c.units, which, looks, c.which, c.looks)
		}
	}
}

func thermometersOf(second Channel, rows ...[2]float64) *thermometers {
	w := &thermometers{}
	for k, r := range rows {
		s := row(float64(k), map[Channel]float64{Temperature: r[0], second: r[1]})
		s.Line = k + 2
		w.row(&s, second)
	}
	return w
}

// beginning are rows that stay, before others.
func beginning(n int, a, b float64, more ...[2]float64) [][2]float64 {
	var rows [][2]float64
	for range n {
		rows = append(rows, [2]float64{a, b})
	}
	return append(rows, more...)
}

func TestThermometersThatExchange(t *testing.T) {
	for _, c := range []struct {
		name string
		rows [][2]float64
		want int
	}{
		{"exchanged", beginning(10, 20, 30, [2]float64{30, 20}), 1}, {"and back", beginning(10, 20, 30, [2]float64{30, 20}, [2]float64{20, 30}), 2}, {"too soon", beginning(9, 20, 30, [2]float64{30, 20}), 0},
		{"within a quarter", beginning(10, 20, 28, [2]float64{30, 20}), 1}, {"beyond it", beginning(10, 20, 28, [2]float64{30.1, 20}), 0}, {"the other beyond it", beginning(10, 20, 28, [2]float64{28, 17.9}), 0}, {"the other within", beginning(10, 20, 28, [2]float64{28, 18}), 1},
		{"five digits apart", beginning(10, 20, 25, [2]float64{25, 20}), 1}, {"four digits apart", beginning(10, 20, 24, [2]float64{24, 20}), 0}, {"five tenths", beginning(10, 20.1, 20.6, [2]float64{20.6, 20.1}), 1}, {"four tenths", beginning(10, 20.1, 20.5, [2]float64{20.5, 20.1}), 0},
		{"a fine one beside a coarse one", beginning(10, 20.1, 24, [2]float64{24, 20.1}), 0},
	} {
		w := thermometersOf(Ambient, c.rows...)
		if w.exchanged != c.want || c.want > 0 && w.firstExchanged.line != 12 || w.firstRow.line != 2 || w.rows != len(c.rows) {
			t.Errorf("%s: %d exchanges, first at %d", c.name, w.exchanged, w.firstExchanged.line)
		}
	}
	w := thermometersOf(Ambient, beginning(10, 20, 30)...)
	s := row(11, map[Channel]float64{Temperature: 30, Ambient: 20})
	s.Restart = true
	w.row(&s, Ambient)
	if w.exchanged != 0 || w.begin != [2]float64{200, 300} || w.low != [2]float64{20, 20} || w.high != [2]float64{30, 30} || w.moves != [2]float64{100, 100} {
		t.Errorf("%+v", w)
	}
	if w := thermometersOf(Ambient, [2]float64{20, 30}, [2]float64{math.NaN(), 3}, [2]float64{3, math.NaN()}); w.rows != 1 || w.moves != [2]float64{} || w.begin != [2]float64{20, 30} {
		t.Errorf("rows of one thermometer are not compared: %+v", w)
	}
	if w := thermometersOf(Ambient, [2]float64{20.1234567, 30.12345}); w.grain[0].decimals != 7 || w.grain[1].decimals != 5 {
		t.Errorf("digits %d and %d", w.grain[0].decimals, w.grain[1].decimals)
	}
	// Five times what they move by, the square root of the mean of the squares: 2 K here.
	told := &thermometers{rows: 9, moves: [2]float64{36, 1}}
	for apart, want := range map[float64]bool{9.9: false, 10: true, 10.1: true} {
		if told.told(apart) != want {
			t.Errorf("%g K apart: %t", apart, !want)
		}
	}
}

func TestWhatIsSaidOfThermometers(t *testing.T) {
	for _, c := range []struct {
		name  string
		other Channel
		w     thermometers
		want  string
	}{
		{"no rows", Ambient, thermometers{exchanged: 1}, ""},
		{"alike", Ambient, thermometers{rows: 20, begin: [2]float64{200, 210}, low: [2]float64{20, 21}, high: [2]float64{30, 22}}, ""},
		{"another reading", SecondTemperature, thermometers{rows: 4, begin: [2]float64{80, -80}}, "w"},
		{"exchanged", SecondTemperature, thermometers{rows: 20, begin: [2]float64{200, 200}, exchanged: 1}, "w"},
		{"air that moves", Ambient, thermometers{rows: 20, begin: [2]float64{200, 200}, low: [2]float64{20, 20}, high: [2]float64{21, 23}}, "n"},
		{"a second one that moves", SecondTemperature, thermometers{rows: 20, begin: [2]float64{200, 200}, low: [2]float64{20, 20}, high: [2]float64{21, 23}}, ""},
		{"air that moves by less", Ambient, thermometers{rows: 20, begin: [2]float64{200, 200}, low: [2]float64{20, 20}, high: [2]float64{20, 22.9}}, ""},
		{"less than three times", Ambient, thermometers{rows: 20, begin: [2]float64{200, 200}, low: [2]float64{20, 20}, high: [2]float64{21.1, 23.2}}, ""},
		{"air that falls", Ambient, thermometers{rows: 20, begin: [2]float64{200, 230}, low: [2]float64{20, 20}, high: [2]float64{20, 23}}, ""},
		{"air that rises by most of it", Ambient, thermometers{rows: 20, begin: [2]float64{200, 205.5}, low: [2]float64{20, 20}, high: [2]float64{20, 23}}, "n"},
		{"air that rises by less of it", Ambient, thermometers{rows: 20, begin: [2]float64{200, 206.5}, low: [2]float64{20, 20}, high: [2]float64{20, 23}}, ""},
	} {
		if got := levels(c.w.say(&Dialect{}, c.other)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A row is compared from a fifth of the greatest on, and where neither is nothing.
func TestRowsOfTwoFlows(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		rows int
	}{{2, 0.1, 1}, {1.95, 0.1, 0}, {0.1, 2, 1}, {0.1, 1.95, 0}, {1, 1, 0}, {-2, 0.1, 1}, {5, 0.001, 0}, {5, 0.00104, 1}, {5, 0.00096, 0}, {0.001, 5, 0}, {0.00104, 5, 1}} {
		w := &flowPair{}
		for _, at := range [][2]float64{{10, 10}, {c.a, c.b}} {
			s := row(0, map[Channel]float64{Current: at[0], SecondCurrent: at[1]})
			w.row(&s, Current, SecondCurrent)
		}
		if w.rows != 1+c.rows {
			t.Errorf("%g and %g: %d rows", c.a, c.b, w.rows-1)
		}
	}
}

// scaleOf judges four rows a second apart.
func scaleOf(c Channel, seconds, moved float64, x ...float64) *scaleColumn {
	k := &scaleColumn{}
	for j := range 4 {
		k.rows[j] = scaleRow{t: float64(j), x: x[j], v: 25, line: j + 2}
	}
	k.rows[2].t = 1 + seconds
	k.rows[2].v, k.rows[3].v = 25*(1+moved), 25*(1+moved)
	k.judge(c)
	return k
}

func TestScaleOfFourRows(t *testing.T) {
	for _, c := range []struct {
		name string
		k    *scaleColumn
		want string
	}{
		{"a thousand times", scaleOf(Voltage, 1, 0, 1, 1, 1000, 1000), "1 map[] 3"}, {"a thousandth", scaleOf(Voltage, 1, 0, -1000, -1000, -1, -1), "1 map[] -3"}, {"a million", scaleOf(Speed, 1, 0, 1, 1, 1e6, 1e6), "1 map[] 6"},
		{"a hundred times", scaleOf(Voltage, 1, 0, 1, 1, 100, 100), "0 map[] 0"}, {"of a current", scaleOf(Current, 1, 0, 1, 1, 100, 100), "0 map[2:1] 2"},
		{"of a current, answered", scaleOf(Current, 1, 0.00102, 1, 1, 100, 100), "0 map[] 0"}, {"hardly answered", scaleOf(Current, 1, 0.00098, 1, 1, 100, 100), "0 map[2:1] 2"},
		{"a thousand, answered", scaleOf(Current, 1, 0.0104, 1, 1, 1000, 1000), "0 map[] 0"}, {"a thousand, not answered", scaleOf(Current, 1, 0.0096, 1, 1, 1000, 1000), "1 map[] 3"}, {"a speed, whatever the voltage", scaleOf(Speed, 1, 0.5, 1, 1, 1000, 1000), "1 map[] 3"},
		{"ten minutes apart", scaleOf(Speed, 600, 0, 1, 1, 1000, 1000), "1 map[] 3"}, {"more", scaleOf(Speed, 601, 0, 1, 1, 1000, 1000), "0 map[] 0"},
		{"unlike before", scaleOf(Speed, 1, 0, 1.105, 1, 1000, 1000), "0 map[] 0"}, {"alike before", scaleOf(Speed, 1, 0, 1.095, 1, 1000, 1000), "1 map[] 3"}, {"less before", scaleOf(Speed, 1, 0, 0.92, 1, 1000, 1000), "1 map[] 3"}, {"far less before", scaleOf(Speed, 1, 0, 0.9, 1, 1000, 1000), "0 map[] 0"},
		{"unlike after", scaleOf(Speed, 1, 0, 1, 1, 1000, 1105), "0 map[] 0"}, {"alike after", scaleOf(Speed, 1, 0, 1, 1, 1000, 1095), "1 map[] 3"},
		{"another sign before", scaleOf(Speed, 1, 0, -1, 1, 1000, 1000), "0 map[] 0"}, {"another sign", scaleOf(Speed, 1, 0, 1, 1, -1000, -1000), "0 map[] 0"}, {"nothing", scaleOf(Speed, 1, 0, 0, 0, 1000, 1000), "0 map[] 0"}, {"no power", scaleOf(Speed, 1, 0, 1, 1, 1200, 1200), "0 map[] 0"}, {"none at all", scaleOf(Speed, 1, 0, 1, 1, 1, 1), "0 map[] 0"},
	} {
		if got := fmt.Sprint(c.k.jumps, c.k.there, c.k.factor); got != c.want || c.k.factor != 0 && c.k.first.line != 4 {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
	exact := &scaleColumn{rows: [4]scaleRow{{x: 1, v: 100}, {x: 1, v: 100}, {x: 1000, v: 101}, {x: 1000, v: 101}}}
	if exact.judge(Current); exact.jumps != 0 {
		t.Error("a hundredth is an answer")
	}
	w := &scaleWitness{}
	for j, x := range []float64{1, 1, 1000, 1000, 1000, 1, 1} {
		s := row(float64(j), map[Channel]float64{Speed: x})
		s.Restart = j == 1
		w.row(&s)
	}
	if k := w.columns[Speed]; k.jumps != 1 || k.count != 6 { // the first is not told behind a new beginning
		t.Errorf("%d jumps in %d rows", k.jumps, k.count)
	}
	for there, want := range map[[4]int]int{{1, 1, 0, 0}: 2, {3, 2, 0, 0}: 4, {1, 0, 0, 1}: 0, {0, 0, 1, 1}: 2, {2, 1, 1, 2}: 4} {
		w := &scaleWitness{}
		w.columns[Current].there = map[int]int{1: there[0], -1: there[1], 2: there[2], -2: there[3]}
		if list := w.say(nil); w.columns[Current].jumps != want || len(list) != min(want, 1) {
			t.Errorf("%v: %d jumps", there, w.columns[Current].jumps)
		}
	}
}

// A column's digits are those of its first fifty values.
func TestDigitsOfAColumn(t *testing.T) {
	hear := func(values ...float64) *digitsWitness {
		w := &digitsWitness{}
		for k, x := range values {
			s := row(float64(k), map[Channel]float64{Current: x})
			s.Line = k + 2
			w.row(&s)
		}
		return w
	}
	of := func(n int, x ...float64) (values []float64) {
		for k := range n {
			values = append(values, x[k%len(x)])
		}
		return values
	}
	late := append(of(49, 5.1, 5.2), 5.123)
	late = append(late, of(3, 5.123)...)
	if k := hear(late...).columns[Current]; k.finer != 0 || k.grain.decimals != 3 || k.seen != 53 {
		t.Errorf("the fiftieth value counts: %+v", k)
	}
	late = append(of(50, 5.1, 5.2), 5.123, 0, math.NaN(), 5.12, 5.1234)
	if k := hear(late...).columns[Current]; k.finer != 2 || k.first.line != 52 || k.seen != 53 {
		t.Errorf("%+v", k)
	}
	coarse := append(of(50, 5.123, 5.234), 5.1, 5.2, 5.2, 5.12, 5.3, 5.3, 5.4)
	if k := hear(coarse...).columns[Current]; k.coarse != 3 || k.changed != 2 || k.since.line != 56 {
		t.Errorf("%+v", k)
	}
	if k := hear(append(of(50, 5.123), 5.1)...).columns[Current]; k.coarse != 1 || k.changed != 1 {
		t.Errorf("%+v", k)
	}
	for decimals, heard := range map[int]int{4: 2, 5: 2, 6: 0} {
		w := &digitsWitness{}
		k := &w.columns[Current]
		k.seen, k.grain.decimals = 50, decimals
		s := row(0, map[Channel]float64{Current: 1.000000012345})
		w.row(&s)
		if s := row(1, map[Channel]float64{Current: 3}); true {
			w.row(&s)
		}
		if k.coarse != heard {
			t.Errorf("of %d decimals: %d", decimals, k.coarse)
		}
	}
	for _, c := range []struct {
		coarse, changed, decimals, finer int
		want                             string
	}{{50, 10, 2, 0, "n"}, {49, 10, 2, 0, ""}, {50, 9, 2, 0, ""}, {50, 10, 1, 0, ""}, {50, 10, 5, 0, "n"}, {50, 10, 6, 0, ""}, {0, 0, 2, 3, "n"}, {0, 0, 2, 2, ""}, {50, 10, 2, 3, "nn"}} {
		w := &digitsWitness{}
		k := &w.columns[Voltage]
		k.coarse, k.changed, k.grain.decimals, k.finer = c.coarse, c.changed, c.decimals, c.finer
		if got := levels(w.say(nil)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	w := &digitsWitness{} // a thousandth of a digit is the last place of a fraction
	w.columns[Current].seen = 50
	for k, x := range []float64{5.00009, 5.00011} {
		s := row(0, map[Channel]float64{Current: x})
		if w.row(&s); w.columns[Current].finer != k {
			t.Errorf("%g: %d finer", x, w.columns[Current].finer)
		}
	}
}

func TestStretchesOfTwentyMetres(t *testing.T) {
	hear := func(restart bool, rows ...[3]float64) *distanceWitness {
		w := &distanceWitness{}
		for k, r := range rows {
			s := row(r[0], map[Channel]float64{Speed: r[1], Distance: r[2]})
			s.Line, s.Restart = k+2, restart && k == 1
			w.row(&s)
		}
		return w
	}
	for _, c := range []struct {
		name         string
		w            *distanceWitness
		windows, off int
	}{
		{"20 m", hear(false, [3]float64{0, 2, 0}, [3]float64{10, 2, 20}), 1, 0}, {"less", hear(false, [3]float64{0, 2, 0}, [3]float64{9.9, 2, 19.9}), 0, 0},
		{"backwards", hear(false, [3]float64{0, -2, 100}, [3]float64{10, -2, 80}), 1, 1}, {"a mean speed", hear(false, [3]float64{0, 1, 0}, [3]float64{10, 3, 20}), 1, 0},
		{"the distance alone", hear(false, [3]float64{0, 0, 0}, [3]float64{10, 0, 20}), 1, 1}, {"the speed alone", hear(false, [3]float64{0, 2, 0}, [3]float64{10, 2, 0}), 1, 1},
		{"three tenths", hear(false, [3]float64{0, 2, 0}, [3]float64{50, 2, 70.5}), 1, 0}, {"more", hear(false, [3]float64{0, 2, 0}, [3]float64{50, 2, 69.5}), 1, 1}, {"of the distance", hear(false, [3]float64{0, 1.39, 0}, [3]float64{50, 1.39, 100}), 1, 1}, {"less of the distance", hear(false, [3]float64{0, 1.41, 0}, [3]float64{50, 1.41, 100}), 1, 0},
		{"a new beginning", hear(true, [3]float64{0, 2, 0}, [3]float64{10, 2, 90}), 0, 0}, {"two", hear(false, [3]float64{0, 2, 5}, [3]float64{10, 2, 25}, [3]float64{20, 2, 45}), 2, 0},
	} {
		if c.w.windows != c.windows || c.w.off != c.off || c.off > 0 && c.w.first.line != 3 {
			t.Errorf("%s: %d off of %d", c.name, c.w.off, c.w.windows)
		}
	}
}

func TestDistanceAndSpeed(t *testing.T) {
	for _, c := range []struct {
		covered, travelled float64
		distance, speed    int
		off                int
		want               string
	}{
		{100, 100, 9, 9, 0, ""}, {100, 100, 9, 9, 1, "n"}, {100, 111, 9, 9, 0, "w"}, {100, 109, 9, 9, 0, ""}, {100, 89, 9, 9, 0, "w"}, {100, 91, 9, 9, 0, ""}, {100, 151, 9, 9, 0, "e"}, {100, 149, 9, 9, 0, "w"}, {100, 66, 9, 9, 0, "e"},
		{100, 200, 1, 9, 0, ""}, {100, 200, 9, 1, 0, ""}, {100, 200, 2, 2, 0, "e"}, {5, 9.9, 9, 9, 0, ""}, {5, 10, 9, 9, 0, "e"}, {9.9, 5, 9, 9, 0, ""}, {10, 5, 9, 9, 0, "e"}, {9.6, 20, 9, 9, 0, "e"}, {20, 9.6, 9, 9, 0, "e"},
	} {
		h := heard()
		h.meter.forward.add(c.covered)
		h.meter.travelled.out.add(c.travelled)
		h.meter.distance.n, h.meter.speed.n = c.distance, c.speed
		if got := levels((&distanceWitness{off: c.off}).say(h)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	for _, c := range []struct {
		way, covered, travelled float64
		n, distance, speed      int
		want                    string
	}{
		{100, 100, 0, 9, 9, 0, ""}, {100, 126, 0, 9, 9, 0, "w"}, {100, 124, 0, 9, 9, 0, ""}, {100, 74, 0, 9, 9, 0, "w"}, {100, 76, 0, 9, 9, 0, ""}, {100, 151, 0, 9, 9, 0, "e"}, {100, 0, 151, 9, 1, 2, "e"}, {100, 0, 151, 9, 1, 1, ""}, {100, 151, 100, 9, 2, 9, "e"},
		{49, 200, 0, 9, 9, 0, ""}, {50, 200, 0, 9, 9, 0, "e"}, {51, 200, 0, 2, 9, 0, "e"}, {51, 200, 0, 1, 9, 0, ""},
	} {
		h := heard()
		h.meter.forward.add(c.covered)
		h.meter.travelled.out.add(c.travelled)
		h.meter.distance.n, h.meter.speed.n = c.distance, c.speed
		if got := levels((&positionWitness{way: channelWatch{n: c.n, first: 7, last: 7 + c.way}}).say(h)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

func TestPowerRowByRow(t *testing.T) {
	for _, c := range []struct {
		p, v, i float64
		off     int
	}{{90, 20, 5, 0}, {88, 20, 5, 0}, {87, 20, 5, 1}, {113, 20, 5, 0}, {114, 20, 5, 1}, {-90, 20, 5, 0}, {-80, 20, 5, 1}, {9, 20, 2, 1}, {4, 20, 0.1, 0}, {12, 20, 0.1, 1}, {45, 20, 5, 1}, {9.8, 20, 0.4, 0}, {10.2, 20, 0.4, 1}} {
		w := &powerWitness{}
		for k, r := range [][3]float64{{200, 20, 10}, {c.p, c.v, c.i}} {
			s := row(0, map[Channel]float64{Power: r[0], Voltage: r[1], Current: r[2]})
			s.Line = k + 2
			w.row(&s)
		}
		if w.off != c.off || w.rows != 2 || c.off > 0 && w.line != 3 {
			t.Errorf("%g W of %g V and %g A: %d", c.p, c.v, c.i, w.off)
		}
	}
	for _, c := range []struct {
		ratio     float64
		rows, off int
		want      string
		holds     bool
	}{
		{1, 100, 0, "", true}, {1, 2, 2, "", false}, {1, 3, 3, "e", false}, {1.5, 3, 0, "e", false}, {1.5, 2, 0, "", false}, {1.49, 3, 0, "w", false}, {1.11, 9, 0, "w", false}, {1.09, 9, 0, "", true}, {0.89, 9, 0, "w", false},
		{1.025, 100, 51, "w", false}, {1.025, 100, 50, "w", false}, {1.019, 100, 51, "e", false}, {1.015, 100, 50, "w", false}, {1, 100, 5, "n", true}, {1, 100, 6, "w", false}, {1, 1000, 50, "n", true}, {1, 1000, 51, "w", false}, {1, 100, 1, "n", true},
		{1, 1000, 510, "e", false}, {1, 1000, 490, "w", false}, {1, 1000, 500, "w", false}, {0.979, 1000, 510, "w", false}, {0.981, 1000, 510, "e", false},
	} {
		h := heard()
		w := &powerWitness{}
		w.rows, w.off = c.rows, c.off
		w.power.add(1000)
		w.product.add(1000 * c.ratio)
		if got := levels(w.say(h)); got != c.want || h.powerHolds != c.holds {
			t.Errorf("%+v: %q, %t", c, got, h.powerHolds)
		}
	}
	for k := range 2 { // a column of nothing has no ratio
		w := &powerWitness{}
		w.rows = 9
		if k == 0 {
			w.power.add(1)
		} else {
			w.product.add(1)
		}
		if got := w.say(heard()); got != nil {
			t.Errorf("of nothing: %v", got)
		}
	}
}

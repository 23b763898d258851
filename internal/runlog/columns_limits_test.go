package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// columns makes an assigner that looks at columns of numbers without heads.
func columns(of ...[]float64) *assigner {
	a := &assigner{rows: &sniffRows{settings: map[string]string{}}, report: &tally{}, taken: make([]bool, len(of))}
	a.layout.fields = len(of)
	a.plan.names, a.plan.heads, a.plan.units = make([]string, len(of)), make([]head, len(of)), make([]*unit, len(of))
	a.options = NewOptions()
	for k := range of[0] {
		row := make([]float64, len(of))
		for j := range of {
			row[j] = of[j][k]
		}
		a.window = append(a.window, row)
	}
	for range of {
		a.layout.kinds = append(a.layout.kinds, kindNumber)
	}
	a.rows.values = a.window
	return a
}

// repeated is n numbers of which the k-th is what is given.
func repeated(n int, of func(k int) float64) []float64 {
	out := make([]float64, n)
	for k := range out {
		out[k] = of(k)
	}
	return out
}

func TestProductsAtTheirLimits(t *testing.T) {
	nan := math.NaN()
	flow := func(k int) float64 { return float64(k % 4) }
	volts := func(k int) float64 { return 20 + float64(k%3) }
	off := func(part float64, n int) func(int) float64 { // the power, so many of whose rows are off by a part
		return func(k int) float64 {
			if p := flow(k) * volts(k); k < n {
				return p / (1 - part)
			} else {
				return p
			}
		}
	}
	for _, x := range []struct {
		name  string
		rows  int
		power func(int) float64
		want  bool
	}{
		{"plain", 40, off(0, 0), true}, {"three per cent off", 40, off(0.0295, 40), true}, {"more", 40, off(0.0305, 40), false}, {"less power, three per cent", 40, off(-0.0295, 40), true}, {"less power, more", 40, off(-0.0305, 40), false},
		{"four that agree", 6, off(0, 0), false}, {"five", 7, off(0, 0), true}, // one row in four has no flow and says nothing
		{"one of thirty off", 40, off(0.5, 2), true}, {"two", 40, off(0.5, 3), false}, {"one of nineteen others", 26, func(k int) float64 {
			if k == 1 {
				return 70
			}
			return off(0, 0)(k)
		}, false}, {"one of twenty", 28, func(k int) float64 {
			if k == 1 {
				return 70
			}
			return off(0, 0)(k)
		}, true},
		{"constant", 40, func(int) float64 { return 42 }, false}, {"holes", 40, func(k int) float64 {
			if k%2 == 0 {
				return nan
			}
			return off(0, 0)(k)
		}, true},
		{"small power says nothing", 40, func(k int) float64 {
			if k%4 == 1 {
				return 66 * 0.0199
			}
			return off(0, 0)(k)
		}, true}, {"just great enough to speak", 40, func(k int) float64 {
			if k%4 == 1 {
				return 66 * 0.0201
			}
			return off(0, 0)(k)
		}, false},
	} {
		a := columns(repeated(x.rows, flow), repeated(x.rows, volts), repeated(x.rows, x.power))
		if got := a.isProduct(0, 1, 2); got != x.want {
			t.Errorf("%s: %t", x.name, got)
		}
	}
	// The voltage is the factor that stays above a twentieth of its greatest.
	for _, x := range []struct {
		least float64
		want  bool
	}{{1.01, true}, {0.99, false}, {-5, false}} {
		a := columns([]float64{20, x.least, 7})
		if got := a.alwaysPositive(0); got != x.want {
			t.Errorf("%v beside 20: %t", x.least, got)
		}
	}
	if columns([]float64{0, 0}).alwaysPositive(0) || columns([]float64{-3, -3}).alwaysPositive(0) || columns([]float64{-3, 7, -20}).largest(0) != 20 {
		t.Error("nothing, and below nothing")
	}
	// Which is which, and none where both could be either.
	steady := repeated(12, func(k int) float64 { return 24 - float64(k)/10 })
	current := repeated(12, func(k int) float64 { return float64(k%3) - 1 })
	power := repeated(12, func(k int) float64 { return steady[k] * current[k] })
	for _, x := range []struct {
		cols [][]float64
		want string
	}{
		{[][]float64{steady, current, power}, "0 1 2 true"}, {[][]float64{current, steady, power}, "1 0 2 true"}, {[][]float64{power, current, steady}, "2 1 0 true"}, {[][]float64{current, power, steady}, "2 0 1 true"},
		{[][]float64{steady, steady, repeated(12, func(k int) float64 { return steady[k] * steady[k] })}, "0 0 0 false"}, {[][]float64{current, current, repeated(12, func(k int) float64 { return current[k] * current[k] })}, "0 0 0 false"}, {[][]float64{steady, current, current}, "0 0 0 false"},
	} {
		v, i, p, ok := columns(x.cols...).productColumns()
		if got := fmt.Sprint(v, i, p, ok); got != x.want {
			t.Errorf("%s, want %s", got, x.want)
		}
	}
	for k := range 3 {
		a := columns(steady, current, power)
		a.taken[k] = true
		if _, _, _, ok := a.productColumns(); ok {
			t.Errorf("column %d is taken already", k)
		}
	}
	for _, n := range []int{24, 25} {
		cols := [][]float64{steady, current, power}
		for len(cols) < n {
			cols = append(cols, repeated(12, func(int) float64 { return 1e9 }))
		}
		if _, _, _, ok := columns(cols...).productColumns(); ok != (n == 24) {
			t.Errorf("of %d columns: %t", n, ok)
		}
	}
}

func TestTemperaturesByTheirValues(t *testing.T) {
	for _, x := range []struct {
		name string
		of   []float64
		want bool
	}{
		{"plain", []float64{20, 20.5, 21, 21, 21}, true}, {"four rows", []float64{20, 20.5, 21, 21}, false}, {"constant", []float64{20, 20, 20, 20, 20}, false}, {"two kelvin a row", []float64{20, 22, 22, 22, 22}, true}, {"more", []float64{20, 22.1, 22, 22, 22}, false}, {"two down", []float64{22, 20, 20, 20, 20}, true},
		{"as warm as that", []float64{119.9, 119, 119, 119, 119}, true}, {"warmer", []float64{120, 119, 119, 119, 119}, false}, {"as cold as that", []float64{-29.9, -29, -29, -29, -29}, true}, {"colder", []float64{-30, -29, -29, -29, -29}, false},
		{"near nothing", []float64{5, 4.5, 4, 4, 4}, false}, {"above it", []float64{5.1, 4.5, 4, 4, 4}, true}, {"below it", []float64{-5.1, -4.5, -4, -4, -4}, true}, {"a hole", []float64{20, 20.5, math.NaN(), 21, 21}, false},
	} {
		a := columns(repeated(len(x.of), func(int) float64 { return 0 }), x.of)
		if i, ok := a.temperatureColumn(); ok != x.want || ok && i != 1 {
			t.Errorf("%s: %d %t", x.name, i, ok)
		}
		a.taken[1] = true
		if _, ok := a.temperatureColumn(); ok {
			t.Errorf("%s: it is taken already", x.name)
		}
	}
}

func TestColumnsThatOnlyRise(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		name string
		of   []float64
		want bool
	}{
		{"plain", []float64{0, 1, 2}, true}, {"two rows", []float64{0, 1}, false}, {"it falls once", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 8.9}, false}, {"one in ten stays", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 9}, true}, {"two stay", []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 8, 8}, false}, {"two in twenty", repeated(21, func(k int) float64 { return float64(min(k, 18)) }), true}, {"three in twenty", repeated(21, func(k int) float64 { return float64(min(k, 17)) }), false},
		{"half of it is there", []float64{0, nan, 1, nan}, false}, {"nothing", []float64{nan, nan, nan}, false},
	} {
		a := columns(repeated(len(x.of), func(int) float64 { return 7 }), x.of)
		if i, ok := a.risingColumn(); ok != x.want || ok && i != 1 {
			t.Errorf("%s: %d %t", x.name, i, ok)
		}
		a.plan.heads[1] = parseHead("altitude")
		if _, ok := a.risingColumn(); ok {
			t.Errorf("%s: an altitude is a time", x.name)
		}
		a.plan.heads[1] = parseHead("x (V/s)")
		if _, ok := a.risingColumn(); ok {
			t.Errorf("%s: a slope is a time", x.name)
		}
	}
}

// TestWhatFollowsTheCurrent: beside a time in steps of 10 s, a current and a power, the time in the step and the counters.
func TestWhatFollowsTheCurrent(t *testing.T) {
	at := func(k int) float64 { return 10 * float64(k) }
	amps := func(k int) float64 { return 6 }
	watts := func(k int) float64 { return 150 }
	ah, wh := 6*10./3600, 150*10./3600
	for _, x := range []struct {
		name string
		n    int
		amps func(int) float64
		of   func(int) float64
		want Channel // Time: none
	}{
		{"time in the step", 22, amps, func(k int) float64 { return 10 * float64(k%11) }, StepTime}, {"too few rows", 20, amps, func(k int) float64 { return 10 * float64(k%11) }, Time}, {"just enough", 21, amps, func(k int) float64 { return 10 * float64(k%11) }, StepTime},
		{"it starts anew in one row of six", 25, amps, func(k int) float64 { return 10 * float64(k%6) }, StepTime}, {"in one of five", 26, amps, func(k int) float64 { return 10 * float64(k%5) }, Time}, {"one per cent off", 30, amps, func(k int) float64 { return 10.09 * float64(k) }, StepTime}, {"more", 30, amps, func(k int) float64 { return 10.11 * float64(k) }, Time},
		{"charge", 30, amps, func(k int) float64 { return ah * float64(k) }, ChargeCounter}, {"charge that is five per cent off", 30, amps, func(k int) float64 { return 1.049 * ah * float64(k) }, ChargeCounter}, {"more than that", 30, amps, func(k int) float64 { return 1.051 * ah * float64(k) }, Time}, {"less, five per cent", 30, amps, func(k int) float64 { return 0.951 * ah * float64(k) }, ChargeCounter}, {"falling", 30, amps, func(k int) float64 { return -ah * float64(k) }, ChargeCounter},
		{"energy", 30, amps, func(k int) float64 { return wh * float64(k) }, EnergyCounter}, {"energy that is five per cent off", 30, amps, func(k int) float64 { return 1.049 * wh * float64(k) }, EnergyCounter}, {"energy, more than that", 30, amps, func(k int) float64 { return 1.051 * wh * float64(k) }, Time},
		{"it starts anew", 31, amps, func(k int) float64 { return ah * float64(k%15) }, Time}, {"to and fro", 30, amps, func(k int) float64 { return ah * float64(k%2) }, Time}, {"it stands", 30, amps, func(int) float64 { return 5 }, Time},
		{"out and in as the current flows", 31, func(k int) float64 {
			if k > 15 {
				return -6
			}
			return 6
		}, func(k int) float64 {
			if k > 15 {
				return ah * float64(31-k)
			}
			return ah * float64(k)
		}, ChargeCounter},
	} {
		c := repeated(x.n, x.amps)
		a := columns(repeated(x.n, at), c, repeated(x.n, func(k int) float64 { return watts(k) * c[k] / 6 }), repeated(x.n, x.of))
		a.take(Time, 0, "")
		a.take(Current, 1, "")
		a.take(Power, 2, "")
		a.followers(1, 2)
		got := Time
		if n := len(a.plan.sources); n > 2 {
			got = a.plan.sources[2].channel
		}
		if got != x.want {
			t.Errorf("%s: %s, want %s", x.name, got, x.want)
		}
	}
	a := columns(repeated(30, at), repeated(30, amps), repeated(30, watts), repeated(30, at))
	if a.followers(1, 2); len(a.plan.sources) != 0 {
		t.Error("something follows a time that is not known")
	}
}

func TestBothWaysAtOnce(t *testing.T) {
	for _, x := range []struct {
		name string
		n    int
		both int
		in   float64 // what flows in while 5 A flow out
		want bool
	}{
		{"never", 50, 0, 2, false}, {"in one of fifty", 50, 1, 2, false}, {"in one of forty-nine", 49, 1, 2, true}, {"in two of a hundred", 100, 2, 2, false}, {"in three", 100, 3, 2, true}, {"a fiftieth of the greatest is nothing", 50, 25, 0.0398, false}, {"more is not", 50, 25, 0.0402, true}, {"below zero", 50, 25, -0.0402, true},
	} {
		in, out := make([]float64, x.n), make([]float64, x.n)
		for k := range x.n {
			switch {
			case k < x.both:
				in[k], out[k] = x.in, 5
			case k%2 == 0:
				in[k] = 2
			default:
				out[k] = -5
			}
		}
		in[x.n-1], out[x.n-1] = 2, math.NaN()
		if got := columns(in, out).bothFlow(0, 1); got != x.want {
			t.Errorf("%s: %t", x.name, got)
		}
	}
}

func TestTablesByTheirRows(t *testing.T) {
	for _, x := range []struct {
		of   []float64
		want bool
	}{{[]float64{1, 2, 3}, true}, {[]float64{1, 2}, false}, {[]float64{1, 2, 2}, false}, {[]float64{3, 2, 1}, true}, {[]float64{1, 1.9, 3}, false}, {[]float64{1, 5, 9}, true}, {[]float64{1, math.NaN(), 3}, false}, {[]float64{7, 8, 7.5}, false}} {
		a := columns(x.of)
		if a.countsRows(Cycle) {
			t.Error("there is no such column")
		}
		a.take(Cycle, 0, "")
		if got := a.countsRows(Cycle); got != x.want || a.countsRows(Step) {
			t.Errorf("%v counts: %t", x.of, got)
		}
	}
}

// TestCoursesOfTimes: a column falls where it goes back by more than a second, and stands still where three values are one.
func TestCoursesOfTimes(t *testing.T) {
	nan := math.NaN()
	for _, x := range []struct {
		of           []float64
		falls, still bool
	}{
		{[]float64{0, 1, 2}, false, false}, {[]float64{5, 4}, false, false}, {[]float64{5, 3.9}, true, false}, {[]float64{5, nan, 3.9}, true, false}, {[]float64{5, 3, 9, 10}, true, false}, {[]float64{5, 5, 5}, false, true}, {[]float64{5, 5}, false, false}, {[]float64{5, 5, 6}, false, false}, {[]float64{5, nan, 5, 5}, false, true}, {[]float64{nan, nan, nan}, false, false}, {nil, false, false},
	} {
		a := &assigner{window: make([][]float64, len(x.of))}
		falls, still := a.course(func(k int) float64 { return x.of[k] })
		if falls != x.falls || still != x.still {
			t.Errorf("%v: falls %t, stands %t", x.of, falls, still)
		}
		at := map[int]float64{}
		for k, v := range x.of {
			if !math.IsNaN(v) {
				at[k] = v
			}
		}
	}
	for _, x := range []struct {
		of   []float64
		want bool
	}{{[]float64{100, 0}, true}, {[]float64{100, 59}, true}, {[]float64{100, 60}, false}, {[]float64{86000, 0}, false}, {[]float64{85999, 0}, true}, {[]float64{0, 1}, false}, {[]float64{7, 7}, false}, {[]float64{100, nan, 0}, true}, {[]float64{86399, 0, 1, 500, 3}, true}} {
		a := &assigner{window: make([][]float64, len(x.of))}
		at := map[int]float64{}
		for k, v := range x.of {
			if !math.IsNaN(v) {
				at[k] = v
			}
		}
		if got := a.fallsToZero(at); got != x.want {
			t.Errorf("%v starts anew: %t", x.of, got)
		}
	}
}

// TestWhatIsATable: heads and rows that are results, and the nearest that are a log.
func TestWhatIsATable(t *testing.T) {
	for _, x := range []struct {
		heads string
		rows  int
		want  string
	}{
		{"SOC,OCV", 3, "the open-circuit voltage"}, {"dod,OCP", 3, "the open-circuit voltage"}, {"charge,open circuit voltage", 3, "the open-circuit voltage"}, {"soc,open voltage", 3, ""}, {"soc,circuit voltage", 3, ""}, {"SOC,OCV,Time", 3, ""}, {"SOC,OCV,Current", 3, ""}, {"SOC,voltage", 3, ""}, {"level,OCV", 3, ""},
		{"Cycle,capacity", 3, "every row is another cycle"}, {"Cycle,capacity", 2, ""}, {"Cycle,Current", 3, ""}, {"Cycle,Current,V min,V max", 3, "every row is another cycle"}, {"Cycle,Current,V min", 3, ""}, {"x,Current,V min,V max", 3, ""},
		{"a,U min,U max,I mean,total", 9, "4 of its 5 columns"}, {"a,U min,U max,I mean", 9, ""}, {"a,U min,U max,T mean,total,b,c,d,e,f,g,h", 9, "4 of its 12 columns"}, {"a,U min,U max,T mean,total,b,c,d,e,f,g,h,k", 9, ""}, {"a,U min,U max,T mean,total,Current", 9, ""}, {"U min max mean,x", 9, ""}, {"U start,U end,T average,efficiency,retention", 9, "5 of its 5 columns"}, {"U minimum,U maximum,T avg,U starting,U ending", 9, "5 of its 5 columns"},
	} {
		names := strings.Split(x.heads, ",")
		cols := make([][]float64, len(names))
		for k := range cols {
			cols[k] = repeated(x.rows, func(row int) float64 { return float64(row) })
		}
		a := columns(cols...)
		for k, name := range names {
			a.plan.names[k], a.plan.heads[k] = name, parseHead(name)
			switch name {
			case "Cycle":
				a.take(Cycle, k, "")
			case "Time":
				a.take(Time, k, "")
			case "Current":
				a.take(Current, k, "")
			}
		}
		s := &Scanner{report: &tally{}}
		is := s.refuseTable(a, noSpan())
		said := ""
		if found := s.report.findings(); len(found) > 0 {
			said = found[0].Text
		}
		if is != (x.want != "") || !strings.Contains(said, x.want) || is != (said != "") {
			t.Errorf("%s, %d rows: %t, %q", x.heads, x.rows, is, said)
		}
	}
}

// TestWholeMinutes: a time that is written as hours and minutes alone, in every one of its columns.
func TestWholeMinutes(t *testing.T) {
	for _, x := range []struct {
		columns []string
		want    bool
	}{
		{[]string{"10:11 10:12"}, true}, {[]string{"10:11:12 10:12"}, false}, {[]string{"10:12 10:11:12"}, false}, {[]string{"5 6"}, false}, {[]string{"2026-04-12T10:11 2026-04-12T10:12"}, true}, {[]string{"2026-04-12T10:11+02:00"}, true}, {[]string{"2026-04-12T10:11:12+02:00"}, false}, {[]string{"2026-04-12T10:11-03:30"}, true}, {[]string{"2026-04-12", "10:11"}, true}, {[]string{"2026-04-12", "10:11:12"}, false}, {[]string{"2026-04-12 x 10:11"}, true}, {nil, false},
	} {
		ts := &timeSource{}
		rows := &sniffRows{}
		for k, texts := range x.columns {
			ts.columns = append(ts.columns, source{index: k})
			var of [][]byte
			for word := range strings.FieldsSeq(texts) {
				of = append(of, []byte(word))
			}
			rows.texts = append(rows.texts, of)
		}
		ts.columns = append(ts.columns, source{index: len(x.columns)}) // one that no row of the sample reaches
		if got := wholeMinutes(ts, rows); got != x.want {
			t.Errorf("%q: %t", x.columns, got)
		}
	}
}

// TestColumnsLookedUp: by head, by head in another case, by number.
func TestColumnsLookedUp(t *testing.T) {
	a := columns([]float64{0}, []float64{0}, []float64{0}, []float64{0})
	copy(a.plan.names, []string{"U", "u", "Pack V", ""})
	for want, at := range map[string]int{"U": 0, "u": 1, "pack v": 2, " Pack V ": 2, "#1": 0, "#4": 3, "#0": -1, "#5": -1, "#x": -1, "": -1, "V": -1} {
		if i, ok := a.lookUp(want); ok != (at >= 0) || ok && i != at {
			t.Errorf("%q: %d, %t", want, i, ok)
		}
	}
	if a.describe(2) != `"Pack V"` || a.describe(3) != "#4" || a.columnList() != `"U", "u", "Pack V"` {
		t.Errorf("%s, %s, %s", a.describe(2), a.describe(3), a.columnList())
	}
	for n, want := range map[int]string{24: "x23\"", 25: "x23\" and 1 more", 27: "x23\" and 3 more"} {
		cols := make([][]float64, n)
		for k := range cols {
			cols[k] = []float64{0}
		}
		a := columns(cols...)
		for k := range a.plan.names {
			a.plan.names[k] = fmt.Sprint("x", k)
		}
		if got := a.columnList(); !strings.HasSuffix(got, want) {
			t.Errorf("%d columns: %s", n, got)
		}
	}
	bare := columns([]float64{0}, []float64{0})
	if bare.columnList() != "2 columns without a head" {
		t.Error(bare.columnList())
	}
	if validText("T (\xb0C)") != "T (°C)" || validText("T (°C)") != "T (°C)" || a.kind(3) != kindNumber || a.kind(4) != kindEmpty || !a.free(3) {
		t.Error("a head that is no UTF-8, and the kinds of columns")
	}
	a.taken[3] = true
	if a.free(3) || a.has(Voltage) || a.has(Time) {
		t.Error("what is taken")
	}
	a.take(Voltage, 0, "head")
	a.take(Time, 1, "head")
	if !a.has(Voltage) || !a.has(Time) || a.has(Current) || len(a.plan.all()) != 2 || a.plan.all()[0].channel != Time || a.plan.sources[0].unit.Symbol() != "V" || a.plan.sources[0].named {
		t.Errorf("%+v", a.plan)
	}
}

// TestRowsGathered: numbers, texts of times with their rows, words, and settings beside the data.
func TestRowsGathered(t *testing.T) {
	text := "head,x,y,z\n# note\n1,10:11:12,rest,5\n2,nan,,\n3\n\n4,10:11:14,charge,7\n5,10:11:15,Y Units,V\n"
	l := layout{separator: ',', decimal: '.', fields: 4, first: 1, kinds: []fieldKind{kindNumber, kindTime, kindText, kindNumber}}
	r := gatherRows(l, sniffed(text))
	if got := fmt.Sprint(r.values); got != "[[1 NaN NaN 5] [2 NaN NaN NaN] [4 NaN NaN 7] [5 NaN NaN NaN]]" && !strings.HasPrefix(got, "[[1 10 NaN 5] [2 NaN NaN NaN] [4 10 NaN 7] [5 10") {
		t.Errorf("values %s", got)
	}
	if got := fmt.Sprintf("%s %v", r.texts[1], r.at[1]); got != "[10:11:12 nan 10:11:14 10:11:15] [0 1 2 3]" {
		t.Errorf("times %s", got)
	}
	if got := fmt.Sprintf("%q", r.words[2]); got != `["rest" "charge" "Y Units"]` {
		t.Errorf("words %s", got)
	}
	if r.settings["y units"] != "V" || r.settings["rest"] != "5" || len(r.settings) != 3 {
		t.Errorf("settings %v", r.settings)
	}
	if r.filled(0) != 1 || r.filled(3) != 0.5 || r.filled(2) != 0 || len(r.column(3)) != 2 || r.column(3)[1] != 7 || len(r.column(9)) != 0 {
		t.Errorf("filled %v %v %v", r.filled(0), r.filled(3), r.filled(2))
	}
	many := ""
	for k := range 66 {
		many += fmt.Sprintf("x%d,%d\n", k, k)
	}
	s := gatherRows(layout{separator: ',', decimal: '.', fields: 2, kinds: []fieldKind{kindText, kindNumber}}, sniffed(many))
	if s.settings["x63"] != "63" || s.settings["x64"] != "" || len(s.settings) != 64 || len(s.values) != 66 {
		t.Errorf("%d settings of %d rows", len(s.settings), len(s.values))
	}
	if (&sniffRows{}).filled(0) != 0 {
		t.Error("nothing is filled")
	}
}

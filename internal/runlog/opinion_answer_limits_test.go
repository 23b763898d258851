package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// answering hears rows of a time, a voltage and a current.
func answering(rows ...[3]float64) *answers {
	w := &answers{}
	for k, r := range rows {
		s := vi(r[0], r[1], r[2])
		s.Line = k + 2
		w.row(&s)
	}
	return w
}

// Which change of the current is looked at: the greatest within 10 s, one way, from a twentieth of the greatest on.
func TestChangesThatAreAnswered(t *testing.T) {
	for _, c := range []struct {
		name    string
		w       *answers
		out, in int
		vi      float64
	}{
		{"a twentieth", answering([3]float64{0, 25, 10}, [3]float64{1, 26, 9.5}), 1, 0, -0.5}, {"less", answering([3]float64{0, 25, 10}, [3]float64{1, 26, 9.51}), 0, 0, 0}, {"a little more", answering([3]float64{0, 25, 10}, [3]float64{1, 26, 9.49}), 1, 0, -0.51},
		{"10 s", answering([3]float64{0, 25, 10}, [3]float64{10, 26, 9}), 1, 0, -1}, {"longer", answering([3]float64{0, 25, 10}, [3]float64{10.1, 26, 9}), 0, 0, 0}, {"the greatest", answering([3]float64{0, 25, 10}, [3]float64{1, 25, 9.8}, [3]float64{2, 26, 9.2}), 1, 0, -0.8},
		{"in", answering([3]float64{0, 25, -10}, [3]float64{1, 26, -11}), 0, 1, -1}, {"from in to out", answering([3]float64{0, 25, -10}, [3]float64{1, 26, 8}), 0, 0, 0},
		{"nearly nothing the other way", answering([3]float64{0, 25, 10}, [3]float64{1, 26, -0.19}), 1, 0, -10.19}, {"more than nothing", answering([3]float64{0, 25, 10}, [3]float64{1, 26, -0.21}), 0, 0, 0}, {"nothing before", answering([3]float64{0, 25, -10}, [3]float64{1, 24, 0.19}), 0, 1, -10.19},
		{"a peak that grows by a fifth", answering([3]float64{0, 25, 9}, [3]float64{1, 24, 10}, [3]float64{2, 23, 12}), 2, 0, -7}, {"by more", answering([3]float64{0, 25, 9}, [3]float64{1, 24, 10}, [3]float64{2, 23, 12.1}), 1, 0, -6.2},
	} {
		sum := c.w.sides[0].vi.value() + c.w.sides[1].vi.value()
		if c.w.sides[0].n != c.out || c.w.sides[1].n != c.in || math.Abs(sum-c.vi) > 1e-9 {
			t.Errorf("%s: %d out, %d in, %g", c.name, c.w.sides[0].n, c.w.sides[1].n, sum)
		}
	}
	w := answering([3]float64{0, 25, 10}, [3]float64{1, 26, 9}, [3]float64{2, 25, 10})
	if a := w.sides[0]; a.n != 2 || a.first.line != 3 || a.vv.value() != 2 || a.ii.value() != 2 || a.correlation() != -1 {
		t.Errorf("%+v", a)
	}
	for k := range 40 {
		s := vi(2.1+float64(k)/100, 25, 10)
		if s.Restart = k == 39; k < 39 {
			w.row(&s)
		}
	}
	if len(w.rows) != answerRows || w.rows[0].t < 2.1 {
		t.Errorf("%d rows are held", len(w.rows))
	}
	s := vi(1, 25, 5)
	s.Restart = true
	if w.row(&s); len(w.rows) != 1 {
		t.Error("a new beginning holds nothing before it")
	}
	if s := vi(2, math.NaN(), 9); true {
		w.row(&s)
		s = vi(2, 9, math.NaN())
		w.row(&s)
	}
	if w.grain.add(25.1234567); len(w.rows) != 1 || w.grain.decimals != 7 {
		t.Errorf("%d rows, %d digits", len(w.rows), w.grain.decimals)
	}
}

// sided is a side of n changes with a correlation.
func sided(n int, r float64) answerSide {
	var a answerSide
	a.n, a.first.line = n, 7
	a.vi.add(r)
	a.vv.add(1)
	a.ii.add(1)
	return a
}

func TestWhatIsSaidOfAnswers(t *testing.T) {
	for _, c := range []struct {
		out, in answerSide
		want    string
	}{
		{sided(8, 0.4), sided(8, -0.4), "out of the pack"}, {sided(8, -0.4), sided(8, 0.4), "into the pack"}, {sided(8, 0.39), sided(8, -0.9), ""}, {sided(8, 0.9), sided(8, -0.39), ""}, {sided(7, 0.9), sided(8, -0.9), ""}, {sided(8, -0.9), sided(7, 0.9), ""},
		{sided(8, 0.6), sided(7, 0), "out of the pack"}, {sided(8, 0.59), sided(7, 0), ""}, {sided(8, 0.5), sided(7, -0.9), ""}, {sided(0, 0), sided(8, 0.61), "into the pack"}, {sided(8, 0.41), sided(8, -0.41), "out of the pack"}, {answerSide{}, answerSide{}, ""}, {sided(8, 0.9), sided(8, 0.9), ""},
	} {
		w := &answers{sides: [2]answerSide{c.out, c.in}}
		list := w.say()
		if len(list) != min(len(c.want), 1) || len(list) == 1 && (!strings.Contains(list[0].text, c.want) || list[0].line != 7 || strings.Contains(list[0].text, "elsewhere") != (c.out.n > 7 && c.in.n > 7)) {
			t.Errorf("%d %g, %d %g: %v", c.out.n, c.out.correlation(), c.in.n, c.in.correlation(), list)
		}
	}
}

// Moves of the voltage over 10 s in which at most a fiftieth of the greatest current is written.
func TestMovesWithoutACurrent(t *testing.T) {
	for _, c := range []struct {
		name string
		rows [][3]float64
		want string
	}{
		{"over 10 s", [][3]float64{{0, 25, 0}, {10, 24, 0}}, "1 0"}, {"over less", [][3]float64{{0, 25, 0}, {9.9, 24, 0}}, "0 0"}, {"up", [][3]float64{{0, 25, 0}, {10, 26, 0}}, "0 1"}, {"not at all", [][3]float64{{0, 25, 0}, {10, 25, 0}}, "0 0"}, {"over 20 s", [][3]float64{{0, 25, 0}, {20, 24, 0}}, "1 0"}, {"over more", [][3]float64{{0, 25, 0}, {20.1, 24, 0}}, "0 0"},
		{"a fiftieth", [][3]float64{{0, 25, 0.2}, {10, 24, -0.2}}, "1 0"}, {"more", [][3]float64{{0, 25, 0.205}, {10, 24, 0}}, "0 0"}, {"less than a fiftieth", [][3]float64{{0, 25, 0.195}, {10, 24, 0}}, "1 0"}, {"a current between", [][3]float64{{0, 25, 0}, {5, 25, 5}, {10, 24, 0}}, "0 0"},
		{"from where it was", [][3]float64{{0, 25, 0}, {5, 22, 0}, {10, 24, 0}, {15, 22, 0}, {20, 26, 0}}, "1 1"}, {"four", [][3]float64{{0, 25, 0}, {10, 24, 0}, {20, 20, 0}, {30, 19, 0}, {40, 18, 0}}, "3 0"},
	} {
		w := &silent{}
		for k, r := range c.rows {
			s := vi(r[0], r[1], r[2])
			s.Line = k + 2
			w.row(&s, r[1], r[2], 10)
		}
		if got := fmt.Sprint(len(w.events[0]), " ", len(w.events[1])); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
		if c.name == "four" && (w.events[0][0].size != 4 || w.events[0][0].at.line != 4 || w.events[0][2].size != 1 || w.events[0][1].at.line != 3) {
			t.Errorf("%v", w.events[0])
		}
	}
	w := &silent{}
	for k := range 2 {
		s := vi(float64(10*k), 25-float64(k), 0)
		s.Restart = k == 1
		w.row(&s, 25-float64(k), 0, 10)
	}
	if len(w.events[0]) != 0 || !w.quiet || w.t != 10 {
		t.Errorf("across a new beginning: %+v", w)
	}
}

// A voltage that falls and rises three times by six tenths of what the greatest current takes, 0.1 Ω and 10 A here.
func TestWhatIsSaidOfMovesWithoutACurrent(t *testing.T) {
	for _, c := range []struct {
		name        string
		falls, ups  []float64
		n, decimals int
		r           float64
		want        string
	}{
		{"three and three", []float64{1, 0.9, 0.61}, []float64{0.7, 0.7, 0.7}, 8, 2, -0.5, "w"}, {"less", []float64{1, 0.9, 0.59}, []float64{0.7, 0.7, 0.7}, 8, 2, -0.5, ""}, {"less up", []float64{1, 0.9, 0.7}, []float64{0.9, 0.9, 0.59}, 8, 2, -0.5, ""},
		{"two falls", []float64{1, 0.9}, []float64{0.7, 0.7, 0.7}, 8, 2, -0.5, ""}, {"two rises", []float64{1, 0.9, 0.9}, []float64{0.7, 0.7}, 8, 2, -0.5, ""}, {"seven changes", []float64{1, 0.9, 0.9}, []float64{0.7, 0.7, 0.7}, 7, 2, -0.5, ""},
		{"not surely", []float64{1, 0.9, 0.9}, []float64{0.7, 0.7, 0.7}, 8, 2, -0.39, ""}, {"just surely", []float64{1, 0.9, 0.9}, []float64{0.7, 0.7, 0.7}, 8, 2, -0.4, "w"}, {"in few digits", []float64{2.9, 2.9, 2.9}, []float64{2.9, 2.9, 2.9}, 8, 0, -0.5, ""}, {"in three digits", []float64{3, 3, 3}, []float64{3, 3, 3}, 8, 0, -0.5, "w"}, {"in a bit more", []float64{3.1, 3.1, 3.1}, []float64{3.1, 3.1, 3.1}, 8, 0, -0.5, "w"},
	} {
		h := heard()
		a := &answers{peak: 10, grain: decimalGrain{decimals: c.decimals}}
		a.sides[0].n = c.n
		a.sides[0].vi.add(-0.1)
		a.sides[0].ii.add(1)
		a.sides[0].vv.add(0.01 / (c.r * c.r))
		for k, moves := range [][]float64{c.falls, c.ups} {
			for j, size := range moves {
				a.silent.events[k] = append(a.silent.events[k], silentMove{size, said{line: 30 - 10*k - j, offset: 5}})
			}
		}
		h.answers = a
		list := silentWitness{}.say(h)
		if got := levels(list); got != c.want || got != "" && list[0].line != 18 {
			t.Errorf("%s: %q, %v", c.name, got, list)
		}
	}
}

// Seconds that look like milliseconds, not where a counter or another time agrees.
func TestSlowRowsBesideACounter(t *testing.T) {
	none := quantity.AmpereHours(math.NaN())
	for _, c := range []struct {
		usual       float64
		out, in     quantity.AmpereHours
		seen        int
		peak        float64
		form, given string
		holds       bool
		want        string
	}{
		{130, none, none, 10, 5, "seconds", "", false, "e"}, {130, 1.49, none, 10, 5, "seconds", "", false, ""}, {130, 1.51, none, 10, 5, "seconds", "", false, "e"}, {130, 0.67, none, 10, 5, "seconds", "", false, ""}, {130, 0.66, none, 10, 5, "seconds", "", false, "e"}, {130, none, 1, 10, 5, "seconds", "", false, ""},
		{130, none, none, 9, 5, "seconds", "", false, ""}, {130, none, none, 10, 0, "seconds", "", false, ""}, {130, none, none, 10, -5, "seconds", "", false, "e"}, {130, none, none, 10, 5, "minutes", "", false, ""}, {130, none, none, 10, 5, "", "", false, ""}, {130, none, none, 10, 5, "seconds", "seconds", false, ""}, {130, none, none, 10, 5, "seconds", "", true, ""},
		{99.9, none, none, 10, 5, "seconds", "", false, ""}, {100, none, none, 10, 5, "seconds", "", false, "e"}, {122, none, none, 10, 5, "seconds", "", false, ""}, {122.05, none, none, 10, 5, "seconds", "", false, "e"}, {121.95, none, none, 10, 5, "seconds", "", false, ""}, {7198, none, none, 10, 5, "seconds", "", false, ""}, {7200, none, none, 10, 5, "seconds", "", false, "e"},
	} {
		h := heard()
		h.dialect.TimeForm, h.options.TimeFormat, h.timeHolds = c.form, c.given, c.holds
		h.meter.walker.intervals = quantiles{}
		h.meter.walker.intervals.add(c.usual, 1)
		h.meter.walker.seen, h.meter.peak = c.seen, c.peak
		f := &h.result.Charge
		f.Out, f.In, f.Counted = quantity.Exact(quantity.AmpereHours(1)), quantity.Exact(quantity.AmpereHours(1)), FlowPair[quantity.AmpereHours]{Out: c.out, In: c.in}
		if got := levels(slowWitness{}.say(h)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

// Single long intervals, beside the two at its sides.
func TestLongIntervalBesideOthers(t *testing.T) {
	for _, c := range []struct {
		before, at, after float64
		found             int
	}{{1, 5, 1, 0}, {1, 5.1, 1, 1}, {1, 5.1, 1.1, 0}, {1.1, 5.1, 1, 0}, {2, 11, 1, 1}, {2.05, 11, 1, 0}, {1, 11, 2, 1}, {1, 11, 2.05, 0}} {
		w := &longInterval{}
		w.judge(&interval{d: c.before}, &interval{d: c.at, line: 4}, &interval{d: c.after})
		if w.found != c.found {
			t.Errorf("%+v: %d", c, w.found)
		}
	}
	w := &longInterval{}
	w.take(&interval{d: 10, charge: 30, volts: 2, loaded: true, line: 9})
	w.take(&interval{d: 5, charge: 6, volts: 1, line: 4})
	w.take(&interval{d: 5, charge: 6, volts: 1, loaded: true, line: 7})
	if w.found != 3 || w.first.line != 4 || w.time != 20 || w.charge.value() != 36 || w.hidden.value() != 312 || w.energy.value() != 1212 {
		t.Errorf("%+v", w)
	}
	w = &longInterval{}
	for k := range 20 {
		w.keep(interval{d: float64(100 - k), line: k})
		w.keep(interval{d: float64(k), line: k})
	}
	if len(w.longest) != mostLong || w.longest[0].d != 100 || w.longest[15].d != 85 {
		t.Errorf("%d, from %g to %g", len(w.longest), w.longest[0].d, w.longest[len(w.longest)-1].d)
	}
	w = &longInterval{}
	at := func(kind passageKind, t, d, i, v float64) *passage {
		return &passage{a: instant{t: t, i: i / 2, v: v}, b: instant{t: t + d, i: i, v: v - 1}, kind: kind}
	}
	w.pass(at(gap, 0, 6, 2, 10))
	w.pass(at(gap, 0, 6, -2, math.NaN()))
	w.pass(&passage{a: instant{i: 9}, b: instant{t: 9, restart: true}, kind: gap})
	if w.gapVar.value() != 96 || w.gapVarE.value() != 4800 || w.peak != 9 {
		t.Errorf("gaps: %g, %g", w.gapVar.value(), w.gapVarE.value())
	}
	for i, loaded := range map[float64]bool{0.19: true, 0.17: false, 0.18: false} {
		w := *w
		if w.pass(at(ramp, 0, 1, i, 10)); w.longest[0].loaded != loaded || w.longest[0].charge != i || w.longest[0].volts != 10 {
			t.Errorf("%g A beside 9: %+v", i, w.longest[0])
		}
	}
	w = &longInterval{}
	for _, d := range []float64{1, 1, 0, 6, 1} {
		w.pass(at(ramp, 0, d, 1, 10))
	}
	if w.found != 1 || w.count != 4 || w.spread {
		t.Errorf("%+v", w)
	}
	blind := at(ramp, 0, 1, 1, 10)
	blind.blind = true
	if w.pass(blind); w.count != 0 || len(w.longest) != 4 {
		t.Error("what is said as a gap is none of the intervals")
	}
	// Beyond 1.9 times all but one in fifty.
	all := &quantiles{}
	all.add(1, 99)
	all.add(3, 1)
	w = &longInterval{found: 9, longest: []interval{{d: 3}, {d: 1.95}, {d: 1.9}, {d: 1.85}}}
	if w.exceptional(all); w.found != 2 || w.time != 4.95 {
		t.Errorf("%d, %g s", w.found, w.time)
	}
	many := &quantiles{}
	many.add(1, 97)
	many.add(3, 3)
	if w.exceptional(many); w.found != 0 || w.time != 0 {
		t.Errorf("%d", w.found)
	}
	nearly := &quantiles{}
	nearly.add(1, 979.5)
	nearly.add(3, 20.5)
	if w.exceptional(nearly); w.found != 0 {
		t.Errorf("%d beyond a fiftieth", w.found)
	}
	nearly = &quantiles{}
	nearly.add(1, 980.5)
	nearly.add(3, 19.5)
	if w.exceptional(nearly); w.found != 2 {
		t.Errorf("%d below a fiftieth", w.found)
	}
}

// A column that no head names is written by its number, and so are other units of what is measured.
func TestLikelyUnits(t *testing.T) {
	d := &Dialect{Columns: []Column{{Channel: Current, Name: "I", Unit: "A", Number: 3}, {Channel: Voltage, Number: 2}, {Channel: Temperature, Name: "T", Unit: "°C"}, {Channel: Cycle, Name: "n"}}}
	for _, c := range []struct {
		channel Channel
		ratio   float64
		write   string
	}{{Current, 1000, "say `current: \"I [mA]\"` under `columns:`"}, {Voltage, 1000, "say `voltage: \"#2 [mV]\"` under `columns:`"}, {Current, 1090, "say `current: \"I [mA]\"` under `columns:`"}, {Current, 1110, ""}, {Current, 1, ""}, {Temperature, 1.8, ""}, {Cycle, 1000, ""}, {Speed, 3.6, ""}} {
		got, ok := likelyUnit(d, c.channel, c.ratio)
		if got.write != c.write || ok != (c.write != "") {
			t.Errorf("%s, %g: %q, %t", c.channel, c.ratio, got.write, ok)
		}
	}
	for _, c := range []struct {
		form  string
		ratio float64
		want  string
	}{{"seconds", 1000, "say `time: milliseconds`"}, {"seconds", 1.0 / 60, "say `time: minutes`"}, {"hours", 60, "say `time: minutes`"}, {"seconds", 1, ""}, {"hours-minutes", 60, "say `time: minutes-seconds`"}, {"hours-minutes", 1.0 / 60, ""}, {"minutes-seconds", 1.0 / 60, "say `time: hours-minutes`"}, {"minutes-seconds", 60, ""}, {"", 60, ""}} {
		got, _ := likelyForm(&Dialect{TimeForm: c.form}, c.ratio)
		if got.write != c.want {
			t.Errorf("%s, %g: %q, want %q", c.form, c.ratio, got.write, c.want)
		}
	}
	h := heard()
	h.dialect = d
	d.TimeForm = "seconds"
	for _, c := range []struct {
		time, times, power bool
		want               int
	}{{true, false, false, 3}, {false, false, false, 2}, {true, true, false, 2}, {true, false, true, 1}} {
		h.timeHolds, h.powerHolds = c.times, c.power
		if got := len(h.likely(1000, c.time, Current, Voltage)); got != c.want {
			t.Errorf("%+v: %d", c, got)
		}
	}
	if a, b := either([]likely{{"a", "b"}, {"c", "d"}}, "e"); a != "; a, or c" || b != "b; or d" {
		t.Errorf("%q, %q", a, b)
	}
	if a, b := either(nil, "e"); a != "" || b != "e" {
		t.Errorf("%q, %q", a, b)
	}
}

// What stands in brackets, or was cut by a separator within them, belongs to the name before it.
func TestBracketsThatAreJoined(t *testing.T) {
	for _, c := range []struct {
		names, want string
		sep         byte
		fields      int
	}{{"t|I (A|B)|V", "t|I (A, B)|V", ',', 3}, {"t|I (A|B)|V", "t|I (A|B)|V", ',', 4}, {"t|I (A|B)|V", "t|I (A|B)|V", ',', 2}, {"t|(s)|I|(A)", "t (s)|I (A)", ' ', 2}, {"t|(s)|I|(A)", "t|(s)|I|(A)", ',', 2}, {"(s)|t|I", "(s)|t|I", ' ', 2}} {
		h := headRows{names: strings.Split(c.names, "|")}
		if h.joinBrackets(layout{separator: c.sep, fields: c.fields}); strings.Join(h.names, "|") != c.want {
			t.Errorf("%s in %d fields: %v", c.names, c.fields, h.names)
		}
	}
}

// A line is like a row where another separator parts it into a number or a time wherever the rows hold one.
func TestLinesLikeRows(t *testing.T) {
	l := layout{separator: ',', decimal: '.', fields: 3, kinds: []fieldKind{kindNumber, kindNumber, kindText}}
	for text, want := range map[string]bool{"1;2;x": true, "1;2": true, "1;x;x": false, "1,2,x": false, "1;2;x;4": false, "# 1;2;x": false, "1": false, "1\t2\tx": true, "10:00:00;2;x": true, "1;": false} {
		if likeRow([]byte(text), l) != want {
			t.Errorf("%q: %t", text, !want)
		}
	}
	l.kinds = []fieldKind{kindNumber, kindText, kindText}
	if likeRow([]byte("1;x;x"), l) {
		t.Error("one number is no row")
	}
	l.kinds = []fieldKind{kindTime, kindNumber, kindText}
	if !likeRow([]byte("10:00:00;2;x"), l) {
		t.Error("a time and a number are a row")
	}
	l = layout{separator: ';', decimal: ',', fields: 2, kinds: []fieldKind{kindNumber, kindNumber}}
	if likeRow([]byte("1,2"), l) {
		t.Error("a decimal comma is no separator")
	}
}

// A word and its value beside it are a setting within the table, and not beyond it.
func TestSettingsBesideRows(t *testing.T) {
	l := layout{separator: ',', decimal: '.', fields: 3, kinds: []fieldKind{kindNumber, kindText, kindText}}
	r := gatherRows(l, []sniffLine{{text: []byte("1,Rate,10 Hz,Note")}, {text: []byte("2")}, {text: []byte("3,Gain")}})
	if len(r.values) != 2 || len(r.settings) != 1 || r.settings["rate"] != "10 Hz" {
		t.Errorf("%d rows, %v", len(r.values), r.settings)
	}
}

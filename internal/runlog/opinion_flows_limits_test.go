package runlog

import (
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// flowing is a leg in which a current flows at these ends.
func flowing(amps, seconds, fromV, toV float64) leg {
	a, b := instant{t: 10, v: fromV, i: amps, line: 3}, instant{t: 10 + seconds, v: toV, i: amps, line: 9}
	l := leg{kind: legDischarge, from: a, to: b, loaded: a, last: b, rows: 100, peak: math.Abs(amps), flowing: seconds, low: math.Min(fromV, toV), high: math.Max(fromV, toV)}
	if l.chargeOut, l.chargeIn = split(amps, amps, seconds); amps < 0 {
		l.kind = legCharge
	}
	return l
}

func TestSignOfAFlow(t *testing.T) {
	for _, c := range []struct {
		name    string
		legs    []leg
		endI    float64
		negated bool
		want    string
	}{
		{"a discharge that rises by 2 %", []leg{flowing(5, 100, 25, 25.49)}, 5, false, ""}, {"by more", []leg{flowing(5, 100, 25, 25.51)}, 5, false, "negative"}, {"with another sign stated", []leg{flowing(5, 100, 25, 25.51)}, 5, true, "positive"},
		{"a discharge that falls", []leg{flowing(5, 100, 25, 24)}, 5, false, ""}, {"a charge that falls", []leg{flowing(-5, 100, 25, 24.49)}, -5, false, "negative"}, {"by less", []leg{flowing(-5, 100, 25, 24.51)}, -5, false, ""}, {"a charge that rises", []leg{flowing(-5, 100, 25, 26)}, -5, false, ""},
		{"a minute", []leg{flowing(5, 60, 25, 26)}, 5, false, "negative"}, {"less", []leg{flowing(5, 59, 25, 26)}, 5, false, ""},
		{"a fifth of the current", []leg{flowing(5, 100, 25, 26)}, 4, false, "negative"}, {"more", []leg{flowing(5, 100, 25, 26)}, 3.95, false, ""}, {"a current that grows by a fifth", []leg{flowing(5, 100, 25, 26)}, 6.2, false, "negative"}, {"by more", []leg{flowing(5, 100, 25, 26)}, 6.3, false, ""},
		{"less than a tenth of the greatest", []leg{flowing(0.49, 100, 25, 26), flowing(5, 100, 25, 24)}, 0.49, false, ""}, {"more than a tenth", []leg{flowing(0.51, 100, 25, 26), flowing(5, 100, 25, 24)}, 0.51, false, "negative"}, {"just a tenth", []leg{flowing(0.5, 100, 25, 26), flowing(5, 100, 25, 24)}, 0.5, false, "negative"},
		{"a rest", []leg{{kind: legRest, loaded: instant{t: 0, v: 25}, last: instant{t: 900, v: 27}}}, 0, false, ""},
		{"the second", []leg{flowing(5, 100, 25, 24), flowing(-5, 100, 25, 24)}, 5, false, "negative"},
	} {
		h := heard()
		h.dialect.DischargeNegative = c.negated
		c.legs[0].last.i = c.endI
		h.meter.cutter.legs = c.legs
		w := &signWitness{}
		list := w.say(h)
		if len(list) != min(len(c.want), 1) || len(list) == 1 && (!strings.Contains(list[0].remedy, "discharge: "+c.want+"`") || list[0].line != 3) {
			t.Errorf("%s: %v", c.name, list)
		}
		if h.answers != &w.answers {
			t.Error("the answers are not handed on")
		}
	}
}

func TestPaceOfAFlow(t *testing.T) {
	for _, c := range []struct {
		name  string
		leg   leg
		ohms  float64
		rows  int
		span  float64
		form  string
		holds bool
		want  string
	}{
		{"as it is", flowing(5, 3600, 25, 24), 0.1, 100, 3600, "seconds", false, ""},
		{"the whole voltage and less", flowing(5, 3600, 25, 24), 4.95, 100, 3600, "seconds", false, ""}, {"more", flowing(5, 3600, 25, 24), 5.05, 100, 3600, "seconds", false, "e"}, {"more in a form that no other mends", flowing(5, 3600, 25, 24), 5.05, 100, 3600, "", false, "w"}, {"more, and another time agrees", flowing(5, 3600, 25, 24), 5.05, 100, 3600, "seconds", true, ""},
		{"200 h", flowing(0.1, 719000, 25, 24), 0, 100, 719000, "", false, ""}, {"more", flowing(0.1, 721000, 25, 24), 0, 100, 721000, "", false, "w"}, {"just so much", flowing(0.1, 720000, 25, 24), 0, 100, 720000, "", false, ""},
		{"quick", flowing(5, 29, 25, 21), 0, 100, 29, "", false, "w"}, {"slower", flowing(5, 31, 25, 21), 0, 100, 31, "", false, ""}, {"half a minute", flowing(5, 30, 25, 21), 0, 100, 30, "", false, ""}, {"in no time", flowing(5, 0, 25, 21), 0, 100, 30, "", false, ""},
		{"by less", flowing(5, 20, 25, 21.3), 0, 100, 20, "", false, ""}, {"by a little more", flowing(5, 20, 25, 21.2), 0, 100, 20, "", false, "w"}, {"upwards", flowing(5, 20, 25, 28.8), 0, 100, 20, "", false, "w"}, {"upwards by less", flowing(5, 20, 25, 28.7), 0, 100, 20, "", false, ""}, {"seconds that look like milliseconds the other way", flowing(5, 20, 25, 21), 0, 100, 20, "milliseconds", false, "e"},
		{"a microsecond a row and less", flowing(5, 1, 25, 24), 0, 100, 0.99e-4, "", false, "e"}, {"more", flowing(5, 1, 25, 24), 0, 100, 1.01e-4, "", false, ""}, {"of twenty rows", flowing(5, 1, 25, 24), 0, 20, 1e-5, "", false, ""}, {"of twenty-one", flowing(5, 1, 25, 24), 0, 21, 1e-5, "", false, "e"},
	} {
		h := heard()
		h.dialect.TimeForm, h.timeHolds = c.form, c.holds
		h.meter.rows, h.meter.last = c.rows, c.span
		h.meter.cutter.legs, h.meter.cutter.peak = []leg{c.leg}, 5
		w := &paceWitness{}
		if c.ohms > 0 {
			w.edges = []paceEdge{{c.ohms, 5, 0}}
		}
		if got := levels(w.say(h)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	for rows, want := range map[int]string{20: "", 21: "w"} {
		h := heard()
		l := flowing(5, 20, 25, 21)
		l.rows = rows
		h.meter.cutter.legs, h.meter.cutter.peak = []leg{l}, 5
		if got := levels((&paceWitness{}).say(h)); got != want {
			t.Errorf("a flow of %d rows: %q", rows, got)
		}
	}
	for end, want := range map[float64]string{4.02: "w", 3.98: "", 4: "w", 6.2: "w", 6.3: ""} {
		h := heard()
		l := flowing(5, 20, 25, 21)
		l.last.i = end
		h.meter.cutter.legs, h.meter.cutter.peak = []leg{l}, 5
		if got := levels((&paceWitness{}).say(h)); got != want {
			t.Errorf("a current that ends at %g A: %q", end, got)
		}
	}
	for _, c := range []struct {
		intervals, timeless int
		want                string
	}{{20, 14, "e"}, {20, 13, ""}, {21, 14, ""}, {19, 19, ""}, {21, 15, "e"}} {
		if got := levels((&paceWitness{intervals: c.intervals, timeless: c.timeless}).say(heard())); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
	h := heard()
	h.meter.cutter.legs = []leg{{kind: legRest}, flowing(1, 10, 25, 24), flowing(-5, 20, 25, 21), flowing(2, 20, 25, 24), {kind: legRest, chargeOut: 1e6}}
	h.meter.cutter.peak = 5
	if got := levels((&paceWitness{}).say(h)); got != "w" { // the greatest flow is that of five amperes
		t.Errorf("of several flows: %q", got)
	}
}

// The edges that the pace keeps: from a rest, sixteen of them.
func TestEdgesThatAreKept(t *testing.T) {
	for from, kept := range map[float64]int{0: 1, 0.24: 1, 0.25: 1, 0.26: 0, -0.26: 0} {
		w := &paceWitness{}
		w.pass(&passage{a: instant{i: from, v: 26}, b: instant{t: 1, i: 5, v: 25}})
		if len(w.edges) != kept {
			t.Errorf("from %g A: %d", from, len(w.edges))
		}
	}
	w := &paceWitness{}
	for range 20 {
		w.pass(&passage{a: instant{v: 26}, b: instant{i: -5, v: 27}})
	}
	w.pass(&passage{a: instant{v: 26}, b: instant{t: 1, v: 26}})
	if len(w.edges) != 16 || w.intervals != 21 || w.timeless != 20 || w.edges[0] != (paceEdge{0.2, 5, 0}) {
		t.Errorf("%d edges of %d, %d of no time, %v", len(w.edges), w.intervals, w.timeless, w.edges[0])
	}
	if w = (&paceWitness{}); len(w.edges) == 0 {
		w.pass(&passage{a: instant{v: 26}, b: instant{t: 1, i: 5, v: 26}}) // no answer
	}
	if len(w.edges) != 0 {
		t.Error("a voltage that does not answer tells no resistance")
	}
	w.edges = []paceEdge{{0.3, 5, 0}, {0.1, 5, 0}, {0.2, 5, 0}}
	if w.ohms(1, 5) != 0.1 {
		t.Error("not the least")
	}
}

func TestVoltageOfThePack(t *testing.T) {
	for _, c := range []struct {
		name        string
		series, n   int
		first, last float64
		low, high   float64
		count       int
		want, looks string
	}{
		{"as stated", 8, 9, 26, 26, 2.5, 3.65, 9, "", ""}, {"none stated", 0, 9, 26, 26, 2.5, 3.65, 9, "", ""}, {"one cell", 1, 9, 26, 26, 2.5, 3.65, 9, "e", "; it looks like 8 in series"},
		{"two rows", 1, 2, 26, 26, 2.5, 3.65, 9, "", ""}, {"three rows", 1, 3, 26, 26, 2.5, 3.65, 9, "e", "; it looks like 8 in series"}, {"two with a current", 1, 3, 26, 26, 2.5, 3.65, 2, "", ""}, {"three with one", 1, 3, 26, 26, 2.5, 3.65, 3, "e", "; it looks like 8 in series"},
		{"at the top", 8, 9, 29.2, 29.2, 2.5, 3.65, 9, "", ""}, {"above", 8, 9, 29.3, 29.3, 2.5, 3.65, 9, "w", "; it looks like 10 in series"}, {"below", 8, 9, 19.9, 19.9, 2.5, 3.65, 9, "w", "; it looks like 6 in series"}, {"at the bottom", 8, 9, 20, 20, 2.5, 3.65, 9, "", ""},
		{"the mean of the ends", 8, 9, 25, 33.3, 2.5, 3.65, 9, "", ""}, {"of higher ones", 8, 9, 25, 33.5, 2.5, 3.65, 9, "w", "; it looks like 10 in series"},
		{"no chemistry", 8, 9, 37, 37, 0, 0, 9, "w", "; it looks like 14 in series"}, {"no chemistry, within", 8, 9, 36.7, 36.7, 0, 0, 9, "", ""}, {"no chemistry, below", 8, 9, 6.3, 6.3, 0, 0, 9, "w", "; it looks like 2 in series"}, {"no chemistry, just within", 8, 9, 6.5, 6.5, 0, 0, 9, "", ""}, {"bounds that are none", 8, 9, 37, 37, 3, 3, 9, "w", "; it looks like 14 in series"},
		{"next to nothing", 8, 9, 1.5, 1.5, 2.5, 3.65, 9, "e", ""}, {"about one", 8, 9, 1.6, 1.6, 2.5, 3.65, 9, "e", "; it looks like 1 in series"}, {"as many after all", 1, 9, 3.7, 3.7, 2.5, 3.65, 9, "w", ""},
	} {
		h := heard()
		h.options.Series, h.options.CellLowest, h.options.CellHighest = c.series, c.low, c.high
		h.meter.voltage.n, h.meter.voltage.first, h.meter.voltage.last = c.n, c.first, c.last
		h.meter.walker.count = c.count
		list := (&packVoltage{}).say(h)
		looks := ""
		if len(list) > 0 {
			if at := strings.Index(list[0].text, "; it looks"); at >= 0 {
				looks = list[0].text[at:]
			}
		}
		if got := levels(list); got != c.want || looks != c.looks {
			t.Errorf("%s: %q, want %q; %q; %v", c.name, got, c.want, looks, list)
		}
	}
	// By the energy over the charge where that is known, else over the time.
	mean := func(out, in, energy, area, span float64) string {
		h := heard()
		h.options.Series, h.options.CellLowest, h.options.CellHighest = 8, 2.5, 3.65
		h.meter.voltage = channelWatch{n: 9, first: 26, last: 26, span: span}
		h.meter.voltage.area.add(area)
		h.meter.walker.count = 9
		h.result.Charge.Out, h.result.Charge.In, h.result.Energy.Out = quantity.Exact(quantity.AmpereHours(out)), quantity.Exact(quantity.AmpereHours(in)), quantity.Exact(quantity.WattHours(energy))
		return levels((&packVoltage{}).say(h))
	}
	for k, c := range []struct{ out, in, energy, area, span float64 }{{2, 1, 80, 0, 0}, {2, 2, 80, 0, 0}, {1, 2, 40, 400, 10}, {0, 0, 0, 400, 10}} {
		if mean(c.out, c.in, c.energy, c.area, c.span) != "w" {
			t.Errorf("%d: nothing is said of 40 V in the mean", k)
		}
	}
	if mean(1, 2, 40, 0, 0) != "" || mean(0, 0, 0, 0, 0) != "" {
		t.Error("the mean of the ends is the stated pack's")
	}
	// In another unit, as far off as the middle of the cell's range.
	for volts, want := range map[float64]string{24600 / 1.08: "mV", 24600 * 1.08: "mV", 24600 / 1.15: "", 24600 * 1.15: ""} {
		h := heard()
		h.options.Series, h.options.CellLowest, h.options.CellHighest = 8, 2.5, 3.65
		h.meter.voltage = channelWatch{n: 9, first: volts, last: volts}
		h.meter.walker.count = 9
		h.dialect.Columns = []Column{{Channel: Voltage, Name: "U", Unit: "V"}}
		if list := (&packVoltage{}).say(h); len(list) != 1 || strings.Contains(list[0].text, "looks like mV") != (want != "") {
			t.Errorf("%g V: %v", volts, list)
		}
	}
}

func TestChargeBeyondThePack(t *testing.T) {
	for amps, want := range map[float64]string{11.9: "", 12: "", 12.1: "w", 14.9: "w", 15.1: "e", -15.1: "e"} {
		h := heard()
		h.options.Rated = quantity.Exact(quantity.AmpereHours(10))
		h.meter.cutter.legs = []leg{flowing(1, 3600, 25, 24), {kind: legRest, from: instant{t: 3610}, to: instant{t: 9000}}, flowing(amps, 3600, 25, 24)}
		if amps > 0 {
			h.meter.cutter.legs = h.meter.cutter.legs[2:]
		}
		if got := levels((&packCharge{}).say(h)); got != want {
			t.Errorf("%g A h of 10: %q", amps, got)
		}
	}
	for _, rated := range []float64{0, -1, math.NaN()} {
		h := heard()
		h.options.Rated = quantity.Exact(quantity.AmpereHours(rated))
		h.meter.cutter.legs = []leg{flowing(20, 3600, 25, 24)}
		if got := (&packCharge{}).say(h); got != nil {
			t.Errorf("of a pack of %g A h: %v", rated, got)
		}
	}
}

// A value is left out beyond its range, and not at its end.
func TestRangesOfValues(t *testing.T) {
	for c, limits := range map[Channel][2]float64{Voltage: {-0.5, 1000}, Current: {-1000, 1000}, Temperature: {-60, 250}, Ambient: {-60, 100}, Speed: {-60, 60}, Power: {-1e6, 1e6}, Rotation: {-1e5, 1e5}} {
		for _, k := range []int{0, 1} {
			for _, off := range []float64{0, 0.01} {
				w := &rangeWatch{current: true}
				x := limits[k] + off*float64(2*k-1)
				s := row(0, map[Channel]float64{c: x})
				s.Line = 7
				w.add(&s)
				if out := off > 0; (w.beyond[c] == 1) != out || math.IsNaN(s.Values[c]) != out || w.seen[c] != 1 || out && (w.worst[c] != x || w.first[c].line != 7) {
					t.Errorf("the %s at %g: %d beyond", c, x, w.beyond[c])
				}
			}
		}
	}
	w := &rangeWatch{}
	for _, x := range []float64{2000, 2000, -3000, 2500} {
		s := row(0, map[Channel]float64{Voltage: x})
		if x == -3000 || x == 2500 {
			s.Values[Current] = 1
		}
		w.add(&s)
	}
	if w.seen[Voltage] != 2 || w.beyond[Voltage] != 2 || w.worst[Voltage] != -3000 {
		t.Errorf("%d of %d, the worst %g", w.beyond[Voltage], w.seen[Voltage], w.worst[Voltage])
	}
	if len(plausible) != len(judged) {
		t.Error("a range that is not judged")
	}
}

func TestWhatIsSaidOfRanges(t *testing.T) {
	for _, c := range []struct {
		name string
		w    rangeWitness
		set  func(m *Meter)
		want string
	}{
		{"half beyond", rangeWitness{}, func(m *Meter) { m.ranges.beyond[Speed], m.ranges.seen[Speed] = 1, 2 }, "e"}, {"less than half", rangeWitness{}, func(m *Meter) { m.ranges.beyond[Speed], m.ranges.seen[Speed] = 1, 3 }, "w"}, {"none", rangeWitness{}, func(m *Meter) { m.ranges.seen[Speed] = 3 }, ""},
		{"half a volt", rangeWitness{rows: 3, flowing: true, highest: 0.5}, nil, ""}, {"less", rangeWitness{rows: 3, flowing: true, highest: 0.49}, nil, "e"}, {"two rows", rangeWitness{rows: 2, flowing: true, highest: 0.4}, nil, ""}, {"nothing flows", rangeWitness{rows: 3, highest: 0.4}, nil, ""},
		{"some left out", rangeWitness{rows: 3, flowing: true, highest: 0.4}, func(m *Meter) { m.ranges.beyond[Voltage], m.ranges.seen[Voltage] = 1, 3 }, "w"},
		{"400 A", rangeWitness{}, func(m *Meter) { m.peak = -400 }, ""}, {"more", rangeWitness{}, func(m *Meter) { m.peak = -401 }, "w"}, {"about so much", rangeWitness{}, func(m *Meter) { m.peak = 381 }, ""}, {"a bit more", rangeWitness{}, func(m *Meter) { m.peak = 419 }, "w"},
	} {
		h := heard()
		if c.set != nil {
			c.set(h.meter)
		}
		if got := levels(c.w.say(h)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	for _, c := range []struct {
		wh, metres float64
		want       string
	}{{0.099, 1000, "w"}, {0.101, 1000, ""}, {499, 1000, ""}, {501, 1000, "w"}, {0.068, 1000, "w"}, {0.065, 1000, "e"}, {740, 1000, "w"}, {760, 1000, "e"}, {60, 50, ""}, {60, 51, "e"}, {60, 49, ""}, {60, 52, "e"}, {0, 1000, ""}, {-1, 1000, ""}} {
		h := heard()
		h.result.Energy.Out, h.result.Energy.In = quantity.Exact(quantity.WattHours(c.wh+10)), quantity.Exact(quantity.WattHours(10))
		h.meter.distance.n = 2
		h.meter.forward.add(c.metres)
		h.meter.travelled.out.add(7)
		if got := levels((&rangeWitness{}).say(h)); got != c.want {
			t.Errorf("%g Wh over %g m: %q", c.wh, c.metres, got)
		}
		if h.meter.distance.n = 1; h.meter.way() != 7 {
			t.Error("the way by the speed")
		}
	}
	h := heard()
	h.dialect.Columns = []Column{{Channel: Current, Name: "I", Unit: "A"}, {Channel: Distance, Name: "s", Unit: "m"}}
	h.result.Energy.Out, h.result.Energy.In = quantity.Exact(quantity.WattHours(0.01)), quantity.Exact(quantity.WattHours(0))
	h.meter.distance.n = 2
	h.meter.forward.add(1000)
	if list := (&rangeWitness{}).say(h); len(list) != 1 || strings.Contains(list[0].text, "kA") || !strings.Contains(list[0].text, "distance looks like mm") {
		t.Errorf("too little a kilometre: %v", list)
	}
	h.result.Energy.Out = quantity.Exact(quantity.WattHours(1000))
	if list := (&rangeWitness{}).say(h); len(list) != 1 || !strings.Contains(list[0].text, "current looks like mA, or the distance looks like km") {
		t.Errorf("too much a kilometre: %v", list)
	}
	for _, c := range []struct {
		name      string
		count     int
		peak      float64
		low, high float64
		n         int
		drawn     float64
		want      string
	}{
		{"50 mA", 20, 0.05, 24, 26, 9, 0.04, ""}, {"less", 20, 0.049, 24, 26, 9, 0.04, "w"}, {"the other way", 20, -0.049, 24, 26, 9, 0.04, "w"}, {"nothing", 20, 0, 24, 26, 9, 0, ""}, {"nineteen rows", 19, 0.04, 24, 26, 9, 0.04, ""},
		{"no voltage", 20, 0.04, 0, 0, 0, 0.04, "w"}, {"one that stays", 20, 0.04, 25.25, 26, 9, 0.04, ""}, {"one that moves", 20, 0.04, 25.2, 26, 9, 0.04, "w"}, {"a fifth", 20, 0.04, 24, 26, 9, 0.0077, ""}, {"more", 20, 0.04, 24, 26, 9, 0.0083, "w"},
	} {
		h := heard()
		h.meter.walker.count, h.meter.peak = c.count, c.peak
		h.meter.voltage = channelWatch{n: c.n, low: c.low, high: c.high}
		h.meter.drawn.add(c.drawn, 51)
		h.meter.drawn.add(0, 49)
		if got := levels((&rangeWitness{}).tooLittle(h)); got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
}

// A state is held against a current of more than a twentieth of the greatest.
func TestStateRowByRow(t *testing.T) {
	w := &stateWitness{}
	for k, r := range [][2]float64{{StateDischarge, 10}, {StateDischarge, -0.5}, {StateDischarge, -0.52}, {StateDischarge, -0.48}, {StateRest, -10}, {StateCharge, -5}, {StateCharge, 5}, {math.NaN(), 5}, {StateCharge, math.NaN()}} {
		s := row(float64(k), map[Channel]float64{State: r[0], Current: r[1]})
		s.Line = k + 2
		w.row(&s)
	}
	if w.flowing != 4 || w.off != 2 || w.first.line != 4 || w.peak != 10 {
		t.Errorf("%d of %d, first at %d", w.off, w.flowing, w.first.line)
	}
	for to, flowing := range map[float64]int{11.9: 5, 12: 5, 12.1: 1} {
		w := *w
		s := row(99, map[Channel]float64{State: StateDischarge, Current: to})
		if w.row(&s); w.flowing != flowing {
			t.Errorf("to %g A: %d rows", to, w.flowing)
		}
	}
	for _, c := range []struct {
		off, flowing int
		want         string
	}{{2, 200, ""}, {3, 299, "w"}, {2, 199, "w"}, {1, 2, ""}, {2, 4, "e"}, {3, 10, "w"}, {31, 100, "e"}, {29, 100, "w"}, {0, 0, ""}} {
		if got := levels((&stateWitness{off: c.off, flowing: c.flowing}).say(nil)); got != c.want {
			t.Errorf("%+v: %q", c, got)
		}
	}
}

package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// legOf is a leg of these amperes over these seconds, from an instant on.
func legOf(at, amps, seconds float64) leg {
	a, b := instant{t: at, v: 25, i: amps}, instant{t: at + seconds, v: 25, i: amps}
	l := leg{from: a, to: b, loaded: a, last: b, rows: 1, peak: math.Abs(amps), low: 25, high: 25}
	l.chargeOut, l.chargeIn = split(amps, amps, seconds)
	switch {
	case amps > 0:
		l.kind, l.flowing = legDischarge, seconds
	case amps < 0:
		l.kind, l.flowing = legCharge, seconds
	}
	return l
}

// follow are legs of amperes and seconds that follow each other.
func follow(pairs ...float64) []leg {
	var legs []leg
	at := 0.0
	for k := 0; k < len(pairs); k += 2 {
		legs = append(legs, legOf(at, pairs[k], pairs[k+1]))
		at += pairs[k+1]
	}
	return legs
}

func kindsOf(legs []leg) string {
	var b strings.Builder
	for k := range legs {
		b.WriteByte("rdc"[legs[k].kind])
	}
	return b.String()
}

// Which flows are no part of their own: less than a tenth, but for a hundredth that goes on for ten minutes.
func TestSmallestFlow(t *testing.T) {
	for _, c := range []struct {
		name string
		legs []leg
		want int
	}{
		{"a tenth", follow(10, 1000, -1, 1000), -1}, {"less", follow(10, 1000, -4.9, 200), 1}, {"a little less", follow(10, 1000, -0.97, 500, 10, 1), 2}, {"a tenth and more", follow(10, 1000, -2.1, 500), -1}, {"two", follow(10, 1000, -2, 50, 10, 5, -2, 40), 2}, {"two alike", follow(10, 1000, -2, 50, 10, 500, -2, 50), 1},
		{"a topping up", follow(10, 1000, -0.2, 600), -1}, {"shorter", follow(10, 1000, -0.2, 590), 1}, {"a hundredth", follow(10, 1000, -0.125, 800), -1}, {"less of it", follow(10, 1000, -0.12, 800), 1}, {"more of it", follow(10, 1000, -0.13, 800), -1}, {"a ninetieth in reverse", follow(-10, 1000, 0.13, 800), -1},
	} {
		if got := smallest(c.legs); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
	top := func(flowing, out, in float64) int {
		legs := follow(10, 1000, -0.2, 1000)
		legs[1].flowing, legs[1].chargeOut, legs[1].chargeIn = flowing, out, in
		return smallest(legs)
	}
	for k, got := range []int{top(800, 0, 200), top(810, 0, 200), top(800, 0, 200), top(1000, 1.9, 200)} {
		if got != -1 {
			t.Errorf("%d: a topping up is none", k)
		}
	}
	for k, got := range []int{top(790, 0, 200), top(770, 0, 200), top(1000, 2.1, 200)} {
		if got != 1 {
			t.Errorf("%d: a topping up of a flow that is none", k)
		}
	}
}

// Rest is judged by the whole log: half a per cent of the greatest current, or a blip of the zero.
func TestSettledLegs(t *testing.T) {
	for _, c := range []struct {
		name string
		legs []leg
		peak float64
		want string
	}{
		{"as they are", follow(10, 1000, 0, 60, -10, 1000), 10, "drc"}, {"half a per cent", follow(10, 1000, 0.05, 100), 10, "dr"}, {"more", follow(10, 1000, 0, 100, 0.052, 100), 10, "drd"}, {"less", follow(10, 1000, 0, 100, 0.048, 100), 10, "dr"},
		{"a blip", follow(10, 1000, 0, 100, 0.0198, 50, 0, 9), 0.1, "dr"}, {"more than a blip", follow(10, 1000, 0, 100, 0.0202, 50, 0, 9), 0.1, "drdr"}, {"just a blip's", follow(10, 1000, 0, 100, 0.02, 50, 0, 9), 0.1, "drdr"}, {"as little over a minute", follow(10, 1000, 0, 100, 0.0155, 60, 0, 9), 0.1, "drdr"}, {"a little shorter", follow(10, 1000, 0, 100, 0.0155, 59, 0, 9), 0.1, "dr"},
		{"none", nil, 0, ""}, {"alike", follow(5, 10, 6, 10, 0, 10, 0, 10), 6, "dr"},
	} {
		w := &cutter{legs: c.legs, peak: c.peak}
		if w.settle(); kindsOf(w.legs) != c.want {
			t.Errorf("%s: %s, want %s", c.name, kindsOf(w.legs), c.want)
		}
	}
}

// A small flow that a rest of a minute parts from its swing belongs to the swing before.
func TestWhereSwingsBegin(t *testing.T) {
	for _, c := range []struct {
		name       string
		legs       []leg
		last, from int
	}{
		{"a last braking", follow(10, 1000, -1, 400, 0, 60, -10, 1000), 1, 3}, {"a greater one", follow(10, 1000, -1, 530, 0, 60, -10, 1000), 0, 1}, {"a little greater", follow(10, 1000, -1, 520, 0, 60, -10, 950), 0, 1}, {"a little smaller", follow(10, 1000, -1, 480, 0, 60, -10, 950), 1, 3}, {"a shorter rest", follow(10, 1000, -1, 400, 0, 59, -10, 1000), 0, 1}, {"a longer rest", follow(10, 1000, -1, 400, 0, 62, -10, 1000), 1, 3},
		{"no rest", follow(10, 1000, -1, 400, 1, 60, -10, 1000), 0, 1},
	} {
		w := &cutter{legs: c.legs}
		list := []swing{{0, 0}, {1, 3}}
		if w.begin(list); list[0].last != c.last || list[1].first != c.from || list[1].last != 3 {
			t.Errorf("%s: %v", c.name, list)
		}
	}
	w := &cutter{legs: follow(10, 1000, -1, 100, 0, 60, -1, 100, 0, 60, -10, 1000)}
	list := []swing{{0, 0}, {1, 5}}
	if w.begin(list); list[0].last != 3 || list[1].first != 5 {
		t.Errorf("two brakings: %v", list)
	}
	w.legs = follow(10, 1000, -1, 10, 0, 60) // of which nothing is left behind the rest
	list = []swing{{0, 0}, {1, 2}}
	if w.begin(list); list[1].first != 1 {
		t.Errorf("%v", list)
	}
}

// The swings of legs, from the first to the last of each.
func TestSwingsOfLegs(t *testing.T) {
	for _, c := range []struct {
		name string
		legs []leg
		want string
	}{
		{"one", follow(0, 60, 10, 1000, 0, 60), "[{1 1}]"}, {"none", follow(0, 60), "[]"}, {"a braking between", follow(10, 1000, -2, 50, 10, 500), "[{0 2}]"}, {"a braking before", follow(-2, 50, 10, 500), "[{0 1}]"}, {"a braking behind", follow(10, 500, -2, 50), "[{0 1}]"},
		{"over a rest", follow(10, 1000, 0, 30, 10, 500), "[{0 2}]"}, {"there and back", follow(10, 1000, 0, 300, -10, 900), "[{0 0} {2 2}]"}, {"and a braking", follow(10, 1000, -2, 10, 10, 10, 0, 300, -10, 900), "[{0 2} {4 4}]"},
		{"a turn", follow(10, 50, -10, 60, 10, 50, -10, 1000), "[{0 3}]"}, {"a late turn", follow(-10, 1000, 10, 50, -10, 60, 10, 50, -10, 20), "[{0 4}]"}, {"turns between", follow(10, 1000, -10, 90, 10, 95, -10, 1000), "[{0 2} {3 3}]"},
	} {
		w := &cutter{legs: c.legs}
		if got := fmt.Sprint(w.swings()); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// What flows in one interval, and in which of its rows.
func TestFlowOfAnInterval(t *testing.T) {
	for _, c := range []struct {
		name             string
		p                passage
		peak             float64
		kind             legKind
		out, in          float64
		energyOut        float64
		loaded, last, on float64
	}{
		{"a ramp", passage{a: instant{t: 0, i: 4, v: 20}, b: instant{t: 10, i: 6, v: 10}}, 10, legDischarge, 50, 0, 700, 0, 10, 10},
		{"an edge", passage{a: instant{t: 0, i: 4, v: 20}, b: instant{t: 10, i: 6, v: 10}, kind: placedEdge, at: 0.25}, 10, legDischarge, 55, 0, 650, 0, 10, 10},
		{"a rest", passage{a: instant{t: 0, i: 0.04, v: 20}, b: instant{t: 10, i: 0.05, v: 20}}, 10, legRest, 0.45, 0, 9, 0, 10, 0},
		{"a load that comes on", passage{a: instant{t: 0, i: 0.05, v: 20}, b: instant{t: 10, i: 0.06, v: 20}}, 10, legDischarge, 0.55, 0, 11, 10, 10, 10},
		{"a load that goes off", passage{a: instant{t: 0, i: 5, v: 20}, b: instant{t: 10, i: -0.05, v: 20}}, 10, legDischarge, 24.7525, 0.0025, 495.0495, 0, 0, 10},
		{"a charge that comes on", passage{a: instant{t: 0, i: 0.05, v: 20}, b: instant{t: 10, i: -5, v: 20}}, 10, legCharge, 0.0025, 24.7525, 0.0495, 10, 10, 10},
		{"a charge", passage{a: instant{t: 0, i: -5, v: 20}, b: instant{t: 10, i: -5, v: 20}}, 10, legCharge, 0, 50, 0, 0, 10, 10},
		{"both alike", passage{a: instant{t: 0, i: -5, v: 20}, b: instant{t: 10, i: 5, v: 20}}, 10, legCharge, 12.5, 12.5, 250, 0, 10, 10},
		{"more out", passage{a: instant{t: 0, i: -5, v: 20}, b: instant{t: 10, i: 6, v: 20}}, 10, legDischarge, 16.364, 11.364, 327.27, 0, 10, 10},
		{"no voltage at one end", passage{a: instant{t: 0, i: 5, v: math.NaN()}, b: instant{t: 10, i: 5, v: 20}}, 10, legDischarge, 50, 0, 0, 0, 10, 10},
		{"nor at the other", passage{a: instant{t: 0, i: 5, v: 20}, b: instant{t: 10, i: 5, v: math.NaN()}}, 10, legDischarge, 50, 0, 0, 0, 10, 10},
	} {
		l := leg{loaded: c.p.a, last: c.p.b, peak: math.Max(math.Abs(c.p.a.i), math.Abs(c.p.b.i))}
		l.flow(&c.p, 0.005*c.peak)
		if l.kind != c.kind || math.Abs(l.chargeOut-c.out) > 1e-3 || math.Abs(l.chargeIn-c.in) > 1e-3 || math.Abs(l.energyOut-c.energyOut) > 0.01 || l.loaded.t != c.loaded || l.last.t != c.last || l.flowing != c.on {
			t.Errorf("%s: %+v", c.name, l)
		}
	}
	w := &cutter{}
	w.pass(&passage{a: instant{t: 0, i: 0.04, v: 24}, b: instant{t: 10, i: 0.04, v: 25}})
	if kindsOf(w.legs) != "d" || w.legs[0].low != 24 || w.legs[0].high != 25 || w.legs[0].rows != 1 {
		t.Errorf("%+v", w.legs)
	}
	for amps, want := range map[float64]string{7.9: "drd", 8.1: "rd", -8.1: "rc"} { // beside two hundred times as much it is nothing
		w := &cutter{legs: []leg{legOf(0, 0.04, 10)}, peak: 0.04}
		w.pass(&passage{a: instant{t: 10, i: 0.04, v: 24}, b: instant{t: 20, i: amps, v: 25}, kind: gap})
		w.pass(&passage{a: instant{t: 20, i: amps, v: 24}, b: instant{t: 30, i: amps, v: 25}})
		if got := kindsOf(w.legs); got != want {
			t.Errorf("%g A behind it: %s", amps, got)
		}
	}
}

// What the legs of too long a log are joined to: the one before, half of the room being made free.
func TestLegsThatAreJoined(t *testing.T) {
	var w cutter
	w.legs = append(w.legs, legOf(0, 10, 1e5))
	at := 1e5
	for len(w.legs) < 511 { // rests of two seconds, and flows too great to be joined
		w.legs = append(w.legs, legOf(at, 0, 2), legOf(at+2, 5, 100))
		at += 102
	}
	w.legs = append(w.legs, legOf(at, 0, 1))
	if w.coarsen(); len(w.legs) != 512 {
		t.Errorf("%d legs have room", len(w.legs))
	}
	w.legs = append(w.legs, legOf(at+1, 5, 100))
	if w.coarsen(); len(w.legs) != 511 || w.legs[510].length() != 201 || w.legs[510].kind != legDischarge {
		t.Errorf("%d legs", len(w.legs))
	}
	// Small flows leave a rest one until they add up to a hundred-thousandth of the greatest: three of them here.
	w.legs = []leg{legOf(0, 10, 1e4)}
	for at = 1e4; len(w.legs) < 600; at += 120 {
		w.legs = append(w.legs, legOf(at, 0, 100), legOf(at+100, 0.02, 20))
	}
	w.coarsen()
	if len(w.legs) != 101 || w.legs[1].kind != legDischarge || w.legs[1].rows != 6 || math.Abs(w.legs[1].chargeOut-1.2) > 1e-9 {
		t.Errorf("%d legs, the second %+v", len(w.legs), w.legs[1])
	}
}

func TestPartInWords(t *testing.T) {
	for _, c := range []struct {
		p    Part
		want string
	}{
		{Part{Name: "discharge 2", Kind: PartDischarge, Length: 3480, ChargeOut: 2.8}, "discharge 2, 58 min 0 s, 2.8 Ah out"},
		{Part{Name: "discharge 2", Kind: PartDischarge, Length: 3480, ChargeOut: 2, ChargeIn: 0.0099}, "discharge 2, 58 min 0 s, 2 Ah out"}, {Part{Name: "discharge 2", Kind: PartDischarge, Length: 3480, ChargeOut: 2, ChargeIn: 0.0102}, "discharge 2, 58 min 0 s, 2 Ah out, 10.2 mAh in"}, {Part{Name: "discharge 2", Kind: PartDischarge, Length: 3480, ChargeOut: 2, ChargeIn: 0.01}, "discharge 2, 58 min 0 s, 2 Ah out"},
		{Part{Name: "charge 1", Kind: PartCharge, Length: 3480, ChargeOut: 0.011, ChargeIn: 2}, "charge 1, 58 min 0 s, 11 mAh out, 2 Ah in"}, {Part{Name: "rest 1", Kind: PartRest, Length: 3480, ChargeOut: 2}, "rest 1, 58 min 0 s"},
	} {
		if got := c.p.String(); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	var parts []Part
	for k := range 12 {
		parts = append(parts, Part{Kind: PartCharge, FirstLine: 10 * k, LastLine: 10*k + 10, Length: 60, ChargeIn: quantity.AmpereHours(k % 5), ChargeOut: quantity.AmpereHours(k / 8)})
	}
	parts[3].Kind, parts[3].ChargeIn = PartRest, 99
	number(parts)
	for n, want := range map[int]int{1: 1, 8: 8, 9: 9, 10: 9, 12: 9} {
		text := listParts(parts[:n])
		if got := strings.Count(text, ";") + 1; got != want || strings.Contains(text, "more") != (n > 9) {
			t.Errorf("%d parts: %s", n, text)
		}
	}
	if got := listParts(parts); !strings.Contains(got, "; charge 6, 1 min 0 s, 1 Ah in; 4 more; charge 11, 1 min 0 s, 1 Ah out, 1 Ah in") {
		t.Errorf("%s", got)
	}
	if got := greatestFlow(parts); got != "charge 4" { // the first of two alike, and no rest
		t.Errorf("the greatest is %s", got)
	}
	for name, want := range map[string][3]int{"Charge  2": {10, 20, 1}, "charge 2 to rest 1": {10, 40, 1}, "rest 1 to charge 2": {0, 0, 0}, "charge 2 to charge 2": {10, 20, 1}, "charge 99": {0, 0, 0}, "charge 99 to charge 2": {0, 0, 0}, "charge 2 to charge 99": {0, 0, 0}, "charge 1": {0, 10, 1}} {
		first, last, ok := chosenRows(parts, name)
		if first != want[0] || last != want[1] || ok != (want[2] == 1) {
			t.Errorf("%q: %d to %d, %t", name, first, last, ok)
		}
	}
}

// Rests at the borders of parts, of a minute and less.
func TestRestsBetweenParts(t *testing.T) {
	for _, c := range []struct {
		name string
		legs []leg
		want string
		more bool
	}{
		{"a minute", follow(0, 60, 10, 1000, 0, 60, -10, 1000, 0, 60), "rest 1 60, discharge 1 1000, rest 2 60, charge 1 1000, rest 3 60", true},
		{"less", follow(0, 59, 10, 1000, 0, 59, -10, 1000, 0, 59), "discharge 1 1118, charge 1 1059", true},
		{"a little more", follow(0, 62, 10, 1000, 0, 62, -10, 1000, 0, 62), "rest 1 62, discharge 1 1000, rest 2 62, charge 1 1000, rest 3 62", true},
		{"a rest alone", follow(0, 30), "rest 1 30", false}, {"nothing", nil, "", false}, {"one flow", follow(10, 1000), "discharge 1 1000", false},
	} {
		w := &cutter{legs: c.legs, peak: 10}
		list, more := w.parts()
		var names []string
		for k := range list {
			names = append(names, fmt.Sprintf("%s %g", list[k].Name, float64(list[k].Length)))
			if rested := k > 0 && list[k-1].Kind == PartRest; rested != (list[k].RestLength > 0) || rested == math.IsNaN(float64(list[k].RestVoltage)) && len(list) > 1 {
				t.Errorf("%s: %s after a rest of %g s, %g V", c.name, list[k].Name, float64(list[k].RestLength), float64(list[k].RestVoltage))
			}
		}
		got := strings.Join(names, ", ")
		if got != c.want || more != c.more {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

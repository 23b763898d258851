package runlog

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"voltwright/internal/finding"
)

// TestProbeByHand: what the sniffed rows say of units and signs, reckoned by hand from three rows ten seconds apart.
func TestProbeByHand(t *testing.T) {
	p := &probe{}
	empty := row(math.NaN(), nil)
	r0 := row(0, map[Channel]float64{Voltage: 26, Current: 4, ChargeCounter: 1, EnergyCounter: 20, ChargeReturned: 0, EnergyReturned: 0, Power: 100, Distance: 5, ByPosition: 2, Speed: -3, SecondTime: 100, State: StateDischarge})
	r1 := row(10, map[Channel]float64{Voltage: 24, Current: 2, ChargeCounter: 4, EnergyCounter: 50, ChargeReturned: 0.5, EnergyReturned: 10, Power: 50, Distance: 25, ByPosition: 12, Speed: 5, SecondTime: 112, State: StateDischarge})
	r2 := row(20, map[Channel]float64{Voltage: 27, Current: -6, ChargeCounter: 1, EnergyCounter: 10, ChargeReturned: 3, EnergyReturned: 60, Power: -160, Distance: 24, ByPosition: 11, Speed: 1, SecondTime: 110, State: StateCharge})
	p.add(&empty, &r0)
	p.add(&r0, &r1)
	p.add(&r1, &r2)
	want := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s: %v, want %v", what, got, want)
		}
	}
	want("rows", float64(len(p.rows)), 3)
	want("the last of them", p.rows[2].t+p.rows[2].v+p.rows[2].i, 20+27-6)
	if !p.negative {
		t.Error("no current is below zero")
	}
	want("flow of charge", p.flow[0], -6)
	want("flow of discharge", p.flow[1], 6)
	want("power with the current", p.run[Power], 100*4+50*2+160*6)
	want("counter with the current", p.run[ChargeCounter], 3*2+-3*-6)
	want("energy with the current", p.run[EnergyCounter], 30*2+-40*-6)
	want("counter moved", p.moved[ChargeCounter], 3)   // that it went from 4 to 1 is a fresh start
	want("energy moved", p.moved[EnergyCounter], 30)   // and from 50 to 10
	want("returned moved", p.moved[ChargeReturned], 3) // 0.5 and 2.5
	want("out", p.covered[ChargeCounter].out, 3*10)    // (4 + 2)/2 for ten seconds
	want("in", p.covered[ChargeCounter].in, 2*10)      // (2 − 6)/2
	want("energy out", p.covered[EnergyCounter].out, 3*25*10)
	want("energy in", p.covered[EnergyCounter].in, 2*25.5*10)
	want("charge returned, in", p.covered[ChargeReturned].in, 2*10)
	want("energy returned, in", p.covered[EnergyReturned].in, 2*25.5*10)
	want("span", p.span[0], 20)
	want("span by the second time", p.span[1], 12) // that fell by two
	want("way", p.way[0], 20)
	want("way along the positions", p.way[1], 10)
	want("driven", p.driven, (-3+5)/2*10+(5.+1)/2*10) // the sizes of the mean
	want("fastest", p.fastest, 5)
	f := p.follows()
	if !f[Power] || !f[ChargeCounter] || !f[EnergyCounter] || f[Current] {
		t.Errorf("follows %v", f)
	}
	p.scale(60)
	want("scaled span", p.span[0], 1200)
	want("scaled span by the second time", p.span[1], 12)
	want("scaled out", p.covered[ChargeCounter].out, 1800)
	want("scaled in", p.covered[ChargeCounter].in, 1200)
	want("scaled way", p.driven, 40*60)
	want("scaled rows", p.rows[2].t, 1200)

	// A counter that halves has started anew; one that falls to a bit more than half has not. A restart and a step back count nothing.
	for _, x := range []struct {
		from, to, want float64
	}{{4, 2, 2}, {4, 1.99, 0}, {-4, -2, 2}, {-4, -1.99, 0}, {4, 7, 3}, {0, 0.1, 0.1}} {
		p := &probe{}
		a, b := row(0, map[Channel]float64{Current: 2, ChargeCounter: x.from}), row(10, map[Channel]float64{Current: 2, ChargeCounter: x.to})
		p.add(&a, &b)
		want(fmt.Sprintf("from %v to %v", x.from, x.to), p.moved[ChargeCounter], x.want)
	}
	for _, change := range []func(a, b *Sample){func(a, b *Sample) { b.Restart = true }, func(a, b *Sample) { b.Time = -1 }, func(a, b *Sample) { a.Time = math.NaN() }} {
		p := &probe{}
		a, b := row(0, map[Channel]float64{Current: 2, ChargeCounter: 1, Distance: 1}), row(10, map[Channel]float64{Current: 2, ChargeCounter: 2, Distance: 2})
		change(&a, &b)
		if p.add(&a, &b); p.moved[ChargeCounter] != 0 || p.way[0] != 0 || p.span[0] != 0 {
			t.Errorf("%+v", p)
		}
	}
	carried := row(5, map[Channel]float64{Voltage: 26, Current: 4})
	next := row(6, map[Channel]float64{Current: 3})
	next.Restart = true
	if carry(&carried, &next, upTo(Current)); carried.Values[Voltage] != 26 || carried.Values[Current] != 3 || carried.Time != 6 || !carried.Restart {
		t.Errorf("carried %+v", carried)
	}
}

// TestTimeByDatesAndCounters: in which unit a time without one agrees with the dates, or with a counter that has its unit.
func TestTimeByDatesAndCounters(t *testing.T) {
	for _, x := range []struct {
		name      string
		own, date float64 // spans
		moved     float64 // Ah
		out, in   float64 // A s if the time is in seconds
		named     bool
		want      timeForm // timeUnknown: refused
	}{
		{"seconds", 100, 100, 0, 0, 0, false, timeSeconds}, {"two per cent off", 1000, 1019, 0, 0, 0, false, timeSeconds}, {"more", 1000, 1022, 0, 0, 0, false, timeUnknown}, {"a second and a half off in a short one", 10, 11.45, 0, 0, 0, false, timeSeconds}, {"more in a short one", 10, 11.55, 0, 0, 0, false, timeUnknown}, {"the other way", 10, 8.55, 0, 0, 0, false, timeSeconds},
		{"milliseconds", 100000, 100, 0, 0, 0, false, timeMilliseconds}, {"milliseconds in a short one", 10000, 11.45, 0, 0, 0, false, timeMilliseconds}, {"microseconds", 1e8, 100, 0, 0, 0, false, timeMicroseconds}, {"microseconds in a short one", 1e7, 11.45, 0, 0, 0, false, timeMicroseconds}, {"minutes", 10, 600, 0, 0, 0, false, timeMinutes}, {"minutes in a short one", 0.1, 7.4, 0, 0, 0, false, timeMinutes}, {"hours", 2, 7200, 0, 0, 0, false, timeHours}, {"hours in a short one", 0.002, 8.6, 0, 0, 0, false, timeHours},
		{"dates of five seconds say nothing", 5, 5, 0, 0, 0, false, timeUnknown}, {"of a bit more do", 5.1, 5.1, 0, 0, 0, false, timeSeconds}, {"no span", 0, 100, 0, 0, 0, false, timeUnknown},
		{"a counter in seconds", 100, 0, 1, 3600, 0, true, timeSeconds}, {"a quarter off", 100, 0, 1, 3600 * 0.76, 0, true, timeSeconds}, {"more than that off", 100, 0, 1, 3600 * 0.74, 0, true, timeUnknown}, {"a third the other way", 100, 0, 1, 3600 * 1.32, 0, true, timeSeconds}, {"more the other way", 100, 0, 1, 3600 * 1.35, 0, true, timeUnknown},
		{"milliseconds by a counter", 100, 0, 1, 3600e3, 0, true, timeMilliseconds}, {"of what came in", 100, 0, 1, 0, 3600e3, true, timeMilliseconds}, {"of both", 100, 0, 1, 1800e3, 1800e3, true, timeMilliseconds}, {"minutes by a counter", 100, 0, 1, 60, 0, true, timeMinutes}, {"hours by a counter", 100, 0, 1, 1, 0, true, timeHours},
		{"a counter without a unit says nothing", 100, 0, 1, 3600, 0, false, timeUnknown}, {"one that does not move", 100, 0, 0, 3600, 0, true, timeUnknown}, {"nothing flows", 100, 0, 1, 0, 0, true, timeUnknown}, {"dates go before it", 100, 100, 1, 3600e3, 0, true, timeSeconds}, {"dates that agree in nothing go before it", 100, 333, 1, 3600e3, 0, true, timeUnknown},
	} {
		p := &probe{span: [2]float64{x.own, x.date}}
		p.moved[ChargeCounter], p.covered[ChargeCounter] = x.moved, flowed{x.out, x.in}
		s := &Scanner{report: &tally{}, unitOpen: true, doubt: "which?", columns: []target{{source: source{channel: ChargeCounter, unit: unitOf("Ah"), named: x.named}}}}
		ok := s.settleTime(p, finding.Span{})
		if ok != (x.want != timeUnknown) || ok && s.times[0].form != x.want {
			t.Errorf("%s: %t, %s", x.name, ok, s.times[0].form.word())
		}
		s = &Scanner{report: &tally{}, unitOpen: false}
		if !s.settleTime(p, finding.Span{}) || s.times[0].form != timeUnknown {
			t.Errorf("%s: a time that names its unit is settled anew", x.name)
		}
	}
}

// TestCountersWithoutAUnit: the factor between what a counter moved and what flowed says its unit, within four tenths.
func TestCountersWithoutAUnit(t *testing.T) {
	for _, x := range []struct {
		channel Channel
		moved   float64
		out, in float64 // A h or W h
		named   bool
		want    string // its unit; "" where it is not read
	}{
		{ChargeCounter, 5, 5, 0, false, "Ah"}, {ChargeCounter, 5000, 5, 0, false, "mAh"}, {ChargeCounter, 18000, 5, 0, false, "As"}, {ChargeCounter, 5, 0, 5, false, "Ah"}, {ChargeCounter, 5, 2, 3, false, "Ah"}, {ChargeReturned, 5000, 0, 5, false, "mAh"}, {EnergyCounter, 5, 5, 0, false, "Wh"}, {EnergyCounter, 5000, 5, 0, false, "mWh"}, {EnergyReturned, 18000, 0, 5, false, "J"},
		{ChargeCounter, 3.05, 5, 0, false, "Ah"}, {ChargeCounter, 2.95, 5, 0, false, ""}, {ChargeCounter, 8.3, 5, 0, false, "Ah"}, {ChargeCounter, 8.4, 5, 0, false, ""}, {ChargeCounter, 3050, 5, 0, false, "mAh"}, {ChargeCounter, 2950, 5, 0, false, ""}, {ChargeCounter, 29900, 5, 0, false, "As"}, {ChargeCounter, 30100, 5, 0, false, ""},
		{ChargeCounter, 50, 5, 0, true, "Ah"}, {ChargeCounter, 0, 5, 0, false, "Ah"}, {ChargeCounter, 50, 0, 0, false, "Ah"}, {Distance, 50, 5, 0, false, "m"},
	} {
		u := baseUnit(x.channel)
		s := &Scanner{report: &tally{}, columns: []target{{source: source{channel: x.channel, unit: u, named: x.named, name: "it"}}}}
		s.dialect.Columns = []Column{{Channel: x.channel, Name: "it"}}
		p := &probe{}
		p.moved[x.channel], p.covered[x.channel] = x.moved, flowed{x.out * 3600, x.in * 3600}
		s.settleCounters(p)
		got := ""
		if len(s.columns) == 1 {
			got = s.columns[0].unit.Symbol()
		}
		if got != x.want || (x.want == "") != (len(s.dialect.Columns) == 0) || (x.want == "") != (len(s.dialect.Unused) == 1) {
			t.Errorf("%+v: %q, %+v", x, got, s.dialect)
		}
	}
}

// TestSpeedsWithoutAUnit: the unit that agrees with the way, within a part; else by its size.
func TestSpeedsWithoutAUnit(t *testing.T) {
	for _, x := range []struct {
		name             string
		way, along       float64 // m by the distance column and along the positions
		driven, fastest  float64
		far              bool // the distance names no unit
		want, wantOfWay  string
		warns, comparing bool
	}{
		{"metres a second", 100, 0, 100, 5, false, "m/s", "m", false, false}, {"km/h", 100, 0, 360, 18, false, "km/h", "m", false, false}, {"mph", 100, 0, 223.7, 11, false, "mph", "m", false, false}, {"less by 18 %", 83, 0, 100, 5, false, "m/s", "m", false, false}, {"by more", 81, 0, 100, 5, false, "m/s", "m", true, true}, {"more by 22 %", 121.5, 0, 100, 5, false, "m/s", "m", false, false}, {"by more than that", 122.5, 0, 100, 5, false, "m/s", "m", true, true},
		{"along positions", 0, 100, 360, 18, false, "km/h", "m", false, false}, {"a distance goes before them", 100, 360, 360, 18, false, "km/h", "m", false, false}, {"no way", 0, 0, 100, 12, false, "m/s", "m", true, false}, {"no way, too fast", 0, 0, 100, 12.1, false, "km/h", "m", true, false}, {"it does not drive", 100, 0, 0, 0, false, "m/s", "m", true, true},
		{"a distance in kilometres", 0.1, 100, 360, 18, true, "km/h", "km", false, false}, {"one that names its unit", 0.1, 100, 360, 11, false, "m/s", "m", true, true}, {"seven tenths of it", 0.0705, 100, 253, 13, true, "km/h", "km", false, false}, {"less than that", 0.0695, 100, 253, 11, true, "m/s", "m", true, true}, {"more by three sevenths", 0.142, 100, 511, 18, true, "km/h", "km", false, false}, {"more than that", 0.144, 100, 511, 11, true, "m/s", "m", true, true},
	} {
		s := &Scanner{report: &tally{}, columns: []target{{source: source{channel: Speed, unit: baseUnit(Speed), name: "v"}}, {source: source{channel: Distance, unit: baseUnit(Distance), named: !x.far}}}}
		s.settleSpeed(&probe{way: [2]float64{x.way, x.along}, driven: x.driven, fastest: x.fastest}, finding.Span{})
		found := s.report.findings()
		if got := s.columns[0].unit.Symbol(); got != x.want || s.columns[1].unit.Symbol() != x.wantOfWay || (len(found) > 0) != x.warns {
			t.Errorf("%s: %s, %s, %v", x.name, got, s.columns[1].unit.Symbol(), found)
		}
		if x.warns && (len(found) != 1 || strings.Contains(found[0].Text, "in no unit") != x.comparing) {
			t.Errorf("%s: %v", x.name, found)
		}
		s.columns[0].named, s.columns[0].unit, s.report = true, baseUnit(Speed), &tally{}
		if s.settleSpeed(&probe{way: [2]float64{x.way, x.along}, driven: x.driven, fastest: x.fastest}, finding.Span{}); len(s.report.findings()) > 0 || s.columns[0].unit.Symbol() != "m/s" {
			t.Errorf("%s: a speed that names its unit is settled", x.name)
		}
	}
}

package battery

import (
	"math"
	"testing"
)

// steps is an element before some steps under one current, and what moves in it: each has a value and how far it goes with x.
type steps struct {
	amps, h, ambient float64
	values           map[string][2]float64
	thermal          bool
	without          string // fast, slow, entropic: what the cell does not have
}

func (s steps) at(t *testing.T, x float64) element {
	t.Helper()
	v := func(name string) float64 { return s.values[name][0] + x*s.values[name][1] }
	profile := func(name string, values ...float64) Profile {
		if s.without == name {
			return nil
		}
		var out Profile
		for k, p := range values {
			out = append(out, p*(1+x*s.values[name][1]*float64(k+1)))
		}
		return out
	}
	volts := []float64{2.8, 3.1, 3.25, 3.33, 3.45, 3.6}
	for k := range volts { // a curve that grows as a whole keeps its shape
		volts[k] *= 1 + x*s.values["curve"][1]
	}
	curve, err := NewCurve([]float64{0, 0.1, 0.3, 0.55, 0.8, 1}, volts)
	if err != nil {
		t.Fatal(err)
	}
	e := element{
		cell: &Cell{
			Curve: curve, Ohmic: profile("ohmic", 0.02, 0.015, 0.014), Entropic: profile("entropic", -2e-4, 1e-4, 3e-4),
			HeatCapacity: v("heat capacity"), Conductance: v("conductance"),
		},
		series: 1, parallel: 1, putBack: 1.1, invRef: 1 / (25 + zeroCelsius), thermal: s.thermal,
		perHour: v("one over capacity"), eo: v("ohmic energy"), eb: v("branch energy"), el: v("lag energy"), lag: v("lag"),
		fastTime: v("fast time"), slowTime: v("slow time"), peukertK: v("exponent"), peukertAt: v("rated current"),
		fastOhms: profile("fast", 0.01, 0.006, 0.008), slowOhms: profile("slow", 0.03, 0.02, 0.022),
	}
	e.y = state{v("charge"), v("lagging"), v("fast volts"), v("slow volts"), v("temperature")}
	return e
}

// usualSteps is a warm cell in which nothing moves.
func usualSteps() steps {
	return steps{amps: 9, h: 25, ambient: 12, thermal: true, values: map[string][2]float64{
		"one over capacity": {1 / (3600 * 8.0)}, "ohmic energy": {2400}, "branch energy": {4100}, "lag energy": {5200}, "lag": {40}, "fast time": {18}, "slow time": {240},
		"exponent": {0.15}, "rated current": {2}, "heat capacity": {60}, "conductance": {0.35},
		"charge": {0.71}, "lagging": {0.012}, "fast volts": {0.03}, "slow volts": {0.05}, "temperature": {31},
	}}
}

// goes is how far each goes: about a tenth of itself.
var goes = map[string]float64{
	"one over capacity": 3e-6, "ohmic energy": 200, "branch energy": 300, "lag energy": 400, "lag": 5, "fast time": 2, "slow time": 20, "exponent": 0.02, "rated current": 0.2,
	"heat capacity": 5, "conductance": 0.04, "ohmic": 0.04, "fast": 0.05, "slow": 0.06, "entropic": 0.1, "curve": 0.01,
	"charge": 0.05, "lagging": 0.002, "fast volts": 0.003, "slow volts": 0.004, "temperature": 2,
}

// Each number of a cell and each part of its state is moved by itself. Three steps carry the change along; the steps of two cells
// on either side of it, apart by little, say what it has to be.
func TestTangentsOfSteps(t *testing.T) {
	for name, set := range map[string]func(s *steps){
		"a load":                  func(*steps) {},
		"a charge":                func(s *steps) { s.amps = -7 },
		"at rest":                 func(s *steps) { s.amps = 0 },
		"below the rated current": func(s *steps) { s.amps = 1.5 },
		"no exponent":             func(s *steps) { s.values["exponent"] = [2]float64{} },
		"no cooling":              func(s *steps) { s.values["conductance"] = [2]float64{} },
		"no lag":                  func(s *steps) { s.values["lag"] = [2]float64{} },
		"no fast branch":          func(s *steps) { s.without = "fast" },
		"no slow branch":          func(s *steps) { s.without = "slow" },
		"no reversible heat":      func(s *steps) { s.without = "entropic" },
		"a measured temperature":  func(s *steps) { s.thermal = false },
		"measured, on charge":     func(s *steps) { s.thermal, s.amps = false, -7 },
		"without heat":            func(s *steps) { s.thermal, s.values["heat capacity"] = false, [2]float64{} },
		"over full":               func(s *steps) { s.values["charge"] = [2]float64{1.08}; s.values["lagging"] = [2]float64{0.01} },
		"over full, lagging":      func(s *steps) { s.values["charge"] = [2]float64{1.05}; s.values["lagging"] = [2]float64{0.1} },
		"below empty":             func(s *steps) { s.values["charge"] = [2]float64{-0.03} },
		"hotter than is told":     func(s *steps) { s.values["temperature"], s.ambient = [2]float64{130}, 130 },
		"colder than is told": func(s *steps) {
			s.values["temperature"], s.ambient = [2]float64{-80}, -80
			for _, energy := range []string{"ohmic energy", "branch energy", "lag energy"} {
				s.values[energy] = [2]float64{s.values[energy][0] / 5} // so that it still settles
			}
		},
	} {
		for what, by := range goes {
			s := usualSteps()
			set(&s)
			v := s.values[what]
			if (what == "exponent" || what == "conductance" || what == "lag" || what == "heat capacity") && v[0] == 0 {
				continue // what a cell does not have does not move
			}
			s.values[what] = [2]float64{v[0], by}
			e, b := s.at(t, 0), s.at(t, tangentStep)
			tangents := []tangent{tangentOf(&e, &b, s.thermal, s.thermal)}
			one := &tangents[0]
			one.y = state{d(e.y.charge, b.y.charge), d(e.y.lag, b.y.lag), d(e.y.fast, b.y.fast), d(e.y.slow, b.y.slow), d(e.y.temp, b.y.temp)}
			one.still = false
			const apart = 1e-4
			low, high := s.at(t, -apart), s.at(t, apart)
			for range 3 {
				e.holdWith(tangents, s.amps, s.h, s.ambient)
				low.holdWith(nil, s.amps, s.h, s.ambient)
				high.holdWith(nil, s.amps, s.h, s.ambient)
			}
			for part, got := range map[string][3]float64{
				"charge": {one.y.charge, low.y.charge, high.y.charge}, "lag": {one.y.lag, low.y.lag, high.y.lag}, "fast voltage": {one.y.fast, low.y.fast, high.y.fast},
				"slow voltage": {one.y.slow, low.y.slow, high.y.slow}, "temperature": {one.y.temp, low.y.temp, high.y.temp},
			} {
				want, near := (got[2]-got[1])/(2*apart), 2e-5
				if what == "curve" { // of which the change is held in straight pieces
					near = 2e-3
				}
				if !(math.Abs(got[0]-want) <= near*math.Abs(want)+2e-9) {
					t.Errorf("%s, the %s moves: the %s changes by %.9g, and the cells beside it by %.9g", name, what, part, got[0], want)
				}
			}
		}
	}
}

func d(a, b float64) float64 { return (b - a) / tangentStep }

// A step with tangents is the step without them.
func TestStepsWithTangents(t *testing.T) {
	for _, amps := range []float64{9, 0, -7} {
		s := usualSteps()
		with, plain := s.at(t, 0), s.at(t, 0)
		b := s.at(t, 1)
		tangents := []tangent{tangentOf(&with, &b, true, true)}
		for range 3 {
			with.holdWith(tangents, amps, s.h, s.ambient)
			plain.hold(amps, s.h, s.ambient)
		}
		if with.y != plain.y {
			t.Errorf("%g A: %+v and %+v", amps, with.y, plain.y)
		}
	}
}

// Only what moves the state is carried along, and with a temperature that is computed everything may.
func TestWhatStandsStill(t *testing.T) {
	resting := map[string]bool{"ohmic": true, "ohmic energy": true, "curve": true, "entropic": true, "heat capacity": true, "conductance": true}
	for what, by := range goes {
		if what == "lagging" || what == "fast volts" || what == "slow volts" || what == "temperature" {
			continue // no unknown moves these at the beginning
		}
		for _, thermal := range []bool{false, true} {
			s := usualSteps()
			s.thermal = thermal
			s.values[what] = [2]float64{s.values[what][0], by}
			e, b := s.at(t, 0), s.at(t, tangentStep)
			one := tangentOf(&e, &b, thermal, thermal)
			if want := resting[what] && !thermal; one.still != want {
				t.Errorf("%s, temperature computed %t: it stands still %t", what, thermal, one.still)
			}
			if want := map[bool]float64{true: by}[what == "charge"]; math.Abs(one.y.charge-want) > 1e-9 {
				t.Errorf("%s: the charge begins to move by %g, want %g", what, one.y.charge, want)
			}
			if (one.moved != nil) != (what == "curve") || (one.curve != nil) != (what == "curve" && thermal) {
				t.Errorf("%s, temperature computed %t: the curve moves %t, %t", what, thermal, one.moved != nil, one.curve != nil)
			}
		}
	}
}

// A tangent that stands still is left as it is.
func TestStillTangentsStay(t *testing.T) {
	s := usualSteps()
	e := s.at(t, 0)
	tangents := []tangent{{still: true, own: &own{perHour: 1, moving: everywhere}}, {own: &own{perHour: 1, moving: everywhere}}}
	e.holdWith(tangents, s.amps, s.h, s.ambient)
	if tangents[0].y != (state{}) || tangents[1].y.charge == 0 {
		t.Errorf("%+v and %+v", tangents[0].y, tangents[1].y)
	}
}

// How profiles rise, on either side of their ends: between the first and the second of three values a half apart, and so on.
func TestProfileSlopes(t *testing.T) {
	p := Profile{2, 3, 7}
	for _, tt := range []struct{ z, want float64 }{{-0.1, 0}, {0, 0}, {1e-9, 2}, {0.49, 2}, {0.51, 8}, {1 - 1e-9, 8}, {1, 0}, {1.1, 0}} {
		if got := p.slope(tt.z); got != tt.want {
			t.Errorf("at %g it rises by %g, want %g", tt.z, got, tt.want)
		}
	}
	if (Profile{2, 5}).slope(0.5) != 3 || (Profile{2}).slope(0.5) != 0 || Profile(nil).slope(0.5) != 0 || Profile(nil).at(0.5) != 0 || p.at(0.25) != 2.5 {
		t.Error("a profile of one value, and none")
	}
}

// What two profiles and two curves are apart.
func TestWhatIsApart(t *testing.T) {
	if got := apartBy(Profile{1, 2, 3}, Profile{1, 2.5, 3}); len(got) != 3 || got[0] != 0 || got[1] != 0.5/tangentStep || got[2] != 0 {
		t.Errorf("%v", got)
	}
	if got := apartBy(Profile{1, 2}, Profile{1, 2}); got != nil || apartBy(nil, nil) != nil {
		t.Errorf("%v", got)
	}
	a, err := NewCurve([]float64{0, 0.5, 1}, []float64{3, 3.2, 3.4})
	if err != nil {
		t.Fatal(err)
	}
	same, other, under, over := *a, *a, *a, *a
	other.volts = []float64{3, 3.2, 3.41}
	under.under, over.over = 9, 9
	if changed(a, a) || changed(a, &same) || !changed(a, &other) || !changed(a, &under) || !changed(a, &over) {
		t.Error("which curves are changed")
	}
}

// The temperatures to which a resistance is told, and just beyond them; and from which current on charge counts more.
func TestPointsAtTheirBounds(t *testing.T) {
	s := usualSteps()
	e := s.at(t, 0)
	for _, tt := range []struct {
		temp float64
		dT   bool
	}{{-61, false}, {-60, false}, {-59, true}, {99, true}, {100, false}, {101, false}} {
		if p := e.pointAt(state{charge: 0.5, temp: tt.temp}, 1); (p.dT != 0) != tt.dT {
			t.Errorf("%g °C: %g", tt.temp, p.dT)
		}
	}
	if at, above := e.pointAt(e.y, 2), e.pointAt(e.y, 2.1); at.peukert || !above.peukert {
		t.Error("at the rated current charge counts as it is")
	}
}

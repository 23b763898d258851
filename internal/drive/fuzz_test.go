package drive

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"voltwright/internal/quantity"
)

// finiteFields fails on a NaN or an Inf anywhere in a struct of numbers.
func finiteFields(t *testing.T, what string, v reflect.Value) {
	t.Helper()
	switch v.Kind() {
	case reflect.Float64:
		if !finite(v.Float()) {
			t.Errorf("%s is %v", what, v.Float())
		}
	case reflect.Struct:
		for i := range v.NumField() {
			finiteFields(t, what+"."+v.Type().Field(i).Name, v.Field(i))
		}
	case reflect.Slice:
		for i := range v.Len() {
			finiteFields(t, what, v.Index(i))
		}
	}
}

// Any finite input either is refused with an error or gives finite figures.
func FuzzOperate(f *testing.F) {
	f.Add(0.083, 0.21, 0.13, 9.8, 0.85, 0.13, 64.0, 85.0, 0.7, 26.0, 0.04, 0.6, 0.95, 50.0, 40.0, 0.1, true, 0.012, 0.02, 1.5)
	f.Add(0.083, 0.21, 0.0, 9.8, 1.0, 0.13, 64.0, 0.0, 0.0, 26.0, 0.0, 1.0, 1.0, 0.0, 0.0, 0.0, false, 0.0, -0.1, 0.1)
	f.Add(1e-9, 1e9, 1e9, 1e-9, 1e-9, 1e9, 1e9, 1e9, 1e9, 1e-9, 1e9, 1e-9, 1e-9, 1e-9, 1e-9, 0.0, true, 1.0, 9.0, 1e9)
	f.Add(1e300, 1e-300, 1e-300, 1e150, 1.0, 1e-150, 1e-300, 1e300, 1e300, 1e300, 1e-300, 1.0, 1.0, 1e-300, 0.0, 0.0, true, 1e-300, -10.0, 1e-300)
	f.Fuzz(checkFinite)
}

// The fuzzer changes one number by a little; this throws all of them at once over
// the whole range of magnitudes.
func TestExtremes(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 5))
	for range 20000 {
		var x [20]float64
		spread := []float64{1, 5, 30, 300}[r.IntN(4)]
		for i := range x {
			x[i] = math.Pow(10, spread*(2*r.Float64()-1))
			if r.IntN(12) == 0 {
				x[i] = 0
			}
		}
		for _, i := range []int{4, 11, 12, 17} { // parts of a whole
			x[i] = math.Min(x[i], r.Float64())
		}
		if r.IntN(2) == 0 {
			x[18] = -x[18]
		}
		x[18] = math.Max(-9, math.Min(9, x[18]))
		checkFinite(t, x[0], x[1], x[2], x[3], x[4], x[5], x[6], x[7], x[8], x[9], x[10], x[11], x[12], x[13], x[14], x[15], r.IntN(2) == 0, x[17], x[18], x[19])
		if t.Failed() {
			t.Fatalf("%v", x)
		}
	}
}

func checkFinite(t *testing.T, k, r, friction, ratio, eta, wheel, mass, payload, cda, rest, rb, duty, ceta, mlim, blim, own float64, regenerates bool, crr, grade, speed float64) {
	for _, x := range []*float64{&k, &r, &friction, &ratio, &eta, &wheel, &mass, &payload, &cda, &rest, &rb, &duty, &ceta, &mlim, &blim, &own, &crr, &speed} {
		*x = math.Abs(*x)
	}
	s := Setup{
		Vehicle: Vehicle{Motor: Motor{K: k, R: quantity.Ohms(r), Friction: friction, Winding: 20}, Parallel: 2, Ratio: quantity.Number(ratio), GearEfficiency: quantity.Fraction(eta),
			Wheel: quantity.Metres(wheel), Mass: quantity.Kilograms(mass), Payload: quantity.Kilograms(payload), DragArea: cda, Wagons: []Wagon{{Mass: quantity.Kilograms(payload), Rolling: quantity.Number(crr)}}},
		Supply:     Supply{quantity.Volts(rest), quantity.Ohms(rb)},
		Controller: Controller{quantity.Fraction(duty), quantity.Fraction(ceta), quantity.Amperes(mlim), quantity.Amperes(blim), quantity.Amperes(own), regenerates},
		Way:        Way{Rolling: quantity.Number(crr), Grade: Grade(grade)},
	}
	p, err := s.Operate()
	if err == nil && !(p.State == RunsAway && math.IsNaN(float64(p.Speed))) {
		finiteFields(t, "point", reflect.ValueOf(p))
		if p.Words() == "" {
			t.Error("a point without words")
		}
	}
	if p, err := s.AtSpeed(quantity.MetresPerSecond(speed)); err == nil {
		finiteFields(t, "held", reflect.ValueOf(p))
	}
	if st, err := s.Stall(&Winding{Copper: quantity.Kilograms(mass), Start: 20, Limit: 130}); err == nil {
		if math.IsNaN(float64(st.Time)) {
			t.Error("a stall of no time")
		}
		st.Time = 0
		finiteFields(t, "stall", reflect.ValueOf(st))
	}
	if stop, err := s.Stop(quantity.MetresPerSecond(speed), Brake{Force: Newtons(friction), Reaction: 1}); err == nil {
		finiteFields(t, "stop", reflect.ValueOf(stop))
	}
	if st, err := s.Start(); err == nil {
		st.SteepestGrade = 0 // +Inf is an answer
		finiteFields(t, "start", reflect.ValueOf(st))
	}
}

// A plate of any positive values either gives a motor or an error, never NaN.
func FuzzPlate(f *testing.F) {
	f.Add(24.0, 2700.0, 1.6, 0.21, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(24.0, 2700.0, 1.6, 0.0, 0.0, 0.0, 250.0, 2400.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(24.0, 2700.0, 0.0, 0.0, 0.0, 0.0, 250.0, 2400.0, 14.0, 0.0, 0.0, 0.0)
	f.Add(12.0, 3800.0, 0.1, 0.0, 0.0, 0.03, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
	f.Add(24.0, 2700.0, 1.6, 0.0, 0.0, 0.0, 250.0, 0.0, 0.0, 0.0, 0.75, 0.0)
	f.Fuzz(func(t *testing.T, v, n0, i0, r, is, ts, p, n, i, torque, eta, k float64) {
		x := [plateCount]float64{v, n0, i0, r, is, ts, p, n, i, torque, eta, k}
		for at := range x {
			if x[at] == 0 {
				x[at] = math.NaN()
			}
			x[at] = math.Abs(x[at])
		}
		m, err := solvePlate(x, [plateCount]float64{}, 20)
		if err == nil {
			if m.Check() != nil {
				t.Errorf("%+v", m)
			}
			finiteFields(t, "motor", reflect.ValueOf(m))
		}
	})
}

func FuzzParseGrade(f *testing.F) {
	for _, s := range []string{"1 in 60", "-2 %", "1.5° down", "1:1e-320", "level"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if g, err := ParseGrade(text); err == nil && !finite(float64(g)) {
			t.Errorf("%q gives %v", text, float64(g))
		}
	})
}

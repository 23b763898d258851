package drive

import (
	"errors"
	"testing"

	"voltwright/internal/quantity"
)

// named is what an error of input is of, "" for none.
func named(err error) string {
	var e *InputError
	if errors.As(err, &e) {
		return e.What
	}
	return ""
}

// The temperatures of a winding that is held, just within their bounds and just beyond.
func TestHeldWithinItsBounds(t *testing.T) {
	s := shunter()
	for _, tt := range []struct {
		start, limit float64
		want         string
	}{
		{20, 400, ""}, {20, 401, "the winding's limit of temperature"}, {400, 400, ""}, {401, 405, "the winding's temperature at the start"}, {-100, 20, ""}, {-101, 20, "the winding's temperature at the start"},
		{20, 20, ""}, {20, 19, "the winding's limit of temperature"},
	} {
		if _, err := s.Stall(&Winding{Copper: 0.2, Start: quantity.Celsius(tt.start), Limit: quantity.Celsius(tt.limit)}); named(err) != tt.want {
			t.Errorf("from %g °C to %g °C: %v", tt.start, tt.limit, err)
		}
	}
}

// What a stop is computed of, just below the greatest that exists and just above.
func TestStopWithinItsBounds(t *testing.T) {
	for what, set := range map[string]func(v *float64, b *Brake, x float64){
		"the speed":         func(v *float64, _ *Brake, x float64) { *v = x },
		"the brake's force": func(_ *float64, b *Brake, x float64) { b.Force, b.Deceleration = Newtons(x), 0 },
		"the deceleration":  func(_ *float64, b *Brake, x float64) { b.Deceleration = x },
		"the reaction time": func(_ *float64, b *Brake, x float64) { b.Reaction = quantity.Seconds(x) },
		"the grip":          func(_ *float64, b *Brake, x float64) { b.Grip = quantity.Number(x) },
		"the part of the weight on braked wheels": func(_ *float64, b *Brake, x float64) { b.Held = quantity.Fraction(x) },
	} {
		for x, want := range map[float64]string{0.99e9: "", 1.01e9: what, -1: what} {
			v, b := 2.0, Brake{Deceleration: 0.5}
			set(&v, &b, x)
			if _, err := shunter().Stop(quantity.MetresPerSecond(v), b); named(err) != want {
				t.Errorf("%s of %g: %v", what, x, err)
			}
		}
	}
}

// The friction and the temperature of a motor.
func TestMotorWithinItsBounds(t *testing.T) {
	for _, tt := range []struct {
		friction, winding float64
		want              string
	}{{0, 20, ""}, {0.99e9, 20, ""}, {1.01e9, 20, "the motor's friction torque"}, {-1, 20, "the motor's friction torque"}, {0, 0.99e9, ""}, {0, 1.01e9, "the winding's temperature"}} {
		if err := (Motor{K: 0.05, R: 0.2, Friction: tt.friction, Winding: quantity.Celsius(tt.winding)}).Check(); named(err) != tt.want {
			t.Errorf("%+v: %v", tt, err)
		}
	}
}

// How steep a grade may be written as an angle, and the centre of two bodies of 2 kg and 6 kg at 1 m and 3 m.
func TestAnglesAndCentres(t *testing.T) {
	for text, ok := range map[string]bool{"88°": true, "89°": true, "89.1°": false, "88 degrees": true, "89 degrees": true, "89.1 degrees": false} {
		if _, err := ParseGrade(text); (err == nil) != ok {
			t.Errorf("%s: %v", text, err)
		}
	}
	if got := CentreHeight(2, 1, 6, 3); got != 2.5 {
		t.Errorf("%v", got)
	}
}

package drive

import (
	"errors"
	"math"
	"strings"
	"testing"

	"voltwright/internal/quantity"
)

// What a setup may hold, just within what is documented and just beyond it, and which value an error names.
func TestSetupWithinItsBounds(t *testing.T) {
	for what, set := range map[string]func(s *Setup, x float64){
		"the payload":              func(s *Setup, x float64) { s.Vehicle.Payload = quantity.Kilograms(x) },
		"a wagon's mass":           func(s *Setup, x float64) { s.Vehicle.Wagons = []Wagon{{Mass: quantity.Kilograms(x), Rolling: 0.01}} },
		"the drag area":            func(s *Setup, x float64) { s.Vehicle.DragArea = x },
		"the battery's resistance": func(s *Setup, x float64) { s.Supply.Resistance = quantity.Ohms(x) },
		"the resistance of the leads to the motors":  func(s *Setup, x float64) { s.MotorLeads = quantity.Ohms(x) },
		"the controller's limit on the motor side":   func(s *Setup, x float64) { s.Controller.MotorLimit = quantity.Amperes(x) },
		"the controller's limit on the battery side": func(s *Setup, x float64) { s.Controller.BatteryLimit = quantity.Amperes(x) },
		"the controller's own current":               func(s *Setup, x float64) { s.Controller.Standing = quantity.Amperes(x) },
	} {
		s := shunter()
		set(&s, 1.01e9)
		var e *InputError
		if err := s.Check(); !errors.As(err, &e) || e.What != what {
			t.Errorf("%s of 1.01e9: %v", what, err)
		}
		s = shunter()
		s.Supply.Rest = 2e9 // so that no other rule is asked first
		set(&s, 0.99e9)
		if err := s.Check(); errors.As(err, &e) && e.What == what && strings.Contains(e.Error(), "e+09") && what != "the controller's own current" {
			t.Errorf("%s of 0.99e9: %v", what, err)
		}
	}
}

// The temperatures that a motor may be at.
func TestWarmedWithinItsBounds(t *testing.T) {
	m := shunter().Vehicle.Motor
	for _, tt := range []struct {
		winding, magnets float64
		names            string
	}{
		{400, 20, ""}, {401, 20, "the winding's temperature"}, {-100, 20, ""}, {-101, 20, "the winding's temperature"},
		{20, 400, ""}, {20, 401, "the magnets' temperature"}, {20, -100, ""}, {20, -101, "the magnets' temperature"},
	} {
		_, err := m.Warmed(quantity.Celsius(tt.winding), quantity.Celsius(tt.magnets), Magnet{Coefficient: -0.0005})
		var e *InputError
		if named := errors.As(err, &e); named != (tt.names != "") || named && e.What != tt.names {
			t.Errorf("%g °C and %g °C: %v", tt.winding, tt.magnets, err)
		}
	}
}

// What a plate lacks, and what would help, word for word.
func TestWhatAPlateLacks(t *testing.T) {
	var none [plateCount]float64
	for i := range none {
		none[i] = math.NaN()
	}
	const resistance = "one of resistance, stall current, or rated power with the rated current, speed or efficiency"
	for _, tt := range []struct {
		words   string
		set     func(d *deduction)
		unknown string
		remedy  string
	}{
		{"nothing", func(*deduction) {}, "torque constant, resistance, friction", "add the no-load speed, the no-load current and " + resistance},
		{"a constant", func(d *deduction) { d.k = 0.05 }, "resistance, friction", "add the no-load current and " + resistance},
		{"a speed", func(d *deduction) { d.x[pNoLoadSpeed] = 300 }, "torque constant, resistance, friction", "add the no-load current and " + resistance},
		{"constant and resistance", func(d *deduction) { d.k, d.r = 0.05, 0.2 }, "friction", "add the no-load current"},
		{"a resistance", func(d *deduction) { d.r = 0.2 }, "torque constant, friction", "add the no-load speed and the no-load current"},
		{"a speed, a current and a resistance", func(d *deduction) { d.x[pNoLoadSpeed], d.x[pNoLoadCurrent], d.r = 300, 1, 0.2 }, "torque constant, friction", "add one value more of its rating"},
	} {
		d := newDeduction(none)
		tt.set(d)
		var e *MissingError
		if err := d.missing(); !errors.As(err, &e) || strings.Join(e.Unknown, ", ") != tt.unknown || e.Remedy != tt.remedy {
			t.Errorf("%s: %+v", tt.words, err)
		}
	}
	d := newDeduction(none)
	d.k, d.r, d.i0 = 0.05, 0.2, 1
	if err := d.missing(); err != nil {
		t.Errorf("all known: %v", err)
	}
}

// The stretch of a route that is wrong is named by its number.
func TestStretchesAreCounted(t *testing.T) {
	s := shunter()
	_, err := s.Travel([]Stretch{{Length: 50, Way: Way{Rolling: 0.012}}, {Way: Way{Rolling: 0.012}}})
	var e *InputError
	if !errors.As(err, &e) || e.What != "the length of stretch 2" {
		t.Errorf("%v", err)
	}
}

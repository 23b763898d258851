package drive

import (
	"fmt"
	"math"
	"testing"

	"voltwright/internal/quantity"
	"voltwright/internal/recorded"
)

// answered is a result with its error in words.
type answered struct {
	Of    any
	Words string
	Error string
}

func answeredOf[T any](v T, err error) answered {
	out := answered{Of: v}
	if err != nil {
		out.Error = err.Error()
	}
	if p, is := any(v).(Point); is && err == nil {
		out.Words = p.Words() + fmt.Sprintf("; %.6f of the battery's power moves it, %.6g Wh/km, moves %v", math.Abs(float64(p.Efficiency())), float64(p.PerDistance()), p.Moves())
	}
	return out
}

// The record is a net under the checks against something from outside: whole answers are what they were, in every field.
// VOLTWRIGHT_UPDATE=1 writes it anew: read the difference.
func TestRecord(t *testing.T) {
	base := Setup{
		Vehicle: Vehicle{Motor: Motor{K: 0.083, R: 0.21, Friction: 0.13, Winding: 20}, Parallel: 2, Ratio: 9.8, GearEfficiency: 0.85, Wheel: 0.13, Mass: 58, Payload: 75,
			Wagons: []Wagon{{Mass: 20, Rolling: 0.01}}, DragArea: 0.6},
		Supply: Supply{Rest: 25.4, Resistance: 0.06}, Controller: Controller{Duty: 0.8, Efficiency: 0.95, MotorLimit: 60, BatteryLimit: 40, Standing: 0.05}, MotorLeads: 0.01,
		Way: Way{Rolling: 0.02, Grade: 0.01},
	}
	change := map[string]func(*Setup){
		"as it is": func(*Setup) {}, "downhill": func(s *Setup) { s.Way.Grade = -0.06 }, "downhill, back to the battery": func(s *Setup) { s.Way.Grade = -0.06; s.Controller.Regenerates = true },
		"steep": func(s *Setup) { s.Way.Grade = 0.25 }, "steep, without limits": func(s *Setup) { s.Way.Grade = 0.12; s.Controller.MotorLimit, s.Controller.BatteryLimit = 0, 0 },
		"held by the battery": func(s *Setup) { s.Way.Grade = 0.08; s.Controller.BatteryLimit = 12 }, "held by the motors": func(s *Setup) { s.Way.Grade = 0.08; s.Controller.MotorLimit = 25 },
		"held by the motors, within the battery's limit": func(s *Setup) { s.Way.Grade = 0.14; s.Controller.MotorLimit, s.Controller.BatteryLimit = 26, 16 },
		"in series": func(s *Setup) { s.Vehicle.Parallel, s.Vehicle.Series = 1, 2 }, "switched": func(s *Setup) { s.Controller = Switched() }, "off": func(s *Setup) { s.Controller.Duty = 0.01 },
		"slightly downhill": func(s *Setup) { s.Way.Grade = -0.02 }, "down, held by friction": func(s *Setup) { s.Way.Grade = -0.025; s.Controller.Duty = 0 },
		"braked back, of a limit": func(s *Setup) { s.Way.Grade = -0.2; s.Controller.Regenerates = true; s.Controller.MotorLimit = 15 },
	}
	var names []string
	for _, n := range []string{"as it is", "downhill", "downhill, back to the battery", "steep", "steep, without limits", "held by the battery", "held by the motors", "held by the motors, within the battery's limit", "in series", "switched", "off", "slightly downhill", "down, held by friction", "braked back, of a limit"} {
		if change[n] == nil {
			t.Fatal(n)
		}
		names = append(names, n)
	}
	var cases []recorded.Case
	add := func(name string, v any) { cases = append(cases, recorded.Case{Name: name, Value: v}) }
	for _, n := range names {
		s := base
		s.Vehicle.Wagons = append([]Wagon(nil), base.Vehicle.Wagons...)
		change[n](&s)
		add(n+", operates", answeredOf(s.Operate()))
		add(n+", at its top", answeredOf(s.TopSpeed()))
		add(n+", wheels up", answeredOf(s.WheelsUp()))
		add(n+", starts", answeredOf(s.Start()))
		add(n+", stalls", answeredOf(s.Stall(&Winding{Copper: 0.3, Start: 20, Limit: 130})))
		add(n+", stops", answeredOf(s.Stop(1.8, Brake{Deceleration: 0.9, Reaction: 1})))
		add(n+", stops by force", answeredOf(s.Stop(1.8, Brake{Force: 90, Reaction: 1.5})))
		for _, v := range []quantity.MetresPerSecond{0.2, 1.2, 2.2, 3.5} {
			add(fmt.Sprintf("%s, held at %v m/s", n, float64(v)), answeredOf(s.AtSpeed(v)))
		}
		if n == "as it is" || n == "downhill" {
			add(n+", travels", answeredOf(s.Travel([]Stretch{{Length: 100, Way: Way{Rolling: 0.02, Grade: 0.01}, Speed: 1.2}, {Length: 80, Way: Way{Rolling: 0.015, Grade: -0.03}, Speed: 1.5}, {Length: 40, Way: s.Way}})))
			add(n+", compared", answeredOf(s.Compare(250, []quantity.Kilograms{0, 60}, Surfaces()[:2], 1.2)))
		}
	}
	for _, v := range []quantity.Volts{0, 6, 24} {
		m := base.Vehicle.Motor
		best, eta := m.BestEfficiency(v)
		add(fmt.Sprintf("the motor at %v V", float64(v)), []any{m.NoLoadCurrent(), m.StallCurrent(v), m.StallTorque(v), m.NoLoadSpeed(v), m.AtTorque(v, 0.4), m.AtCurrent(v, 9), m.AtSpeed(v, 1500), best, eta, m.MostPower(v)})
	}
	recorded.Hold(t, "testdata/recorded/answers.txt", cases)
}

// What is of a size that exists is taken, and what is beyond it refused: both ends of each field.
func TestSizesThatExist(t *testing.T) {
	sound := Vehicle{Motor: Motor{K: 0.083, R: 0.21, Friction: 0.13, Winding: 20}, Ratio: 9.8, GearEfficiency: 0.85, Wheel: 0.13, Mass: 58, Payload: 75, Wagons: []Wagon{{Mass: 20, Rolling: 0.01}}}
	for name, set := range map[string]func(*Vehicle, float64){
		"the payload":                 func(v *Vehicle, x float64) { v.Payload = quantity.Kilograms(x) },
		"a wagon's mass":              func(v *Vehicle, x float64) { v.Wagons = []Wagon{{Mass: quantity.Kilograms(x)}} },
		"the drag area":               func(v *Vehicle, x float64) { v.DragArea = x },
		"the motor's friction torque": func(v *Vehicle, x float64) { v.Motor.Friction = x },
		"the gear ratio":              func(v *Vehicle, x float64) { v.Ratio = quantity.Number(x) },
		"the vehicle's mass":          func(v *Vehicle, x float64) { v.Mass = quantity.Kilograms(x) },
	} {
		for x, ok := range map[float64]bool{1e9: true, 1.0000001e9: false, 1e-9: true, 0.9999e-9: false, math.NaN(): false, math.Inf(1): false, -1: false} {
			v := sound
			set(&v, x)
			if err := v.Check(); (err == nil) != ok {
				t.Errorf("%s of %v: %v", name, x, err)
			}
		}
	}
	v := sound
	v.Wagons = []Wagon{{Mass: 20, Rolling: 1}}
	if err := v.Check(); err != nil {
		t.Error(err)
	}
	v.Wagons = []Wagon{{Mass: 20, Rolling: 1.01}}
	if err := v.Check(); err == nil {
		t.Error("a wagon that rolls worse than it slides")
	}
}

// Both ends of what a setup states beside the vehicle.
func TestSetupsThatExist(t *testing.T) {
	sound := Setup{Vehicle: Vehicle{Motor: Motor{K: 0.083, R: 0.21, Friction: 0.13, Winding: 20}, Ratio: 9.8, GearEfficiency: 0.85, Wheel: 0.13, Mass: 58}, Supply: Supply{Rest: 1e9}, Controller: Controller{Duty: 1}, Way: Way{Rolling: 0.02}}
	for name, c := range map[string]struct {
		set       func(*Setup, float64)
		low, high float64
	}{
		"the battery's resistance": {func(s *Setup, x float64) { s.Supply.Resistance = quantity.Ohms(x) }, 0, 1e9}, "the leads": {func(s *Setup, x float64) { s.MotorLeads = quantity.Ohms(x) }, 0, 1e9},
		"the duty": {func(s *Setup, x float64) { s.Controller.Duty = quantity.Fraction(x) }, 0, 1}, "the efficiency": {func(s *Setup, x float64) { s.Controller.Efficiency = quantity.Fraction(x) }, 0, 1},
		"the motors' limit": {func(s *Setup, x float64) { s.Controller.MotorLimit = quantity.Amperes(x) }, 0, 1e9}, "the battery's limit": {func(s *Setup, x float64) { s.Controller.BatteryLimit = quantity.Amperes(x) }, 0, 1e9},
		"its own current": {func(s *Setup, x float64) { s.Controller.Standing = quantity.Amperes(x) }, 0, 1e9}, "rolling": {func(s *Setup, x float64) { s.Way.Rolling = quantity.Number(x) }, 0, 1},
		"the grade": {func(s *Setup, x float64) { s.Way.Grade = Grade(x) }, -10, 10}, "the air": {func(s *Setup, x float64) { s.Way.Air = x }, 0, 10},
	} {
		for x, ok := range map[float64]bool{c.low: true, c.high: true, c.low - 1e-6: false, c.high * (1 + 1e-6): false, math.NaN(): false} {
			s := sound
			c.set(&s, x)
			if err := s.Check(); (err == nil) != ok {
				t.Errorf("%s of %v: %v", name, x, err)
			}
		}
	}
	for own, ok := range map[quantity.Amperes]bool{9.99: true, 10: false, 10.01: false} { // of 10 A that the battery gives into a short
		s := sound
		s.Supply, s.Controller.Standing = Supply{Rest: 20, Resistance: 2}, own
		if err := s.Check(); (err == nil) != ok {
			t.Errorf("its own current of %v A: %v", float64(own), err)
		}
	}
	for limit, ok := range map[quantity.Amperes]bool{0: true, 1: false, 1.01: true} {
		s := sound
		s.Controller.Standing, s.Controller.BatteryLimit = 1, limit
		if err := s.Check(); (err == nil) != ok {
			t.Errorf("a limit of %v A beside 1 A of its own: %v", float64(limit), err)
		}
	}
}

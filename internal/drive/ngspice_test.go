package drive

import (
	"encoding/json"
	"os"
	"testing"

	"voltwright/internal/quantity"
)

// Oracle: ngspice 39 on circuits in which each motor is written out for itself and
// the speed is a node's voltage; made by testdata/ngspice/values.py. Its Newton
// iteration ends at a relative change of 1e-12.
func TestAgainstNgspice(t *testing.T) {
	text, err := os.ReadFile("testdata/ngspice/points.json")
	if err != nil {
		t.Fatal(err)
	}
	var points []struct {
		Given struct {
			K, R, Friction, Ratio, Gear, Wheel, Mass, Payload, Wagon, Area, Rest, Resistance, Duty, Eta, Own, Rolling, Grade float64
			Parallel, Series                                                                                                 int
		}
		Speed, Bat, Drawn, Motor float64
	}
	if err := json.Unmarshal(text, &points); err != nil {
		t.Fatal(err)
	}
	if len(points) != 10 {
		t.Fatalf("%d points, 10 were made", len(points))
	}
	for _, want := range points {
		c := want.Given
		s := Setup{
			Vehicle: Vehicle{Motor: Motor{K: c.K, R: quantity.Ohms(c.R), Friction: c.Friction}, Parallel: c.Parallel, Series: c.Series, Ratio: quantity.Number(c.Ratio),
				GearEfficiency: quantity.Fraction(c.Gear), Wheel: quantity.Metres(c.Wheel), Mass: quantity.Kilograms(c.Mass), Payload: quantity.Kilograms(c.Payload),
				Wagons: []Wagon{{Mass: quantity.Kilograms(c.Wagon)}}, DragArea: c.Area},
			Supply:     Supply{quantity.Volts(c.Rest), quantity.Ohms(c.Resistance)},
			Controller: Controller{Duty: quantity.Fraction(c.Duty), Efficiency: quantity.Fraction(c.Eta), Standing: quantity.Amperes(c.Own)},
			Way:        Way{Rolling: quantity.Number(c.Rolling), Grade: Grade(c.Grade)},
		}
		p, err := s.Operate()
		if err != nil || p.State != Runs {
			t.Errorf("%+v: %v, %v", c, p.State, err)
			continue
		}
		near(t, "speed", float64(p.Speed), want.Speed, 1e-9)
		near(t, "battery volts", float64(p.BatteryVolts), want.Bat, 1e-9)
		near(t, "battery current", float64(p.BatteryCurrent), want.Drawn, 1e-9)
		near(t, "motor current", float64(p.MotorCurrent), want.Motor, 1e-9)
	}
}

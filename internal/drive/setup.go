package drive

import (
	"math"

	"voltwright/internal/quantity"
)

// Vehicle is what moves: motors, gearing, wheels, masses, and the wagons behind.
type Vehicle struct {
	Motor          Motor
	Parallel       int             // strings of motors side by side; 0 is 1
	Series         int             // motors one behind the other in each string; 0 is 1
	Ratio          quantity.Number // turns of the motor to one of the wheel
	GearEfficiency quantity.Fraction
	Wheel          quantity.Metres // diameter of the driven wheels
	Mass           quantity.Kilograms
	Payload        quantity.Kilograms
	Wagons         []Wagon
	DragArea       float64 // C_d·A of the whole train, m²; 0: the air is left out
}

// Motors is how many there are. They all turn with the same wheels, so each has
// the same speed and, being alike, the same current and torque.
func (v Vehicle) Motors() int { return max(v.Parallel, 1) * max(v.Series, 1) }

// Check says what is wrong with a vehicle, or nil.
func (v Vehicle) Check() error {
	if err := v.Motor.Check(); err != nil {
		return err
	}
	for _, c := range []struct {
		what  string
		value float64
		unit  string
	}{
		{"the gear ratio", float64(v.Ratio), ""}, {"the wheel's diameter", float64(v.Wheel), "m"},
		{"the gear's efficiency", float64(v.GearEfficiency), ""}, {"the vehicle's mass", float64(v.Mass), "kg"},
	} {
		if err := above(c.what, c.value, c.unit); err != nil {
			return err
		}
	}
	if v.GearEfficiency > 1 {
		return &InputError{"the gear's efficiency", 100 * float64(v.GearEfficiency), "%", "100 % or less"}
	}
	if err := within("the payload", float64(v.Payload), "kg", 0, greatest); err != nil {
		return err
	}
	for _, w := range v.Wagons {
		if err := within("a wagon's mass", float64(w.Mass), "kg", 0, greatest); err != nil {
			return err
		}
		if err := within("a wagon's rolling coefficient", float64(w.Rolling), "", 0, 1); err != nil {
			return err
		}
	}
	if v.Parallel < 0 || v.Series < 0 {
		return &InputError{"the number of motors", float64(min(v.Parallel, v.Series)), "", "zero (for one) or more"}
	}
	return within("the drag area", v.DragArea, "m²", 0, greatest)
}

// Supply is the battery as the drive sees it: its voltage at rest and the
// resistance of pack and leads together.
type Supply struct {
	Rest       quantity.Volts
	Resistance quantity.Ohms
}

// Controller is a speed controller by its means: the motor gets the duty's part
// of the battery's voltage, and the battery gives that part of the motor's
// current, plus what the controller loses:
//
//	V(motor) = D·V(battery),  I(battery) = D·I(motor)/η + I(standing)
//
// Good where the controller switches so fast that the motor's current hardly
// ripples and never falls to nothing in between. Source: power in is power out
// (η = 1); as in ecomodder.com, thread 326532.
type Controller struct {
	Duty         quantity.Fraction // 0 to 1
	Efficiency   quantity.Fraction // η; 0 is 1
	MotorLimit   quantity.Amperes  // most current on the motor side; 0: no limit
	BatteryLimit quantity.Amperes  // most current on the battery side; 0: no limit
	Standing     quantity.Amperes  // what it draws for itself
	// Regenerates: it passes current back to the battery downhill and so holds
	// the vehicle back. One that does not lets it run. Many pass current back once
	// the motor turns fast enough to exceed the battery's voltage; here they do not.
	// Its limit on the motor side holds for a current back, too.
	Regenerates bool
}

// Switched is a motor switched straight to the battery, without a controller.
func Switched() Controller { return Controller{Duty: 1, Regenerates: true} }

func (c Controller) eta() float64 {
	if c.Efficiency == 0 {
		return 1
	}
	return float64(c.Efficiency)
}

// Setup is a vehicle with its supply, its controller and what lies ahead.
type Setup struct {
	Vehicle    Vehicle
	Supply     Supply
	Controller Controller
	MotorLeads quantity.Ohms // between controller and motors, there and back, for the current of all motors
	Way        Way
}

// Check says what is wrong with a setup, or nil; every error is *InputError.
func (s Setup) Check() error {
	if err := s.Vehicle.Check(); err != nil {
		return err
	}
	if err := above("the battery's voltage", float64(s.Supply.Rest), "V"); err != nil {
		return err
	}
	for _, c := range []struct {
		what      string
		value     float64
		unit      string
		low, high float64
	}{
		{"the battery's resistance", float64(s.Supply.Resistance), "Ω", 0, greatest},
		{"the resistance of the leads to the motors", float64(s.MotorLeads), "Ω", 0, greatest},
		{"the controller's duty", float64(s.Controller.Duty), "", 0, 1},
		{"the controller's efficiency", float64(s.Controller.Efficiency), "", 0, 1},
		{"the controller's limit on the motor side", float64(s.Controller.MotorLimit), "A", 0, greatest},
		{"the controller's limit on the battery side", float64(s.Controller.BatteryLimit), "A", 0, greatest},
		{"the controller's own current", float64(s.Controller.Standing), "A", 0, greatest},
		{"the rolling coefficient", float64(s.Way.Rolling), "", 0, 1},
		{"the grade", float64(s.Way.Grade), "", -10, 10},
		{"the density of the air", s.Way.Air, "kg/m³", 0, 10},
	} {
		if err := within(c.what, c.value, c.unit, c.low, c.high); err != nil {
			return err
		}
	}
	if float64(s.Supply.Resistance)*float64(s.Controller.Standing) >= float64(s.Supply.Rest) {
		return &InputError{"the controller's own current", float64(s.Controller.Standing), "A", "less than what the battery gives into a short circuit"}
	}
	if b := s.Controller.BatteryLimit; b != 0 && b <= s.Controller.Standing {
		return &InputError{"the controller's limit on the battery side", float64(b), "A", "above what it draws for itself"}
	}
	return nil
}

// gauge holds what the motors are, seen from the rim of the wheel.
type gauge struct {
	perMetre   float64 // motor radians per metre of way
	emf        float64 // V/(m/s), of a string
	resistance float64 // Ω, of the whole group and its leads
	leads      float64 // Ω, of that the leads
	pull       float64 // N per ampere into the whole group, before friction and gear
	drag       float64 // N of the motors' friction, before the gear
	eta        float64 // gear
}

func (s Setup) gauge() gauge {
	v := s.Vehicle
	np, ns := float64(max(v.Parallel, 1)), float64(max(v.Series, 1))
	g := gauge{perMetre: 2 * float64(v.Ratio) / float64(v.Wheel), eta: float64(v.GearEfficiency)}
	g.emf = ns * v.Motor.K * g.perMetre
	g.leads = float64(s.MotorLeads)
	g.resistance = float64(v.Motor.R)*ns/np + g.leads
	g.pull = ns * v.Motor.K * g.perMetre
	g.drag = np * ns * v.Motor.Friction * g.perMetre
	return g
}

// atRim turns the force of the motors into that at the rim: the gear takes its
// share of whatever passes through it, in either direction.
func (g gauge) atRim(force float64) float64 {
	if force < 0 {
		return force / g.eta
	}
	return force * g.eta
}

// atMotor is atRim backwards.
func (g gauge) atMotor(force float64) float64 {
	if force < 0 {
		return force * g.eta
	}
	return force / g.eta
}

// Limit is what keeps the current down.
type Limit string

// The limits.
const (
	Unlimited    Limit = ""
	MotorSide    Limit = "motor-side current limit"
	BatterySide  Limit = "battery-side current limit"
	NoWayBack    Limit = "no current can flow back"
	HeldBySpeed  Limit = "speed held by the setting"
	HeldByBrakes Limit = "speed held by the brakes"
)

// current is what flows into the whole group of motors at a back-EMF, and what
// keeps it there. It falls, or stays, as the EMF rises, so that a drive and its
// load meet at one speed only.
//
// With the battery's sag in it, V(motor) = D·(V₀ − R·I(battery)), the current is
// (D·(V₀ − R·I₀) − E)/(R(motors) + D²·R/η). Back to the battery the losses count
// the other way: D²·R·η.
func (s Setup) current(g gauge, emf float64) (float64, Limit) {
	c, rb := s.Controller, float64(s.Supply.Resistance)
	d, eta := float64(c.Duty), c.eta()
	source := d * (float64(s.Supply.Rest) - rb*float64(c.Standing))
	if source < emf {
		if !c.Regenerates {
			return 0, NoWayBack
		}
		i := (source - emf) / (g.resistance + d*d*rb*eta)
		if lim := float64(c.MotorLimit); lim > 0 && -i > lim {
			return -lim, MotorSide
		}
		return i, Unlimited
	}
	i := (source - emf) / (g.resistance + d*d*rb/eta)
	limit := Unlimited
	if lim := float64(c.MotorLimit); lim > 0 && i > lim {
		i, limit = lim, MotorSide
	}
	if lim := float64(c.BatteryLimit); lim > 0 {
		drawn := d*i/eta + float64(c.Standing)
		if limit == MotorSide {
			drawn = s.drawn(i * (emf + i*g.resistance))
		}
		if drawn > lim {
			// What the battery gives at its limit, less the controller's share, is
			// E·I + R·I² on the motor side.
			volts := math.Max(0, float64(s.Supply.Rest)-rb*lim)
			power := volts * (lim - float64(c.Standing)) * eta
			if root := emf + math.Sqrt(emf*emf+4*g.resistance*power); root > 0 {
				i, limit = 2*power/root, BatterySide
			}
			// A battery drawn beyond its greatest power gives the motors more when
			// less is drawn, and that can be more than they may have.
			if most := float64(c.MotorLimit); most > 0 && i > most {
				i, limit = most, MotorSide
			}
		}
	}
	return i, limit
}

// drawn is the battery's current for a power on the motor side, at the higher of
// the two voltages at which it gives that power.
func (s Setup) drawn(power float64) float64 {
	rb, own := float64(s.Supply.Resistance), float64(s.Controller.Standing)
	rest := float64(s.Supply.Rest) - rb*own
	through := power / s.Controller.eta()
	if power < 0 {
		through = power * s.Controller.eta()
	}
	volts := (rest + math.Sqrt(math.Max(0, rest*rest-4*rb*through))) / 2
	return through/volts + own
}

// push is the force at the rim at a speed above zero.
func (s Setup) push(g gauge, speed float64) float64 {
	i, _ := s.current(g, g.emf*speed)
	return g.atRim(g.pull*i - g.drag)
}

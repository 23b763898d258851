package drive

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// State says what becomes of a vehicle that is left to its setting.
type State string

// The states.
const (
	Runs        State = "runs"         // the motors pull
	Regenerates State = "regenerates"  // the hill drives the motors, which hold it back
	Coasts      State = "coasts"       // the hill drives the vehicle, no current flows
	RunsAway    State = "runs away"    // downhill, beyond RunawayFactor times its own top speed, or without end
	CannotStart State = "cannot start" // it stands, with the motors held and drawing
	RollsBack   State = "rolls back"   // the hill is stronger than motors and friction together
	Braked      State = "braked"       // at a given speed: more than the motors can hold back
)

// RunawayFactor is how many times the speed that the motors reach without load
// at the full battery voltage a vehicle may coast at before that counts as
// running away. Our own choice of figure; common practice, no source.
const RunawayFactor = 2

// Point is a steady state: every force, current and power in it, in balance.
//
//	battery = controller + copper + drag + gear + rolling + climbing + air + brakes
//
// Climbing is below zero downhill; battery is below zero where charge returns.
type Point struct {
	State    State
	Limited  Limit
	Speed    quantity.MetresPerSecond // NaN where it runs away without end
	Rotation quantity.RevolutionsPerMinute
	Duty     quantity.Fraction // V(motor group)/V(battery)
	// Of one motor:
	MotorVolts   quantity.Volts
	MotorCurrent quantity.Amperes
	MotorTorque  quantity.NewtonMetres // at the shaft
	// Of all of them together, on the controller's motor side:
	GroupCurrent   quantity.Amperes
	BatteryVolts   quantity.Volts
	BatteryCurrent quantity.Amperes
	Pull           Newtons // at the rim
	Resistance     Resistance
	Brakes         Newtons // what the vehicle's brakes have to hold, in the state Braked
	Power          Powers
}

// Powers is where the battery's power goes, watts.
type Powers struct {
	Battery, Controller, Leads, Copper, Drag, Gear, Rolling, Climbing, Air, Brakes quantity.Watts
}

// Unbalanced is what is left over: nothing but rounding.
func (p Powers) Unbalanced() quantity.Watts {
	return p.Battery - p.Controller - p.Leads - p.Copper - p.Drag - p.Gear - p.Rolling - p.Climbing - p.Air - p.Brakes
}

// MotorHeat is what warms the motors, all together: copper and drag.
func (p Powers) MotorHeat() quantity.Watts { return p.Copper + p.Drag }

// Efficiency is the part of the battery's power that arrives at the rim; NaN
// where the motors do not pull.
func (p Point) Efficiency() quantity.Fraction {
	if p.State != Runs || !(p.Power.Battery > 0) {
		return quantity.Fraction(math.NaN())
	}
	return quantity.Fraction(float64(p.Pull) * float64(p.Speed) / float64(p.Power.Battery))
}

// PerDistance is the battery's energy by the way, Wh/km; below zero where more
// returns than is drawn, NaN at a stand.
func (p Point) PerDistance() quantity.WattHoursPerKilometre {
	if !(p.Speed > 0) {
		return quantity.WattHoursPerKilometre(math.NaN())
	}
	return quantity.WattHoursPerKilometre(float64(p.Power.Battery) / float64(p.Speed) / 3.6)
}

// Moves says whether the vehicle comes to a steady speed forward.
func (p Point) Moves() bool {
	return p.State == Runs || p.State == Regenerates || p.State == Coasts || p.State == Braked
}

// Words is the state in a sentence, without a full stop.
func (p Point) Words() string {
	kmh := 3.6 * float64(p.Speed)
	switch p.State {
	case Runs:
		return fmt.Sprintf("it runs at %.3g km/h, with %.3g A from the battery and %.3g A in each motor", kmh, float64(p.BatteryCurrent), float64(p.MotorCurrent))
	case Regenerates:
		return fmt.Sprintf("the hill drives it; the motors hold it at %.3g km/h with %.3g A in each, and %.3g A flow from the battery", kmh, float64(p.MotorCurrent), float64(p.BatteryCurrent))
	case Coasts:
		return fmt.Sprintf("the hill drives it without current at %.3g km/h", kmh)
	case RunsAway:
		if math.IsNaN(kmh) {
			return "it runs away downhill: nothing but brakes holds it at any speed"
		}
		return fmt.Sprintf("it runs away downhill, up to %.3g km/h unless it is braked", kmh)
	case CannotStart:
		if p.Resistance.Sum() <= 0 {
			return "it cannot start: the friction of motors and gear holds it against the hill"
		}
		if p.MotorCurrent == 0 {
			return fmt.Sprintf("it cannot start: no current flows, and the way asks for %.3g N", float64(p.Resistance.Sum()))
		}
		return fmt.Sprintf("it cannot start: the motors pull with %.3g N, the way asks for %.3g N; each motor stands held with %.3g A in it and burns if that lasts", float64(p.Pull), float64(p.Resistance.Sum()), float64(p.MotorCurrent))
	case RollsBack:
		return fmt.Sprintf("it rolls back: the hill pulls with %.3g N, the motors with %.3g N", float64(p.Resistance.Climbing), float64(p.Pull))
	case Braked:
		return fmt.Sprintf("at %.3g km/h the brakes have to hold %.3g N", kmh, float64(p.Brakes))
	}
	return string(p.State)
}

// Operate finds the steady speed at which what the motors give and what the way
// asks are equal. The one falls, or stays, with the speed, the other rises, or
// stays, so there is one such speed or none; Point.State says which. The error is
// *InputError for a setup that cannot be.
//
// Point is then a balance of powers, to rounding.
func (s Setup) Operate() (Point, error) {
	if err := s.Check(); err != nil {
		return Point{}, err
	}
	g := s.gauge()
	if p, standing := s.atStand(g); standing {
		return p, nil
	}
	excess := func(v float64) float64 {
		return s.push(g, v) - float64(s.Vehicle.Resistance(s.Way, quantity.MetresPerSecond(v)).Sum())
	}
	free := s.noLoad(g)
	low, high := 0.0, free
	fLow, fHigh := excess(0), excess(free)
	for n := 0; fHigh > 0; n++ {
		if n == 120 {
			return s.runaway(g), nil
		}
		low, fLow = high, fHigh
		high *= 2
		fHigh = excess(high)
	}
	v := crossing(excess, low, high, fLow, fHigh)
	p := s.moving(g, v)
	if p.Speed > quantity.MetresPerSecond(RunawayFactor*free) {
		p.State = RunsAway
	}
	return p, nil
}

// noLoad is the speed at which the motors' EMF is the battery's rest voltage:
// whatever the setting, they do not drive beyond it.
func (s Setup) noLoad(g gauge) float64 { return float64(s.Supply.Rest) / g.emf }

// atStand looks at the vehicle before it moves. The friction of motors and gear
// and the rolling resistance all hold it, in whichever direction it is pushed.
func (s Setup) atStand(g gauge) (Point, bool) {
	i, limit := s.current(g, 0)
	r := s.Vehicle.Resistance(s.Way, 0)
	forward := g.atRim(g.pull*i - g.drag)
	if forward > float64(r.Sum()) {
		return Point{}, false
	}
	p := s.balance(g, 0, i, limit)
	p.Pull = Newtons(math.Max(0, forward))
	p.MotorTorque = max(p.MotorTorque, 0)
	p.State = CannotStart
	// Pushed back, the motors' own friction helps them hold, and the gear with it.
	if back := float64(r.Climbing - r.Rolling); back > 0 && back*g.eta > g.pull*i+g.drag {
		p.State = RollsBack
	}
	return p, true
}

// moving is the point at a speed above zero.
func (s Setup) moving(g gauge, v float64) Point {
	i, limit := s.current(g, g.emf*v)
	p := s.balance(g, v, i, limit)
	switch {
	case i < 0:
		p.State = Regenerates
	case i == 0 && limit == NoWayBack:
		p.State = Coasts
	default:
		p.State = Runs
	}
	return p
}

func (s Setup) runaway(g gauge) Point {
	nan := math.NaN()
	p := Point{State: RunsAway, Speed: quantity.MetresPerSecond(nan), Rotation: quantity.RevolutionsPerMinute(nan), Resistance: s.Vehicle.Resistance(s.Way, 0)}
	p.Power = Powers{Battery: quantity.Watts(nan)}
	return p
}

// balance fills in all that follows from a speed and a current of the group.
func (s Setup) balance(g gauge, v, i float64, limit Limit) Point {
	vehicle, c := s.Vehicle, s.Controller
	np, ns := float64(max(vehicle.Parallel, 1)), float64(max(vehicle.Series, 1))
	group := g.emf*v + i*g.resistance // V on the motor side
	d, eta := float64(c.Duty), c.eta()
	var drawn float64
	switch {
	case limit == BatterySide:
		drawn = float64(c.BatteryLimit)
	case limit == NoWayBack:
		drawn = float64(c.Standing)
	case limit != Unlimited:
		drawn = s.drawn(group * i)
	case i < 0:
		drawn = d*i*eta + float64(c.Standing)
	default:
		drawn = d*i/eta + float64(c.Standing)
	}
	volts := float64(s.Supply.Rest) - float64(s.Supply.Resistance)*drawn
	force := g.pull*i - g.drag // of the motors, at the rim but before the gear
	rim := g.atRim(force)
	r := vehicle.Resistance(s.Way, quantity.MetresPerSecond(v))
	return Point{
		Limited: limit, Speed: quantity.MetresPerSecond(v), Rotation: rpm(g.perMetre * v), Duty: quantity.Fraction(group / volts),
		MotorVolts: quantity.Volts((group - i*g.leads) / ns), MotorCurrent: quantity.Amperes(i / np),
		MotorTorque:  quantity.NewtonMetres(force / g.perMetre / (np * ns)),
		GroupCurrent: quantity.Amperes(i), BatteryVolts: quantity.Volts(volts), BatteryCurrent: quantity.Amperes(drawn),
		Pull: Newtons(rim), Resistance: r,
		Power: Powers{
			Battery:    quantity.Watts(volts * drawn),
			Controller: quantity.Watts(volts*drawn - group*i),
			Leads:      quantity.Watts(i * i * g.leads),
			Copper:     quantity.Watts(i * i * (g.resistance - g.leads)),
			Drag:       quantity.Watts(g.drag * v),
			Gear:       quantity.Watts((force - rim) * v),
			Rolling:    quantity.Watts(float64(r.Rolling) * v),
			Climbing:   quantity.Watts(float64(r.Climbing) * v),
			Air:        quantity.Watts(float64(r.Air) * v),
		},
	}
}

// TopSpeed is Operate with the controller fully open. The error is that of Check.
func (s Setup) TopSpeed() (Point, error) {
	s.Controller.Duty = 1
	return s.Operate()
}

// WheelsUp is the vehicle on a stand with its wheels in the air, as in a bench
// run: the motors turn themselves and the gear. Efficiency is a part of what
// passes through the gear, so the drag of an unloaded one is left out and the
// current comes out low. The error is that of Check.
func (s Setup) WheelsUp() (Point, error) {
	s.Way.Rolling, s.Way.Grade, s.Vehicle.DragArea, s.Vehicle.Wagons = 0, 0, 0, nil
	return s.Operate()
}

// ByDuty is Operate at each of some duties: what the setting does to speed and
// current. The error is that of Check, with the duty at which it arose.
func (s Setup) ByDuty(duties []quantity.Fraction) ([]Point, error) {
	return each(duties, func(d quantity.Fraction) (Point, error) {
		s.Controller.Duty = d
		return s.Operate()
	})
}

// ByVoltage is Operate at each of some rest voltages: what another battery, or
// one that runs down, does to speed and current. The error is that of Check, with the voltage at which it arose.
func (s Setup) ByVoltage(rest []quantity.Volts) ([]Point, error) {
	return each(rest, func(v quantity.Volts) (Point, error) {
		s.Supply.Rest = v
		return s.Operate()
	})
}

// ByGrade is Operate on each of some grades. The error is that of Check, with the grade at which it arose.
func (s Setup) ByGrade(grades []Grade) ([]Point, error) {
	return each(grades, func(g Grade) (Point, error) {
		s.Way.Grade = g
		return s.Operate()
	})
}

func each[T any](values []T, find func(T) (Point, error)) ([]Point, error) {
	points := make([]Point, 0, len(values))
	for _, v := range values {
		p, err := find(v)
		if err != nil {
			return nil, err
		}
		points = append(points, p)
	}
	return points, nil
}

// AtSpeed is the vehicle held at a speed by the controller's setting, which it
// finds: Point.Duty. Downhill, the motors hold back where the controller lets
// them, else the brakes do (Braked). *SettingError: the speed takes more than the
// battery's voltage or a limit allows.
func (s Setup) AtSpeed(speed quantity.MetresPerSecond) (Point, error) {
	if err := s.Check(); err != nil {
		return Point{}, err
	}
	v := float64(speed)
	if err := above("the speed", v, "m/s"); err != nil {
		return Point{}, err
	}
	g := s.gauge()
	wanted := float64(s.Vehicle.Resistance(s.Way, speed).Sum())
	i := (g.atMotor(wanted) + g.drag) / g.pull
	brake := func(i float64, limit Limit) (Point, error) {
		p := s.balance(g, v, i, limit)
		p.State = Braked
		p.Brakes = p.Pull - p.Resistance.Sum()
		p.Power.Brakes = quantity.Watts(float64(p.Brakes) * v)
		return p, nil
	}
	if i < 0 && !s.Controller.Regenerates {
		return brake(0, NoWayBack)
	}
	if lim := float64(s.Controller.MotorLimit); lim > 0 && i < -lim {
		return brake(-lim, HeldBySpeed)
	}
	if group := g.emf*v + i*g.resistance; i < 0 && group < 0 {
		// Shorted motors brake no harder than this; the brakes do the rest.
		return brake(-g.emf*v/g.resistance, HeldBySpeed)
	}
	s.Controller.Duty = 1
	most, limit := s.current(g, g.emf*v)
	if i-most > 1e-9*math.Abs(most) {
		reason := fmt.Sprintf("it takes %.3g A in each motor, and the battery's voltage gives %.3g A at that speed", i/float64(max(s.Vehicle.Parallel, 1)), most/float64(max(s.Vehicle.Parallel, 1)))
		if limit == MotorSide || limit == BatterySide {
			reason = fmt.Sprintf("it takes %.3g A in all motors, and the %s leaves %.3g A", i, limit, most)
		}
		return Point{}, &SettingError{v, reason}
	}
	p := s.balance(g, v, i, HeldBySpeed)
	p.State = Runs
	if i < 0 {
		p.State = Regenerates
	}
	return p, nil
}

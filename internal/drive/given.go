package drive

import (
	"math"

	"voltwright/internal/quantity"
)

// Given is a setup as a note states it, each value with its standard uncertainty.
// What has none, or is certain, stands in Base: number of motors, wagons, limits.
// A value that is Missing is taken from Base as well.
type Given struct {
	Base           Setup
	Plate          Plate // left out (no rated voltage): Base.Vehicle.Motor
	Ratio          quantity.Measured[quantity.Number]
	GearEfficiency quantity.Measured[quantity.Fraction]
	Wheel          quantity.Measured[quantity.Metres]
	Mass           quantity.Measured[quantity.Kilograms]
	Payload        quantity.Measured[quantity.Kilograms]
	Rolling        quantity.Measured[quantity.Number]
	Grade          quantity.Measured[quantity.Number]
	DragArea       quantity.Measured[quantity.Number] // m²
	Rest           quantity.Measured[quantity.Volts]
	Supply         quantity.Measured[quantity.Ohms]
	MotorLeads     quantity.Measured[quantity.Ohms] // see Setup
	Duty           quantity.Measured[quantity.Fraction]
}

// NoneGiven is a Given in which everything is still taken from base.
func NoneGiven(base Setup) Given {
	return Given{Base: base,
		Ratio: quantity.Missing[quantity.Number](), GearEfficiency: quantity.Missing[quantity.Fraction](), Wheel: quantity.Missing[quantity.Metres](),
		Mass: quantity.Missing[quantity.Kilograms](), Payload: quantity.Missing[quantity.Kilograms](), Rolling: quantity.Missing[quantity.Number](),
		Grade: quantity.Missing[quantity.Number](), DragArea: quantity.Missing[quantity.Number](), Rest: quantity.Missing[quantity.Volts](),
		Supply: quantity.Missing[quantity.Ohms](), MotorLeads: quantity.Missing[quantity.Ohms](), Duty: quantity.Missing[quantity.Fraction]()}
}

// Answers are the main figures with their standard uncertainty. One whose
// uncertainty is not known has NaN: an input's is unknown, or within the inputs'
// uncertainty the vehicle passes from one State to another, where no straight
// line holds.
type Answers struct {
	Point          Point
	Speed          quantity.Measured[quantity.MetresPerSecond]
	MotorCurrent   quantity.Measured[quantity.Amperes]
	BatteryCurrent quantity.Measured[quantity.Amperes]
	BatteryPower   quantity.Measured[quantity.Watts]
	MotorHeat      quantity.Measured[quantity.Watts]
	Efficiency     quantity.Measured[quantity.Fraction]
	PerDistance    quantity.Measured[quantity.WattHoursPerKilometre]
}

// term is one uncertain input: its value and how to put another in its place.
type term struct {
	x, u float64
	set  func(*Setup, *[plateCount]float64, float64)
}

func (g Given) terms() []term {
	var out []term
	add := func(x, u float64, set func(*Setup, float64)) {
		if finite(x) {
			out = append(out, term{x, u, func(s *Setup, _ *[plateCount]float64, v float64) { set(s, v) }})
		}
	}
	add(float64(g.Ratio.Value), float64(g.Ratio.U), func(s *Setup, v float64) { s.Vehicle.Ratio = quantity.Number(v) })
	add(float64(g.GearEfficiency.Value), float64(g.GearEfficiency.U), func(s *Setup, v float64) { s.Vehicle.GearEfficiency = quantity.Fraction(v) })
	add(float64(g.Wheel.Value), float64(g.Wheel.U), func(s *Setup, v float64) { s.Vehicle.Wheel = quantity.Metres(v) })
	add(float64(g.Mass.Value), float64(g.Mass.U), func(s *Setup, v float64) { s.Vehicle.Mass = quantity.Kilograms(v) })
	add(float64(g.Payload.Value), float64(g.Payload.U), func(s *Setup, v float64) { s.Vehicle.Payload = quantity.Kilograms(v) })
	add(float64(g.Rolling.Value), float64(g.Rolling.U), func(s *Setup, v float64) { s.Way.Rolling = quantity.Number(v) })
	add(float64(g.Grade.Value), float64(g.Grade.U), func(s *Setup, v float64) { s.Way.Grade = Grade(v) })
	add(float64(g.DragArea.Value), float64(g.DragArea.U), func(s *Setup, v float64) { s.Vehicle.DragArea = v })
	add(float64(g.Rest.Value), float64(g.Rest.U), func(s *Setup, v float64) { s.Supply.Rest = quantity.Volts(v) })
	add(float64(g.Supply.Value), float64(g.Supply.U), func(s *Setup, v float64) { s.Supply.Resistance = quantity.Ohms(v) })
	add(float64(g.MotorLeads.Value), float64(g.MotorLeads.U), func(s *Setup, v float64) { s.MotorLeads = quantity.Ohms(v) })
	add(float64(g.Duty.Value), float64(g.Duty.U), func(s *Setup, v float64) { s.Controller.Duty = quantity.Fraction(v) })
	if g.hasPlate() {
		x, u := g.Plate.values()
		for i := range x {
			if finite(x[i]) && !(i == pNoLoadCurrent && g.Plate.Frictionless) {
				out = append(out, term{x[i], u[i], func(_ *Setup, plate *[plateCount]float64, v float64) { plate[i] = v }})
			}
		}
	}
	return out
}

func (g Given) hasPlate() bool { return g.Plate.Rated.Known() && g.Plate.Rated.Value != 0 }

// Setup is the setup at the values themselves. Errors are those of Plate.Motor.
func (g Given) Setup() (Setup, error) {
	terms := g.terms()
	x := make([]float64, len(terms))
	for i, t := range terms {
		x[i] = t.x
	}
	if g.hasPlate() {
		if _, err := g.Plate.Motor(); err != nil {
			return Setup{}, err
		}
	}
	return g.at(terms, x), nil
}

// at builds the setup with other values in the terms' places. The motor is not
// checked again: what the plate says too much was found to agree.
func (g Given) at(terms []term, x []float64) Setup {
	s := g.Base
	plate, _ := g.Plate.values()
	for i, t := range terms {
		t.set(&s, &plate, x[i])
	}
	if g.hasPlate() {
		d := newDeduction(plate)
		d.run()
		s.Vehicle.Motor = Motor{K: d.k, R: quantity.Ohms(d.r), Friction: d.k * d.i0, Winding: g.Plate.Winding}
	}
	return s
}

// Operate is Setup.Operate with the uncertainty of every input carried to the
// answers, to first order with independent inputs (JCGM 100:2008, 5.1.2). What
// rests on one and the same input, such as the rated voltage, is correlated as it
// should be, because the whole computation is repeated for each. The error is that of Setup.Check.
func (g Given) Operate() (Answers, error) { return g.answers(Setup.Operate) }

// AtSpeed is Setup.AtSpeed in the same way; the speed counts as exact. The error is that of Setup.Check.
func (g Given) AtSpeed(speed quantity.MetresPerSecond) (Answers, error) {
	return g.answers(func(s Setup) (Point, error) { return s.AtSpeed(speed) })
}

func (g Given) answers(find func(Setup) (Point, error)) (Answers, error) {
	s, err := g.Setup()
	if err != nil {
		return Answers{}, err
	}
	p, err := find(s)
	if err != nil {
		return Answers{}, err
	}
	terms := g.terms()
	x, u := make([]float64, len(terms)), make([]float64, len(terms))
	for i, t := range terms {
		x[i], u[i] = t.x, t.u
	}
	spread := func(of func(Point) float64) float64 {
		_, uy := quantity.Propagate(func(v []float64) float64 {
			q, err := find(g.at(terms, v))
			if err != nil || q.State != p.State || q.Limited != p.Limited {
				return math.NaN()
			}
			return of(q)
		}, x, u, nil)
		return uy
	}
	return Answers{
		Point:          p,
		Speed:          measured(p.Speed, spread(func(p Point) float64 { return float64(p.Speed) })),
		MotorCurrent:   measured(p.MotorCurrent, spread(func(p Point) float64 { return float64(p.MotorCurrent) })),
		BatteryCurrent: measured(p.BatteryCurrent, spread(func(p Point) float64 { return float64(p.BatteryCurrent) })),
		BatteryPower:   measured(p.Power.Battery, spread(func(p Point) float64 { return float64(p.Power.Battery) })),
		MotorHeat:      measured(p.Power.MotorHeat(), spread(func(p Point) float64 { return float64(p.Power.MotorHeat()) })),
		Efficiency:     measured(p.Efficiency(), spread(func(p Point) float64 { return float64(p.Efficiency()) })),
		PerDistance:    measured(p.PerDistance(), spread(func(p Point) float64 { return float64(p.PerDistance()) })),
	}, nil
}

func measured[K quantity.Kind](v K, u float64) quantity.Measured[K] {
	return quantity.Of(v, K(u))
}

// GivenBrake is a Brake with its uncertainties; a value that is Missing is taken
// from Base.
type GivenBrake struct {
	Base         Brake
	Force        quantity.Measured[quantity.Number] // N
	Deceleration quantity.Measured[quantity.Number] // m/s²
	Reaction     quantity.Measured[quantity.Seconds]
}

// StopAnswers are the figures of a stop with their standard uncertainty.
type StopAnswers struct {
	Stop     Stop
	Distance quantity.Measured[quantity.Metres]
	Reacting quantity.Measured[quantity.Metres]
	Braking  quantity.Measured[quantity.Metres]
}

// Stop is Setup.Stop from a speed that is itself uncertain. Where the brake may or
// may not stop the vehicle within the uncertainty, none is known.
func (g Given) Stop(speed quantity.Measured[quantity.MetresPerSecond], b GivenBrake) (StopAnswers, error) {
	s, err := g.Setup()
	if err != nil {
		return StopAnswers{}, err
	}
	terms := g.terms()
	x, u := []float64{float64(speed.Value)}, []float64{float64(speed.U)}
	var set []func(*Brake, float64)
	add := func(v, uv float64, f func(*Brake, float64)) {
		if finite(v) {
			x, u, set = append(x, v), append(u, uv), append(set, f)
		}
	}
	add(float64(b.Force.Value), float64(b.Force.U), func(b *Brake, v float64) { b.Force = Newtons(v) })
	add(float64(b.Deceleration.Value), float64(b.Deceleration.U), func(b *Brake, v float64) { b.Deceleration = v })
	add(float64(b.Reaction.Value), float64(b.Reaction.U), func(b *Brake, v float64) { b.Reaction = quantity.Seconds(v) })
	for _, t := range terms {
		x, u = append(x, t.x), append(u, t.u)
	}
	find := func(s Setup, v []float64) (Stop, error) {
		brake := b.Base
		for i, f := range set {
			f(&brake, v[1+i])
		}
		return s.Stop(quantity.MetresPerSecond(v[0]), brake)
	}
	stop, err := find(s, x)
	if err != nil {
		return StopAnswers{}, err
	}
	spread := func(of func(Stop) quantity.Metres) float64 {
		_, uy := quantity.Propagate(func(v []float64) float64 {
			other, err := find(g.at(terms, v[1+len(set):]), v)
			if err != nil || other.Slides != stop.Slides {
				return math.NaN()
			}
			return float64(of(other))
		}, x, u, nil)
		return uy
	}
	return StopAnswers{
		Stop:     stop,
		Distance: measured(stop.Distance(), spread(Stop.Distance)),
		Reacting: measured(stop.Reacting, spread(func(s Stop) quantity.Metres { return s.Reacting })),
		Braking:  measured(stop.Braking, spread(func(s Stop) quantity.Metres { return s.Braking })),
	}, nil
}

package drive

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"voltwright/internal/quantity"
)

// Start is how the vehicle gathers speed with its setting put on at once.
type Start struct {
	Pull           Newtons // at the rim at a stand
	Surplus        Newtons // of it over what the way asks
	MotorCurrent   quantity.Amperes
	BatteryCurrent quantity.Amperes
	SteepestGrade  Grade // the steepest it can start on; +Inf: any
	Reached        quantity.MetresPerSecond
	Time           quantity.Seconds // to Reached
	Distance       quantity.Metres
	Energy         quantity.WattHours // from the battery
}

// reachedShare is the part of the steady speed, which is only ever neared, that
// Start counts to. Our own choice of figure.
const reachedShare = 0.9

// Start integrates m·dv/dt = F(motors) − F(way) over the speed, from a stand to
// nine tenths of the steady speed. Wheels do not slip and what turns with them is
// left out, so a real start takes a little longer. *StandingError: it does not
// move.
func (s Setup) Start() (Start, error) {
	p, err := s.Operate()
	if err != nil {
		return Start{}, err
	}
	if p.State != Runs {
		return Start{}, &StandingError{Point: p}
	}
	g := s.gauge()
	i, limit := s.current(g, 0)
	held := s.balance(g, 0, i, limit)
	out := Start{Pull: held.Pull, Surplus: held.Pull - held.Resistance.Sum(), MotorCurrent: held.MotorCurrent, BatteryCurrent: held.BatteryCurrent,
		SteepestGrade: s.steepest(held.Pull), Reached: reachedShare * p.Speed}
	mass := float64(s.Vehicle.TotalMass())
	perForce := func(f func(v float64) float64) float64 {
		const pieces = 16
		var sum float64
		step := float64(out.Reached) / pieces
		for n := range pieces {
			sum += quad.Fixed(func(v float64) float64 {
				net := s.push(g, v) - float64(s.Vehicle.Resistance(s.Way, quantity.MetresPerSecond(v)).Sum())
				return f(v) * mass / net
			}, float64(n)*step, float64(n+1)*step, 16, quad.Legendre{}, 0)
		}
		return sum
	}
	out.Time = quantity.Seconds(perForce(func(float64) float64 { return 1 }))
	out.Distance = quantity.Metres(perForce(func(v float64) float64 { return v }))
	out.Energy = quantity.EnergyFrom(quantity.Watts(perForce(func(v float64) float64 { return float64(s.moving(g, v).Power.Battery) })), 1)
	return out, nil
}

// steepest solves F = m·g·(c·cos θ + sin θ): θ = asin(F/(m·g·√(1 + c²))) − atan c,
// with c the rolling coefficient of the whole train.
func (s Setup) steepest(pull Newtons) Grade {
	level := s.Way
	level.Grade = 0
	weight := float64(s.Vehicle.TotalMass()) * gravity
	c := float64(s.Vehicle.Resistance(level, 0).Rolling) / weight
	sin := float64(pull) / weight / math.Hypot(1, c)
	if sin >= 1 {
		return Grade(math.Inf(1))
	}
	return Grade(math.Tan(math.Asin(sin) - math.Atan(c)))
}

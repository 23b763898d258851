package drive

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Stretch is a part of a route that is alike from end to end.
type Stretch struct {
	Length quantity.Metres
	Way    Way
	// Speed, where above zero, is held by the setting; else the setup's own duty
	// is left on and the speed is what comes of it.
	Speed quantity.MetresPerSecond
}

// Leg is a stretch as it was driven.
type Leg struct {
	Point
	Time   quantity.Seconds
	Energy quantity.WattHours // net from the battery
}

// Journey is a route as it was driven.
type Journey struct {
	Legs                  []Leg
	Length                quantity.Metres
	Time                  quantity.Seconds
	Out, Back             quantity.WattHours // drawn on some stretches, returned on others
	Heat                  quantity.WattHours // in the motors
	MostMotor, MostDrawn  quantity.Amperes   // steady, in one motor and from the battery
	ClimbedUp, ClimbedOff quantity.Metres    // of height
}

// PerDistance is the net energy by the way.
func (j Journey) PerDistance() quantity.WattHoursPerKilometre {
	return quantity.WattHoursPerKilometre(float64(j.Out-j.Back) / float64(j.Length) * 1000)
}

// MeanSpeed is length by time.
func (j Journey) MeanSpeed() quantity.MetresPerSecond {
	return quantity.MetresPerSecond(float64(j.Length) / float64(j.Time))
}

// Travel drives a route stretch by stretch, each at its steady speed from end to
// end: E = Σ P·L/v. What it takes to gather speed is left out (see Start), so a
// route with many stops or short stretches costs more. The battery's voltage is
// the same throughout. *StandingError or *SettingError, with the stretch named:
// there the vehicle does not go on, or not under control.
func (s Setup) Travel(route []Stretch) (Journey, error) {
	if len(route) == 0 {
		return Journey{}, fmt.Errorf("the route has no stretches")
	}
	var j Journey
	for n, stretch := range route {
		where := fmt.Sprintf("stretch %d of the route, %s: ", n+1, stretch.Way.Grade)
		if err := above("the length of stretch "+fmt.Sprint(n+1), float64(stretch.Length), "m"); err != nil {
			return Journey{}, err
		}
		s.Way = stretch.Way
		var p Point
		var err error
		if stretch.Speed != 0 {
			p, err = s.AtSpeed(stretch.Speed)
		} else {
			p, err = s.Operate()
		}
		if err != nil {
			return Journey{}, fmt.Errorf("%s%w", where, err)
		}
		if !p.Moves() {
			return Journey{}, &StandingError{p, where}
		}
		leg := Leg{Point: p, Time: quantity.Seconds(stretch.Length) / quantity.Seconds(p.Speed)}
		leg.Energy = quantity.EnergyFrom(p.Power.Battery, leg.Time)
		j.Legs = append(j.Legs, leg)
		j.Length += stretch.Length
		j.Time += leg.Time
		j.Out += max(leg.Energy, 0)
		j.Back -= min(leg.Energy, 0)
		j.Heat += quantity.EnergyFrom(p.Power.MotorHeat(), leg.Time)
		j.MostMotor = quantity.Amperes(math.Max(float64(j.MostMotor), math.Abs(float64(p.MotorCurrent))))
		j.MostDrawn = max(j.MostDrawn, p.BatteryCurrent)
		sin, _ := stretch.Way.Grade.sinCos()
		height := quantity.Metres(float64(stretch.Length) * sin)
		j.ClimbedUp += max(height, 0)
		j.ClimbedOff -= min(height, 0)
	}
	return j, nil
}

// Range is how long and how far a usable energy lasts at a steady point.
type Range struct {
	Point
	Time     quantity.Seconds // +Inf where nothing is drawn on the whole
	Distance quantity.Metres
}

// RangeOn divides an energy by the power drawn. It says nothing of the pack: take
// the usable energy from the pack's own model at about this power.
func (p Point) RangeOn(usable quantity.WattHours) Range {
	r := Range{Point: p, Time: quantity.Seconds(math.NaN()), Distance: quantity.Metres(math.NaN())}
	switch {
	case p.Power.Battery > 0:
		r.Time = quantity.Seconds(float64(usable) / float64(p.Power.Battery) * 3600)
	case p.Power.Battery <= 0:
		r.Time = quantity.Seconds(math.Inf(1))
	}
	if p.Moves() {
		r.Distance = quantity.Metres(float64(r.Time) * float64(p.Speed))
	}
	return r
}

// Case is one payload on one surface.
type Case struct {
	Payload quantity.Kilograms
	Surface Surface
	Range
	Err error // *SettingError where a held speed cannot be held, else nil
}

// Compare runs every payload on every surface, surfaces in the outer order, each
// at the middle of the surface's range: at a held speed, or with the setup's own
// duty where speed is zero. It shows what payload and surface do to speed,
// current, run time and distance on one usable energy.
func (s Setup) Compare(usable quantity.WattHours, payloads []quantity.Kilograms, surfaces []Surface, speed quantity.MetresPerSecond) ([]Case, error) {
	if err := above("the usable energy", float64(usable), "Wh"); err != nil {
		return nil, err
	}
	var out []Case
	for _, surface := range surfaces {
		for _, payload := range payloads {
			at := s
			at.Vehicle.Payload = payload
			at.Way.Rolling = surface.Rolling().Value
			if err := at.Check(); err != nil {
				return nil, err
			}
			c := Case{Payload: payload, Surface: surface}
			var p Point
			if speed != 0 {
				p, c.Err = at.AtSpeed(speed)
			} else {
				p, c.Err = at.Operate()
			}
			if c.Err == nil {
				c.Range = p.RangeOn(usable)
			}
			out = append(out, c)
		}
	}
	return out, nil
}

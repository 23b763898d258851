package drive

import (
	"math"

	"voltwright/internal/quantity"
)

// Brake is how the vehicle is stopped: by a force at the rims, or by a
// deceleration that was measured on the level (rolling and air are in that), one
// of the two.
type Brake struct {
	Force        Newtons
	Deceleration float64          // m/s²
	Reaction     quantity.Seconds // from seeing to braking; see Reactions
	// Grip, where known, is the adhesion of the braked wheels, and Held the part
	// of the whole train's weight on them. More than Grip·Held·weight cannot be had.
	Grip quantity.Number
	Held quantity.Fraction
}

// Stop is the way to a stand.
type Stop struct {
	Energy       float64         // kinetic, joules
	Reacting     quantity.Metres // rolled before the brake bites
	Braking      quantity.Metres
	Time         quantity.Seconds // of both
	Deceleration float64          // m/s², mean over the braking distance
	Slides       bool             // the grip, not the brake, sets it
}

// Distance is the whole.
func (s Stop) Distance() quantity.Metres { return s.Reacting + s.Braking }

// Stop computes how far the train goes on from a speed:
//
//	s = v·t(reaction) + v²/(2·a),  a = (F(brake) + F(rolling) + m·g·sin θ)/m
//
// and, where the air counts, (m/2b)·ln(1 + b·v²/F) in the place of the second
// term, b = ½·ρ·C_d·A. The motors count for nothing. *NoStopError: the hill is
// stronger than the brake. Source: mechanics; the first form is that of the road
// designers (AASHTO), checked in stop_test.go.
func (s Setup) Stop(speed quantity.MetresPerSecond, b Brake) (Stop, error) {
	if err := s.Check(); err != nil {
		return Stop{}, err
	}
	v := float64(speed)
	if err := within("the speed", v, "m/s", 0, greatest); err != nil {
		return Stop{}, err
	}
	for _, c := range []struct {
		what, unit string
		value      float64
	}{
		{"the brake's force", "N", float64(b.Force)}, {"the deceleration", "m/s²", b.Deceleration}, {"the reaction time", "s", float64(b.Reaction)},
		{"the grip", "", float64(b.Grip)}, {"the part of the weight on braked wheels", "", float64(b.Held)},
	} {
		if err := within(c.what, c.value, c.unit, 0, greatest); err != nil {
			return Stop{}, err
		}
	}
	if b.Force > 0 && b.Deceleration > 0 {
		return Stop{}, &InputError{"the brake's force", float64(b.Force), "N", "left out where a deceleration is given: one of the two"}
	}
	mass := float64(s.Vehicle.TotalMass())
	r := s.Vehicle.Resistance(s.Way, 0)
	air := s.Vehicle.airFactor(s.Way)
	force, rolling := float64(b.Force), float64(r.Rolling)
	if b.Deceleration > 0 {
		force, rolling, air = mass*b.Deceleration, 0, 0
	}
	out := Stop{Energy: s.Vehicle.KineticEnergy(speed), Reacting: quantity.Metres(v * float64(b.Reaction)), Time: b.Reaction}
	if b.Grip > 0 && b.Held > 0 {
		_, cos := s.Way.Grade.sinCos()
		if most := float64(b.Grip) * float64(b.Held) * mass * gravity * cos; force > most {
			force, out.Slides = most, true
		}
	}
	net := force + rolling + float64(r.Climbing)
	if !(net > 0) {
		return Stop{}, &NoStopError{net / mass}
	}
	out.Braking = quantity.Metres(mass * v * v / net / 2)
	braking := mass * v / net
	if x := air * v * v / net; x > 0 && finite(x) {
		out.Braking = quantity.Metres(mass / (2 * air) * math.Log1p(x))
		braking = mass * v / net * math.Atan(math.Sqrt(x)) / math.Sqrt(x)
	}
	out.Time += quantity.Seconds(braking)
	out.Deceleration = net / mass
	if out.Braking > 0 {
		out.Deceleration = v * v / 2 / float64(out.Braking)
	}
	return out, nil
}

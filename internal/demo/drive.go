package demo

import "math"

const gravity = 9.81 // m/s²

// A carriage is the vehicle with its load: road load, motors and the driver's habits.
type carriage struct {
	mass       float64 // kg, with payload
	rolling    float64 // rolling resistance, force over weight
	efficiency float64 // of motors and gearing, without the copper loss
	grip       float64 // N of pull per ampere in the motors
	copper     float64 // Ω of the motors
	standing   float64 // A drawn by the controller while the vehicle stands
	cruise     float64 // m/s
	pull       float64 // m/s², how the driver starts
	brake      float64 // m/s², how the driver stops
}

// watts is the electrical power for a speed and an acceleration on a slope (rise over run). It does not regenerate.
func (c carriage) watts(speed, acceleration, slope, rolling float64) float64 {
	force := c.mass * (acceleration + gravity*(rolling+slope))
	if force <= 0 {
		return 0
	}
	motor := force / c.grip
	return force*speed/c.efficiency + motor*motor*c.copper
}

// A grade is a stretch of the line with one slope.
type grade struct{ from, to, slope float64 }

// A halt is a place where the vehicle stops on every lap, for about as long.
type halt struct{ at, lasts, spread float64 }

// A line is a loop, or a path out and back, with its grades and halts; metres from its beginning.
type line struct {
	length float64
	grades []grade
	halts  []halt
	// once holds stops that happen at one place of the whole run, not of the lap: points set wrong, a hat in the four-foot.
	once []halt
}

func (l line) slope(at float64) float64 {
	at = math.Mod(at, l.length)
	for _, g := range l.grades {
		if at >= g.from && at < g.to {
			return g.slope
		}
	}
	return 0
}

// next returns how far ahead the next stop is and how long it lasts on average, seen from the distance covered so far.
func (l line) next(covered float64) (ahead float64, h halt) {
	ahead = math.Inf(1)
	lap := math.Floor(covered / l.length)
	for _, c := range l.halts {
		for k := lap; k < lap+2; k++ {
			if d := k*l.length + c.at - covered; d > 0 && d < ahead {
				ahead, h = d, c
			}
		}
	}
	for _, c := range l.once {
		if d := c.at - covered; d > 0 && d < ahead {
			ahead, h = d, c
		}
	}
	return ahead, h
}

// drive runs the vehicle over the line for a number of metres, or until the cutout opens and it has rolled out.
func (s *outing) drive(c carriage, l line, metres float64) {
	rolling, pace := c.rolling, 1.0
	end, lap := s.distance+metres, -1.0
	ahead, stop := l.next(s.distance)
	from := s.distance
	for s.distance < end && !(s.dead() && s.speed == 0) {
		if n := math.Floor(s.distance / l.length); n != lap {
			lap, pace = n, 1+0.05*s.rng.NormFloat64()
		}
		// The track is never the same twice: leaves, joints, a curve. A slow wander around the mean.
		rolling += (c.rolling-rolling)*s.tick/4 + 0.06*c.rolling*math.Sqrt(s.tick)*s.rng.NormFloat64()
		slope := l.slope(s.distance)
		left := math.Min(ahead-(s.distance-from), end-s.distance)
		var a float64
		switch {
		case s.dead():
			a = -gravity * (c.rolling + slope)
			if s.speed < 0.05 {
				s.speed, a = 0, 0
			}
		case left <= s.speed*s.speed/2/c.brake+0.05:
			a = -c.brake
		default:
			a = math.Min(c.pull, (c.cruise*pace-s.speed)/1.5)
		}
		watts := c.watts(s.speed, math.Max(a, 0), slope, math.Max(rolling, 0))
		if a < -0.6*c.brake || s.dead() {
			watts = 0
		}
		s.advance(c.standing + watts/s.volts)
		s.speed = math.Max(0, s.speed+a*s.tick)
		if !s.dead() && left <= 0.08 || s.speed == 0 && a < 0 {
			s.speed = 0
			if s.dead() || s.distance+0.2 >= end {
				return
			}
			s.rest(math.Max(3, stop.lasts+stop.spread*s.rng.NormFloat64()), c.standing)
			from = s.distance
			ahead, stop = l.next(s.distance + 0.5)
			ahead += 0.5
		}
	}
}

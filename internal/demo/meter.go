package demo

import "math"

// A channel is one column that a logger can write.
type channel int

const (
	stamp channel = iota
	voltage
	current
	charging // the current with the sign of a charge
	temperature
	metresPerSecond
	kilometresPerHour
	distance
)

func (r row) value(c channel) float64 {
	switch c {
	case voltage:
		return r.volts
	case current:
		return r.amps
	case charging:
		return -r.amps
	case temperature:
		return r.celsius
	case metresPerSecond:
		return r.speed
	case kilometresPerHour:
		return r.speed * 3.6
	case distance:
		return r.distance
	}
	return r.at
}

// A meter is one column with the faults of what measured it: reading = true·(1+gain) + zero + noise, cut to steps of
// the resolution. A distance meter has no noise, since a wheel counter only counts.
type meter struct {
	channel    channel
	resolution float64
	decimals   int
	gain, zero float64
	noise      float64 // standard deviation, in the unit of the column
}

func (m meter) read(r row, normal func() float64) float64 {
	v := r.value(m.channel)*(1+m.gain) + m.zero + m.noise*normal()
	if m.channel >= metresPerSecond && (v < 0 || r.speed == 0) && m.channel != distance {
		v = 0
	}
	return math.Round(v/m.resolution) * m.resolution
}

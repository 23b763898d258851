package runlog

import (
	"math"

	"voltwright/internal/quantity"
)

// spec is what is known of the instrument of one channel.
type spec struct {
	accuracy   quantity.Accuracy
	resolution float64
	known      bool
}

// specOf gives what is stated of a channel's instrument. An accuracy in digits of which the size is not stated is not known.
func specOf(o *Options, c Channel) spec {
	for _, i := range o.Instruments {
		if i.Channel == c {
			resolution := i.Resolution
			if !(resolution > 0) || math.IsInf(resolution, 0) {
				resolution = 0
			}
			return spec{i.Accuracy, resolution, i.Accuracy.Digits == 0 || resolution > 0}
		}
	}
	return spec{}
}

// common is the standard uncertainty of a reading from the instrument's accuracy, an error that all samples share; NaN
// where no instrument is stated.
func (s spec) common(reading float64) float64 {
	if !s.known {
		return math.NaN()
	}
	return s.accuracy.Standard(reading, s.resolution)
}

// digit is the standard uncertainty from the last digit: rectangular, half a digit either way.
func (s spec) digit() float64 { return s.resolution / math.Sqrt(12) }

// single is the standard uncertainty of one reading.
func (s spec) single(reading float64) float64 { return math.Hypot(s.common(reading), s.digit()) }

// difference is the standard uncertainty of a difference of two readings of one instrument: what all readings share to the
// same amount cancels, the part in proportion and the last digits stay.
func (s spec) difference(difference float64) float64 {
	if !s.known {
		return math.NaN()
	}
	proportional := quantity.Accuracy{Fraction: s.accuracy.Fraction}
	return math.Hypot(proportional.Standard(difference, 0), math.Sqrt2*s.digit())
}

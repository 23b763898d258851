package quantity

// The typed relations between kinds. Each conversion between hours and
// seconds, or between metres and kilometres, is written here and nowhere else.
// They carry values only; Product and Quotient carry uncertainty through them.

const (
	secondsPerHour     = 3600
	metresPerKilometre = 1000
)

// PowerFrom is P = U·I.
func PowerFrom(v Volts, i Amperes) Watts { return Watts(float64(v) * float64(i)) }

// CurrentFrom is I = P/U.
func CurrentFrom(p Watts, v Volts) Amperes { return Amperes(float64(p) / float64(v)) }

// DropFrom is Ohm's law, U = I·R.
func DropFrom(i Amperes, r Ohms) Volts { return Volts(float64(i) * float64(r)) }

// ResistanceFrom is R = U/I.
func ResistanceFrom(v Volts, i Amperes) Ohms { return Ohms(float64(v) / float64(i)) }

// EnergyFrom is W = P·t, in watt-hours.
func EnergyFrom(p Watts, t Seconds) WattHours {
	return WattHours(float64(p) * float64(t) / secondsPerHour)
}

// ChargeFrom is Q = I·t, in ampere-hours.
func ChargeFrom(i Amperes, t Seconds) AmpereHours {
	return AmpereHours(float64(i) * float64(t) / secondsPerHour)
}

// StoredEnergyFrom is W = U·Q, in watt-hours.
func StoredEnergyFrom(v Volts, q AmpereHours) WattHours {
	return WattHours(float64(v) * float64(q))
}

// TimeFrom is t = Q/I, in seconds.
func TimeFrom(q AmpereHours, i Amperes) Seconds {
	return Seconds(float64(q) / float64(i) * secondsPerHour)
}

// SpeedFrom is v = s/t.
func SpeedFrom(s Metres, t Seconds) MetresPerSecond {
	return MetresPerSecond(float64(s) / float64(t))
}

// DistanceFrom is s = v·t.
func DistanceFrom(v MetresPerSecond, t Seconds) Metres {
	return Metres(float64(v) * float64(t))
}

// EnergyPerLengthFrom is the energy for the distance, in watt-hours per kilometre.
func EnergyPerLengthFrom(w WattHours, s Metres) WattHoursPerKilometre {
	return WattHoursPerKilometre(float64(w) / float64(s) * metresPerKilometre)
}

// Rise is the difference of two temperatures.
func Rise(from, to Celsius) Kelvins { return Kelvins(float64(to) - float64(from)) }

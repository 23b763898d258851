package drive

import (
	"math"

	"voltwright/internal/quantity"
)

// Newtons is a force that is computed; one that a note states is quantity.Newtons.
type Newtons float64

// Motor is a brushed permanent-magnet motor by its three constants:
//
//	V = k·ω + I·R,  T = k·I − T₀
//
// with one k for speed and torque, as energy demands in SI units. T₀, the torque
// of bearings, brushes and iron, is taken as the same at every speed above zero;
// at a stand it can hold against a push of that size.
//
// Source: the textbook model, as in curriculum.vexrobotics.com, "Speed, power,
// torque and DC motors"; checked in motor_test.go.
type Motor struct {
	K        float64          // V·s/rad, which is N·m/A; above zero
	R        quantity.Ohms    // between the terminals at Winding; above zero
	Friction float64          // T₀, N·m; zero or more
	Winding  quantity.Celsius // the temperature that R and K hold for
}

// Load is how one motor runs at a voltage and a torque.
type Load struct {
	Volts    quantity.Volts
	Current  quantity.Amperes
	Torque   quantity.NewtonMetres // at the shaft
	Rotation quantity.RevolutionsPerMinute
	In       quantity.Watts // electrical
	Out      quantity.Watts // at the shaft
	Copper   quantity.Watts // heat in the winding, I²·R
	Drag     quantity.Watts // heat of bearings, brushes and iron, T₀·ω
	// Efficiency is Out/In; NaN where the motor does not drive.
	Efficiency quantity.Fraction
}

const rpmPerRadian = 30 / math.Pi

func rpm(omega float64) quantity.RevolutionsPerMinute {
	return quantity.RevolutionsPerMinute(omega * rpmPerRadian)
}

func radians(n quantity.RevolutionsPerMinute) float64 { return float64(n) / rpmPerRadian }

// Check says what is wrong with a motor, or nil.
func (m Motor) Check() error {
	if err := above("the motor's torque constant", m.K, "N·m/A"); err != nil {
		return err
	}
	if err := above("the motor's resistance", float64(m.R), "Ω"); err != nil {
		return err
	}
	if err := within("the motor's friction torque", m.Friction, "N·m", 0, greatest); err != nil {
		return err
	}
	return within("the winding's temperature", float64(m.Winding), "°C", -copperZero, greatest)
}

// NoLoadCurrent is I₀ = T₀/k.
func (m Motor) NoLoadCurrent() quantity.Amperes { return quantity.Amperes(m.Friction / m.K) }

// StallCurrent is V/R: what the motor draws while it is held.
func (m Motor) StallCurrent(v quantity.Volts) quantity.Amperes {
	return quantity.CurrentFrom(quantity.Watts(v), quantity.Volts(m.R))
}

// StallTorque is k·V/R − T₀, what the held shaft gives; zero where friction holds it.
func (m Motor) StallTorque(v quantity.Volts) quantity.NewtonMetres {
	return quantity.NewtonMetres(math.Max(0, m.K*float64(v)/float64(m.R)-m.Friction))
}

// NoLoadSpeed is ω = (V − I₀·R)/k; zero where friction holds the shaft.
func (m Motor) NoLoadSpeed(v quantity.Volts) quantity.RevolutionsPerMinute {
	return rpm(math.Max(0, (float64(v)-float64(m.NoLoadCurrent())*float64(m.R))/m.K))
}

// AtTorque is the motor turning forward under a shaft torque; a negative torque
// drives it. The speed that follows may be below zero: then the torque turns the
// shaft back against the motor, for which this friction has the wrong sign, so
// the caller must look at Rotation.
func (m Motor) AtTorque(v quantity.Volts, torque quantity.NewtonMetres) Load {
	return m.AtCurrent(v, quantity.Amperes((float64(torque)+m.Friction)/m.K))
}

// AtCurrent is the motor turning forward with a current.
func (m Motor) AtCurrent(v quantity.Volts, i quantity.Amperes) Load {
	omega := (float64(v) - float64(i)*float64(m.R)) / m.K
	l := m.flow(v, i, omega)
	return l
}

// AtSpeed is the motor turning forward at a speed, driven or driving.
func (m Motor) AtSpeed(v quantity.Volts, n quantity.RevolutionsPerMinute) Load {
	omega := radians(n)
	return m.flow(v, quantity.Amperes((float64(v)-m.K*omega)/float64(m.R)), omega)
}

func (m Motor) flow(v quantity.Volts, i quantity.Amperes, omega float64) Load {
	torque := m.K*float64(i) - m.Friction
	l := Load{
		Volts: v, Current: i, Torque: quantity.NewtonMetres(torque), Rotation: rpm(omega),
		In: quantity.PowerFrom(v, i), Out: quantity.Watts(torque * omega),
		Copper: quantity.Watts(float64(i) * float64(i) * float64(m.R)), Drag: quantity.Watts(m.Friction * omega),
		Efficiency: quantity.Fraction(math.NaN()),
	}
	if l.In > 0 && l.Out >= 0 {
		l.Efficiency = quantity.Fraction(l.Out / l.In)
	}
	return l
}

// BestEfficiency is the current of the best efficiency, √(I₀·V/R), and that
// efficiency, (1 − √(I₀·R/V))². A motor whose friction holds it has none: NaN.
func (m Motor) BestEfficiency(v quantity.Volts) (quantity.Amperes, quantity.Fraction) {
	i0, is := float64(m.NoLoadCurrent()), float64(m.StallCurrent(v))
	if !(i0 < is) {
		return quantity.Amperes(math.NaN()), quantity.Fraction(math.NaN())
	}
	root := 1 - math.Sqrt(i0/is)
	return quantity.Amperes(math.Sqrt(i0) * math.Sqrt(is)), quantity.Fraction(root * root)
}

// MostPower is the greatest power at the shaft, at half the stall torque:
// (V − I₀·R)²/(4·R).
func (m Motor) MostPower(v quantity.Volts) quantity.Watts {
	e := math.Max(0, float64(v)-float64(m.NoLoadCurrent())*float64(m.R))
	return quantity.Watts(e * e / 4 / float64(m.R))
}

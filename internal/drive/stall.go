package drive

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"

	"voltwright/internal/quantity"
)

// Copper, by copper.org, "Introduction to Copper: Fact Sheets", table 5
// (confirmed), and the resistivity of annealed copper, 1/58 Ω·mm²/m (reference
// values, section 1). The specific heat is that of 20 °C; it rises by 2 % to
// 100 °C, so a time computed with it is a little short.
const (
	copperDensity     = 8890.0         // kg/m³, IEC value of 1913
	copperHeat        = 386.0          // J/(kg·K)
	copperResistivity = 1.0 / 58 / 1e6 // Ω·m at 20 °C
)

// Winding is the copper that a held motor heats.
type Winding struct {
	Copper quantity.Kilograms // of one motor
	Start  quantity.Celsius
	Limit  quantity.Celsius // see ThermalClasses
}

// CopperMass is the mass of a winding from its resistance at 20 °C, the
// cross-section of its wire and how many paths the current takes side by side (2
// for the usual armature): m = δ·R·(a·A)²/ρ.
func CopperMass(r quantity.Ohms, wire quantity.SquareMillimetres, paths int) quantity.Kilograms {
	area := float64(wire) * 1e-6 * float64(paths)
	return quantity.Kilograms(copperDensity * float64(r) * area * area / copperResistivity)
}

// Stall is what becomes of motors that are held while the setting is on.
type Stall struct {
	MotorCurrent   quantity.Amperes // in each motor, cold
	GroupCurrent   quantity.Amperes
	BatteryCurrent quantity.Amperes
	BatteryVolts   quantity.Volts
	Heat           quantity.Watts // in each motor, all of it in the copper
	Pull           Newtons        // at the rim
	Limited        Limit
	// Time is how long the copper takes from Start to Limit if none of the heat
	// gets out of it; NaN without a winding, +Inf where no current flows. The iron
	// takes heat up, so on the whole armature it is longer; but a held armature has
	// the current in the same few bars of the commutator, and they and the brushes
	// fail sooner. It is for setting a fuse against, not a time that is safe.
	Time quantity.Seconds
}

// Stall computes it. As the copper warms, its resistance rises and the current
// falls; the time is ∫ m·c/(I²·R) dθ over the temperature. w may be nil.
// Good for seconds, not minutes: the longer it takes, the more heat has left.
func (s Setup) Stall(w *Winding) (Stall, error) {
	if err := s.Check(); err != nil {
		return Stall{}, err
	}
	g := s.gauge()
	i, limit := s.current(g, 0)
	p := s.balance(g, 0, i, limit)
	out := Stall{MotorCurrent: p.MotorCurrent, GroupCurrent: p.GroupCurrent, BatteryCurrent: p.BatteryCurrent, BatteryVolts: p.BatteryVolts,
		Heat: p.Power.Copper / quantity.Watts(s.Vehicle.Motors()), Pull: Newtons(math.Max(0, float64(p.Pull))), Limited: limit, Time: quantity.Seconds(math.NaN())}
	if w == nil {
		return out, nil
	}
	if err := above("the copper's mass", float64(w.Copper), "kg"); err != nil {
		return out, err
	}
	if err := within("the winding's temperature at the start", float64(w.Start), "°C", -100, 400); err != nil {
		return out, err
	}
	if err := within("the winding's limit of temperature", float64(w.Limit), "°C", float64(w.Start), 400); err != nil {
		return out, err
	}
	heat := func(t float64) float64 {
		warm := s
		warm.Vehicle.Motor.R = quantity.Ohms(float64(s.Vehicle.Motor.R) * CopperFactor(s.Vehicle.Motor.Winding, quantity.Celsius(t)))
		gw := warm.gauge()
		i, _ := warm.current(gw, 0)
		return i * i * (gw.resistance - gw.leads) / float64(s.Vehicle.Motors())
	}
	if heat(float64(w.Start)) == 0 {
		out.Time = quantity.Seconds(math.Inf(1))
		return out, nil
	}
	const pieces = 8 // so that a limit that ends on the way stays in one of them
	var sum float64
	step := float64(w.Limit-w.Start) / pieces
	for n := range pieces {
		from := float64(w.Start) + float64(n)*step
		sum += quad.Fixed(func(t float64) float64 { return 1 / heat(t) }, from, from+step, 12, quad.Legendre{}, 0)
	}
	out.Time = quantity.Seconds(float64(w.Copper) * copperHeat * sum)
	return out, nil
}

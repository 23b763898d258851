package circuit

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

const (
	// CopperResistivity is that of annealed copper at 20 °C, Ω·mm²/m: 100 %
	// of the International Annealed Copper Standard. Source: studylib.net/doc/27069696
	// (1/58); that IEC 60028 sets it: from memory.
	CopperResistivity = 1. / 58
	// inferredZero is the temperature below zero at which the resistance of
	// copper would vanish if its law went straight on; α at 20 °C is 1/254.5.
	inferredZero = 234.5
)

// Warmed is the factor from the resistance of copper at 20 °C to that at t,
// (234.5 + t)/254.5. Valid from about −50 °C to 200 °C. Source:
// studylib.net/doc/27069696, α20 = 1/254.5.
func Warmed(t quantity.Celsius) float64 { return (inferredZero + float64(t)) / (inferredZero + 20) }

// Conductor is what a metre of a lead is electrically.
type Conductor struct {
	PerMetre quantity.Ohms // at 20 °C
	Quoted
	Note string // "" or how it was come by where no table has the size
}

// OhmsPerMetre gives the resistance of a metre of copper conductor at 20 °C.
//
// A gauge has the resistance of the solid wire of ASTM B258 diameter, ρ/A; its
// strands, being twisted, make a stranded one about 2 % higher, which is left
// out. A metric size has the greatest resistance that IEC 60228 allows: class 2
// for solid and stranded, class 5 for flexible; class 6 as class 5. A metric size
// between the rows has the margin of the next smaller row over pure copper.
// An area that is not above 0 is an error.
func OhmsPerMetre(s Size, class Class, tinned bool) (Conductor, error) {
	area := float64(s.Area)
	if !(area > 0) || math.IsInf(area, 1) {
		return Conductor{}, fmt.Errorf("a cross-section of %v mm² is none", area)
	}
	if s.Gauge {
		return Conductor{PerMetre: quantity.Ohms(CopperResistivity / area),
			Quoted: Quoted{"ASTM B258 diameter, annealed copper of 1/58 Ω·mm²/m", Confirmed}}, nil
	}
	rows := tables().wires
	best := rows[0]
	for _, r := range rows {
		if area >= r.area*(1-1e-9) {
			best = r
		}
	}
	perKilometre := best.class5
	switch {
	case class == Solid || class == Stranded:
		perKilometre = best.stranded
	case tinned:
		perKilometre = best.tinned
	}
	c := Conductor{PerMetre: quantity.Ohms(perKilometre / 1000), Quoted: best.quoted}
	if class == ExtraFlexible {
		c.Quoted = c.also(Quoted{"that class 6 has the resistances of class 5", FromMemory})
	}
	if math.Abs(area-best.area) > 1e-9*area {
		c.PerMetre *= quantity.Ohms(best.area / area)
		c.Status = c.Status.Weaker(Computed)
		c.Note = fmt.Sprintf("no row of IEC 60228 has %v mm²; reckoned from %v mm²", s.Area, best.area)
	}
	return c, nil
}

// Resistance gives the resistance of a lead with no current in it, at its
// ambient temperature. A lead without a length has none, and known is false.
func (l *Lead) resistance() (ohms float64, c Conductor, known bool) {
	c, err := OhmsPerMetre(l.Size, l.class(), l.Tinned)
	if err != nil || !(l.Length > 0) {
		return 0, c, false
	}
	return float64(c.PerMetre) * float64(l.Length) * Warmed(l.temperature()), c, true
}

// RunDrop is the voltage lost over a conductor: ΔU = I·R'·L, with L the whole
// way, there and back. Source: wo-zu.de, ΔU = 2·L·I·ρ/A with L one way.
func RunDrop(i quantity.Amperes, perMetre quantity.Ohms, whole quantity.Metres) quantity.Volts {
	return quantity.DropFrom(i, quantity.Ohms(float64(perMetre)*float64(whole)))
}

// AreaForDrop is the least copper cross-section that loses no more than drop
// over the whole way, there and back, with the copper at t: A = ρ(t)·L·I/ΔU.
// It is the circular-mil form CM = K·I·L/E in metric dress: K = 10.37 Ω·cmil/ft
// at 20 °C, and 10.75 at 29.3 °C.
func AreaForDrop(i quantity.Amperes, whole quantity.Metres, drop quantity.Volts, t quantity.Celsius) quantity.SquareMillimetres {
	return quantity.SquareMillimetres(CopperResistivity * Warmed(t) * float64(whole) * float64(i) / float64(drop))
}

package drive

import (
	"fmt"
	"strings"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// copperZero is the temperature below zero, in °C, at which the resistance of
// copper would vanish if it kept falling on a straight line: R ∝ 234.5 + t.
// Source: IEC 60228 (α₂₀ = 1/254.5), reference values, section 1.
const copperZero = 234.5

// CopperFactor is the resistance of copper at one temperature over that at
// another, (234.5 + t)/(234.5 + from). It is 1.196 from 20 °C to 70 °C. Good
// between about −40 °C and 200 °C.
func CopperFactor(from, t quantity.Celsius) float64 {
	return (copperZero + float64(t)) / (copperZero + float64(from))
}

// Magnet is a permanent-magnet material.
type Magnet struct {
	Name string
	// Coefficient is the change of its remanence per kelvin, relative to that at
	// 20 °C; the motor's k follows it as long as the magnet is not overheated.
	Coefficient float64
	Source      string
	Status      reference.Status
}

const modelica = "Modelica Standard Library, Magnetic.FluxTubes.Material.HardMagnetic (exemplary values)"

// Magnets lists the materials. Ferrite is what a cheap motor of this kind has.
func Magnets() []Magnet {
	return []Magnet{
		{"ferrite", -0.002, modelica, reference.SecondHand},
		{"neodymium", -0.001, modelica, reference.SecondHand},
		{"samarium-cobalt-1-5", -0.0004, modelica, reference.SecondHand},
		{"samarium-cobalt-2-17", -0.0003, modelica, reference.SecondHand},
	}
}

// MagnetNamed finds a material; the empty name is a magnet that is taken not to
// change, which keeps k as measured.
func MagnetNamed(name string) (Magnet, error) {
	if name == "" {
		return Magnet{}, nil
	}
	var known []string
	for _, m := range Magnets() {
		if m.Name == name {
			return m, nil
		}
		known = append(known, m.Name)
	}
	return Magnet{}, fmt.Errorf("no magnet is called %q; known are %s", name, strings.Join(known, ", "))
}

// magnetReference is the temperature in °C that the coefficients refer to.
const magnetReference = 20

// Warmed is the motor with its winding and its magnets at other temperatures:
// R by CopperFactor, k by 1 + α·(t − 20 °C). It takes m to hold for windings and
// magnets at m.Winding both. Friction is left as it is, though grease is stiffer
// in the cold. A magnet so hot that nothing would be left of it is an error.
func (m Motor) Warmed(winding, magnets quantity.Celsius, material Magnet) (Motor, error) {
	if err := within("the winding's temperature", float64(winding), "°C", -100, 400); err != nil {
		return m, err
	}
	if err := within("the magnets' temperature", float64(magnets), "°C", -100, 400); err != nil {
		return m, err
	}
	strength := func(t quantity.Celsius) float64 { return 1 + material.Coefficient*(float64(t)-magnetReference) }
	m.R = quantity.Ohms(float64(m.R) * CopperFactor(m.Winding, winding))
	m.K *= strength(magnets) / strength(m.Winding)
	m.Winding = winding
	return m, m.Check()
}

// ThermalClass is the highest temperature that a winding's insulation is made for.
type ThermalClass struct {
	Name   string
	Limit  quantity.Celsius
	Source string
	Status reference.Status
}

// ThermalClasses are those of IEC 60085. The plate of a cheap motor names none;
// then nobody knows, and the lowest is the prudent choice.
func ThermalClasses() []ThermalClass {
	const source = "IEC 60085, as printed in tnlab.org, \"IEC 60085: Thermal Evaluation and Classification of Electrical Insulation\""
	return []ThermalClass{
		{"A", 105, source, reference.SecondHand},
		{"E", 120, source, reference.SecondHand},
		{"B", 130, source, reference.SecondHand},
		{"F", 155, source, reference.SecondHand},
		{"H", 180, source, reference.SecondHand},
	}
}

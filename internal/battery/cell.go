package battery

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// gasConstant is R in J/(mol K), exact in the SI of 2019; zeroCelsius is 0 °C in K.
const (
	gasConstant = 8.31446261815324
	zeroCelsius = 273.15
)

// lagSettling is the time constant of the lag as a part of the lag itself. For
// diffusion into a sphere of radius r the surface lags the mean by r²/(15 D)
// times the rate, and settles with r²/(20.19 D), 20.19 being the square of the
// first root of tan x = x.
const lagSettling = 15 / 20.1907

// Cell is one cell as an equivalent circuit,
//
//	V = U(z − d) − v₁ − v₂ − R₀·I,    dz/dt = −I/Q,
//	τₖ·dvₖ/dt = Rₖ·I − vₖ,            τ·dd/dt = T·I/Q − d,
//	C·dθ/dt = I²·R₀ + Σ vₖ²/Rₖ + I·(U(z) − U(z − d)) − I·θ·dU/dθ − h·(θ − ambient)
//
// with I the discharge current, z the state of charge, d how far the surface
// charge lags behind it, and θ the temperature. R₀ is multiplied by
// exp(E₀/R·(1/θ − 1/θref)), R₁ and τ₁ by the same with E₁ (charge transfer), and
// R₂, τ₂, T and τ = 0.743·T with E₂ (diffusion).
//
// Source: the Thevenin circuit with resistor–capacitor branches is common to
// the literature (reference values, section 8); the lag is the parabolic-profile
// form of the single-particle model, V. R. Subramanian, V. D. Diwakar,
// D. Tapriyal, J. Electrochem. Soc. 152 (2005) A2002 (from memory); Arrhenius'
// law holds for the processes one by one, here it stands for their sum.
// Heat after D. Bernardi, E. Pawlikowski, J. Newman, J. Electrochem. Soc. 132
// (1985) 5 (from memory).
// Valid from about −20 °C to 60 °C and from empty to full.
type Cell struct {
	Chemistry *Chemistry
	Curve     *Curve
	Capacity  quantity.AmpereHours // from full to empty at a low rate
	Ohmic     Profile              // R₀ at Reference
	Branches  []Branch             // none, one or two
	Lag       quantity.Seconds     // T at Reference; 0: none
	Reference quantity.Celsius

	ActivationOhmic  float64 // E₀ of R₀, J/mol
	ActivationBranch float64 // E₁ of the first branch, J/mol
	ActivationLag    float64 // E₂ of the second branch and of the lag, J/mol

	Entropic     Profile // dU/dθ against charge, V/K, either sign; nil: reversible heat is left out
	HeatCapacity float64 // C, J/K; 0: the temperature stays
	Conductance  float64 // h, W/K to the ambient

	Peukert *Peukert // for lead-acid: charge counts more the faster it is drawn
}

// Branch is a resistor and a capacitor in parallel.
type Branch struct {
	Resistance Profile
	Time       quantity.Seconds // the time constant at Reference
}

// Profile is a resistance in ohms against the state of charge: values at equal
// steps from 0 to 1, straight between them, level outside. One value is constant.
type Profile []float64

// At is the resistance at a state of charge.
func (p Profile) At(soc float64) float64 {
	n := len(p) - 1
	if n <= 0 || soc <= 0 {
		return p[0]
	}
	if soc >= 1 {
		return p[n]
	}
	x := soc * float64(n)
	i := int(x)
	return p[i] + (p[i+1]-p[i])*(x-float64(i))
}

// Scaled is the profile times a factor.
func (p Profile) Scaled(by float64) Profile {
	out := slices.Clone(p)
	for i := range out {
		out[i] *= by
	}
	return out
}

// Check says what is wrong with a cell, or nil.
func (c *Cell) Check() error {
	switch {
	case c.Curve == nil:
		return fmt.Errorf("the cell has no open-circuit curve")
	case !(c.Capacity > 0):
		return fmt.Errorf("a capacity of %g Ah cannot be: it must be above zero", float64(c.Capacity))
	case len(c.Ohmic) == 0:
		return fmt.Errorf("the cell has no ohmic resistance")
	case len(c.Branches) > 2:
		return fmt.Errorf("%d branches: at most two are computed", len(c.Branches))
	}
	for _, r := range c.Ohmic {
		if !(r > 0) {
			return fmt.Errorf("an ohmic resistance of %g Ω cannot be: it must be above zero", r)
		}
	}
	for _, b := range c.Branches {
		if len(b.Resistance) == 0 || !(b.Time > 0) {
			return fmt.Errorf("a branch needs a resistance and a time constant above zero")
		}
	}
	return nil
}

// Arrhenius is the factor by which a resistance with the activation energy
// (J/mol) is greater at t than at reference, exp(E/R·(1/t − 1/ref)) with
// absolute temperatures; below −60 °C and above 100 °C it stays at the value there.
func Arrhenius(energy float64, t, reference quantity.Celsius) float64 {
	at := min(max(float64(t), -60), 100) + zeroCelsius
	return math.Exp(energy / gasConstant * (1/at - 1/(float64(reference)+zeroCelsius)))
}

// ResistanceAt is the resistance of the cell after a load has lasted for a time:
// the ohmic part and what the branches have come to by then, at a state of
// charge and a temperature, Ω.
func (c *Cell) ResistanceAt(soc float64, t quantity.Celsius, after quantity.Seconds) quantity.Ohms {
	r := c.Ohmic.At(soc) * Arrhenius(c.ActivationOhmic, t, c.Reference)
	for i, b := range c.Branches {
		warm := Arrhenius([]float64{c.ActivationBranch, c.ActivationLag}[i], t, c.Reference)
		r += b.Resistance.At(soc) * warm * -math.Expm1(-float64(after)/(float64(b.Time)*warm))
	}
	return quantity.Ohms(r)
}

// Pack is cells in series and parallel.
type Pack struct {
	Name     string
	Cell     *Cell
	Series   int
	Parallel int           // cells side by side; 1 when Cell stands for the whole group
	Leads    quantity.Ohms // of the pack's own leads and contacts

	Charge      float64          // state of charge at the start, 0 to 1
	Temperature quantity.Celsius // at the start
	Protection  *Cutout          // inside the pack; nil: none
}

// NewPack is a full pack at 25 °C whose cell values are those of a whole
// parallel group, as they are where capacity and resistance of the pack are known.
func NewPack(cell *Cell, series int) Pack {
	return Pack{Cell: cell, Series: series, Parallel: 1, Charge: 1, Temperature: 25}
}

// Capacity is the pack's capacity.
func (p Pack) Capacity() quantity.AmpereHours {
	return p.Cell.Capacity * quantity.AmpereHours(p.Parallel)
}

// RestVoltage is the pack's voltage at rest at its charge.
func (p Pack) RestVoltage() quantity.Volts {
	return quantity.Volts(p.Cell.Curve.at(p.Charge) * float64(p.Series))
}

// Resistance is the pack's ohmic resistance at its charge and temperature, leads included.
func (p Pack) Resistance() quantity.Ohms {
	return p.Cell.ResistanceAt(p.Charge, p.Temperature, 0)*quantity.Ohms(float64(p.Series)/float64(p.Parallel)) + p.Leads
}

// Check says what is wrong with a pack, or nil.
func (p Pack) Check() error {
	if p.Cell == nil {
		return fmt.Errorf("the pack %q has no cell", p.Name)
	}
	if err := p.Cell.Check(); err != nil {
		return fmt.Errorf("the pack %q: %w", p.Name, err)
	}
	if p.Series < 1 || p.Parallel < 1 {
		return fmt.Errorf("the pack %q has %d cells in series and %d in parallel: both must be at least one", p.Name, p.Series, p.Parallel)
	}
	if math.IsNaN(p.Charge) || math.IsNaN(float64(p.Temperature)) {
		return fmt.Errorf("the pack %q starts at no known charge or temperature", p.Name)
	}
	return nil
}

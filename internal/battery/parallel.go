package battery

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Joining is what happens when charged packs are joined in parallel with no load.
type Joining struct {
	Volts    quantity.Volts     // of the joint, at the first moment
	Currents []quantity.Amperes // of each pack then; negative: it is charged
	Largest  quantity.Amperes   // the greatest of them either way
	Heat     quantity.Watts     // in resistances, at the first moment
	Apart    quantity.Volts     // highest less lowest rest voltage
	Moved    quantity.AmpereHours
	Settles  quantity.Seconds // until no pack carries more than a hundredth of its capacity in amperes; NaN: not within 12 h
	After    []float64        // states of charge then, 0 to 1
}

// UnequalCapacityError says that packs of unlike capacity are joined. It comes
// with an answer: such packs may be joined at one voltage, but each carries its
// own share.
type UnequalCapacityError struct {
	Names      []string
	Capacities []quantity.AmpereHours
}

func (e *UnequalCapacityError) Error() string {
	s := "packs of unlike capacity in parallel do not share a load evenly nor run down together at every moment:"
	for i := range e.Names {
		s += fmt.Sprintf(" %s %.4g Ah", e.Names[i], float64(e.Capacities[i]))
	}
	return s + "; compute them as they are, and join them only at one voltage"
}

// Join computes what flows when packs are joined in parallel: at the first
// moment, in the closed form of Thevenin sources,
//
//	V = Σ(E/R)/Σ(1/R),   Iₙ = (Eₙ − V)/Rₙ   (Millman's theorem),
//
// which for two packs is I = ΔE/(R₁ + R₂); then over time by simulation until it
// has died down. The first figure is the worst. Packs of unlike capacity give
// the answer together with *UnequalCapacityError; packs with unlike numbers of
// cells in series give an error and no answer.
func Join(packs []Pack, ambient quantity.Celsius) (*Joining, error) {
	s := Scenario{Packs: packs, Demand: Steady(Idle()), Ambient: ambient, Until: 12 * 3600}
	r, err := newRun(s)
	if err != nil {
		return nil, err
	}
	if err := r.settle(); err != nil {
		return nil, err
	}
	j := &Joining{Volts: quantity.Volts(r.volts), Settles: quantity.Seconds(math.NaN())}
	low, high := math.Inf(1), math.Inf(-1)
	for i := range r.net.elements {
		e := &r.net.elements[i]
		amps := quantity.Amperes(e.now.amps * e.parallel)
		j.Currents = append(j.Currents, amps)
		j.Largest = max(j.Largest, amps, -amps)
		j.Heat += quantity.Watts(float64(amps*amps) * e.now.ohms)
		low, high = min(low, e.now.emf), max(high, e.now.emf)
	}
	j.Apart = quantity.Volts(high - low)
	r.h = 0.01
	for r.t < r.until-1e-9 {
		quiet := true
		for i := range r.net.elements {
			e := &r.net.elements[i]
			quiet = quiet && math.Abs(e.now.amps) <= 0.01*float64(e.cell.Capacity)
		}
		if quiet {
			j.Settles = quantity.Seconds(r.t)
			break
		}
		if err := r.step(); err != nil {
			return nil, err
		}
	}
	for i := range r.net.elements {
		e := &r.net.elements[i]
		j.After = append(j.After, e.y.charge)
		j.Moved += quantity.AmpereHours(max(0, float64(r.out.Packs[i].Out)))
	}
	return j, unequal(packs)
}

// unequal is an *UnequalCapacityError where capacities differ by more than a
// twentieth, else nil.
func unequal(packs []Pack) error {
	e := &UnequalCapacityError{}
	low, high := quantity.AmpereHours(math.Inf(1)), quantity.AmpereHours(0)
	for _, p := range packs {
		low, high = min(low, p.Capacity()), max(high, p.Capacity())
		e.Names, e.Capacities = append(e.Names, p.Name), append(e.Capacities, p.Capacity())
	}
	if high <= 1.05*low {
		return nil
	}
	return e
}

// TwoThevenin is the closed form for two sources in parallel feeding a current:
// the terminal voltage and the current of each, V = (E₁/R₁ + E₂/R₂ − I)/(1/R₁ + 1/R₂).
// Volts, ohms, amperes; resistances above zero.
func TwoThevenin(e1 quantity.Volts, r1 quantity.Ohms, e2 quantity.Volts, r2 quantity.Ohms, load quantity.Amperes) (v quantity.Volts, i1, i2 quantity.Amperes) {
	g1, g2 := 1/float64(r1), 1/float64(r2)
	u := (float64(e1)*g1 + float64(e2)*g2 - float64(load)) / (g1 + g2)
	return quantity.Volts(u), quantity.Amperes((float64(e1) - u) * g1), quantity.Amperes((float64(e2) - u) * g2)
}

package journal

import (
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

// typical takes for a pack whose resistance nobody stated what is typical of its
// chemistry and capacity, block being the share of its cells that the part has.
func (p *Pack) typical(block float64, into *circuit.Part) {
	chemistry, err := battery.ChemistryNamed(string(p.Chemistry.Value))
	if err != nil || !p.Capacity.Known() || p.Series.Or(0) < 1 {
		return
	}
	cell, err := chemistry.TypicalResistance(p.Capacity.Stated())
	if err != nil {
		return
	}
	takeResistance(into, quantity.Scale(cell, float64(p.Series.Value)*block), "typical of "+chemistry.Title+" of this capacity")
}

// takeResistance takes a resistance with what it rests on. A short is computed
// with the least that it may be: less its expanded uncertainty, but a third at
// least, where a guess is so wide that nothing would be left (our own choice).
func takeResistance(into *circuit.Part, r quantity.Measured[quantity.Ohms], from string) {
	if !(r.Value > 0) {
		return
	}
	into.Resistance = r.Value
	into.Least = quantity.Ohms(math.Max(float64(r.Value-r.Expanded()), float64(r.Value)/3))
	into.Taken = fmt.Sprintf("%s are taken, %s, and for a short %s, the least that it may be", milliohms(into.Resistance), from, milliohms(into.Least))
}

func milliohms(r quantity.Ohms) string { return fmt.Sprintf("%.2g mΩ", 1000*float64(r)) }

// learned puts what the version's logs taught of its packs in place of what is
// typical. One logger sees all packs as one, so the packs have to be alike, none
// with a resistance of its own stated.
func (v *Version) learned(c *circuit.Circuit, answers *ride.Answers) {
	if answers == nil || !answers.Basis.Calibrated {
		return
	}
	for i := range v.Packs {
		p, first := &v.Packs[i], &v.Packs[0]
		if p.Resistance.Known() || p.Chemistry.Value != first.Chemistry.Value || p.Series.Or(0) != first.Series.Or(0) || p.Capacity.Value != first.Capacity.Value {
			return
		}
	}
	for _, value := range answers.Basis.Values {
		if value.Name != ride.ResistanceAfter10s {
			continue
		}
		each := quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(value.Quantity.Value), U: quantity.Ohms(value.Quantity.U)}
		for i := range c.Parts {
			if part := &c.Parts[i]; part.Kind == circuit.Pack && part.Taken != "" {
				if pack, _ := v.wiredPack(&v.Wiring.Parts[i]); pack != nil {
					takeResistance(part, quantity.Scale(each, float64(len(v.Packs))*pack.block(v.Wiring.Parts[i].Cells)), "learned from its runs, after 10 s of load")
				}
			}
		}
	}
}

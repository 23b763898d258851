package journal

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/quantity"
	"voltwright/internal/ride"
)

// typical takes for a pack whose resistance nobody stated what is typical of its
// chemistry and capacity, block being the share of its cells that the part has.
func (p *Pack) typical(block float64, into *circuit.Part) {
	if r, from := p.typicalResistance(); r.Known() {
		takeResistance(into, quantity.Scale(r, block), from)
	}
}

// takeResistance takes a resistance with what it rests on. A short is computed
// with the least that it may be.
func takeResistance(into *circuit.Part, r quantity.Measured[quantity.Ohms], from string) {
	if !(r.Value > 0) {
		return
	}
	into.Resistance = r.Value
	into.Least = LeastOf(r)
	into.Taken = fmt.Sprintf("%s are taken, %s, and for a short %s, the least that it may be", quantity.Rough(into.Resistance), from, quantity.Rough(into.Least))
}

// learned puts what the version's logs taught of its packs in place of what is
// typical.
func (v *Version) learned(c *circuit.Circuit, answers *ride.Answers) {
	bank, ok := v.learnedResistance(answers)
	if !ok {
		return
	}
	for i := range c.Parts {
		if part := &c.Parts[i]; part.Kind == circuit.Pack && part.Taken != "" {
			if pack, _ := v.wiredPack(&v.Wiring.Parts[i]); pack != nil {
				takeResistance(part, quantity.Scale(bank, float64(len(v.Packs))*pack.block(v.Wiring.Parts[i].Cells)), learnedFromRuns)
			}
		}
	}
}

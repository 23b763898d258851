package journal

import (
	"fmt"
	"slices"

	"voltwright/internal/circuit"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

// typical takes for a pack whose resistance nobody stated what is typical of its
// chemistry and capacity, block being the share of its cells that the part has.
func typical(p predict.Pack, block float64, into *circuit.Part) {
	if r, from := p.TypicalResistance(); r.Known() {
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
// typical: their resistance, or what is typical of the capacity that they showed.
func (v *Version) learned(c *circuit.Circuit, answers *predict.Prediction) {
	bank, ok := v.learnedResistance(answers)
	held := v.Bank().Holding(answers).Packs
	for i := range c.Parts {
		part := &c.Parts[i]
		pack, _ := v.wiredPack(&v.Wiring.Parts[i])
		if part.Kind != circuit.Pack || part.Taken == "" || pack == nil {
			continue
		}
		block := pack.block(v.Wiring.Parts[i].Cells)
		if ok {
			takeResistance(part, quantity.Scale(bank, float64(len(v.Packs))*block), predict.LearnedFromRuns)
		} else {
			typical(held[slices.IndexFunc(held, func(p predict.Pack) bool { return p.Name == pack.Name.Text })], block, part)
		}
	}
}

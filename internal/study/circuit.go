package study

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/journal"
	"voltwright/internal/predict"
	"voltwright/internal/quantity"
)

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

// Circuit is a version's wiring as circuit computes with it; false where none is stated. A pack whose resistance nobody
// states has what the version's runs taught, or what is typical of the capacity that they showed or that is stated.
func Circuit(v *journal.Version, answers *predict.Prediction) (*circuit.Circuit, bool) {
	c, ok := v.Circuit()
	if !ok {
		return nil, false
	}
	bank, learned := learnedResistance(v, answers)
	held := Bank(v).Holding(answers).Packs
	for i := range c.Parts {
		part := &c.Parts[i]
		if part.Kind != circuit.Pack || part.Resistance > 0 {
			continue
		}
		k, block := v.WiredPack(i)
		switch {
		case k < 0:
		case learned:
			takeResistance(part, quantity.Scale(bank, float64(len(v.Packs))*block), predict.LearnedFromRuns)
		default:
			if r, from := held[k].TypicalResistance(); r.Known() {
				takeResistance(part, quantity.Scale(r, block), from)
			}
		}
	}
	return c, true
}

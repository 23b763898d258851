package study

import (
	"voltwright/internal/journal"
	"voltwright/internal/quantity"
	"voltwright/internal/wiring"
)

// FirstPower is the order in which a version gets power for the first time, with what each step has to read; nil where its wiring is not
// stated or written wrong, or a pack's voltage is not known. The least that a pack may have is the conservative floor of its cells.
func FirstPower(v *journal.Version, w *wiring.Analysis) []wiring.PowerStep {
	if w == nil || len(w.Faults) > 0 || v.Wiring == nil {
		return nil
	}
	return wiring.FirstPower(w.Circuit, func(part int) quantity.Volts {
		i, share := v.WiredPack(part)
		if i < 0 {
			return w.Circuit.Parts[part].Nominal
		}
		cells, known := v.Packs[i].Cells()
		if !known {
			return w.Circuit.Parts[part].Nominal
		}
		return cells.ConservativeFloor() * quantity.Volts(share) * quantity.Volts(v.Packs[i].Series.Or(0))
	})
}

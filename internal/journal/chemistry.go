package journal

import (
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Chemistry is what a pack's cells are made of.
type Chemistry string

// The chemistries.
const (
	NMC             Chemistry = "nmc"
	NCA             Chemistry = "nca"
	LFP             Chemistry = "lfp"
	LeadAcidFlooded Chemistry = "lead-acid-flooded"
	LeadAcidAGM     Chemistry = "lead-acid-agm"
	NiMH            Chemistry = "nimh"
)

// CellVoltages are a chemistry's voltages of one cell.
type CellVoltages struct {
	Nominal quantity.Volts
	Full    quantity.Volts // end of a normal charge; no cell of the chemistry rests above it
	Empty   quantity.Volts // end of a normal discharge
	Source  string
}

type chemistryFact struct {
	Chemistry
	meaning string
	cell    CellVoltages
}

// chemistries holds one row for each chemistry. The voltages are those of data
// sheets of single cells or, for lead-acid, a sixth of a 12 V battery's.
var chemistries = []chemistryFact{
	{NMC, "lithium-ion, nickel manganese cobalt oxide", CellVoltages{3.6, 4.2, 2.5, "data sheet Samsung ICR18650-26C (charge 4.20 V ± 0.05 V), INR18650-15L (4.2 V, 2.5 V); nominal 3.6 V from memory"}},
	{NCA, "lithium-ion, nickel cobalt aluminium oxide", CellVoltages{3.6, 4.2, 2.65, "data sheet Samsung INR18650-35E (3.6 V, 4.2 V, 2.65 V)"}},
	{LFP, "lithium iron phosphate", CellVoltages{3.2, 3.65, 2.5, "data sheet AA Portable 26650-3300 (3.2 V, 3.65 V, 2.5 V)"}},
	{LeadAcidFlooded, "lead-acid, liquid electrolyte", CellVoltages{2.0, 2.5, 1.75, "data sheet of a 12 V 40 Ah VRLA battery (charge 14.7 V to 15.0 V, end of discharge 10.5 V at 10 h), a sixth of it; that a flooded cell has the same bounds is from memory"}},
	{LeadAcidAGM, "lead-acid, absorbed electrolyte", CellVoltages{2.0, 2.5, 1.75, "data sheet of a 12 V 40 Ah VRLA battery (charge 14.7 V to 15.0 V, end of discharge 10.5 V at 10 h), a sixth of it"}},
	{NiMH, "nickel-metal hydride", CellVoltages{1.2, 1.45, 1.0, "data sheets Varta V 250 H (1.2 V, about 1.45 V at the end of a charge at 0.1 C, 1.0 V), Panasonic HHR70AAAJ"}},
}

// Options lists the words.
func (Chemistry) Options() []notes.Option {
	out := make([]notes.Option, len(chemistries))
	for i, c := range chemistries {
		out[i] = notes.Option{Name: string(c.Chemistry), Meaning: c.meaning}
	}
	return out
}

// Cell gives the voltages of one cell; false for an unknown chemistry.
func (c Chemistry) Cell() (CellVoltages, bool) {
	for _, fact := range chemistries {
		if fact.Chemistry == c {
			return fact.cell, true
		}
	}
	return CellVoltages{}, false
}

// Lithium tells whether the cells are lithium-ion of any sort.
func (c Chemistry) Lithium() bool { return c == NMC || c == NCA || c == LFP }

// Nominal is the pack's nominal voltage, missing where chemistry or series is
// not known.
func (p *Pack) Nominal() quantity.Measured[quantity.Volts] {
	cell, ok := p.Chemistry.Value.Cell()
	if !ok || !p.Series.Set {
		return quantity.Missing[quantity.Volts]()
	}
	return quantity.Exact(cell.Nominal * quantity.Volts(p.Series.Value))
}

// FullVoltage is the pack's voltage at the end of a charge: as stated, else the
// chemistry's for its cells in series; missing where neither is known.
func (p *Pack) FullVoltage() quantity.Measured[quantity.Volts] {
	if p.Full.Known() {
		return p.Full.Measured
	}
	return p.ChemistryFull()
}

// ChemistryFull is the chemistry's full charge for the pack's cells in series.
func (p *Pack) ChemistryFull() quantity.Measured[quantity.Volts] {
	cell, ok := p.Chemistry.Value.Cell()
	if !ok || !p.Series.Set {
		return quantity.Missing[quantity.Volts]()
	}
	return quantity.Exact(cell.Full * quantity.Volts(p.Series.Value))
}

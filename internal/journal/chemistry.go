package journal

import (
	"voltwright/internal/battery"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// Chemistry is what a pack's cells are made of: the name of one of the
// chemistries that package battery knows, of which each is one file there.
type Chemistry string

// Options lists the words.
func (Chemistry) Options() []notes.Option {
	var out []notes.Option
	for _, c := range battery.Chemistries() {
		out = append(out, notes.Option{Name: c.Name, Meaning: c.Title})
	}
	return out
}

// Family is the family of the chemistry, "lithium-ion", "sodium-ion", "lead-acid" or
// "nickel"; "" for an unknown one.
func (c Chemistry) Family() string {
	if cells, ok := c.cells(); ok {
		return cells.Family
	}
	return ""
}

// cells are the chemistry's cells; false for an unknown chemistry.
func (c Chemistry) cells() (*battery.Chemistry, bool) {
	cells, err := battery.ChemistryNamed(string(c))
	return cells, err == nil
}

// Nominal is the pack's nominal voltage, missing where chemistry or series is
// not known.
func (p *Pack) Nominal() quantity.Measured[quantity.Volts] {
	cells, ok := p.Chemistry.Value.cells()
	if !ok || !p.Series.Set {
		return quantity.Missing[quantity.Volts]()
	}
	return quantity.Exact(cells.Nominal() * quantity.Volts(p.Series.Value))
}

// FullVoltage is the pack's voltage at the end of a charge: as stated, else by its own
// sheet, else the chemistry's for its cells in series; missing where neither is known.
func (p *Pack) FullVoltage() quantity.Measured[quantity.Volts] {
	if p.Full.Known() {
		return p.Full.Measured
	}
	if cells, ok := p.Cells(); ok && p.Series.Set {
		return quantity.Exact(cells.Full() * quantity.Volts(p.Series.Value))
	}
	return p.ChemistryFull()
}

// ChargingVoltage is the greatest voltage that a pack has while it is charged: its
// full voltage, or that of the charger where it is higher.
func (v *Version) ChargingVoltage(p *Pack) quantity.Measured[quantity.Volts] {
	full := p.FullVoltage()
	if c := v.Charger; c != nil && c.Voltage.Known() && (!full.Known() || c.Voltage.Value > full.Value) {
		return c.Voltage.Measured
	}
	return full
}

// ChemistryFull is the chemistry's full charge for the pack's cells in series.
func (p *Pack) ChemistryFull() quantity.Measured[quantity.Volts] {
	cells, ok := p.Chemistry.Value.cells()
	if !ok || !p.Series.Set {
		return quantity.Missing[quantity.Volts]()
	}
	return quantity.Exact(cells.Full() * quantity.Volts(p.Series.Value))
}

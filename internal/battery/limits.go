package battery

import (
	"fmt"

	"voltwright/internal/quantity"
)

// ChargeZone is a span of cell temperatures with what may be charged in it.
type ChargeZone struct {
	From, To quantity.Celsius // To is not in it
	Rate     float64          // of the usual charging rate; 0: none
	Volts    quantity.Volts   // most at a lithium-ion cell; 0: as the data sheet says
	Words    string
}

// chargeZones is the usual temperature window of lithium-ion charging after the
// guide of JEITA (2007, not read); values as given in TI e2e thread 23319. They
// differ from cell to cell: a data sheet goes before them.
var chargeZones = []ChargeZone{
	{0, 10, 0.5, 4.1, "cool: half the rate, or no more than 4.1 V"},
	{10, 45, 1, 4.25, "standard"},
	{45, 50, 1, 4.15, "warm: no more than 4.15 V"},
	{50, 60, 1, 4.1, "hot: no more than 4.1 V"},
}

// ZoneAt is the charge zone of a temperature. Outside of all of them, below 0 °C
// and from 60 °C, nothing is charged. For other chemistries than lithium-ion
// there is one zone, from the lowest to the highest charge temperature.
func (c *Chemistry) ZoneAt(t quantity.Celsius) ChargeZone {
	low, high := quantity.Celsius(c.value("charge-lowest-temperature")), quantity.Celsius(c.value("charge-highest-temperature"))
	if c.Family != "lithium-ion" {
		if t < low || t > high {
			return ChargeZone{Words: "no charging"}
		}
		return ChargeZone{From: low, To: high, Rate: 1, Words: "standard"}
	}
	for _, z := range chargeZones {
		if t >= z.From && t < z.To {
			return z
		}
	}
	return ChargeZone{Words: "no charging"}
}

// DischargeTemperatureError says that a temperature lies outside what data sheets
// of the chemistry allow under load.
type DischargeTemperatureError struct {
	At, Lowest, Highest quantity.Celsius
	Chemistry           string
}

func (e *DischargeTemperatureError) Error() string {
	return fmt.Sprintf("%.4g °C is outside the %.4g °C to %.4g °C in which data sheets of %s allow a load", float64(e.At), float64(e.Lowest), float64(e.Highest), e.Chemistry)
}

// MayDischarge says whether cells of the chemistry may be loaded at a temperature.
func (c *Chemistry) MayDischarge(t quantity.Celsius) error {
	low, high := quantity.Celsius(c.value("discharge-lowest-temperature")), quantity.Celsius(c.value("discharge-highest-temperature"))
	if t < low || t > high {
		return &DischargeTemperatureError{At: t, Lowest: low, Highest: high, Chemistry: c.Title}
	}
	return nil
}

// TypicalResistance is the direct-current resistance after a load of 10 s of a
// half charged cell (or parallel group) of the chemistry, from its capacity, with
// the standard uncertainty that such a guess has.
func (c *Chemistry) TypicalResistance(capacity quantity.Measured[quantity.AmpereHours]) (quantity.Measured[quantity.Ohms], error) {
	e, err := Typical(c, capacity)
	if err != nil {
		return quantity.Missing[quantity.Ohms](), err
	}
	s, err := e.Spread(func(c *Cell) ([]float64, error) {
		return []float64{float64(c.ResistanceAt(0.5, 25, statedAfter))}, nil
	})
	if err != nil {
		return quantity.Missing[quantity.Ohms](), err
	}
	return quantity.Measured[quantity.Ohms]{Value: quantity.Ohms(s[0].Value), U: quantity.Ohms(s[0].U)}, nil
}

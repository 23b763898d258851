package battery

import (
	"fmt"

	"voltwright/internal/quantity"
	"voltwright/internal/reference"
)

// Windows are the greatest charging rates by the temperature of the cell.
type Windows struct {
	Quoted
	Points [][3]float64 `json:"points"` // from °C, below °C, rate in parts of the capacity in an hour
}

// ChargeRate is the greatest rate at which a cell of the chemistry may be charged
// at a temperature of its own, in parts of the capacity in an hour, and where that
// is from. Outside of the charging temperatures it is 0; where no window of the
// chemistry holds the temperature, the greatest rate at all.
func (c *Chemistry) ChargeRate(t quantity.Celsius) (rate float64, q Quoted) {
	if low := c.Facts["charge-lowest-temperature"]; float64(t) < low.Value {
		return 0, low.Quoted
	}
	if high := c.Facts["charge-highest-temperature"]; float64(t) > high.Value {
		return 0, high.Quoted
	}
	whole := c.Facts["charge-rate-limit"]
	if w := c.ChargeWindows; w != nil {
		for _, p := range w.Points {
			if float64(t) >= p[0] && float64(t) < p[1] {
				return p[2], w.Quoted
			}
		}
	}
	return whole.Value, whole.Quoted
}

// FloorAt is the least voltage of one cell that data sheets allow at a rate of
// discharge, in parts of the capacity in an hour: the end voltage of lead-acid
// falls as the rate rises. A rate that is not known, 0 or less, has the one that
// stands for the chemistry, and so has a chemistry without a table. Between the
// rates of a table the one of the slower rate holds, which is higher.
func (c *Chemistry) FloorAt(rate float64) (quantity.Volts, Quoted) {
	f := c.Facts["datasheet-floor"]
	if c.Floors == nil || !(rate > 0) || c.Own != "" && f.Status == reference.Stated {
		return quantity.Volts(f.Value), f.Quoted
	}
	p := c.Floors.Points
	for _, x := range p {
		if rate < x[0]*(1-1e-9) {
			return quantity.Volts(x[1]), c.Floors.Quoted
		}
	}
	return quantity.Volts(p[len(p)-1][1]), c.Floors.Quoted
}

// compensatedAt is the temperature for which full voltages of lead-acid are stated.
const compensatedAt = 25

// FullAt is the voltage of one cell at the end of a charge at a temperature of
// its own: lead-acid is charged lower when it is warm and higher when it is cold.
// For a chemistry without a compensation it is Full.
func (c *Chemistry) FullAt(t quantity.Celsius) quantity.Volts {
	k, _ := c.Value("compensation")
	return c.Full() + quantity.Volts(k*(float64(t)-compensatedAt))
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

// MayDischarge says whether cells of the chemistry may be loaded at a temperature. The error is a DischargeTemperatureError.
func (c *Chemistry) MayDischarge(t quantity.Celsius) error {
	low, high := quantity.Celsius(c.value("discharge-lowest-temperature")), quantity.Celsius(c.value("discharge-highest-temperature"))
	if t < low || t > high {
		return &DischargeTemperatureError{At: t, Lowest: low, Highest: high, Chemistry: c.Title}
	}
	return nil
}

// TypicalResistance is the direct-current resistance after a load of 10 s of a
// half charged cell (or parallel group) of the chemistry, from its capacity, with
// the standard uncertainty that such a guess has. A capacity that is not above zero is an error.
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
	return quantity.Of(quantity.Ohms(s[0].Value), quantity.Ohms(s[0].U)), nil
}

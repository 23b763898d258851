package battery

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// bulkOver is the part of the voltage above rest at the end of bulk that stands at its beginning. From memory.
const bulkOver = 0.4

// leadAcidPoints is in how many points an absorption is told.
const leadAcidPoints = 60

// Acceptance is how a lead-acid cell takes charge at a held voltage. What it takes is proportional to what it lacks, so that the current
// dies away as exp(−t/Time); bulk ends where it takes less than the charger gives.
type Acceptance struct {
	Wanted quantity.Volts   // of one cell: the absorption voltage for this temperature
	Float  quantity.Volts   // the same for keeping
	Time   quantity.Seconds // at the held voltage and this temperature
}

// The least and the most that a voltage that is off the wanted one counts for. Own choice, no source.
const (
	quickestAcceptance = 0.5
	slowestAcceptance  = 8
)

// Acceptance is that of a chemistry at a temperature and a held voltage of one cell, 0 for the wanted one. The wanted voltage is that of the chemistry at
// 25 °C, compensated by so many millivolts a kelvin. The time is measured at the wanted voltage at 25 °C; in the cold it is longer by
// Arrhenius' law with the energy of acid diffusion, and at another voltage in proportion to what stands above the full cell's rest voltage. Both of these are
// from memory. An error says that the voltage is none that charges.
func (c *Chemistry) Acceptance(t quantity.Celsius, held quantity.Volts) (Acceptance, error) {
	const reference = 25
	compensation := quantity.Volts(c.value("compensation")) * quantity.Volts(t-reference)
	a := Acceptance{Wanted: c.Full() + compensation, Float: quantity.Volts(c.value("float-voltage")) + compensation}
	if held <= 0 {
		held = a.Wanted
	}
	rest := quantity.Volts(c.curve.at(1))
	if held <= rest {
		return a, fmt.Errorf("a voltage of %.4g V a cell does not charge: full cells of %s stand at %.4g V by themselves", float64(held), c.Title, float64(rest))
	}
	off := min(max(float64((a.Wanted-rest)/(held-rest)), quickestAcceptance), slowestAcceptance)
	a.Time = quantity.Seconds(c.value("acceptance-time") * Arrhenius(c.value("activation-lag"), t, reference) * off)
	return a, nil
}

// absorb is the charge of a lead-acid battery by its charge balance. The equivalent circuit does not serve here: near full most of the
// current makes gas. Bulk holds the current until the battery takes less, at z = 1 − I·τ/(1.05·Q); in absorption it falls as exp(−t/τ) and
// ends at Stop. Charge counts 1.05 times (velapower.com). In bulk the voltage comes to stand above the rest voltage as it does when bulk
// ends, from bulkOver of that, so the energy is told to some per cent. Heat is not known this way.
//
// Held to a measured AGM battery at a fifth and at two fifths of its capacity (see TestMeasuredLeadAcidCharges).
func absorb(p Pack, c Charger, ambient quantity.Celsius) (*Charging, error) {
	chem := p.Cell.Chemistry
	capacity, i, put := float64(p.Capacity()), float64(c.Current), chem.value("charge-return")
	held := c.Volts / quantity.Volts(p.Series)
	a, err := chem.Acceptance((ambient+p.Temperature)/2, held)
	if err != nil {
		return nil, err
	}
	if held <= 0 {
		held = a.Wanted
	}
	tau := float64(a.Time) / 3600
	stop := float64(c.Stop)
	if stop <= 0 {
		stop = chem.value("taper-rate") * capacity
	}
	change := max(p.Charge, 1-i*tau/put/capacity)
	first := min(i, put*(1-change)*capacity/tau) // A when absorption begins
	bulk := (change - p.Charge) * capacity * put / i
	taper := tau * max(0, math.Log(first/stop))
	out := &Charging{Method: "bulk until the battery takes less than the charger gives, then absorption, by the balance of charge", AtChange: change, Finished: true,
		Current: quantity.Seconds(3600 * bulk), Voltage: quantity.Seconds(3600 * taper), Warmest: quantity.Celsius(math.NaN()), Heat: quantity.WattHours(math.NaN())}
	curve := p.Cell.Curve
	over := float64(held) - curve.at(change) // V of one cell above rest, in bulk
	series := float64(p.Series)
	out.course = []ChargePoint{{0, p.Charge, 0, c.Current}}
	for k := 1; k <= leadAcidPoints && bulk > 0; k++ {
		share := float64(k) / leadAcidPoints
		z := p.Charge + share*(change-p.Charge)
		mid := z - (change-p.Charge)/leadAcidPoints/2
		last := out.course[len(out.course)-1]
		out.course = append(out.course, ChargePoint{quantity.Seconds(3600 * bulk * share), z,
			last.Energy + quantity.WattHours(series*min(curve.at(mid)+over*(bulkOver+(1-bulkOver)*share), float64(held))*i*bulk/leadAcidPoints), c.Current})
	}
	before := out.course[len(out.course)-1]
	for k := 1; k <= leadAcidPoints && taper > 0; k++ {
		t := taper * float64(k) / leadAcidPoints
		in := first * tau * -math.Expm1(-t/tau)
		out.course = append(out.course, ChargePoint{before.At + quantity.Seconds(3600*t), change + in/put/capacity, before.Energy + quantity.WattHours(in*float64(held)*series), quantity.Amperes(first * math.Exp(-t/tau))})
	}
	end := out.course[len(out.course)-1]
	out.Charge = quantity.AmpereHours((end.Charge - p.Charge) * put * capacity)
	out.Energy, out.AtEnd, out.Total = end.Energy, end.Charge, out.Current+out.Voltage
	return out, nil
}

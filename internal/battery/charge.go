package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// Charger holds a current until the pack comes to its voltage, then holds the
// voltage until the current has fallen to Stop.
type Charger struct {
	Current quantity.Amperes
	Volts   quantity.Volts   // terminal; 0: the chemistry's full voltage
	Stop    quantity.Amperes // 0: the chemistry's taper
	Limit   quantity.Seconds // give up after; 0: 48 h
	Allowed bool             // the current was held against the limit of the stated capacity already
}

// Charging is how a charge goes.
type Charging struct {
	Method   string           // what was computed, in words
	Current  quantity.Seconds // with the current held (bulk)
	Voltage  quantity.Seconds // with the voltage held (absorption, taper)
	Total    quantity.Seconds
	Charge   quantity.AmpereHours // put in
	Energy   quantity.WattHours   // put in
	Heat     quantity.WattHours
	Warmest  quantity.Celsius
	AtChange float64 // state of charge when the voltage was reached
	AtEnd    float64
	Finished bool // false: the time limit came first
	course   []ChargePoint
}

// ChargePoint is a moment of a charge.
type ChargePoint struct {
	At     quantity.Seconds
	Charge float64            // state of charge
	Energy quantity.WattHours // put in by then; NaN: not computed

	Amperes quantity.Amperes // that flow in
}

// To is when the charge comes to a state of charge, along straight lines between the points of its course; NaN where it begins above
// it or ends below.
func (c *Charging) To(part float64) quantity.Seconds {
	for k, p := range c.course {
		if p.Charge < part {
			continue
		}
		if k == 0 {
			break
		}
		before := c.course[k-1]
		return before.At + (p.At-before.At)*quantity.Seconds((part-before.Charge)/(p.Charge-before.Charge))
	}
	return quantity.Seconds(math.NaN())
}

// Charge computes a constant-current, constant-voltage charge of one pack from
// its charge, at an ambient temperature. Lithium-ion: current, then taper.
// Lead-acid: bulk until the battery takes less than the current, then absorption with a current that dies away, 1.05 times the charge
// being put back (see absorb).
// Nickel: a constant current for the time in which the stated multiple of the
// missing charge is put in; it is ended by time, temperature or −ΔV, not by a voltage.
//
// Refused with an error: below the chemistry's lowest charge temperature
// (*ColdChargeError) or above its highest (*HotChargeError), a current of zero,
// or more than the chemistry's limit. The charge follows the discharge curve:
// hysteresis is not modelled, so the change comes somewhat late.
func Charge(p Pack, c Charger, ambient quantity.Celsius) (*Charging, error) {
	if err := p.Check(); err != nil {
		return nil, err
	}
	chem := p.Cell.Chemistry
	if chem == nil {
		return nil, errors.New("a charge needs the chemistry of the cells")
	}
	if err := chem.MayCharge(min(ambient, p.Temperature)); err != nil {
		return nil, err
	}
	if err := chem.MayCharge(max(ambient, p.Temperature)); err != nil {
		return nil, err
	}
	if !(c.Current > 0) {
		return nil, fmt.Errorf("a charging current of %g A puts nothing in", float64(c.Current))
	}
	capacity := float64(p.Capacity())
	if rate, _ := chem.ChargeRate(min(ambient, p.Temperature)); !c.Allowed && float64(c.Current) > rate*capacity*(1+1e-9) {
		return nil, fmt.Errorf("a charging current of %.4g A is more than the %.4g A that data sheets of %s allow for %.4g Ah at %.4g °C", float64(c.Current), rate*capacity, chem.Name, capacity, float64(min(ambient, p.Temperature)))
	}
	if chem.Family == "nickel" {
		missing := (1 - p.Charge) * capacity * chem.value("charge-return")
		t := quantity.Seconds(3600 * missing / float64(c.Current))
		return &Charging{Method: "constant current for a time", Current: t, Total: t, Charge: quantity.AmpereHours(missing), AtChange: 1, AtEnd: 1, Finished: true,
			Warmest: quantity.Celsius(math.NaN()), Energy: quantity.WattHours(math.NaN()), Heat: quantity.WattHours(math.NaN()),
			course: []ChargePoint{{0, p.Charge, quantity.WattHours(math.NaN()), c.Current}, {t, 1, quantity.WattHours(math.NaN()), c.Current}}}, nil
	}
	if chem.Family == "lead-acid" {
		return absorb(p, c, ambient)
	}
	if c.Volts <= 0 {
		c.Volts = chem.Full() * quantity.Volts(p.Series)
	}
	if c.Stop <= 0 {
		c.Stop = quantity.Amperes(chem.value("taper-rate") * capacity)
	}
	if c.Limit <= 0 {
		c.Limit = 48 * 3600
	}
	return charge(p, c, ambient)
}

// MayCharge says whether cells of the chemistry may be charged at a temperature.
// The error is a ColdChargeError or a HotChargeError.
func (c *Chemistry) MayCharge(t quantity.Celsius) error {
	if low := quantity.Celsius(c.value("charge-lowest-temperature")); t < low {
		return &ColdChargeError{At: t, Lowest: low, Chemistry: c.Title, Lithium: c.plates}
	}
	if high := quantity.Celsius(c.value("charge-highest-temperature")); t > high {
		return &HotChargeError{At: t, Highest: high, Chemistry: c.Title}
	}
	return nil
}

func charge(p Pack, c Charger, ambient quantity.Celsius) (*Charging, error) {
	r, err := newRun(Scenario{Packs: []Pack{p}, Demand: Steady(Drawing(-c.Current)), Ambient: ambient, Until: c.Limit, Tolerance: 1e-4})
	if err != nil {
		return nil, err
	}
	out := &Charging{Method: "constant current, then constant voltage"}
	r.h, r.ceiling = 1, float64(c.Volts)
	if err := r.settle(); err != nil {
		return nil, err
	}
	book := func() {
		out.course = append(out.course, ChargePoint{quantity.Seconds(r.t), r.net.elements[0].y.charge, quantity.WattHours(-r.joules / 3600), quantity.Amperes(-r.amps)})
	}
	book()
	for r.volts < r.ceiling-near(r.ceiling) && r.t < r.until-1e-9 {
		if err := r.step(); err != nil {
			return nil, err
		}
		book()
	}
	out.Current, out.AtChange = quantity.Seconds(r.t), r.net.elements[0].y.charge
	r.ceiling, r.taper, r.h = 0, float64(c.Stop), min(r.h, 1)
	r.Demand = Steady(holding(float64(c.Volts)))
	if err := r.settle(); err != nil {
		return nil, err
	}
	for -r.amps > r.taper*(1+1e-9) && r.t < r.until-1e-9 {
		if err := r.step(); err != nil {
			return nil, err
		}
		book()
	}
	r.finish()
	o := r.out
	out.Total, out.Finished = o.Elapsed, r.t < r.until-1e-9
	out.Voltage = out.Total - out.Current
	out.Charge, out.Energy, out.Heat = -o.Charge, -o.Energy, o.Heat
	out.Warmest, out.AtEnd = o.Packs[0].Warmest, o.Packs[0].Charge
	return out, nil
}

// ChargeRule is the rule of thumb for the same question, from low to high:
// lithium-ion the missing charge over the current and 1 h to 1.5 h more (fits the
// data sheets of Samsung ICR18650-26C and ICR18650-20); lead-acid 3 h to 5 h more
// after a discharge faster than 0.25 C, 6 h to 10 h after a slower one
// (velapower.com, characteristics of charging); nickel the missing charge times
// 1.2 to 1.6 over the current (data sheet Panasonic HHR70AAAJ).
func ChargeRule(c *Chemistry, missing quantity.AmpereHours, i quantity.Amperes, slowDischarge bool) (low, high quantity.Seconds) {
	t := quantity.Seconds(3600 * float64(missing) / float64(i))
	switch {
	case c.Family == "nickel":
		return 1.2 * t, 1.6 * t
	case c.Family == "lead-acid" && slowDischarge:
		return t + 6*3600, t + 10*3600
	case c.Family == "lead-acid":
		return t + 3*3600, t + 5*3600
	}
	return t + 3600, t + 5400
}

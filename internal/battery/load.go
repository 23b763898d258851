package battery

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

type loadKind uint8

const (
	currentLoad loadKind = iota
	powerLoad
	resistanceLoad
	voltageLoad // holds the terminal voltage: a charger in its second phase
)

// Load is what draws on a pack at one time. The zero Load draws nothing.
type Load struct {
	kind  loadKind
	value float64
}

// Drawing is a constant current; a negative one charges.
func Drawing(i quantity.Amperes) Load { return Load{currentLoad, float64(i)} }

// Delivering is a constant power, as an electronic controller at constant speed takes it.
func Delivering(p quantity.Watts) Load { return Load{powerLoad, float64(p)} }

// Across is a constant resistance, as a lamp or a heater nearly is.
func Across(r quantity.Ohms) Load { return Load{resistanceLoad, float64(r)} }

// Idle draws nothing.
func Idle() Load { return Load{} }

// holding keeps the terminals at a voltage.
func holding(v float64) Load { return Load{voltageLoad, v} }

// Times is the load with its current or power multiplied by a factor (its resistance divided).
func (l Load) Times(factor float64) Load {
	if l.kind == resistanceLoad {
		return Load{l.kind, l.value / factor}
	}
	return Load{l.kind, l.value * factor}
}

// String says the load by its value, with a unit that fits: "24 W", "3 Ω".
func (l Load) String() string {
	switch l.kind {
	case powerLoad:
		return quantity.Brief(quantity.Watts(l.value))
	case resistanceLoad:
		return quantity.Brief(quantity.Ohms(l.value))
	case voltageLoad:
		return quantity.Brief(quantity.Volts(l.value)) + " held"
	}
	return quantity.Brief(quantity.Amperes(l.value))
}

// Part is a load for a time.
type Part struct {
	Load
	For quantity.Seconds
}

// Demand is loads one after another.
type Demand struct {
	Parts  []Part
	Repeat bool // begin again at the end; else the demand ends there
}

// Steady is one load without end.
func Steady(l Load) Demand { return Demand{Parts: []Part{{l, quantity.Seconds(math.Inf(1))}}} }

// Duty is a load for a part of a period and nothing for the rest, again and again.
func Duty(l Load, share quantity.Fraction, period quantity.Seconds) Demand {
	on := period * quantity.Seconds(share)
	return Demand{Parts: []Part{{l, on}, {Idle(), period - on}}, Repeat: true}
}

// ReplayCurrent is a logged current: t in s, rising; amps, discharge positive.
// Between two rows the mean of both is drawn, so that the charge is that of the
// trapezoid. Repeated or backward times are left out. Fewer than two rows are an error.
func ReplayCurrent(t, amps []float64) (Demand, error) { return replay(t, amps, currentLoad) }

// ReplayPower is a logged power: t in s, watts, positive when drawn. Fewer than two rows are an error.
func ReplayPower(t, watts []float64) (Demand, error) { return replay(t, watts, powerLoad) }

func replay(t, y []float64, kind loadKind) (Demand, error) {
	if len(t) != len(y) || len(t) < 2 {
		return Demand{}, errors.New("a replay needs at least two rows of time and load")
	}
	var d Demand
	last := 0
	for i := 1; i < len(t); i++ {
		if math.IsNaN(y[i]) || !(t[i] > t[last]) {
			continue
		}
		d.Parts = append(d.Parts, Part{Load{kind, (y[last] + y[i]) / 2}, quantity.Seconds(t[i] - t[last])})
		last = i
	}
	return d, d.Check()
}

// Times is the demand with every load multiplied by a factor, as another payload multiplies it.
func (d Demand) Times(factor float64) Demand {
	d.Parts = slices.Clone(d.Parts)
	for i := range d.Parts {
		d.Parts[i].Load = d.Parts[i].Load.Times(factor)
	}
	return d
}

// Check says what is wrong with a demand, or nil.
func (d Demand) Check() error {
	if len(d.Parts) == 0 {
		return errors.New("the load has no parts")
	}
	var total float64
	for _, p := range d.Parts {
		if math.IsNaN(p.value) || math.IsInf(p.value, 0) || math.IsNaN(float64(p.For)) || p.For < 0 {
			return fmt.Errorf("a part of the load, %s for %g s, is not a load", p.Load, float64(p.For))
		}
		if p.kind == resistanceLoad && p.value <= 0 {
			return fmt.Errorf("a load of %g Ω is a short circuit or none at all", p.value)
		}
		total += float64(p.For)
	}
	if total <= 0 {
		return errors.New("the load lasts no time")
	}
	return nil
}

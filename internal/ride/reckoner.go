package ride

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Reckoner is what packs made like a version's give until their end, by the load that each ampere-hour of them carries
// and by the temperature: enough to tell the run time of such packs of any capacity under any steady load, because more
// of the same cells under as much more load run as long.
//
// Between its points what is given goes on parabolas over the logarithm of the load, and over the temperature.
type Reckoner struct {
	Loads    []float64            // W/Ah, rising, each the same times the one before
	Ambients []quantity.Celsius   // rising
	Gives    [][]Given            // by ambient and load
	EndsBy   string               // what ends the run, in words
	Volts    quantity.Volts       // at which
	Capacity quantity.AmpereHours // of the version's own packs
}

// Given is what each ampere-hour of the packs gives until the end.
type Given struct {
	Energy float64 // Wh/Ah; NaN where the end is reached at once, or too unsurely for a number
	U      float64 // standard uncertainty
	Charge float64 // the part of the capacity that is taken out
}

// The points of a reckoner: from a load that empties the packs in some thirty hours to one that does it in less than
// half an hour, and the temperatures at which a vehicle is out.
const (
	reckonLowest  = 0.03 // of the nominal voltage, W/Ah
	reckonRatio   = 2.
	reckonSteps   = 7
	reckonSteeply = 0.6 // of what is given at the step before: what falls below it does not go on a parabola
)

var reckonAmbients = []quantity.Celsius{0, 15, 30}

// reckoner computes the points; nil where no load gives a number.
func (k *known) reckoner() *Reckoner {
	r := &Reckoner{Ambients: reckonAmbients, Capacity: k.bank.Capacity().Value, EndsBy: EndsAtFloor}
	nominal := float64(k.bank.Packs[0].Chemistry.Nominal()) * float64(k.bank.Series())
	p := reckonLowest * nominal
	for range reckonSteps {
		r.Loads = append(r.Loads, p)
		p *= reckonRatio
	}
	cutout, by := k.bank.ending()
	if cutout != nil {
		r.EndsBy = by
	}
	some := false
	for _, ambient := range r.Ambients {
		row := make([]Given, len(r.Loads))
		over := false
		for i, p := range r.Loads {
			row[i] = Given{Energy: math.NaN(), U: math.NaN(), Charge: math.NaN()}
			if over {
				continue
			}
			l := NewLoad("", "", Asked, battery.Delivering(quantity.Watts(p*float64(r.Capacity))), "", 1)
			l.Ambient = ambient
			c := k.cell(l, halves, cutout)
			end := c.End()
			if c.Err != "" || end.Err != "" || !end.Running.Known() {
				over = i > 0 && !math.IsNaN(row[i-1].Energy)
				continue
			}
			hours := float64(end.Running.Value) / 3600
			g := Given{Energy: p * hours, U: p * float64(end.Running.U) / 3600, Charge: float64(end.Charge.Value / r.Capacity)}
			if i > 0 && g.Energy < reckonSteeply*row[i-1].Energy {
				over = true
				continue
			}
			r.Volts, row[i], some = end.Volts, g, true
		}
		r.Gives = append(r.Gives, row)
	}
	if !some {
		return nil
	}
	return r
}

// What a reckoner says instead of an answer, as the text of its error.
const (
	ReckonNothing   = "a load and a capacity above zero are needed"
	ReckonTooLittle = "under so small a load such packs stand for more than a day, and what they lose by standing counts: it is not computed"
	ReckonTooMuch   = "such packs do not carry that from full: the voltage falls to the end at once, or too soon for a number; take larger packs, or less load"
)

// OutOfRange says between which temperatures it is computed.
func (r *Reckoner) OutOfRange() string {
	return fmt.Sprintf("it is computed between %g °C and %g °C", float64(r.Ambients[0]), float64(r.Ambients[len(r.Ambients)-1]))
}

// Reckoned is the answer of a reckoner.
type Reckoned struct {
	Time   quantity.Measured[quantity.Seconds]
	Charge quantity.AmpereHours
	Energy quantity.WattHours
}

// Reckon gives the run time of packs of a capacity under a steady load at a temperature. The error is one of the
// sentences above where the question lies outside of what was computed.
func (r *Reckoner) Reckon(load quantity.Watts, capacity quantity.AmpereHours, ambient quantity.Celsius) (Reckoned, error) {
	if !(load > 0) || !(capacity > 0) || math.IsInf(float64(load), 0) || math.IsInf(float64(capacity), 0) {
		return Reckoned{}, errors.New(ReckonNothing)
	}
	p := float64(load) / float64(capacity)
	at := math.Log(p/r.Loads[0]) / math.Log(reckonRatio)
	warm := 0.0
	switch first, last := r.Ambients[0], r.Ambients[len(r.Ambients)-1]; {
	case !(ambient >= first):
		return Reckoned{}, errors.New(r.OutOfRange())
	case ambient > last:
		return Reckoned{}, errors.New(r.OutOfRange())
	default:
		warm = float64((ambient - first) / (r.Ambients[1] - first))
	}
	if at < -1e-9 {
		return Reckoned{}, errors.New(ReckonTooLittle)
	}
	at = max(0, at)
	g := r.given(at, warm)
	if math.IsNaN(g.Energy) {
		return Reckoned{}, errors.New(ReckonTooMuch)
	}
	hours := g.Energy / p
	return Reckoned{Time: quantity.Measured[quantity.Seconds]{Value: quantity.Seconds(3600 * hours), U: quantity.Seconds(3600 * g.U / p)},
		Charge: quantity.AmpereHours(g.Charge) * capacity, Energy: quantity.WattHours(float64(load) * hours)}, nil
}

// given is what is given at a place between the points, in steps from the first load and the first temperature.
func (r *Reckoner) given(at, warm float64) Given {
	mix := func(value func(Given) float64) float64 {
		column := make([]float64, len(r.Gives))
		for j, row := range r.Gives {
			values := make([]float64, len(row))
			for i, g := range row {
				values[i] = value(g)
			}
			column[j] = onParabola(values, at)
		}
		return onParabola(column, warm)
	}
	return Given{Energy: mix(func(g Given) float64 { return g.Energy }), U: mix(func(g Given) float64 { return g.U }), Charge: mix(func(g Given) float64 { return g.Charge })}
}

// onParabola is the value at a place between points that are one apart: on the parabola through the two beside it and the
// next one, or the one before; on a straight line where neither is known. NaN where one beside it is not.
func onParabola(values []float64, at float64) float64 {
	i := int(at + 1e-9)
	x := at - float64(i)
	if i >= len(values) || i == len(values)-1 && x > 1e-9 {
		return math.NaN()
	}
	a := values[i]
	if x < 1e-9 {
		return a
	}
	known := func(k int) bool { return k >= 0 && k < len(values) && !math.IsNaN(values[k]) }
	b := values[i+1]
	straight := a + (b-a)*x
	switch {
	case known(i + 2):
		return straight - (values[i+2]-2*b+a)*x*(1-x)/2
	case known(i - 1):
		return straight - (values[i-1]-2*a+b)*x*(1-x)/2
	}
	return straight
}

var reckonerDoc = finding.Doc{Kind: finding.FormulaDoc, Name: "reckoner", Title: "Run time with other numbers",
	What:    "What packs made like a version's give, computed as the run times are, at loads of 0.03 W/Ah for each volt nominal up to 64 times that, each twice the one before, and at 0, 15 and 30 °C. Between these the energy that each ampere-hour gives is taken from parabolas over the logarithm of the load, and over the temperature.",
	Why:     "A reader has other packs and another load, and wants to know what theirs would do.",
	Formula: "t = e(P/C, T) · C/P", Units: "P in W; C in Ah; e in Wh/Ah; t in h",
	Range:  "Packs of the same chemistry and make, as many cells in series, a steady load from full until the same voltage. Other makes have another resistance. It differs from a computation by less than a hundredth of the time.",
	Source: "formula run-time; more of the same cells under as much more load run as long, since what each of them sees is the same; our own choice of points"}

package predict

import (
	"fmt"
	"math"

	"voltwright/internal/battery"
	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// Run is one run of a version: what was done and what was measured.
type Run struct {
	ID      string // its path, "shunter/2-lifepo4/field-2025-04-27"
	Slug    string // the last part of it
	Name    string
	Kind    string // bench, field, charge, rest
	Label   string // its load in a few words: "field, 150 kg"
	Day     int    // its date, in days since the first of January 1970; 0: not stated
	Ambient quantity.Measured[quantity.Celsius]
	Why     string // why there are no rows, where there are none

	Rows *Rows // the run in detail; nil: no log of voltage and current
	Thin *Rows // the same in some hundred rows

	Capacity         quantity.Measured[quantity.AmpereHours] // of the packs it was made with; missing: those of the bank
	DischargedCharge quantity.Measured[quantity.AmpereHours]
	ChargedCharge    quantity.Measured[quantity.AmpereHours]
	Power            quantity.Measured[quantity.Watts] // mean over the run, of readings by hand; missing where Rows tell it or nothing does
	Charging         quantity.Amperes                  // the current of a charge, a magnitude; NaN: none
	ChargeRows       *phases.Rows                      // of a charge, what flows in as positive; nil: it is none, or has no log
	ChargedEnergy    quantity.Measured[quantity.WattHours]
	Wall             quantity.Measured[quantity.WattHours] // that a meter in the wall socket read over a charge; missing: none
	Masses           MovedMasses                           // what it moved; NothingMoved: not stated
	Timing           *Timing                               // how its time is counted; nil: no log of voltage and current tells
	OnlyChecked      bool                                  // other runs were chosen to teach
}

// Rows is a run as a staircase of current: row k lasts from Time[k−1], or from
// Start, to Time[k]. Current is the mean over the row, discharge positive, and
// NaN where it is not known; Voltage goes with it; Temperature is NaN where there is none.
type Rows struct {
	Start                               float64
	Time, Current, Voltage, Temperature []float64
}

// loadedPart is the part of the capacity in amperes above which a row is under load.
const loadedPart = 0.02

// A gap is closed by the mean of the currents on either side where these differ
// by less than a fifth, or where that is at most a hundredth of the capacity either way.
const (
	sameLoad = 0.2
	smallGap = 0.01
)

// filled closes the gaps that may be closed and cuts the run off at the first
// one that may not. capacity in Ah.
func (r *Rows) filled(capacity float64) *Rows {
	out := &Rows{Start: r.Start}
	for k := range r.Time {
		i, v := r.Current[k], r.Voltage[k]
		if math.IsNaN(i) || math.IsNaN(v) {
			if k == 0 || k+1 == len(r.Time) {
				break
			}
			a, b := r.Current[k-1], r.Current[k+1]
			most := math.Max(math.Abs(a), math.Abs(b))
			if math.IsNaN(a+b) || !(math.Abs(a-b) <= sameLoad*most) && !(math.Abs(a-b)/2*(r.Time[k]-r.Time[k-1]) <= smallGap*3600*capacity) {
				break
			}
			i, v = (a+b)/2, (r.Voltage[k-1]+r.Voltage[k+1])/2
		}
		out.Time, out.Current = append(out.Time, r.Time[k]), append(out.Current, i)
		out.Voltage, out.Temperature = append(out.Voltage, v), append(out.Temperature, r.Temperature[k])
	}
	return out
}

// between is the part of the rows from the first to the last under load.
func (r *Rows) between(amps float64) *Rows {
	first, last := -1, -1
	for k, i := range r.Current {
		if i > amps {
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	if first < 0 {
		return &Rows{}
	}
	out := &Rows{Start: r.Start, Time: r.Time[first : last+1], Current: r.Current[first : last+1], Voltage: r.Voltage[first : last+1], Temperature: r.Temperature[first : last+1]}
	if first > 0 {
		out.Start = r.Time[first-1]
	}
	return out
}

// log gives the rows to the calculation of packs, currents times a factor. A row
// is written at both its ends, a thousandth of it or a millisecond after its
// beginning, so that straight lines keep its charge and no two rows have one time.
func (r *Rows) log(name string, series int, factor float64, ambient quantity.Measured[quantity.Celsius]) battery.Log {
	var t, amps, volts, celsius []float64
	warm := false
	put := func(at, i, v, c float64) {
		t, amps, volts, celsius = append(t, at-r.Start), append(amps, i*factor), append(volts, v), append(celsius, c)
		warm = warm || !math.IsNaN(c)
	}
	greatest := 0.0
	for _, i := range r.Current {
		greatest = math.Max(greatest, math.Abs(i))
	}
	from := r.Start
	for k := range r.Time {
		i, v, c := r.Current[k], r.Voltage[k], r.Temperature[k]
		if k == 0 || i != r.Current[k-1] {
			begin, cool := v, c
			if k > 0 {
				cool = r.Temperature[k-1]
				if math.Abs(i-r.Current[k-1]) <= 0.03*greatest {
					begin = r.Voltage[k-1]
				}
			}
			if k > 0 {
				from += min(1e-3, (r.Time[k]-from)/1000)
			}
			put(from, i, begin, cool)
		}
		put(r.Time[k], i, v, c)
		from = r.Time[k]
	}
	if !warm {
		celsius = nil
	}
	l := battery.NewLog(name, series, t, amps, volts, celsius)
	l.Ambient = ambient
	return l
}

// How a log must begin to teach.
const (
	restedFor  = 600  // s without load until a voltage tells the charge
	fullFrom   = 0.97 // of the charge on the typical curve: counts as full
	readingOff = 0.01 // V of a cell, what a rest voltage can be off
	chargeOff  = 0.1  // of the charge, how far off a start may be
	loadedFull = 0.8  // a log that begins under load counts as full unless its voltage says less than this
)

// begins tells how full the packs were at the first row, with the rows to use,
// or why that is not known. Full: the first voltage at rest is that of a full
// cell, or the log begins under load with a voltage that a full cell may show.
// Else the charge is read from a voltage after ten minutes of rest, where the
// curve is steep enough to tell, and the rows begin there.
func (r *Rows) begins(cell *battery.Cell, series int, capacity float64) (full bool, use *Rows, how, why string) {
	if len(r.Time) == 0 {
		return false, nil, "", "The log begins with a gap."
	}
	c := cell.Chemistry
	threshold := loadedPart * capacity
	volts := r.Voltage[0] / float64(series)
	if i := r.Current[0]; math.Abs(i) >= threshold {
		rest := volts + i/capacity*float64(cell.Capacity)*2*float64(cell.ResistanceAt(loadedFull, 25, 600))
		if at, _ := c.Curve().At(loadedFull); rest < float64(at) {
			return false, nil, "", fmt.Sprintf("The log begins under load at %.3g V a cell, below what full packs show, so how full they were is not known.", volts)
		}
		return true, r, "The log begins under load; the packs are taken to have been full.", ""
	}
	if z, _ := c.Curve().Charge(quantity.Volts(volts)); z >= fullFrom {
		return true, r, "The packs were full.", ""
	}
	n := 0
	for n < len(r.Time) && math.Abs(r.Current[n]) < threshold {
		n++
	}
	if n < 2 || r.Time[n-1]-r.Start < restedFor {
		return false, nil, "", fmt.Sprintf("The log begins at %.3g V a cell after too short a rest, so how full the packs were is not known.", volts)
	}
	volts = r.Voltage[n-1] / float64(series)
	z, _ := c.Curve().Charge(quantity.Volts(volts))
	if readingOff > chargeOff*c.Curve().Slope(z) {
		return false, nil, "", fmt.Sprintf("The log begins at rest at %.4g V a cell. That does not tell how full the packs were: there the rest voltage of %s hardly changes with the charge.", volts, c.Title)
	}
	use = &Rows{Start: r.Time[n-2], Time: r.Time[n-1:], Current: r.Current[n-1:], Voltage: r.Voltage[n-1:], Temperature: r.Temperature[n-1:]}
	return false, use, fmt.Sprintf("The packs were about %.0f %% full, by their rest voltage.", 100*z), ""
}

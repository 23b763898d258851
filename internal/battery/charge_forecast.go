package battery

import (
	"fmt"
	"math"

	"voltwright/internal/quantity"
)

// MostOfCharge is the part of the charge to which the first of the two times of a charge goes.
const MostOfCharge = 0.8

// ChargeMeasure is one of what is told of a charge.
type ChargeMeasure int

// The measures of a charge.
const (
	ToMost   ChargeMeasure = iota // s until the pack holds MostOfCharge
	ToFull                        // s until the charger ends it
	EnergyIn                      // Wh into the pack
	measures                      // how many there are
)

// ChargeQuestion is a charge that is asked for.
type ChargeQuestion struct {
	Pack    Pack // its Cell is not used
	Charger Charger
	Ambient quantity.Celsius
	Started func(*Cell) float64 // state of charge at the start, by what the cell holds; nil: that of Pack
	Unsure  float64             // standard uncertainty of that state of charge

	StopUnsure float64 // standard uncertainty of the logarithm of the current at which the charger ends it

	Lessons []ChargeLesson // charges of the same pack that were measured
}

// ChargeForecast is a charge with its uncertainties. A time that the charge does not come to is missing.
type ChargeForecast struct {
	Charging
	From   float64 // state of charge at the start
	Most   quantity.Measured[quantity.Seconds]
	Full   quantity.Measured[quantity.Seconds]
	Energy quantity.Measured[quantity.WattHours]
	Taught int // lessons that bear on it
}

// ChargeLesson is what a measured charge teaches of others: by which factor it took longer, or more, than the cell alone says; to full,
// by which factor its tail was longer than the circuit's.
type ChargeLesson struct {
	Name    string
	Current quantity.Amperes // held, of a cell or parallel group
	Ambient quantity.Celsius
	Last    quantity.Amperes  // at which the charger ended it; NaN: it was not full
	Off     [measures]float64 // logarithm of measured over computed; NaN: not measured
}

// chargeWidths are what the interval of a charge holds beside what the unknowns of the cell and the start leave open: standard
// uncertainties, as parts of each measure, that add as independent errors do; and the tail.
//
// Where the voltage is held and the current has become small, it falls more slowly in a lithium-ion or sodium-ion cell than the circuit says
// that discharges taught: slow diffusion goes on for as long as the taper. So that tail is the circuit's times a factor, which is
// lognormal from pack to pack.
type chargeWidths struct {
	Base    [measures]float64 // structure of the model, hysteresis, meters; of the whole time to full without the tail
	Typical [measures]float64 // beside it where no log taught the cell
	Repeat  float64           // from charge to charge of one pack
	Rate    float64           // for each doubling of the current away from the nearest lesson, or beyond a tenth to one half of the capacity
	Cold    float64           // for each ten kelvins below 20 °C

	Tail       float64 // logarithm of the factor
	TailSpread float64 // standard deviation of it from pack to pack
	TailRepeat float64 // the same from charge to charge
}

// usedChargeWidths are set by the table of README.md, with all of its sets in view.
var usedChargeWidths = chargeWidths{
	Base:    [measures]float64{0.02, 0.04, 0.03},
	Typical: [measures]float64{0.02, 0.02, 0.015},
	Repeat:  0.015, Rate: 0.02, Cold: 0.02,
	Tail: 0.5, TailSpread: 0.7, TailRepeat: 0.25,
}

// leadAcidEnergy is how unsure the energy of a lead-acid charge is beside, as the voltage of its bulk is from memory. Own choice, no source.
const leadAcidEnergy = 0.05

// alikeCurrent is by how much, as a factor, the current of a lesson may differ. Own choice, no source.
const alikeCurrent = 2.1

// alike are the lessons whose current is like one, with the doublings to the nearest.
func alike(lessons []ChargeLesson, amps float64) (out []ChargeLesson, nearest float64) {
	nearest = math.Inf(1)
	for _, l := range lessons {
		if far := math.Abs(math.Log(amps / float64(l.Current))); far <= math.Log(alikeCurrent) {
			out, nearest = append(out, l), min(nearest, far/math.Ln2)
		}
	}
	return out, nearest
}

// taughtBy is what lessons make of a logarithm that is normal with a mean and a standard deviation b from pack to pack and r from charge to
// charge: its mean, and the standard deviation that is left of it. n lessons leave b²r²/(n·b² + r²) of b², and their own mean counts
// n·b²/(n·b² + r²) (normal prior, normal data: textbook); r² is still to come.
func taughtBy(lessons []ChargeLesson, m ChargeMeasure, mean, b, r float64) (at, left float64) {
	sum, n := 0.0, 0.0
	for _, l := range lessons {
		if !math.IsNaN(l.Off[m]) {
			sum, n = sum+l.Off[m], n+1
		}
	}
	if n == 0 {
		return mean, b
	}
	share := n * b * b / (n*b*b + r*r)
	return (1-share)*mean + share*sum/n, math.Sqrt(b*b*(1-share) + r*r)
}

// part is the logarithm by which lessons move a measure, and what is left unsure of it, as a part.
func (w chargeWidths) part(e *Estimate, m ChargeMeasure, lessons []ChargeLesson, doublings, ambient float64) (off, u float64) {
	base := w.Base[m]
	if len(e.logs) == 0 {
		base = math.Hypot(base, w.Typical[m])
	}
	if m == EnergyIn && e.Cell().Chemistry.Family == "lead-acid" {
		base = math.Hypot(base, leadAcidEnergy)
	}
	if m == ToFull {
		lessons = nil // they teach the tail
	}
	off, u = taughtBy(lessons, m, 0, base, w.Repeat)
	return off, math.Sqrt(u*u + math.Pow(w.Rate*doublings, 2) + math.Pow(w.Cold*max(0, 20-ambient)/10, 2))
}

// tail is the logarithm of the factor on the time with the voltage held, and its standard uncertainty.
func (w chargeWidths) tail(chem *Chemistry, lessons []ChargeLesson) (log, u float64) {
	switch chem.Family {
	case "nickel":
		return 0, 0
	case "lead-acid": // its acceptance stands for it
		return taughtBy(lessons, ToFull, 0, chem.Facts["acceptance-time"].U, w.TailRepeat)
	}
	return taughtBy(lessons, ToFull, w.Tail, w.TailSpread, w.TailRepeat)
}

// The tail begins where the current falls below a quarter of the capacity an hour, and is whole below an eighth: above that the sets of
// README.md agree with the circuit.
const (
	tailBegins = 0.25
	tailWhole  = 0.125
)

// tailOf is how much of the time between two points of a charge belongs to the tail, 0 to 1, by the mean current, A, of the capacity, Ah.
func tailOf(amps, capacity float64) float64 {
	return min(max(math.Log(tailBegins*capacity/amps)/math.Log(tailBegins/tailWhole), 0), 1)
}

// stretched is the charge with its tail times a factor, and how long the tail was before, s.
func (c *Charging) stretched(factor, capacity float64) (*Charging, float64) {
	out := *c
	out.course = nil
	tail := 0.0
	for k, p := range c.course {
		if k > 0 && p.At > c.Current {
			before := c.course[k-1]
			if amps := float64(before.Amperes+p.Amperes) / 2; amps > 0 {
				tail += tailOf(amps, capacity) * float64(p.At-before.At)
			}
		}
		p.At += quantity.Seconds((factor - 1) * tail)
		out.course = append(out.course, p)
	}
	longer := quantity.Seconds((factor - 1) * tail)
	out.Total, out.Voltage = c.Total+longer, c.Voltage+longer
	return &out, tail
}

// ForecastCharge is the charge that is asked for with its uncertainties: what the unknowns of the cell leave open, to first order, what the
// start and the tail leave open, and widths beside them (see chargeWidths). The errors are those of Charge, for the most likely cell;
// others that are within the spread are charged whatever limit they have.
func (e *Estimate) ForecastCharge(q ChargeQuestion) (*ChargeForecast, error) {
	cell := e.Cell()
	started := q.Started
	if started == nil {
		started = func(*Cell) float64 { return q.Pack.Charge }
	}
	w := usedChargeWidths
	amps := float64(q.Charger.Current) / float64(max(1, q.Pack.Parallel))
	lessons, doublings := alike(q.Lessons, amps)
	if len(lessons) == 0 {
		capacity := float64(cell.Capacity)
		doublings = max(0, math.Log2(0.1*capacity/amps), math.Log2(amps/(0.5*capacity)))
	}
	log, loose := w.tail(cell.Chemistry, lessons)
	whole := 0.0 // s, the tail of the most likely cell, where charges taught: it is their own, whatever the cell is
	charge := func(cell *Cell, c Charger, more, tail float64) (*Charging, error) {
		p := q.Pack
		p.Cell, p.Charge = cell, started(cell)+more
		circuit, err := Charge(p, c, q.Ambient)
		if err != nil {
			return nil, err
		}
		out, last := circuit.stretched(math.Exp(tail), float64(p.Capacity()))
		if whole > 0 && last > 0 {
			out, _ = circuit.stretched(math.Exp(tail)*whole/last, float64(p.Capacity()))
		}
		return out, nil
	}
	best, err := charge(cell, q.Charger, 0, log)
	if err != nil {
		return nil, err
	}
	f := &ChargeForecast{Charging: *best, From: started(cell), Taught: len(lessons), Most: quantity.Missing[quantity.Seconds](), Full: quantity.Missing[quantity.Seconds](), Energy: quantity.Missing[quantity.WattHours]()}
	if !best.Finished {
		return f, nil
	}
	q.Charger.Allowed = true
	values := measured(best)
	others := [][measures]float64{values, values, values} // with each doubt alone: start, tail, end
	try := func(k int, c Charger, more, tail float64) {
		if other, err := charge(cell, c, more, tail); err == nil {
			others[k] = measured(other)
		}
	}
	if q.Unsure > 0 && f.From+q.Unsure < 1 {
		try(0, q.Charger, q.Unsure, log)
	}
	try(1, q.Charger, 0, log+loose)
	if q.StopUnsure > 0 {
		c := q.Charger
		if c.Stop <= 0 {
			c.Stop = quantity.Amperes(cell.Chemistry.value("taper-rate")) * quantity.Amperes(q.Pack.Parallel) * quantity.Amperes(cell.Capacity)
		}
		c.Stop *= quantity.Amperes(math.Exp(-q.StopUnsure))
		try(2, c, 0, log)
	}
	if len(lessons) > 0 {
		if circuit, err := Charge(with(q.Pack, cell, f.From), q.Charger, q.Ambient); err == nil {
			_, whole = circuit.stretched(1, float64(q.Pack.Parallel)*float64(cell.Capacity))
		}
	}
	u := e.chargeSpread(func(cell *Cell) (*Charging, error) { return charge(cell, q.Charger, 0, log) })
	told := func(m ChargeMeasure) (float64, float64) {
		off, part := w.part(e, m, lessons, doublings, float64(q.Ambient))
		sum := u[m]*u[m] + math.Pow(values[m]*part, 2)
		for _, o := range others {
			if d := o[m] - values[m]; !math.IsNaN(d) {
				sum += d * d
			}
		}
		return values[m] * math.Exp(off), math.Sqrt(sum) * math.Exp(off)
	}
	if !math.IsNaN(values[ToMost]) {
		t, u := told(ToMost)
		f.Most = quantity.Of(quantity.Seconds(t), quantity.Seconds(u))
	}
	t, unsure := told(ToFull)
	f.Full = quantity.Of(quantity.Seconds(t), quantity.Seconds(unsure))
	if !math.IsNaN(values[EnergyIn]) {
		t, u := told(EnergyIn)
		f.Energy = quantity.Of(quantity.WattHours(t), quantity.WattHours(u))
	}
	return f, nil
}

// with is a pack of a cell at a state of charge.
func with(p Pack, cell *Cell, charge float64) Pack {
	p.Cell, p.Charge = cell, charge
	return p
}

// measured are the measures of a charge.
func measured(c *Charging) [measures]float64 {
	return [measures]float64{float64(c.To(MostOfCharge)), float64(c.Total), float64(c.Energy)}
}

// chargeSpread is what the unknowns of the cell leave open of each measure; NaN where that cannot be told.
func (e *Estimate) chargeSpread(charge func(*Cell) (*Charging, error)) (u [measures]float64) {
	spread, err := e.Spread(func(cell *Cell) ([]float64, error) {
		c, err := charge(cell)
		if err != nil {
			return nil, err
		}
		m := measured(c)
		for k := range m {
			if math.IsNaN(m[k]) { // by none of the cells, or just not by this one
				m[k] = 0
			}
		}
		return m[:], nil
	})
	for k := range u {
		if u[k] = math.NaN(); err == nil {
			u[k] = spread[k].U
		}
	}
	return u
}

func chargeWidthsInWords() string {
	w := usedChargeWidths
	return fmt.Sprintf("u^2 = g'*S*g + start^2 + end^2 + (T(voltage)*u(tail))^2 + t^2*(b^2 + (%.3g*doublings)^2 + (%.3g*K below 20/10)^2), b = %.3g to 80 %%, %.3g to full, %.3g of the energy, and %.3g, %.3g, %.3g beside it where no log taught the cell; tail = exp(%.3g), u = %.3g of it; n charges leave b^2*r^2/(n*b^2 + r^2) + r^2 of a b^2, r = %.3g, of the tail %.3g",
		w.Rate, w.Cold, w.Base[ToMost], w.Base[ToFull], w.Base[EnergyIn], w.Typical[ToMost], w.Typical[ToFull], w.Typical[EnergyIn], w.Tail, w.TailSpread, w.Repeat, w.TailRepeat)
}

package battery

import (
	"errors"
	"fmt"
	"math"

	"voltwright/internal/phases"
	"voltwright/internal/quantity"
)

// MeasuredCharge is a logged charge of a pack.
type MeasuredCharge struct {
	Name    string
	Series  int
	Rows    phases.Rows // current of the estimate's cell or parallel group, voltage of the pack
	Cut     phases.Charge
	Ambient quantity.Celsius
	Warmth  quantity.Celsius // of the pack when it began; NaN: as the air
}

// Where a charge began is told from where it ended.
const (
	countedUnsure = 0.01 // standard uncertainty of a state of charge that is counted back from full. Own choice, no source
	endedFull     = 3    // times the chemistry's taper, below which a held voltage has filled a pack
	restedWell    = 0.03 // standard uncertainty of a state of charge that a rest voltage may leave
)

// ChargeComparison is how a measured charge stands against what is known of its cells.
type ChargeComparison struct {
	Forecast *ChargeForecast
	Start    string            // how the start is known, a sentence
	Measured [measures]float64 // NaN: not measured
	Why      [measures]string  // why it is not, a sentence
	Lesson   ChargeLesson      // where no other charge taught it
}

// CompareCharge predicts a measured charge from its held current and voltage and from the current that it ended at, by what the estimate
// and other charges say. Where it began is counted back from the end where the held voltage filled the pack, so that what is held against
// the measurement is how fast it went, when the voltage was reached, and how long the current took to fall; else it is told by the voltage at
// rest before it, where the curve is steep enough. The error says why neither does, or is that of Charge.
func (e *Estimate) CompareCharge(m MeasuredCharge, lessons []ChargeLesson) (*ChargeComparison, error) {
	cell := e.Cell()
	chem := cell.Chemistry
	full, err := e.endsFull(m)
	if err != nil {
		return nil, err
	}
	q := ChargeQuestion{Pack: NewPack(nil, m.Series), Charger: Charger{Current: quantity.Amperes(m.Cut.Amperes), Allowed: true}, Ambient: m.Ambient, Lessons: lessons}
	q.Pack.Temperature = m.Ambient
	if !math.IsNaN(float64(m.Warmth)) {
		q.Pack.Temperature = m.Warmth
	}
	c := &ChargeComparison{Measured: [measures]float64{math.NaN(), math.NaN(), math.NaN()}}
	put := chem.value("charge-return") * 3600
	in := m.Cut.Current + m.Cut.Voltage // A s
	ends := 1.0
	if full {
		q.Charger.Volts, q.Charger.Stop = quantity.Volts(m.Cut.Volts), quantity.Amperes(m.Cut.Last)
		if ends, err = e.endOf(q); err != nil {
			return nil, err
		}
		q.Started = func(cell *Cell) float64 {
			return max(0, ends-in/put/float64(cell.Capacity))
		}
		q.Unsure, c.Start = countedUnsure, "Where it began is counted back from the end, which was full."
	} else {
		from, unsure, err := m.restBefore(cell)
		if err != nil {
			return nil, err
		}
		q.Started, q.Unsure = func(*Cell) float64 { return from }, unsure
		c.Start = fmt.Sprintf("It began at about %.0f %%, by the voltage at rest before it.", 100*from)
		c.Why[ToFull], c.Why[EnergyIn] = "It ended before the packs were full.", "It ended before the packs were full."
	}
	if c.Forecast, err = e.ForecastCharge(q); err != nil {
		return nil, err
	}
	f := c.Forecast
	capacity := float64(cell.Capacity) * put // what the cold takes from a discharge it does not take from the charge that goes in: see absorb
	at := math.NaN()
	if full {
		c.Measured[ToFull], c.Measured[EnergyIn] = m.Cut.End-m.Cut.Begin, m.energy()
		at = m.Rows.At(m.Cut, (ends-MostOfCharge)*capacity)
	} else if toCome := in - (MostOfCharge-f.From)*capacity; toCome >= 0 {
		at = m.Rows.At(m.Cut, toCome)
	}
	switch c.Measured[ToMost] = at - m.Cut.Begin; {
	case f.From >= MostOfCharge:
		c.Measured[ToMost], c.Why[ToMost] = math.NaN(), "It began above 80 %."
	case math.IsNaN(at):
		c.Why[ToMost] = "It ended below 80 %."
	}
	if len(lessons) == 0 {
		log, _ := usedChargeWidths.tail(chem, nil)
		c.Lesson = c.lesson(m, f, log, float64(cell.Capacity))
	}
	return c, nil
}

// lesson is what the charge teaches, by a forecast that no other charge taught.
func (c *ChargeComparison) lesson(m MeasuredCharge, f *ChargeForecast, log, capacity float64) ChargeLesson {
	l := ChargeLesson{Name: m.Name, Current: quantity.Amperes(m.Cut.Amperes), Ambient: m.Ambient, Last: quantity.Amperes(m.Cut.Last)}
	if math.IsNaN(c.Measured[ToFull]) {
		l.Last = quantity.Amperes(math.NaN())
	}
	alone := measured(&f.Charging)
	for k := range l.Off {
		l.Off[k] = math.Log(c.Measured[k] / alone[k])
	}
	if circuit, tail := f.stretched(math.Exp(-log), capacity); !math.IsNaN(c.Measured[ToFull]) && tail > leastTail {
		tail /= math.Exp(log)
		l.Off[ToFull] = math.Log(max(1+(c.Measured[ToFull]-float64(circuit.Total))/tail, shortestTail))
	}
	return l
}

// A tail that is shorter teaches nothing of tails, and none is less than this part of the circuit's. Own choice, no source.
const (
	leastTail    = 60 // s
	shortestTail = 0.1
)

// endsFull says whether a held voltage filled the pack; the error says that the charge cannot be judged at all.
func (e *Estimate) endsFull(m MeasuredCharge) (bool, error) {
	chem := e.Cell().Chemistry
	if chem.Family == "nickel" {
		return false, errors.New("nickel is charged for a time, and no voltage tells when it is full: what it held at the start is not known")
	}
	if !m.Cut.HeldCurrent() {
		return false, errors.New("the current was not held, so nothing says how fast it was charged")
	}
	return m.Cut.HeldVoltage() && m.Cut.Last <= endedFull*chem.value("taper-rate")*float64(e.Cell().Capacity), nil
}

// endOf is the state of charge at which the charge of a question ends.
func (e *Estimate) endOf(q ChargeQuestion) (float64, error) {
	p := q.Pack
	p.Cell, p.Charge = e.Cell(), 0.5
	c, err := Charge(p, q.Charger, q.Ambient)
	if err != nil {
		return math.NaN(), err
	}
	if !c.Finished || math.IsNaN(c.AtEnd) {
		return 1, nil
	}
	return c.AtEnd, nil
}

// restBefore is the state of charge that the voltage of a rest before the charge tells, with its standard uncertainty.
func (m MeasuredCharge) restBefore(cell *Cell) (from, unsure float64, err error) {
	rest := -1
	for k, t := range m.Rows.Time {
		if t <= m.Cut.Begin {
			rest = k
		}
	}
	if rest < 0 || m.Rows.Time[rest]-m.Rows.Start < 60 {
		return 0, 0, errors.New("it ended before the packs were full and its log shows no rest before it, so how full they were is not known")
	}
	volts := m.Rows.Volts[rest] / float64(m.Series)
	z, err := cell.Curve.Charge(quantity.Volts(volts))
	const readingOff = 0.01 // V of one cell, as of other rest voltages. Own choice, no source
	if unsure = readingOff / cell.Curve.Slope(z); err != nil || !(unsure <= restedWell) {
		return 0, 0, fmt.Errorf("it ended before the packs were full, and %.4g V a cell at rest before it does not tell how full they were: there the rest voltage of %s hardly changes with the charge", volts, cell.Chemistry.Title)
	}
	return z, unsure, nil
}

// energy is what the charge put into the pack, Wh.
func (m MeasuredCharge) energy() float64 {
	sum, from := 0.0, m.Rows.Start
	for k, t := range m.Rows.Time {
		if begin, end := max(from, m.Cut.Begin), min(t, m.Cut.End); end > begin && !math.IsNaN(m.Rows.Amperes[k]*m.Rows.Volts[k]) {
			sum += m.Rows.Amperes[k] * m.Rows.Volts[k] * (end - begin)
		}
		from = t
	}
	return sum / 3600
}

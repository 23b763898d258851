package battery

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"

	"voltwright/internal/quantity"
)

// fit is one least-squares problem.
type fit struct {
	typical *typical
	logs    []*prepared
	stated  quantity.Measured[quantity.Ohms]
	size    float64 // Ah, by which a load is told from a rest
	doubts  float64 // by which every row is less sure than its σ
}

// electricUnknowns are those that the voltages of the logs can move; Peukert's
// exponent is among them for lead-acid. The activation energies are only where
// the logs were made at unlike temperatures: within one run the warmth goes with
// the charge taken out, and a fit would put down to warmth what belongs to charge.
func (f *fit) electricUnknowns() []int {
	var out []int
	for i := range places.heatCapacity {
		switch {
		case i < places.energyO, i < places.peukert && f.unlikeTemperatures(), i == places.peukert && f.typical.peukert():
			out = append(out, i)
		}
	}
	return out
}

const unlikeBy = 10 // K between the starts of logs

func (f *fit) unlikeTemperatures() bool {
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range f.logs {
		low, high = min(low, p.startTemp), max(high, p.startTemp)
	}
	return high-low >= unlikeBy
}

func thermalUnknowns() []int {
	var out []int
	for i := places.heatCapacity; i < places.n; i++ {
		out = append(out, i)
	}
	return out
}

// loaded tells whether any log has a row under load.
func (f *fit) loaded() bool {
	return slices.ContainsFunc(f.logs, func(p *prepared) bool {
		return slices.ContainsFunc(p.marks, func(m observation) bool { return m.amps > 0.02*f.size })
	})
}

func (f *fit) hasTemperatures() bool {
	return slices.ContainsFunc(f.logs, func(p *prepared) bool { return p.measured })
}

// decisive is by how much half the sum of squares must be less for a capacity far
// from the stated one: by any amount where a log ran the cell down.
func (f *fit) decisive() float64 {
	floor := quantity.Volts(nearFloor) * f.typical.chemistry.ConservativeFloor()
	for _, p := range f.logs {
		if slices.ContainsFunc(p.marks, func(m observation) bool { return m.volts < float64(floor) }) {
			return 0
		}
	}
	return betterBy
}

// weigh settles the standard deviation of every observation.
func (f *fit) weigh() {
	c := f.typical.chemistry.curve
	for _, p := range f.logs {
		share := math.Sqrt(max(1, float64(p.counted())/worthMarks))
		for i := range p.marks {
			m := &p.marks[i]
			if m.charging {
				m.sigma = math.Inf(1)
				continue
			}
			z, _ := c.Charge(quantity.Volts(m.volts))
			lag := modelCharge
			if !m.first && math.Abs(m.amps) < 0.02*f.size {
				lag = restCharge
			}
			sigma := math.Hypot(math.Hypot(modelVolts, lag*c.Slope(z)), m.sigma)
			m.sigma = sigma * share
		}
	}
}

// electric appends the residuals of the voltages.
func (f *fit) electric(cell *Cell, out []float64) []float64 {
	for _, p := range f.logs {
		volts := make([]float64, len(p.marks))
		p.follow(cell, false, volts, nil)
		for i, m := range p.marks {
			if !m.charging {
				out = append(out, (volts[i]-m.volts)/(m.sigma*f.doubts))
			}
		}
	}
	if f.stated.Known() {
		r := cell.ResistanceAt(0.5, cell.Reference, statedAfter)
		out = append(out, math.Log(float64(r/f.stated.Value))/f.statedSure())
	}
	return out
}

// statedSure is the standard uncertainty of the stated resistance, as a part.
func (f *fit) statedSure() float64 { return float64(f.stated.U / f.stated.Value) }

// thermal appends the residuals of the temperatures.
func (f *fit) thermal(cell *Cell, out []float64) []float64 {
	for _, p := range f.logs {
		if !p.measured {
			continue
		}
		volts, temps := make([]float64, len(p.marks)), make([]float64, len(p.marks))
		p.follow(cell, true, volts, temps)
		for i, m := range p.marks {
			out = append(out, (temps[i]-m.temp)/p.warmSure())
		}
	}
	return out
}

// warmSure is what the temperature of a mark counts for, K.
func (p *prepared) warmSure() float64 {
	return modelTemp * math.Sqrt(max(1, float64(len(p.marks))/worthMarks))
}

// kind is what is fitted: the voltages or the temperatures.
type kind bool

const (
	electric kind = false
	thermal  kind = true
)

// residuals are those of the data and then the free unknowns, which are standard normal before the logs.
func (f *fit) residuals(k kind, free []int, xi []float64) ([]float64, error) {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return nil, err
	}
	var out []float64
	if k == thermal {
		out = f.thermal(cell, nil)
	} else {
		out = f.electric(cell, nil)
	}
	for _, i := range free {
		out = append(out, xi[i])
	}
	return out, nil
}

// value is half the sum of their squares; +Inf where it is none.
func (f *fit) value(k kind, free []int, xi []float64) (float64, error) {
	r, err := f.residuals(k, free, xi)
	if err != nil {
		return 0, err
	}
	if v := floats.Dot(r, r) / 2; !math.IsNaN(v) {
		return v, nil
	}
	return math.Inf(1), nil
}

// misfit is the sum of squares of the voltages over their weight in rows.
func (f *fit) misfit(xi []float64) float64 {
	cell, err := f.typical.cell(xi)
	if err != nil {
		return math.NaN()
	}
	r := f.electric(cell, nil)
	var weight float64
	for _, p := range f.logs {
		weight += math.Min(worthMarks, float64(p.counted()))
	}
	return floats.Dot(r, r) / weight
}

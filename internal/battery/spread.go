package battery

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/quantity"
)

// Spread is an answer, in the unit of what was asked, with what the unknowns of the cells leave open.
type Spread struct {
	Value float64
	U     float64       // standard uncertainty, k = 1
	Parts []SpreadOfOne // what each group of unknowns alone would leave open, largest first
}

// SpreadOfOne is the share of one group of unknowns.
type SpreadOfOne struct {
	Name string
	U    float64
}

// groups of unknowns, by what a maker would call them.
func groups() []struct {
	name     string
	from, to int
} {
	l := places
	return []struct {
		name     string
		from, to int
	}{
		{"capacity", l.capacity, l.capacity + 1},
		{"open-circuit voltage", l.curve, l.ohm},
		{"resistance", l.ohm, l.lag},
		{"lag", l.lag, l.energyO},
		{"effect of temperature", l.energyO, l.peukert},
		{"effect of the rate on lead-acid", l.peukert, l.heatCapacity},
		{"warming", l.heatCapacity, l.n},
	}
}

// reach of the differences, in standard deviations of the unknowns before any log.
const differenceStep = 0.3

// Spread carries what is not known of a cell to the answers f computes from it,
// to first order (JCGM 100:2008, 5.2.2, equation 16) by central differences.
// f must give the same number of answers each time. What the model itself cannot
// follow is not in it: see ModelError.
func (e *Estimate) Spread(f func(*Cell) ([]float64, error)) ([]Spread, error) {
	return SpreadOver([]*Estimate{e}, func(c []*Cell) ([]float64, error) { return f(c[0]) })
}

// SpreadOver is Spread for several cells that are not known from each other,
// such as packs in parallel. An answer that cannot be had for some value within
// the spread is NaN with an unknown uncertainty.
func SpreadOver(estimates []*Estimate, f func([]*Cell) ([]float64, error)) ([]Spread, error) {
	if len(estimates) == 0 {
		return nil, errors.New("there is no cell to compute with")
	}
	cells := make([]*Cell, len(estimates))
	for i, e := range estimates {
		cells[i] = e.Cell()
	}
	values, err := f(slices.Clone(cells))
	if err != nil {
		return nil, err
	}
	slopes := make([][][]float64, len(estimates))
	for n, e := range estimates {
		if slopes[n], err = e.slopes(n, cells, values, f); err != nil {
			return nil, err
		}
	}
	return spreadsOf(estimates, values, slopes), nil
}

// spreadsOf are values with their spreads, from how each goes with each unknown of each estimate.
func spreadsOf(estimates []*Estimate, values []float64, slopes [][][]float64) []Spread {
	variances := make([]float64, len(values))
	byGroup := make([][]float64, len(groups()))
	for i := range byGroup {
		byGroup[i] = make([]float64, len(values))
	}
	for n, e := range estimates {
		for k := range values {
			variances[k] += e.variance(slopes[n], k, 0, places.n)
			for g, group := range groups() {
				byGroup[g][k] += e.variance(slopes[n], k, group.from, group.to)
			}
		}
	}
	out := make([]Spread, len(values))
	for k := range out {
		out[k] = Spread{Value: values[k], U: math.Sqrt(variances[k])}
		for g, group := range groups() {
			out[k].Parts = append(out[k].Parts, SpreadOfOne{group.name, math.Sqrt(byGroup[g][k])})
		}
		slices.SortStableFunc(out[k].Parts, func(a, b SpreadOfOne) int { return cmp.Compare(b.U, a.U) })
	}
	return out
}

// slopes is the change of each answer with each unknown of the nth estimate.
func (e *Estimate) slopes(n int, cells []*Cell, values []float64, f func([]*Cell) ([]float64, error)) ([][]float64, error) {
	at := slices.Clone(e.xi)
	use := slices.Clone(cells)
	value := func(i int, d float64) ([]float64, error) {
		at[i] = e.xi[i] + d
		c, err := e.typical.cell(at)
		at[i] = e.xi[i]
		if err != nil {
			return nil, err
		}
		use[n] = c
		y, err := f(slices.Clone(use))
		if err == nil && len(y) != len(values) {
			err = fmt.Errorf("battery: %d answers where there were %d", len(y), len(values))
		}
		return y, err
	}
	out := make([][]float64, places.n)
	for i := range out {
		h := differenceStep * min(1, math.Sqrt(e.cov.At(i, i))+0.05)
		up, err := value(i, h)
		if err != nil {
			return nil, err
		}
		down, err := value(i, -h)
		if err != nil {
			return nil, err
		}
		out[i] = make([]float64, len(values))
		for k := range values {
			out[i][k] = (up[k] - down[k]) / (2 * h)
		}
	}
	return out, nil
}

func (e *Estimate) variance(slopes [][]float64, k, from, to int) float64 {
	var sum float64
	for i := from; i < to; i++ {
		if slopes[i][k] == 0 {
			continue
		}
		row := e.cov.RawSymmetric().Data[i*e.cov.RawSymmetric().Stride:]
		sum += slopes[i][k] * slopes[i][k] * row[i]
		for j := i + 1; j < to; j++ {
			sum += 2 * slopes[i][k] * slopes[j][k] * row[j]
		}
	}
	return max(0, sum)
}

// Value is a value of the estimate with its standard uncertainty.
type Value struct {
	Name     string
	Label    string
	Quantity quantity.Quantity
}

// Values are the main values of the cell (or parallel group) at 25 °C, in
// printing order: capacity; the resistance after 0 s, 10 s and 10 min of load at
// half charge; the lag; heat capacity in J/K and the time constant of cooling.
// The error is that of a cell which cannot be computed.
func (e *Estimate) Values() ([]Value, error) {
	s, err := e.Spread(func(c *Cell) ([]float64, error) {
		return []float64{float64(c.Capacity), float64(c.ResistanceAt(0.5, 25, 0)), float64(c.ResistanceAt(0.5, 25, 10)), float64(c.ResistanceAt(0.5, 25, 600)),
			float64(c.Lag), c.HeatCapacity, c.HeatCapacity / c.Conductance}, nil
	})
	if err != nil {
		return nil, err
	}
	holds, err := e.Capacity()
	if err != nil {
		return nil, err
	}
	s[0].U = float64(holds.U)
	q := func(d quantity.Dimension, s Spread) quantity.Quantity {
		return quantity.Quantity{Dimension: d, Value: s.Value, U: s.U, Decimals: -1}
	}
	return []Value{
		{"capacity", "Capacity of a cell", q(quantity.Charge, s[0])},
		{"ohmic-resistance", "Resistance at once, half charged", q(quantity.Resistance, s[1])},
		{"resistance-10-s", "Resistance after 10 s, half charged", q(quantity.Resistance, s[2])},
		{"resistance-10-min", "Resistance after 10 min, half charged", q(quantity.Resistance, s[3])},
		{"lag", "Lag of the surface charge", q(quantity.Time, s[4])},
		{"heat-capacity", "Heat capacity, J/K", q(quantity.Plain, s[5])},
		{"cooling-time", "Time constant of cooling", q(quantity.Time, s[6])},
	}, nil
}

package battery

import (
	"math"

	"voltwright/internal/quantity"
)

// Crossing is a level that a log reaches under load: when it did, and when the cell does under the log's current. Voltages are of one cell.
type Crossing struct {
	Level
	At        quantity.Volts   // at which both times are taken: the level, or the last voltage of a log that ends just above it
	Measured  quantity.Seconds // from the first load
	Predicted quantity.Seconds // the same; NaN: the cell does not come down to it
	U         quantity.Seconds // standard uncertainty of Predicted by what the estimate leaves open; NaN: not known
	Model     float64          // the same by what the unknowns do not hold, as a part of it
}

// lastAbove is the part of a level by which the last loaded voltage of a log may lie above it and stand for it: a logger rarely has a row
// in the moment in which the circuit opens. Our own choice; no source.
const lastAbove = 0.005

// crossings are those of levels of the log's pack that its first discharge reaches.
func (p *prepared) crossings(r Residual, levels []Level) []Crossing {
	var out []Crossing
	for _, level := range levels {
		c := Crossing{Level: level, Predicted: quantity.Seconds(math.NaN()), U: quantity.Seconds(math.NaN())}
		c.Volts /= quantity.Volts(p.log.Series)
		c.At = c.Volts
		at, ok := p.below(float64(c.Volts), float64(c.Delay), float64(r.First), float64(r.First+r.Measured))
		switch {
		case ok:
			c.Measured = quantity.Seconds(at) - r.First
		case r.Cutoff > c.Volts && r.Cutoff <= c.Volts*(1+lastAbove):
			c.At, c.Delay, c.Measured = r.Cutoff, 0, r.Measured
		default:
			continue
		}
		out = append(out, c)
	}
	return out
}

// below is when the voltage of a cell has been below a level for so long, or is when the discharge ends; false where it never is.
func (p *prepared) below(volts, delay, first, last float64) (at float64, ok bool) {
	since := math.NaN()
	before := observation{t: math.NaN()}
	for _, m := range p.marks {
		if m.t > last {
			break
		}
		switch {
		case m.t <= first || m.volts > volts:
			since = math.NaN()
		case math.IsNaN(since):
			since = m.t
			if before.t >= first && before.volts > volts {
				since = before.t + (before.volts-volts)/(before.volts-m.volts)*(m.t-before.t)
			}
		}
		if m.t >= since+delay {
			return since + delay, true
		}
		before = m
	}
	return min(since+delay, last), !math.IsNaN(since)
}

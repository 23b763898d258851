package battery

import (
	"math"

	"voltwright/internal/quantity"
)

// A label is right within its spread, or it is false by any factor; against a
// counted discharge a false one has no say. So the stated capacity is normal in
// its logarithm within two standard deviations, and its tails are long beyond:
// a label that is off by a factor of three is 3.3 standard deviations out. Our
// own choice; no source.
const (
	labelHolds = 2    // standard deviations
	wrongLabel = 0.35 // of the cube of what lies beyond them
	mostWrong  = 4    // bounds the unknown: by then a label is off by a factor of twenty
)

// capacitySpread is the standard deviation of the logarithm of the capacity, of
// cells that hold what they are said to.
func (t *typical) capacitySpread() float64 {
	spread := t.chemistry.value("capacity-spread")
	if u := float64(t.rated.U / t.rated.Value); u > 0 {
		return u
	}
	return spread
}

// capacity is what the unknown ξ makes of the stated capacity Q, Ah:
// Q·exp(s·ξ ± 0.35·(|ξ| − 2)³), the cube for |ξ| > 2.
func (t *typical) capacity(xi float64) float64 {
	return t.size(xi) * math.Exp(t.capacitySpread()*min(max(xi, -mostWrong), mostWrong))
}

// size is the stated capacity without what is false of it, Ah. What goes with how
// large a cell is (its resistance, its heat) goes with this, and not with a capacity
// that is a little above or below what is usual.
func (t *typical) size(xi float64) float64 {
	beyond := min(max(0, math.Abs(xi)-labelHolds), mostWrong-labelHolds)
	return float64(t.rated.Value) * math.Exp(math.Copysign(wrongLabel*beyond*beyond*beyond, xi))
}

// unknownOf is the unknown with which the capacity is q Ah.
func (t *typical) unknownOf(q float64) float64 {
	low, high := -float64(mostWrong), float64(mostWrong)
	for range 60 {
		if xi := (low + high) / 2; t.capacity(xi) < q {
			low = xi
		} else {
			high = xi
		}
	}
	return (low + high) / 2
}

// counted is what the logs themselves say of how large the cell is, Ah, before
// anything is fitted: the most that one took out, where that is more than is
// stated; the most that one took out that ran the cell down, where that is less
// than half of it; else what is stated. Rows are thinned and told from rest by it.
func (t *typical) counted(logs []Log) float64 {
	stated := float64(t.rated.Value)
	most, down := 0.0, 0.0
	for _, l := range logs {
		out, low := l.counted(nearFloor * float64(t.chemistry.ConservativeFloor()))
		most = max(most, out)
		if low {
			down = max(down, out)
		}
	}
	switch {
	case most > stated:
		return most
	case down > 0 && down < stated/2:
		return down
	}
	return stated
}

// nearFloor is by how much more than the conservative floor a cell counts as run down.
const nearFloor = 1.05

// counted is the most charge that a log has out of the cell at one time, Ah, and
// whether a cell under load came below a voltage.
func (l Log) counted(floor float64) (out float64, low bool) {
	var sum, full float64
	if l.Drawn.Known() {
		sum = float64(l.Drawn.Value)
	}
	out = sum
	previous := -1
	for k := range l.Time {
		if math.IsNaN(l.Time[k] + l.Amperes[k] + l.Volts[k]) {
			continue
		}
		low = low || l.Amperes[k] > 0 && l.Volts[k] < floor*float64(max(1, l.Series))
		if previous >= 0 && l.Time[k] > l.Time[previous] {
			sum += (l.Amperes[k] + l.Amperes[previous]) / 2 * (l.Time[k] - l.Time[previous]) / 3600
			full = min(full, sum)
			out = max(out, sum-full)
		}
		previous = k
	}
	return out, low
}

// What the capacity that logs taught is unsure of beside the unknowns: how the cell does at a tenth of it in an hour,
// as far as that lies from the rates that were seen, by half of what that does to a run time, and a third of what no
// log took out, but no more than the label's own spread. Our own choice, made with the cells of the tests in view; no source.
const (
	slowRate     = 0.1
	slowUnsure   = 0.5
	unseenUnsure = 1. / 3
)

// Capacity is what the cell holds from full to empty at a low rate, with what the
// unknowns leave open and, where logs have taught it, the model's own error (see
// ModelError), the least uncertainty of the charge that was counted, and what lies
// below the voltage that they came down to.
func (e *Estimate) Capacity() (quantity.Measured[quantity.AmpereHours], error) {
	s, err := e.Spread(func(c *Cell) ([]float64, error) { return []float64{float64(c.Capacity)}, nil })
	if err != nil {
		return quantity.Missing[quantity.AmpereHours](), err
	}
	q, u := s[0].Value, s[0].U
	if len(e.logs) > 0 {
		counting, most := math.Inf(1), 0.0
		for _, l := range e.logs {
			counting = min(counting, float64(l.Counting))
			out, _ := l.counted(0)
			most = max(most, out)
		}
		d := e.doubtsOf(Circumstances{Ambient: e.typical.reference, Current: quantity.Amperes(slowRate * q)})
		d.label, d.colder, d.chill, d.warmer, d.doublings = 0, 0, 0, 0, slowUnsure*d.doublings // what was counted is counted, whatever the label says
		model := modelWidths.of(d)
		unseen := min(max(0, 1-most/q)*unseenUnsure, e.typical.capacitySpread())
		u = math.Hypot(math.Hypot(u, q*model), q*math.Hypot(counting, unseen))
	}
	return quantity.Of(quantity.AmpereHours(q), quantity.AmpereHours(u)), nil
}

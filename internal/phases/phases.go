// Package phases cuts a charge into the part in which its charger held the current and the part in which it held the voltage. It
// takes plain columns, so that the measuring of a log and the cores that predict mean the same by both.
package phases

import (
	"math"
	"slices"
)

// How a charge is told. All are our own choice; no source.
const (
	flowing   = 0.004 // of the held current: less is none
	heldBand  = 0.03  // by which a current may fall and still be held
	wideBand  = 0.1   // within which most rows of a held current lie
	mostRows  = 0.7   // how much of a phase has to be so
	voltsBand = 0.012 // within which a held voltage stays, as a part of it
	leastTime = 0.03  // of the whole charge, that a held current lasts at the least
	leastHeld = 0.01  // the same of a held voltage
	endTime   = 0.01  // of the whole charge, over which its last current is taken
	fallen    = 0.9   // of the held current, below which a phase of held voltage ends
	floating  = 0.02  // by which the voltage falls, as a part of it, where a charger goes over to keeping
)

// Rows are the rows of a charge: row k lasts from Time[k−1], or from Start, to Time[k], with the mean current Amperes[k], which is
// positive where it goes into the pack, and the voltage Volts[k] at its end. NaN: not known.
type Rows struct {
	Start                float64 // s
	Time, Amperes, Volts []float64
}

// Charge is a charge in its phases. Times are on the rows' own clock, s; charges in A s.
type Charge struct {
	Begin, Change, End float64 // Change: from held current to held voltage; Begin where no current was held, End where no voltage was
	Amperes            float64 // the held current, or the greatest steady one where none was held
	Volts              float64 // the held voltage; NaN: none was held
	Last               float64 // A: the current at the end of the held voltage, or of the charge
	Current, Voltage   float64 // A s put in by each phase
	Loose              float64 // s: by how much the rows leave Change open, on either side
	Float              float64 // when the charger went over to a lower voltage, which is the End; NaN: it did not
}

// HeldCurrent says whether the current was held for a part of the charge.
func (c Charge) HeldCurrent() bool { return c.Change > c.Begin }

// HeldVoltage says whether the voltage was.
func (c Charge) HeldVoltage() bool { return c.End > c.Change }

// Of cuts a charge. Where the current falls without either being held, as from a charger without control, both phases are missing
// and ok is false, as it is where nothing flows in.
func Of(r Rows) (c Charge, ok bool) {
	c.Amperes = r.steady()
	first, last := r.flow(flowing * c.Amperes)
	if first < 0 || last-first < 2 {
		return c, false
	}
	c.Begin = r.from(first)
	c.Volts, c.Float = math.NaN(), math.NaN()
	held := r.held(first, last)
	if end := r.lowered(first, last, held); end < last {
		last, c.Float = end, r.Time[end]
	}
	c.End = r.Time[last]
	least := leastTime * (c.End - c.Begin)
	change := r.change(first, last, c.Amperes)
	c.Change = c.End
	if change < first {
		c.Change = c.Begin
	} else if change < last {
		c.Change = r.Time[change]
	}
	if c.Change-c.Begin < least {
		c.Change = c.Begin
	}
	c.Last = r.ending(last)
	switch falls := c.Last < fallen*c.Amperes && r.near(change+1, last, held); {
	case c.End-c.Change < leastHeld*(c.End-c.Begin):
		c.Change = c.End
	case falls:
		c.Volts = held
	default:
		return c, false
	}
	if c.HeldCurrent() && !r.within(first, change, c.Amperes) {
		return c, false
	}
	for k := first; k <= last; k++ {
		put := max(0, zero(r.Amperes[k])) * (r.Time[k] - r.from(k))
		if r.Time[k] <= c.Change {
			c.Current += put
		} else {
			c.Voltage += put
		}
	}
	if c.HeldCurrent() && c.HeldVoltage() {
		c.Loose = max(r.Time[change]-r.from(change), r.Time[change+1]-r.from(change+1)) / 2
	}
	return c, true
}

func zero(x float64) float64 {
	if math.IsNaN(x) {
		return 0
	}
	return x
}

func (r Rows) from(k int) float64 {
	if k == 0 {
		return r.Start
	}
	return r.Time[k-1]
}

// weighted is the value that a part of the time lies below.
func (r Rows) weighted(of []float64, from, to int, part float64) float64 {
	var order []int
	all := 0.0
	for k := from; k <= to; k++ {
		if !math.IsNaN(of[k]) {
			order = append(order, k)
			all += r.Time[k] - r.from(k)
		}
	}
	slices.SortFunc(order, func(a, b int) int {
		switch {
		case of[a] < of[b]:
			return -1
		case of[a] > of[b]:
			return 1
		}
		return a - b
	})
	sum := 0.0
	for _, k := range order {
		if sum += r.Time[k] - r.from(k); sum >= part*all {
			return of[k]
		}
	}
	return math.NaN()
}

// steady is the greatest current that lasts: what is exceeded for a fiftieth of the time in which at least a tenth of the greatest
// flows, so that neither a spike nor a long taper is taken for it; then the middle of the rows near it.
func (r Rows) steady() float64 {
	most := r.weighted(r.Amperes, 0, len(r.Time)-1, 0.999)
	var time, amps []float64
	at := 0.0
	for k, i := range r.Amperes {
		if i >= most/10 {
			at += r.Time[k] - r.from(k)
			time, amps = append(time, at), append(amps, i)
		}
	}
	if len(time) == 0 {
		return math.NaN()
	}
	most = Rows{Time: time, Amperes: amps}.weighted(amps, 0, len(amps)-1, 0.98)
	near := make([]float64, len(r.Amperes))
	for k, i := range r.Amperes {
		if near[k] = i; math.Abs(i-most) > wideBand*most {
			near[k] = math.NaN()
		}
	}
	return r.weighted(near, 0, len(near)-1, 0.5)
}

// flow is the first and the last row in which more than a least current flows in; −1 without one.
func (r Rows) flow(least float64) (first, last int) {
	first, last = -1, -1
	for k, i := range r.Amperes {
		if i > least {
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	return first, last
}

// held is the voltage that the charge comes up to.
func (r Rows) held(first, last int) float64 { return r.weighted(r.Volts, first, last, 0.95) }

// lowered is the row after which the voltage stays below the held one by floating or more; last where it does not.
func (r Rows) lowered(first, last int, held float64) int {
	at := last
	for at > first && r.Volts[at] < held*(1-floating) {
		at--
	}
	if r.Volts[at] >= held*(1-floating) && r.Time[last]-r.Time[at] > leastTime*(r.Time[last]-r.from(first)) && r.Volts[first] < held*(1-floating) {
		return at
	}
	return last
}

// change is the row with which a held current ends: that which parts the rows best, held before it and fallen after it, by time.
func (r Rows) change(first, last int, amps float64) int {
	low := func(k int) bool { return !(r.Amperes[k] >= amps*(1-heldBand)) }
	sum, best, at := 0.0, 0.0, first-1
	for k := first; k <= last; k++ {
		d := r.Time[k] - r.from(k)
		if low(k) {
			d = -d
		}
		if sum += d; sum >= best {
			best, at = sum, k
		}
	}
	return at
}

// near says whether the voltage of most rows is the held one.
func (r Rows) near(first, last int, volts float64) bool {
	return r.most(first, last, func(k int) bool { return math.Abs(r.Volts[k]-volts) <= voltsBand*volts })
}

// within says whether the current of most rows is the held one.
func (r Rows) within(first, last int, amps float64) bool {
	return r.most(first, last, func(k int) bool { return math.Abs(r.Amperes[k]-amps) <= wideBand*amps })
}

func (r Rows) most(first, last int, is func(int) bool) bool {
	var all, so float64
	for k := first; k <= last; k++ {
		d := r.Time[k] - r.from(k)
		if all += d; is(k) {
			so += d
		}
	}
	return so >= mostRows*all
}

// ending is the middle of the last rows, some hundredth of the charge, but for the very last, in which the charger may have switched off.
func (r Rows) ending(last int) float64 {
	last = max(last-1, 0)
	from := last
	for from > 0 && last-from < 15 && r.Time[last]-r.from(from) < endTime*(r.Time[last]-r.Start) {
		from--
	}
	return r.weighted(r.Amperes, from, last, 0.5)
}

// At is the time at which a charge, A s, is still to come until the end of the phases; NaN where there is not so much.
func (r Rows) At(c Charge, toCome float64) float64 {
	for k := len(r.Time) - 1; k >= 0; k-- {
		from, to := max(r.from(k), c.Begin), min(r.Time[k], c.End)
		amps := max(0, zero(r.Amperes[k]))
		put := amps * max(0, to-from)
		if put >= toCome && put > 0 {
			return to - toCome/amps
		}
		toCome -= put
	}
	return math.NaN()
}

package runlog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/quantity"
)

// cause is why a charge or an energy is known no better.
type cause uint8

const (
	openEdges cause = iota
	placedEdges
	betweenRows
	stamps
	lastDigits
	gapsInside
	counterApart
	instruments

	causeCount = int(iota)
)

// causes holds the variance that comes from each, in (A s)² or (W s)².
type causes [causeCount]total

func (c *causes) sum() float64 {
	sum := 0.0
	for k := range c {
		sum += c[k].value()
	}
	return sum
}

// widen adds a standard uncertainty, in A h or W h, that comes from a cause, to a flow's side and to what is told of it. One that
// is not known stays so.
func widen[K quantity.Kind](flow *Flow[K], side *causes, in bool, why cause, by float64) {
	s := by * secondsPerHour
	side[why].add(s * s)
	sampling, u := &flow.Sampling.Out, &flow.Out.U
	if in {
		sampling, u = &flow.Sampling.In, &flow.In.U
	}
	*sampling = K(math.Hypot(float64(*sampling), by))
	*u = K(math.Hypot(float64(*u), by))
}

// widenBoth widens charge and energy of one side, by A h and W h.
func (m *Meter) widenBoth(r *Result, in bool, why cause, charge, energy float64) {
	a := &m.accounts
	if in {
		widen(&r.Charge, &a.charge.varIn, in, why, charge)
		widen(&r.Energy, &a.energy.varIn, in, why, energy)
		return
	}
	widen(&r.Charge, &a.charge.varOut, in, why, charge)
	widen(&r.Energy, &a.energy.varOut, in, why, energy)
}

// tellWidth is the half-width, as a part of the value, above which an interval's reasons are told; tellPart is the part of the
// greatest reason that another must have to be named. Our own choice.
const (
	tellWidth = 0.005
	tellPart  = 0.3
)

// tellCauses says of charge, energy and elapsed time why their intervals are wider than usual.
func (m *Meter) tellCauses(r *Result) {
	if r.Charge.Out.Known() {
		tellCauses(r, "charge", &r.Charge, &m.accounts.charge, m)
		tellCauses(r, "energy", &r.Energy, &m.accounts.energy, m)
	}
	if half := quantity.CoverageFactor * float64(r.Elapsed.U); half > tellWidth*float64(r.Elapsed.Value) {
		what := fmt.Sprintf("the times are known to %s", plain(max(m.grain.size(), m.digit), quantity.Time))
		if m.loose != [2]float64{} {
			what = "rows share a stamp"
		}
		r.note("elapsed-time", fmt.Sprintf("The interval is wide, as %s.", what))
	}
}

func tellCauses[K quantity.Kind](r *Result, name string, flow *Flow[K], c *counter, m *Meter) {
	for _, side := range []struct {
		way      string
		value, u K
		sampling K
		of       *causes
	}{
		{"out", flow.Out.Value, flow.Out.U, flow.Sampling.Out, &c.varOut},
		{"in", flow.In.Value, flow.In.U, flow.Sampling.In, &c.varIn},
	} {
		value := math.Abs(float64(side.value))
		shares := [causeCount]float64{}
		for k := range side.of {
			shares[k] = quantity.CoverageFactor * math.Sqrt(side.of[k].value()) / secondsPerHour
		}
		half := quantity.CoverageFactor * float64(side.sampling)
		if u := float64(side.u); !math.IsNaN(u) {
			half = quantity.CoverageFactor * u
			shares[instruments] = quantity.CoverageFactor * math.Sqrt(max(0, u*u-float64(side.sampling)*float64(side.sampling)))
		}
		if !(half > tellWidth*value) || value == 0 {
			continue
		}
		greatest := slices.Max(shares[:])
		var told []string
		for k, share := range shares {
			if share >= tellPart*greatest {
				told = append(told, fmt.Sprintf("%s (±%s %%)", m.causeWords(cause(k)), short(100*share/value)))
			}
		}
		r.note(name+"-"+side.way, fmt.Sprintf("The interval is ±%s %%: %s.", short(100*half/value), strings.Join(told, "; ")))
	}
}

// causeWords says a cause in words.
func (m *Meter) causeWords(c cause) string {
	switch c {
	case openEdges:
		return fmt.Sprintf("%s of the load open between two rows", plural(m.accounts.open, "edge"))
	case placedEdges:
		return "edges of the load placed only to within a part of an interval"
	case betweenRows:
		return "the current changes between the rows, which are too far apart to follow it"
	case stamps:
		return "rows share a stamp"
	case lastDigits:
		return fmt.Sprintf("the current is written to %s", plain(m.written.size(), quantity.Current))
	case gapsInside:
		return "gaps, and single intervals in which rows are missing"
	case counterApart:
		return "the log's own counter differs"
	}
	return "the instruments"
}

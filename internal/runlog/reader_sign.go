package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// probeRow is what the sign of the current is judged by.
type probeRow struct{ t, v, i float64 }

// signRule is how the current of a row gets its sign beyond what holds for the whole log.
type signRule uint8

const (
	signWhole   signRule = iota // one rule for all rows
	signByState                 // the log writes no sign: the state column says which way
)

// sign gives the current and the power of a log that writes no sign the sign of the row's state. What is below zero
// has a sign all the same, and turn says which.
func (r signRule) sign(s *Sample, turn float64) {
	if r != signByState {
		return
	}
	for _, c := range []Channel{Current, Power} {
		switch x := s.Values[c]; {
		case x < 0 && turn != 0:
			s.Values[c] = x * turn
		case s.Values[State] == StateCharge:
			s.Values[c] = 0 - math.Abs(x) // nothing has no sign
		case s.Values[State] == StateDischarge:
			s.Values[c] = math.Abs(x)
		}
	}
}

// findSigns finds the sign of a discharge current and sets which channels are
// turned over, so that discharge is positive in every sample.
//
// In order: what is stated; a state column, which says of each row which way
// the current flows, so that it also serves where the log writes no sign; what
// the head says; how the voltage answers to steps of the current (a pack's
// voltage falls when its discharge current rises, whatever else goes on); which
// way the voltage drifts while a current flows for long. If none of these tells,
// positive is assumed and said to be.
func (s *Scanner) findSigns(plan columnPlan, p *probe, span finding.Span) {
	if !s.dialect.HasCurrent {
		return
	}
	d := &s.dialect
	negative := false
	for _, src := range plan.sources {
		if src.channel != Current {
			continue
		}
		if sign := plan.heads[src.index].dischargeSign(); sign != 0 {
			d.SignKnown, d.SignFrom, negative = true, "the head says so", sign < 0
		}
	}
	if s.joined {
		d.SignKnown, d.SignFrom, negative = true, "it has a column for each way", false
	} else if sign, byRow := p.stateSign(); byRow {
		s.signBy, s.turn = signByState, float64(sign)
		d.SignKnown, d.SignFrom, negative = true, "it has no sign, the state column says which way it flows", false
	} else if sign != 0 {
		d.SignKnown, d.SignFrom, negative = true, "the state column says so", sign < 0
	}
	if o := s.options.DischargeNegative; o != nil {
		d.SignKnown, d.SignFrom, negative = true, "stated", *o
		s.signBy = signWhole
	} else if !d.SignKnown {
		if sign := stepSign(p.rows); sign != 0 {
			d.SignKnown, d.SignFrom, negative = true, "the voltage falls when it sets in", sign < 0
		} else if sign := driftSign(p.rows); sign != 0 {
			d.SignKnown, d.SignFrom, negative = true, "the voltage falls while it flows", sign < 0
			if discharges(p.rows) != negative {
				d.SignFrom = "the voltage rises while the opposite flows"
			}
		}
	}
	d.DischargeNegative = negative
	if !d.SignKnown {
		s.reportSign(p.rows, span)
	}
	if !negative {
		return
	}
	s.flip = p.follows()
	s.flip[Current] = true // there is no entry for the current itself
}

// stateSign is what a state column says of the sign of discharge: +1, -1 or,
// where nothing flows in either state, 0. byRow says that the log writes no
// sign as far as it goes: what flows out and what flows in have the same one, or
// only one of the two is seen. Then sign is what becomes of a current below zero
// that may come yet.
func (p *probe) stateSign() (sign int, byRow bool) {
	out, in := p.flow[1], p.flow[0]
	switch {
	case out > 0 && in > 0, out < 0 && in < 0:
		return 0, true
	case out > 0 && in == 0 && !p.negative:
		return +1, true
	case in > 0 && out == 0 && !p.negative:
		return -1, true
	case out > 0 || in < 0:
		return +1, false
	case out < 0 || in > 0:
		return -1, false
	}
	return 0, false
}

// discharges says whether the mean current of the probe is negative.
func discharges(rows []probeRow) bool {
	sum := 0.0
	for _, r := range rows {
		sum += r.i
	}
	return sum < 0
}

func (s *Scanner) reportSign(rows []probeRow, span finding.Span) {
	flows := false
	for _, r := range rows {
		flows = flows || r.i != 0
	}
	if !flows && len(rows) > 0 {
		return
	}
	text := fmt.Sprintf("nothing in the first %s shows", plural(len(rows), "row"))
	if len(rows) == 0 {
		text = "without a voltage beside the current nothing shows"
	}
	s.report.add(finding.Finding{Rule: "log-sign-unknown", Level: finding.Warning, Span: span,
		Text:   text + " which sign of the current is discharge; positive is assumed",
		Remedy: "state it: `discharge: positive` or `discharge: negative`"})
}

// lastEnd is the length of buf up to and with its last line end.
func lastEnd(buf []byte, end byte) int {
	for i := len(buf); i > 0; i-- {
		if buf[i-1] == end {
			return i
		}
	}
	return 0
}

// leastAnswer is the part of the voltage by which it must move in a step, r.m.s., to tell anything: a voltage that is written a
// row late goes on falling where the load goes off. Our own choice.
const leastAnswer = 0.0005

// stepSign judges by the steps of the current that are at least a fifth of its
// whole range: +1 if the voltage falls when the current rises, -1 if it rises
// with it, 0 if there are no steps or they do not agree. A step over which the voltage all but goes or comes back tells
// nothing: a logger behind the cutout sees the voltage go with the load.
func stepSign(rows []probeRow) int {
	low, high := math.Inf(1), math.Inf(-1)
	for _, r := range rows {
		low, high = min(low, r.i), max(high, r.i)
	}
	span := high - low
	if len(rows) < 2 || !(span > 0.05*max(math.Abs(low), math.Abs(high))) {
		return 0
	}
	var sxy, sxx, syy, level float64
	for k := 1; k < len(rows); k++ {
		di, dv := rows[k].i-rows[k-1].i, rows[k].v-rows[k-1].v
		a, b := math.Abs(rows[k-1].v), math.Abs(rows[k].v)
		if math.Abs(di) < 0.2*span || min(a, b) < collapsedVoltage*max(a, b) {
			continue
		}
		sxy += di * dv
		sxx += di * di
		syy += dv * dv
		level += a * a
	}
	if !(syy > leastAnswer*leastAnswer*level) { // no answer, or one within a slow drift
		return 0
	}
	const leastCorrelation = 0.6
	switch r := sxy / math.Sqrt(sxx*syy); {
	case r < -leastCorrelation:
		return +1
	case r > leastCorrelation:
		return -1
	}
	return 0
}

// driftSign judges by where the voltage goes while a current of one sign
// flows: +1 if it falls under a positive or rises under a negative current.
// Rows of less current say nothing: at rest the voltage goes back.
func driftSign(rows []probeRow) int {
	var sum, size, top float64
	for _, r := range rows {
		sum += r.i
		size += math.Abs(r.i)
		top = max(top, math.Abs(r.i))
	}
	var flowing []float64 // the voltages while it flows
	for _, r := range rows {
		if math.Abs(r.i) > 0.3*top {
			flowing = append(flowing, r.v)
		}
	}
	if len(flowing) < 10 || math.Abs(sum) < 0.8*size {
		return 0
	}
	tenth := len(flowing) / 10
	var first, last float64
	for k := range tenth {
		first += flowing[k]
		last += flowing[len(flowing)-1-k]
	}
	const leastChange = 0.005
	if change := last - first; !(math.Abs(change) > leastChange*math.Abs(first)) {
		return 0
	} else if (change < 0) == (sum > 0) {
		return +1
	}
	return -1
}

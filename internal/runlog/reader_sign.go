package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// probeRow is what the sign of the current is judged by.
type probeRow struct{ t, v, i float64 }

// findSigns finds the sign of a discharge current and sets which channels are
// turned over, so that discharge is positive in every sample.
//
// In order: what is stated; what the head says; how the voltage answers to
// steps of the current (a pack's voltage falls when its discharge current
// rises, whatever else goes on); which way the voltage drifts while a current
// flows for long. If none of these tells, positive is assumed and said to be.
func (s *Scanner) findSigns(plan columnPlan, lines []sniffLine, span finding.Span) {
	if !s.dialect.HasCurrent {
		return
	}
	probe, counters := s.probe()
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
	if o := s.options.DischargeNegative; o != nil {
		d.SignKnown, d.SignFrom, negative = true, "stated", *o
	} else if !d.SignKnown {
		if sign := stepSign(probe); sign != 0 {
			d.SignKnown, d.SignFrom, negative = true, "the voltage falls when it sets in", sign < 0
		} else if sign := driftSign(probe); sign != 0 {
			d.SignKnown, d.SignFrom, negative = true, "the voltage falls while it flows", sign < 0
			if discharges(probe) != negative {
				d.SignFrom = "the voltage rises while the opposite flows"
			}
		}
	}
	d.DischargeNegative = negative
	if !d.SignKnown {
		s.reportSign(probe, span)
	}
	if !negative {
		return
	}
	s.flip = counters
	s.flip[Current] = true // counters has no entry for the current itself
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
	s.report.add(finding.Finding{Rule: "log-sign-unknown", Level: finding.Warning, Span: span,
		Text:   fmt.Sprintf("nothing in the first %s shows which sign of the current is discharge; positive is assumed", plural(len(rows), "row")),
		Remedy: "state it: `discharge: positive` or `discharge: negative`"})
}

// probe reads the sniffed prefix once without saying anything. It gives the
// rows with both voltage and current, and which of the power and the counters
// run with the sign of the current.
func (s *Scanner) probe() ([]probeRow, [channelCount]bool) {
	p := *s
	p.lines = &lineReader{buf: s.lines.buf[s.lines.start:], end: s.lines.end, offset: int64(s.lines.start)}
	if !s.lines.whole() {
		p.lines.buf = p.lines.buf[:lastEnd(p.lines.buf, s.lines.end)]
	}
	p.report = &tally{quiet: true}
	p.splitter = fieldSplitter{}
	var rows []probeRow
	var follow [channelCount]float64
	var before [channelCount]float64
	for c := range before {
		before[c] = math.NaN()
	}
	for {
		sample, ok := p.Next()
		if !ok {
			break
		}
		i := sample.Values[Current]
		if math.IsNaN(i) {
			continue
		}
		if sample.Has(Voltage) {
			rows = append(rows, probeRow{sample.Time, sample.Values[Voltage], i})
		}
		if sample.Has(Power) {
			follow[Power] += sample.Values[Power] * i
		}
		for _, c := range []Channel{ChargeCounter, EnergyCounter} {
			if !sample.Has(c) {
				continue
			}
			if d := sample.Values[c] - before[c]; !math.IsNaN(d) && !sample.Restart {
				follow[c] += d * i
			}
			before[c] = sample.Values[c]
		}
	}
	var counters [channelCount]bool
	for c, f := range follow {
		counters[c] = f > 0
	}
	return rows, counters
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
	var sxy, sxx, syy float64
	for k := 1; k < len(rows); k++ {
		di, dv := rows[k].i-rows[k-1].i, rows[k].v-rows[k-1].v
		a, b := math.Abs(rows[k-1].v), math.Abs(rows[k].v)
		if math.Abs(di) < 0.2*span || min(a, b) < collapsedVoltage*max(a, b) {
			continue
		}
		sxy += di * dv
		sxx += di * di
		syy += dv * dv
	}
	if syy == 0 {
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
func driftSign(rows []probeRow) int {
	if len(rows) < 10 {
		return 0
	}
	var sum, size, top float64
	for _, r := range rows {
		sum += r.i
		size += math.Abs(r.i)
		top = max(top, math.Abs(r.i))
	}
	n := float64(len(rows))
	if size == 0 || math.Abs(sum) < 0.8*size || size/n < 0.3*top {
		return 0
	}
	tenth := len(rows) / 10
	var first, last float64
	for k := range tenth {
		first += rows[k].v
		last += rows[len(rows)-1-k].v
	}
	change := (last - first) / float64(tenth)
	level := math.Abs(first) / float64(tenth)
	const leastChange = 0.005
	if math.Abs(change) < leastChange*level {
		return 0
	}
	if (change < 0) == (sum > 0) {
		return +1
	}
	return -1
}

package runlog

import (
	"bytes"
	"fmt"
	"math"
	"slices"
	"strconv"

	"voltwright/internal/finding"
)

// probe is the sniffed prefix, read once without saying anything, before any
// sign is turned: what units and signs are settled by.
type probe struct {
	rows     []probeRow // rows with both voltage and current
	negative bool       // some current is below zero
	flow     [2]float64 // sum of the current where the state says charge, and where it says discharge

	run     [channelCount]float64 // Σ Δcounter · I: does it run with the current?
	moved   [channelCount]float64 // Σ |Δcounter|, what starts anew left out
	covered [channelCount]flowed
	way     [2]float64 // m by the distance column and along the positions
	driven  float64    // ∫ |speed| dt
	fastest float64
	span    [2]float64 // s by the log's time and by its second time
	digits  decimalGrain
}

// flowed is what went out and in, in A s or W s, while a counter was there to count it.
type flowed struct{ out, in float64 }

// probe reads the sniffed prefix.
func (s *Scanner) probe() *probe {
	quiet := *s
	quiet.lines = &lineReader{buf: s.lines.buf[s.lines.start:], end: s.lines.end, offset: int64(s.lines.start)}
	if !s.lines.whole() {
		quiet.lines.buf = quiet.lines.buf[:lastEnd(quiet.lines.buf, s.lines.end)]
	}
	quiet.report = &tally{quiet: true}
	quiet.splitter = fieldSplitter{}
	p := &probe{}
	unit := quiet.times[0].form.stampUnit(s.minutes)
	quiet.digits, quiet.unit = &p.digits, unit
	before, b := s.empty, newBlock()
	p.rows = make([]probeRow, 0, bytes.Count(quiet.lines.buf, []byte{s.lines.end})+1)
	for more := true; more; {
		more = quiet.fill(b, func(sample Sample) {
			if unit > 0 {
				p.digits.addTo(quiet.placed.part/unit, finestStamp)
			}
			b.add(&sample)
		})
		for k := range b.n {
			sample := b.sample(k)
			p.add(&before, sample)
			carry(&before, sample, b.held)
		}
		b.drop(b.n)
	}
	return p
}

// carry keeps of every channel the last value that there was.
func carry(before, sample *Sample, held []Channel) {
	before.Time, before.Restart = sample.Time, sample.Restart
	for _, c := range held {
		if v := sample.Values[c]; v == v {
			before.Values[c] = v
		}
	}
}

var counters = []Channel{ChargeCounter, ChargeReturned, EnergyCounter, EnergyReturned}

func (p *probe) add(before, s *Sample) {
	d := s.Time - before.Time
	i, v := s.Values[Current], s.Values[Voltage]
	if !math.IsNaN(i) {
		p.negative = p.negative || i < 0
		if !math.IsNaN(v) {
			p.rows = append(p.rows, probeRow{s.Time, v, i})
		}
		switch s.Values[State] {
		case StateCharge:
			p.flow[0] += i
		case StateDischarge:
			p.flow[1] += i
		}
		if s.Has(Power) {
			p.run[Power] += s.Values[Power] * i
		}
	}
	if math.IsNaN(d) || s.Restart || d < 0 {
		return
	}
	p.span[0] += d
	if dd := s.Values[SecondTime] - before.Values[SecondTime]; dd > 0 {
		p.span[1] += dd
	}
	mean := (i + before.Values[Current]) / 2
	for _, c := range counters {
		x := s.Values[c] - before.Values[c]
		if math.IsNaN(x) || math.IsNaN(mean) {
			continue
		}
		p.run[c] += x * i
		if back := math.Abs(s.Values[c]) < math.Abs(before.Values[c])/2; !back {
			p.moved[c] += math.Abs(x)
		}
		rate := mean
		if c == EnergyCounter || c == EnergyReturned {
			rate *= (v + before.Values[Voltage]) / 2
		}
		if rate > 0 {
			p.covered[c].out += rate * d
		} else if rate < 0 {
			p.covered[c].in -= rate * d
		}
	}
	if x := s.Values[Distance] - before.Values[Distance]; x > 0 {
		p.way[0] += x
	}
	if x := s.Values[ByPosition] - before.Values[ByPosition]; x > 0 {
		p.way[1] += x
	}
	if u := math.Abs(s.Values[Speed]+before.Values[Speed]) / 2; !math.IsNaN(u) {
		p.driven += u * d
		p.fastest = max(p.fastest, math.Abs(s.Values[Speed]))
	}
}

// follows says which of the power and the counters run with the sign of the current.
func (p *probe) follows() (out [channelCount]bool) {
	for _, c := range []Channel{Power, ChargeCounter, EnergyCounter} {
		out[c] = p.run[c] > 0
	}
	return out
}

// settle settles signs and what units nobody names, by what else the log says.
func (s *Scanner) settle(plan columnPlan, span finding.Span) {
	p := s.probe()
	if !s.settleTime(p, span) {
		s.usable = false
		return
	}
	s.spread = newSpreader(s.report, s.times[0].form.stampUnit(s.minutes), p.digits)
	s.digits, s.unit = &s.spread.digits, s.spread.unit
	s.settleCounters(p)
	s.settleSpeed(p, span)
	s.findSigns(plan, p, span)
}

// agrees says whether a ratio is that of the factor, within a tenth or, for counters in few rows, more.
func agrees(ratio, factor, within float64) bool {
	return ratio > factor*(1-within) && ratio < factor/(1-within)
}

// settleTime settles the unit of a time that names none: by the log's dates, or
// by a counter that has its unit. Where its numbers look like another unit and
// nothing settles it, the log is refused: charge and time could be wrong by a
// thousand.
func (s *Scanner) settleTime(p *probe, span finding.Span) bool {
	if s.unitOpen {
		for _, u := range []struct {
			form   timeForm
			factor float64 // s in one unit
			whole  float64 // s that a second time may be off
		}{{timeSeconds, 1, 1.5}, {timeMilliseconds, 1e-3, 1.5}, {timeMicroseconds, 1e-6, 1.5}, {timeMinutes, 60, 1.5}, {timeHours, 3600, 1.5}} {
			byDate := p.span[1] > 5 && p.span[0] > 0 && math.Abs(p.span[0]*u.factor-p.span[1]) < max(u.whole, 0.02*p.span[1])
			byCounter := p.span[1] <= 5 && s.counterSays(p, u.factor)
			if !byDate && !byCounter {
				continue
			}
			from := "found: no unit is named, and so it agrees with the dates"
			if byCounter {
				from = "found: no unit is named, and so the current agrees with the counter"
			}
			s.times[0].form, s.doubt = u.form, ""
			s.setStepTime(u.form)
			s.dialect.TimeForm, s.dialect.Time, s.dialect.TimeFrom = u.form.word(), timeFormFacts[u.form].description, from
			p.scale(u.factor)
			return true
		}
	}
	if s.doubt == "" {
		s.setStepTime(s.times[0].form)
		return true
	}
	s.refuse("log-unit-open", s.doubt, "state it: `time: milliseconds` or `time: seconds`", span)
	return false
}

// setStepTime gives the time in the step, where it names no unit, the one that the log's time has in numbers.
func (s *Scanner) setStepTime(form timeForm) {
	for k := range s.columns {
		if c := &s.columns[k]; c.channel == StepTime && c.role == roleValue && !c.named {
			for symbol, f := range unitForms {
				if f == form && form.numeric() {
					s.setUnit(StepTime, symbol)
				}
			}
		}
	}
}

// counterSays says whether a counter with a unit of its own agrees with the integral if the time is in units of so many seconds.
func (s *Scanner) counterSays(p *probe, factor float64) bool {
	for _, c := range s.columns {
		if !c.named || !slices.Contains(counters, c.channel) || !(p.moved[c.channel] > 0) {
			continue
		}
		w := p.covered[c.channel]
		for _, q := range []float64{w.out, w.in, w.out + w.in} {
			if q > 0 && agrees(p.moved[c.channel]*secondsPerHour/(q*factor), 1, 0.25) {
				return true
			}
		}
	}
	return false
}

// scale changes everything that was reckoned with the time.
func (p *probe) scale(factor float64) {
	p.span[0] *= factor
	p.driven *= factor
	for c := range p.covered {
		p.covered[c].out *= factor
		p.covered[c].in *= factor
	}
	for k := range p.rows {
		p.rows[k].t *= factor
	}
}

// settleCounters settles the unit of a charge or energy that names none. One
// that agrees with the integral in no unit is no counter and is not read.
func (s *Scanner) settleCounters(p *probe) {
	s.columns = slices.DeleteFunc(s.columns, func(c target) bool {
		if c.named || c.role != roleValue || !slices.Contains(counters, c.channel) || !(p.moved[c.channel] > 0) {
			return false
		}
		w := p.covered[c.channel]
		if w.out+w.in == 0 {
			return false
		}
		symbols := map[float64]string{1: "Ah", 1e3: "mAh", 3600: "As"}
		if c.channel == EnergyCounter || c.channel == EnergyReturned {
			symbols = map[float64]string{1: "Wh", 1e3: "mWh", 3600: "J"}
		}
		for _, factor := range []float64{1, 1e3, 3600} {
			for _, q := range []float64{w.out, w.in, w.out + w.in} {
				if q > 0 && agrees(p.moved[c.channel]*secondsPerHour/q, factor, 0.4) {
					s.setUnit(c.channel, symbols[factor])
					return false
				}
			}
		}
		s.dialect.drop(c.channel, c.name)
		return true
	})
}

// setUnit gives a column that names no unit the one that was found.
func (s *Scanner) setUnit(c Channel, symbol string) {
	for k := range s.columns {
		if t := &s.columns[k]; t.channel == c && t.role == roleValue {
			t.unit = unitOf(symbol)
			t.plain = t.unit.plain()
		}
	}
	for k := range s.dialect.Columns {
		if d := &s.dialect.Columns[k]; d.Channel == c && baseUnit(c).Symbol() != symbol {
			d.From = "in " + symbol + ", as the rest of the log shows"
		}
	}
}

// drop takes a channel back.
func (d *Dialect) drop(c Channel, name string) {
	d.Columns = slices.DeleteFunc(d.Columns, func(x Column) bool { return x.Channel == c })
	if name != "" {
		d.Unused = append(d.Unused, name)
	}
}

// fastSpeed is a speed in m/s beyond which a column without a unit is likelier in km/h; our own choice: 43 km/h.
const fastSpeed = 12

// settleSpeed settles the unit of a speed that names none: by a distance, by
// the positions, or by its size.
func (s *Scanner) settleSpeed(p *probe, span finding.Span) {
	at := slices.IndexFunc(s.columns, func(c target) bool { return c.channel == Speed && c.role == roleValue && !c.named })
	far := slices.IndexFunc(s.columns, func(c target) bool { return c.channel == Distance && c.role == roleValue && !c.named })
	way, by := p.way[0], "distance"
	if far >= 0 && p.way[1] > 0 && agrees(p.way[0]/p.way[1], 1e-3, 0.3) {
		s.setUnit(Distance, "km")
		way *= 1e3
	}
	if way == 0 {
		way, by = p.way[1], "positions"
	}
	if at < 0 {
		return
	}
	if way > 0 && p.driven > 0 {
		for _, u := range []struct {
			symbol string
			factor float64
		}{{"m/s", 1}, {"km/h", 1 / 3.6}, {"mph", 0.44704}} {
			if agrees(way/p.driven, u.factor, 0.18) {
				s.setUnit(Speed, u.symbol)
				return
			}
		}
	}
	name := strconv.Quote(s.columns[at].name)
	remedy := "write the unit into the head, such as `speed (km/h)`, or state it with the column: `speed: \"" + s.columns[at].name + " [km/h]\"`"
	text := fmt.Sprintf("the speed column %s names no unit; metres per second are assumed", name)
	if p.fastest > fastSpeed {
		s.setUnit(Speed, "km/h")
		text = fmt.Sprintf("the speed column %s names no unit; kilometres an hour are assumed, since it reaches %.0f and nothing on a small vehicle goes so many metres in a second", name, p.fastest)
	}
	if way > 0 {
		text += fmt.Sprintf("; it agrees with the %s in no unit", by)
	}
	s.report.add(finding.Finding{Rule: "log-unit-assumed", Level: finding.Warning, Span: span, Text: text, Remedy: remedy})
}

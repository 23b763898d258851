package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var chargeCounterDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-counter-disagrees", Level: finding.Warning, Title: "A charge counter that does not fit the current",
	What: "Compares what the log's own counters of charge move by with the current over the time, out and in apart. A counter may start anywhere, may start again at a step or a cycle, may count both ways in one column or each in its own. Neither stands in for the other: both are printed. A difference beyond the interval of the integral is said, and the interval is widened to hold the counter; by more than a factor of 1.5 it is an error.",
	Why:  "An instrument's counter sees what happens between the rows, the rows tell what the counter cannot: when. Where they differ, the unit, the time or the rows are not what they seem.", Source: ownRule,
	Example: "  log: {file: bench.csv, time: milliseconds}",
}

var energyCounterDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-energy-counter-disagrees", Level: finding.Warning, Title: "An energy counter that does not fit volts, amperes and time",
	What: "As log-counter-disagrees, for the counters of energy and the product of voltage and current over the time.",
	Why:  chargeCounterDoc.Why, Source: ownRule, Example: chargeCounterDoc.Example,
}

// counterColumn is one column of a counter: how far it moved while charge left the pack and while it returned.
type counterColumn struct {
	has       bool
	last      float64
	moved     [2]total // by magnitude, while the rate was out, in
	up, down  total    // by its sign
	along     float64  // how it goes with the direction of the rate
	grain     decimalGrain
	turns     int // how often the direction of the rate changed
	direction int
}

// digit is what the counter's last digit can have moved it by.
func (c *counterColumn) digit() float64 {
	if !c.has {
		return 0
	}
	return c.grain.size() * (1 + math.Sqrt(float64(c.turns)))
}

// restarted says whether a counter that went from one value to another began again from nothing: its new value is nothing
// at all, or it is less and a new step has begun, or it is no more than what can have flowed in the interval and the way
// there is far more.
func (c *counterColumn) restarted(from, to, flowed float64, step bool) bool {
	grain := c.grain.size()
	could := 3*math.Abs(flowed) + 2*grain
	switch {
	case math.Abs(to) >= math.Abs(from):
		return false
	case math.Abs(from) > 2*grain && to == 0, step && math.Abs(from-to) > 2*grain && math.Abs(to) < math.Abs(from)/2:
		return true
	}
	return math.Abs(to) <= could && math.Abs(to-from) > could
}

// add takes the next value, what flowed since the last, out positive, and the rate of its row, which tells better which way
// it went where the direction has changed between the rows.
func (c *counterColumn) add(x, flowed, rate float64, step bool) {
	c.grain.add(x)
	if !c.has {
		c.has, c.last = true, x
		return
	}
	d := x - c.last
	if c.restarted(c.last, x, flowed, step) {
		d = x
	}
	c.last = x
	way := 0
	if rate == 0 || math.IsNaN(rate) {
		rate = flowed
	}
	if rate < 0 {
		way = 1
	}
	if flowed != 0 && c.direction != way+1 {
		c.direction = way + 1
		c.turns++
	}
	c.moved[way].add(math.Abs(d))
	if d > 0 {
		c.up.add(d)
	} else {
		c.down.add(-d)
	}
	c.along += d * float64(1-2*way)
}

// counterWitness compares the counters of charge, or of energy, with the integral.
type counterWitness struct {
	out, in   Channel
	rate      func(*Sample) float64
	word      string
	dimension quantity.Dimension

	outs, ins  counterColumn
	lastT      float64
	lastRate   float64
	lastVolts  float64
	flow       [2]float64 // since the last value of each counter, in hours
	begun      bool
	step       float64
	line       int
	offset     int64
	firstTaken bool
}

func newChargeCounter() *counterWitness {
	return &counterWitness{out: ChargeCounter, in: ChargeReturned, word: "charge", dimension: quantity.Charge,
		rate: func(s *Sample) float64 { return s.Values[Current] }}
}

func newEnergyCounter() *counterWitness {
	return &counterWitness{out: EnergyCounter, in: EnergyReturned, word: "energy", dimension: quantity.Energy,
		rate: func(s *Sample) float64 { return s.Values[Voltage] * s.Values[Current] }}
}

func (w *counterWitness) row(s *Sample) {
	if rate := w.rate(s); !math.IsNaN(rate) {
		if w.begun && !s.Restart {
			flowed := (w.lastRate + rate) / 2 * (s.Time - w.lastT) / secondsPerHour
			w.flow[0] += flowed
			w.flow[1] += flowed
		}
		w.begun, w.lastT, w.lastRate, w.lastVolts = true, s.Time, rate, s.Values[Voltage]
	}
	for k, c := range []*counterColumn{&w.outs, &w.ins} {
		x := s.Values[[]Channel{w.out, w.in}[k]]
		if math.IsNaN(x) {
			continue
		}
		if !w.firstTaken {
			w.firstTaken, w.line, w.offset = true, s.Line, s.Offset
		}
		if s.Restart {
			c.last, c.has = x, true
		} else {
			c.add(x, w.flow[k], w.rate(s), s.Values[Step] != w.step && !math.IsNaN(w.step))
		}
		w.flow[k] = 0
	}
	w.step = s.Values[Step]
}

// counted is what the counters say left and returned; NaN where they do not count it. A column that moves far less for one
// direction than for the other, by what the integral says flowed, counts the other alone.
func (w *counterWitness) counted(flowedOut, flowedIn float64) (out, in float64) {
	one := w.outs.sides(flowedOut, flowedIn)
	two := w.ins.sides(flowedOut, flowedIn)
	out, in = one[0], two[1]
	if math.IsNaN(in) {
		in = one[1]
	}
	if math.IsNaN(out) {
		out = two[0]
	}
	return out, in
}

// bothWays is the part by which a column must fall where it mostly rises, or the other way round, to be one that counts
// both ways.
const bothWays = 0.005

// sides is what one column counts out and in; NaN for a direction that it does not count, and for one of which less than a hundredth
// of the other flowed, which is noise around zero.
func (c *counterColumn) sides(flowedOut, flowedIn float64) [2]float64 {
	moved, flowed := [2]float64{c.moved[0].value(), c.moved[1].value()}, [2]float64{flowedOut, flowedIn}
	if up, down := c.up.value(), c.down.value(); min(up, down) > bothWays*max(up, down) {
		moved = [2]float64{up, down} // a counter of what is left over: its sign tells which way
		if c.along < 0 {
			moved = [2]float64{down, up}
		}
	}
	const alone = 0.3
	out := [2]float64{math.NaN(), math.NaN()}
	for k, x := range moved {
		share, other := x/flowed[k], moved[1-k]/flowed[1-k]
		little := flowed[k] <= 0.01*flowed[1-k]
		if !c.has || x <= 0 || little {
			continue
		}
		switch {
		case flowed[1-k] <= 0.01*flowed[k] || other < alone*share:
			out[k] = x + moved[1-k]
		case !(share < alone*other):
			out[k] = x
		}
	}
	return out
}

// say compares and widens.
func (w *counterWitness) say(h *hearing) []said {
	if !w.outs.has && !w.ins.has {
		return nil
	}
	if w.word == "charge" {
		return compareFlow(h, w, &h.result.Charge, &h.meter.accounts.charge)
	}
	return compareFlow(h, w, &h.result.Energy, &h.meter.accounts.energy)
}

// compareFlow holds what the counters say against the integral, out and in apart, where they count it.
func compareFlow[K quantity.Kind](h *hearing, w *counterWitness, flow *Flow[K], c *counter) []said {
	if !flow.Out.Known() {
		return nil
	}
	out, in := w.counted(float64(flow.Out.Value), float64(flow.In.Value))
	flow.Counted = FlowPair[K]{K(out), K(in)}
	grain := w.outs.digit() + w.ins.digit() // the current's own last digit stands in the interval
	var list []said
	for _, side := range []struct {
		way      string
		counted  float64
		value    float64
		sampling *K
		of       *causes
	}{
		{"out", out, float64(flow.Out.Value), &flow.Sampling.Out, &c.varOut},
		{"in", in, float64(flow.In.Value), &flow.Sampling.In, &c.varIn},
	} {
		if math.IsNaN(side.counted) {
			continue
		}
		off := math.Abs(side.value - side.counted)
		if off <= max(2*float64(*side.sampling), 1e-4*side.value)+grain {
			if off > 2*float64(*side.sampling) { // too little to speak of, but the interval holds it
				widen(flow, side.of, side.way == "in", counterApart, off/math.Sqrt(3))
			}
			continue
		}
		ratio := side.value / side.counted
		level := grave(ratio)
		if level != finding.Error {
			widen(flow, side.of, side.way == "in", counterApart, off/math.Sqrt(3))
			h.result.note(w.word+"-"+side.way, "The interval is widened to hold the log's own counter.")
			if off < 0.005*side.value {
				level = finding.Note
			}
		}
		looks, remedy := w.readings(h, ratio, level)
		list = append(list, said{level, fmt.Sprintf("the log's own counter gives %s %s and the current over the time %s, %s it%s",
			plain(side.counted, w.dimension), side.way, plain(side.value, w.dimension), apart(ratio), looks), remedy, w.line, w.offset})
	}
	return list
}

// readings names what the likeliest reading is of a ratio of the integral to the counter.
func (w *counterWitness) readings(h *hearing, ratio float64, level finding.Level) (looks, remedy string) {
	found := h.likely(ratio, true, Current)
	if w.word == "energy" {
		found = append(found, h.likely(ratio, false, Voltage)...)
	}
	for _, c := range []Channel{w.out, w.in} {
		found = append(found, h.likely(1/ratio, false, c)...)
	}
	if len(found) == 0 && level == finding.Error {
		return "", "look at the units of the current, of the time and of the counter in the head, and at whether rows are missing or out of order"
	}
	otherwise := "both are printed, and the interval holds both"
	if ratio > 1 {
		return either(found, otherwise+"; rows that were thinned out count too much at every edge of the load")
	}
	return either(found, otherwise+"; the counter also saw what lies between the rows")
}

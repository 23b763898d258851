package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// Rules by which a single wrong sample is told; our own choice. The rule log-odd-sample states them.
const (
	oddVoltage         = 0.03 // part by which one voltage departs from the middle of its neighbours
	oddLeastVolts      = 0.02 // V that it departs by at the least: near nothing, a part of it is noise
	oddVoltageAlone    = 0.20 // the same where there is no current to compare with
	oddCurrentStays    = 0.10 // part by which the current may change in the same row,
	oddCurrentNoise    = 0.01 // or this part of the greatest current so far
	oddTemperature     = 15.0 // K by which one temperature departs from both neighbours
	oddTemperatureStay = 2.0  // K by which these may differ
	oddTimesNeighbours = 10.0 // the departure is this many times the difference of the neighbours
	oddListed          = 20   // findings given one by one
	zeroLoad           = 0.20 // part of the greatest current so far beside which a single zero is odd
	zeroVolts          = 5e-4 // part by which the voltage may move in such a row: a load that goes lets it spring back
)

// oddWatch looks at each row beside the one before it and the one after it, to see whether a voltage or a temperature stands alone between two neighbours
// that agree: what a pack cannot do is a slip of the instrument or of the file, and is left out.
type oddWatch struct {
	peak  float64 // greatest |current| so far
	odd   []oddSample
	found int
	left  [channelCount]int // values left out

	alternates bool         // the voltage was below zero
	digit      decimalGrain // of the current
}

type oddSample struct {
	text   string
	line   int
	offset int64
}

// begin takes the first two rows of a log, which look does not begin with.
func (w *oddWatch) begin(b *block) {
	for k := range min(b.n, 2) {
		w.peak = max(w.peak, magnitude(b.at(Current, k)))
	}
}

// look judges rows of a block, of which the first has one before it and the last one after it. It takes every row to judge that can
// stand alone, and passes over the others.
func (w *oddWatch) look(b *block, from, to int) {
	v, i, c := b.values[Voltage], b.values[Current], b.values[Temperature]
	if w.passesOver(b, from, to) {
		return
	}
	told := from // rows up to this one have told their digits
	for k := from; k < to; k++ {
		if i != nil {
			if size := math.Abs(i[k+1]); size > w.peak {
				w.peak = size
			}
		}
		stands := false
		if v != nil {
			stands = math.Abs(v[k]-(v[k-1]+v[k+1])/2) > oddLeastVolts || v[k] < 0
		}
		if i != nil && i[k] == 0 && i[k-1] != 0 {
			stands = true
		}
		if c != nil && math.Abs(c[k]-(c[k-1]+c[k+1])/2) > oddTemperature {
			stands = true
		}
		if !stands || w.alternates {
			continue
		}
		if i != nil {
			w.digit.addEach(i[told-1:k-1], b.decimals(Current, told-1))
			told = k
		}
		before := *b.sample(k - 1)
		at := *b.sample(k)
		found := w.found
		w.judge(&before, &at, b.sample(k+1))
		if w.found > found {
			b.core.known = false
		}
		for _, channel := range []Channel{Voltage, Current, Temperature} {
			if b.values[channel] != nil {
				b.values[channel][k] = at.Values[channel]
			}
		}
	}
	if i != nil && told < to {
		w.digit.addEach(i[told-1:to-1], b.decimals(Current, told-1))
	}
}

// passesOver says whether none of these rows can stand alone: the voltage moves by less than one that stands alone is off, and no current
// is nothing. What is seen of them is then taken.
func (w *oddWatch) passesOver(b *block, from, to int) bool {
	if b.values[Temperature] != nil || from >= to {
		return false
	}
	if b.values[Voltage] != nil {
		low := b.boundsIn(Voltage, from-1, to+1).low
		if surely := max(oddLeastVolts, oddVoltage*low) * (1 - 1e-6); !(low >= 0 && b.voltsMove(from-1, to+1) < surely) {
			return false
		}
	}
	if i := b.values[Current]; i != nil {
		size := b.boundsIn(Current, from-1, to+1)
		if !(size.least > 0) {
			return false
		}
		w.peak = max(w.peak, b.boundsIn(Current, from+1, to+1).most)
		w.digit.addEach(i[from-1:to-1], b.decimals(Current, from-1))
	}
	return true
}

func (w *oddWatch) judge(before, at, after *Sample) {
	if at.Restart || after.Restart {
		return
	}
	middle := func(c Channel) (mean, off, differ float64) {
		a, b := before.Values[c], after.Values[c]
		mean = (a + b) / 2
		return mean, math.Abs(at.Values[c] - mean), math.Abs(a - b)
	}
	if w.alternates = w.alternates || at.Values[Voltage] < 0; w.alternates {
		return // no battery: nothing is known of what its voltage may do
	}
	w.judgeZero(before, at, after)
	part := oddVoltageAlone
	if mean, off, differ := middle(Current); !math.IsNaN(off) {
		part = math.Inf(1)
		if size := max(math.Abs(mean), differ); off <= max(oddCurrentStays*size, oddCurrentNoise*w.peak) {
			part = oddVoltage
		}
	}
	if mean, off, differ := middle(Voltage); off > max(part*math.Abs(mean), oddLeastVolts) && off > oddTimesNeighbours*differ {
		w.leave(at, Voltage, mean)
	}
	if mean, off, differ := middle(Temperature); off > oddTemperature && differ <= oddTemperatureStay {
		w.leave(at, Temperature, mean)
	}
}

// judgeZero leaves a current out that is exactly zero in one row while the load was on before and after it and the voltage
// shows nothing of a stop; and both of them where the whole row reads zero.
func (w *oddWatch) judgeZero(before, at, after *Sample) {
	i, was, is := at.Values[Current], before.Values[Current], after.Values[Current]
	if w.digit.add(was); i != 0 || !(math.Abs(was) > max(zeroLoad*w.peak, 3*w.digit.size())) || math.Abs(is-was) > oddCurrentStays*math.Abs(was) {
		return
	}
	v, a, b := at.Values[Voltage], before.Values[Voltage], after.Values[Voltage]
	switch {
	case v == 0 && a > 0 && b > 0:
		w.leave(at, Current, (was+is)/2)
		w.leave(at, Voltage, (a+b)/2)
	case a > 0 && math.Abs(v-a) <= zeroVolts*a && math.Abs(v-b) <= zeroVolts*b:
		w.leave(at, Current, (was+is)/2)
	}
}

func (w *oddWatch) leave(s *Sample, c Channel, mean float64) {
	w.found++
	w.left[c]++
	if len(w.odd) < oddListed {
		word := c.String()
		w.odd = append(w.odd, oddSample{
			fmt.Sprintf("the %s reads %s in this one row, between neighbours at %s; it is left out", word, plain(s.Values[c], c.Dimension()), plain(mean, c.Dimension())),
			s.Line, s.Offset})
	}
	s.Values[c] = math.NaN()
}

func (w *oddWatch) findings(source *finding.Source) []finding.Finding {
	var out []finding.Finding
	for k := range w.odd {
		o := &w.odd[k]
		out = append(out, finding.Finding{Rule: "log-odd-sample", Level: finding.Warning, Span: place(source, o.line, o.offset), Text: o.text,
			Remedy: "if the value is right, log faster, so that it does not stand alone"})
	}
	if more := w.found - len(w.odd); more > 0 {
		last := &w.odd[len(w.odd)-1]
		out = append(out, finding.Finding{Rule: "log-odd-sample", Level: finding.Warning, Span: place(source, last.line, last.offset),
			Text:   fmt.Sprintf("%s more from here on stand alone between their neighbours and are left out", plural(more, "sample")),
			Remedy: "look for a loose contact or a wrong range of the instrument"})
	}
	return out
}

// place is where a row stands; nowhere without a source.
func place(source *finding.Source, line int, offset int64) finding.Span {
	if source == nil {
		return finding.Span{}
	}
	source.Mark(offset, line, 1)
	return source.At(offset, 0)
}

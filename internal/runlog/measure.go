package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Meter takes the samples of a run one by one and gives its results at the end. It keeps a bounded amount of memory
// however long the run is. A Meter is used by one goroutine, once.
type Meter struct {
	o       Options
	source  *finding.Source
	rows    int
	skipped int
	first   float64
	last    float64
	grain   decimalGrain // of the times
	loose   [2]float64   // s: what the stamps of the first and the last row leave open
	digit   float64      // s: the last digit of the stamps, where the log was read; of minutes, it is no decimal of a second

	block    *block // rows that are to be measured, behind up to two that stand before them
	seen     int    // of its rows, those that the ranges have seen
	given    int    // and those that are measured
	odd      oddWatch
	joiner   *joiner
	walker   *walker
	accounts accounts
	stops    *stopRule
	sag      *sagWatch
	steps    *stepWatch
	cutout   *cutoutWatch
	drawn    quantiles // magnitude of the current, weighted by time
	flowed   quantiles // the same, weighted by charge
	peak     float64   // the current of greatest magnitude, signed
	gaps     []Gap
	blind    []Gap // intervals as long as a gap without load, the first mostFound of them
	gapCount int
	gapLeft  [2]total // what straight lines across the gaps would have counted out, and in, Ah

	voltage     channelWatch
	temperature channelWatch
	speed       channelWatch
	distance    channelWatch
	forward     total // sum of the rises of the distance column
	backward    total
	travelled   counter // ∫|speed| dt
	speedStats  quantiles
	speedSeen   int
	speedShared total
	traces      [channelCount]*thinner
	series      seriesBuilder

	cutter   cutter
	opinions opinions
	said     []finding.Finding // by the opinions
	ranges   rangeWatch
	time     timeKeeper
	held     [channelCount]int // values of each channel that are measured with
	written  decimalGrain      // of the current
	unusable [channelCount]int // values that are no number, or none that anything measured has
	from, to int               // lines of the rows that are measured; to is 0 for all
	outside  int               // rows that are not
}

// channelWatch is what is kept of one channel.
type channelWatch struct {
	n             int
	first, last   float64
	firstT, lastT float64
	low, high     float64
	area          total // by straight lines, over time
	span          float64
}

func (w *channelWatch) add(t, x float64) {
	if w.n == 0 {
		w.first, w.firstT, w.low, w.high = x, t, x, x
	} else {
		w.area.add((w.last + x) / 2 * (t - w.lastT))
		w.span += t - w.lastT
	}
	w.n++
	w.low, w.high = min(w.low, x), max(w.high, x)
	w.last, w.lastT = x, t
}

// addEach adds points in succession.
func (w *channelWatch) addEach(t, y []float64) {
	if w.n == 0 {
		w.add(t[0], y[0])
		t, y = t[1:], y[1:]
	}
	if len(y) == 0 {
		return
	}
	all := boundsOf(y)
	w.addBounded(t, y, all.low, all.high)
}

// addBounded adds points of which the least and the greatest are known.
func (w *channelWatch) addBounded(t, y []float64, low, high float64) {
	area, before, last := w.area, w.lastT, w.last
	t = t[:len(y)]
	for k, x := range y {
		at := t[k]
		area.add((last + x) / 2 * (at - before))
		before, last = at, x
	}
	w.area = area
	w.span += before - w.lastT
	w.n += len(y)
	w.low, w.high, w.lastT, w.last = min(w.low, low), max(w.high, high), before, last
}

// decimalGrain finds the last decimal digit in which the values of a column are written.
type decimalGrain struct{ decimals int }

// The finest digits that are looked for: of a column's values, where behind them only the noise of binary fractions is left; of
// stamps, which count from far back; and of the times of a run, since no logger's clock is trusted beyond a millisecond.
const (
	finestValue = 9
	finestStamp = 6
	finestTime  = 3
)

func (g *decimalGrain) add(x float64) { g.addTo(x, finestValue) }

// addTo is add that looks to 10^−finest.
func (g *decimalGrain) addTo(x float64, finest int) {
	for g.decimals < finest {
		scaled := x * powersOfTen[g.decimals]
		if math.Abs(scaled-math.Round(scaled)) <= 1e-4 {
			return
		}
		g.decimals++
	}
}

// addEach adds values that are written in so many decimals at the most; what lacks its value is passed over.
func (g *decimalGrain) addEach(values []float64, written uint8) {
	g.addEachTo(values, written, finestValue)
}

func (g *decimalGrain) addEachTo(values []float64, written uint8, finest int) {
	if int(written) <= g.decimals {
		return
	}
	for _, x := range values {
		if x == x {
			g.addTo(x, finest)
		}
	}
}

// size is that digit's value. The difference of two such values has the standard uncertainty size/√6.
func (g *decimalGrain) size() float64 { return math.Pow10(-g.decimals) }

// NewMeter makes a Meter. Options that only concern the reader are not looked at.
func NewMeter(o Options) *Meter {
	m := &Meter{o: o, opinions: newOpinions(), stops: newStopRule(&o), sag: newSagWatch(), steps: newStepWatch()}
	m.accounts.current, m.accounts.voltage = specOf(&o, Current), specOf(&o, Voltage)
	m.cutout = newCutoutWatch(&o, m.accounts.voltage)
	limit := float64(o.Gap)
	if !(limit > 0) || math.IsInf(limit, 0) {
		limit = math.NaN()
	}
	m.walker = newWalker(limit, m.pass)
	m.walker.ramps = m.ramps
	m.block = newBlock()
	m.joiner = newJoiner(m.instant)
	m.speedStats.bins = make([]float64, quantileBins)
	return m
}

// tracedChannels are drawn on a page.
var tracedChannels = []Channel{Voltage, Current, Temperature, Ambient, Speed, Distance, Rotation, Duty, Power}

func (m *Meter) addSpeed(t, v, loose float64, restart bool) {
	m.stops.speed(t, v, loose)
	if m.speed.n > 0 {
		d := t - m.speed.lastT
		moving := m.speed.last > standingSpeed || v > standingSpeed
		if !(moving && (restart || longGap(d, m.walker.gapLimit, &m.speedStats, m.speedSeen))) {
			p := passage{a: instant{t: m.speed.lastT, u: loose}, b: instant{t: t, u: loose}, at: 0.5}
			sp := specOf(&m.o, Speed)
			m.travelled.add(&p, m.speed.last, v, sp.digit())
			if sp.known {
				m.speedShared.add(sp.common((m.speed.last+v)/2) * d)
			}
		}
		if d > 0 {
			m.speedStats.add(d, 1)
			m.speedSeen++
		}
	}
	m.speed.add(t, v)
}

// instant takes a row with a current, its voltage found.
func (m *Meter) instant(a instant) {
	m.written.add(a.i)
	if math.Abs(a.i) > math.Abs(m.peak) {
		m.peak = a.i
	}
	m.sag.add(&a)
	if m.walker.count == 0 && len(m.walker.opening) == 0 {
		m.cutout.begin(&a)
	}
	m.walker.add(a)
}

// pass takes an interval between two such rows.
func (m *Meter) pass(p *passage) {
	switch {
	case p.kind == gap:
		m.addGap(p)
	case p.blind && len(m.blind) < mostFound:
		m.blind = append(m.blind, Gap{Start: quantity.Seconds(p.a.t), Length: quantity.Seconds(p.length()), Line: p.b.line, Offset: p.b.offset})
	}
	m.cutter.pass(p)
	m.opinions.pass(p)
	m.time.pass(p)
	m.accounts.add(p)
	m.stops.current(p)
	m.steps.pass(p)
	m.cutout.pass(p)
	m.series.pass(p)
	if p.kind == gap {
		return
	}
	d := p.length()
	for _, half := range []weighted{{p.a.i, p.at * d}, {p.b.i, (1 - p.at) * d}} { // at is ½ on a ramp
		m.drawn.add(half.value, half.weight)
		m.flowed.add(half.value, math.Abs(half.value)*half.weight)
	}
}

func (m *Meter) addGap(p *passage) {
	out, in := split(p.a.i, p.b.i, p.length())
	left := (out - in) / secondsPerHour
	m.gapLeft[0].add(out / secondsPerHour)
	m.gapLeft[1].add(in / secondsPerHour)
	m.gapCount++
	if len(m.gaps) < MaxListed {
		m.gaps = append(m.gaps, Gap{
			Start: quantity.Seconds(p.a.t), Length: quantity.Seconds(p.length()),
			Line: p.b.line, Offset: p.b.offset, LeftOut: quantity.AmpereHours(left), Restart: p.b.restart,
		})
	}
}

// mostFound is how many gaps of a kind are reported one by one.
const mostFound = 20

// findings reports what was left out.
func (m *Meter) findings() []finding.Finding {
	out := append(m.odd.findings(m.source), m.said...)
	at := func(g *Gap) finding.Span { return place(m.source, g.Line, g.Offset) }
	for k := range m.gaps[:min(mostFound, len(m.gaps))] {
		g := &m.gaps[k]
		if g.Restart {
			continue // the reader has said so
		}
		text := fmt.Sprintf("there is no sample for %s while the load is on; nothing is counted across it, which leaves out about %s",
			plain(float64(g.Length), quantity.Time), drawnAndPut(max(float64(g.LeftOut), 0), max(-float64(g.LeftOut), 0)))
		out = append(out, finding.Finding{Rule: "log-gap", Level: finding.Warning, Span: at(g), Text: text,
			Remedy: "if the load was steady all the while, state a longer gap for this log"})
	}
	for k := range m.blind {
		g := &m.blind[k]
		out = append(out, finding.Finding{Rule: "log-gap", Level: finding.Note, Span: at(g),
			Text:   fmt.Sprintf("there is no sample for %s while no load is on; it is taken that none was on all the while", plain(float64(g.Length), quantity.Time)),
			Remedy: "if the vehicle moved meanwhile, split the log here"})
	}
	if m.gapCount > mostFound {
		out = append(out, finding.Finding{Rule: "log-gap", Level: finding.Warning, Span: at(&m.gaps[mostFound]),
			Text:   fmt.Sprintf("there are %d more gaps from here on; in all, %s are left out", m.gapCount-mostFound, drawnAndPut(m.gapLeft[0].value(), m.gapLeft[1].value())),
			Remedy: "if the load was steady all the while, state a longer gap for this log"})
	}
	return out
}

// drawnAndPut says what was drawn, Ah, and what was put in: "0.3 Ah", "0.1 Ah put in", "0.3 Ah drawn and 0.1 Ah put in". What is
// less than a last digit of the other is not said.
func drawnAndPut(out, in float64) string {
	const digit = 1e-4
	drawn, put := plain(out, quantity.Charge), plain(in, quantity.Charge)+" put in"
	switch {
	case in <= digit*out:
		return drawn
	case out < digit*in:
		return put
	}
	return drawn + " drawn and " + put
}

// plain prints a value in words, without uncertainty.
func plain(value float64, d quantity.Dimension) string {
	return quantity.Quantity{Dimension: d, Value: roundTo(value, 4), Decimals: -1}.String()
}

// roundTo keeps so many significant digits.
func roundTo(x float64, digits int) float64 {
	if x == 0 || math.IsNaN(x) || math.IsInf(x, 0) {
		return x
	}
	scale := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(x))))
	return math.Round(x*scale) / scale
}

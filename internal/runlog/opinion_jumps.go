package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var jumpsDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-jumps", Level: finding.Warning, Title: "Values that jump as no pack's do",
	What: "Looks at each row with the two before and after it, where they are at most a minute apart. A pack's voltage answers its current: it is said where the current steps by half of its greatest and the voltage moves by less than a thousandth, or a quarter of what it moves at other steps; where the voltage moves by 3 % (or half of what it moves when the load is switched) in two rows or more (or by 5 % in one) while the current stays within a twentieth and the voltage beside it moves by a third of that; where it moves by three tenths while a current flows, or between two rows of which one holds no current, or across rows that hold no voltage; where the current changes its sign and keeps its size; and where a temperature jumps by 10 K, by 3 K within 10 s, by 20 K within a quarter of an hour, or by 1.5 K again and again. More than one row in five of the second kind is an error.",
	Why:  "Rows are out of order, a stretch of a column is in another unit or of another sign, or two columns do not belong together.", Source: ownRule,
	Example: rowOrderDoc.Example,
}

const (
	jumpApart           = 60.0  // s
	jumpEdge            = 0.5   // part of the greatest current that a step is told by
	jumpStays           = 0.05  // part of it within which the current stays
	jumpNothing         = 0.001 // part of the voltage that is no answer
	jumpVoltage         = 0.03  // part of it that is a jump where the current stays
	jumpAlone           = 0.05  // part of it of which a single one is said
	jumpLoaded          = 1.3   // factor of the voltage from row to row while a current flows
	jumpWarm            = 10.0  // K
	jumpWarmSlow        = 20.0  // K, where the rows are up to jumpSlow apart
	jumpSlow            = 900.0 // s
	jumpMinimum         = 0.02  // V below which a move is no jump
	jumpGrown           = 1.2   // factor by which the greatest current grows when all before it is forgotten
	jumpOften           = 0.2   // part of the rows beyond which steps are the noise of a current of nothing
	jumpAlike           = 3.0   // a jump is so many times what the voltage moves by before and after it
	jumpTurned          = 0.05  // part within which a current that changes its sign keeps its size
	jumpDigits          = 20    // last digits of the current up to which its greatest is noise
	jumpRestless        = 1.5   // K from row to row within 10 s
	jumpAnsweredVoltage = 0.005 // part of the voltage that is a jump at the least
	jumpAnswered        = 3     // edges by which what the voltage moves at an edge is known
)

// warmest is the greatest move of a temperature in an interval, K.
func warmest(d float64) float64 {
	if d <= 10 {
		return 2 * jumpRestless
	}
	if d > jumpApart {
		return jumpWarmSlow
	}
	return jumpWarm
}

// jumpWitness keeps five rows.
type jumpWitness struct {
	rows  [5]jumpRow
	count int
	peak  float64

	pairs               int
	unmoved, edges      int
	answer              total // what the voltage moved by at the edges that it answered
	answered            int
	steps               total   // of the current at them
	greatest            float64 // jump of the voltage while the current stays, part of it
	jumps, loaded       int
	warm                int
	firstUnmoved        said
	firstJump           said
	firstLoaded         said
	firstWarm           said
	mirrored            int
	firstMirrored       said
	restless, warmPairs int
	firstRestless       said
	lastT, lastWarm     float64
	hasWarm             bool

	hasV, lastAlone, absent bool
	lastV                   float64
	aside                   int // voltages that are not those of the rows before, where either has no current or there were some without a voltage
	firstAside              said
}

type jumpRow struct {
	t, v, i float64
	line    int
	offset  int64
}

func (w *jumpWitness) row(s *Sample) {
	w.warmth(s)
	w.besides(s)
	w.flows(s)
}

// rows takes rows as row takes one: only where the voltage moves, or the current turns or steps, can there be a jump.
func (w *jumpWitness) block(r *rows) {
	if r.holds(Temperature) {
		r.each(w.warmth)
	}
	at := r.from
	for ; at < r.to; at++ {
		if r.plain && at >= r.from+4 && w.count >= 5 && r.bounds[Current].most <= w.peak {
			w.skip(r, at)
			break
		}
		s := r.sample(at)
		w.besides(s)
		w.flows(s)
	}
}

// skip looks at the rows from one on, which has four before it.
func (w *jumpWitness) skip(r *rows, from int) {
	t, v, i := r.time, r.values[Voltage], r.values[Current]
	step, nothing := jumpEdge*w.peak, 0.02*w.peak
	amps := r.boundsIn(Current, from-2, r.to)
	moves := max(jumpMinimum, jumpAnsweredVoltage*r.boundsIn(Voltage, from-2, r.to).least) * (1 - 1e-9)
	if r.voltsMove(from-2, r.to) <= moves && amps.high-amps.low < step*(1-1e-9) && (amps.low >= 0 || amps.high <= 0) {
		w.together(t[from-4 : r.to])
		w.fill(r, r.to-1)
		w.count += r.to - from
		w.lastV = v[r.to-1]
		return
	}
	for k := from; k < r.to; k++ {
		a, b := i[k-2], i[k-1]
		if math.Abs(v[k-1]-v[k-2]) > moves || math.Abs(b-a) >= step || a > nothing && b < 0 || a < -nothing && b > 0 {
			w.fill(r, k)
			w.judge()
		} else if t[k-1]-t[k-2] <= jumpApart && t[k]-t[k-4] <= 4*jumpApart {
			w.pairs++
		}
	}
	w.fill(r, r.to-1)
	w.count += r.to - from
	w.lastV = v[r.to-1]
}

// together counts the pairs of rows that are near enough to be looked at; of the times, four are of rows before the first.
func (w *jumpWitness) together(t []float64) {
	if t[len(t)-1]-t[0] <= jumpApart {
		w.pairs += len(t) - 4
		return
	}
	for k := 4; k < len(t); k++ {
		if t[k-1]-t[k-2] <= jumpApart && t[k]-t[k-4] <= 4*jumpApart {
			w.pairs++
		}
	}
}

// fill takes the five rows up to one.
func (w *jumpWitness) fill(r *rows, last int) {
	for n := range w.rows {
		at := last - 4 + n
		w.rows[n] = jumpRow{r.time[at], r.values[Voltage][at], r.values[Current][at], r.line[at], r.offset[at]}
	}
}

func (w *jumpWitness) warmth(s *Sample) {
	if s.Has(Temperature) {
		x := s.Values[Temperature]
		if w.hasWarm && !s.Restart && s.Time-w.lastT <= jumpSlow && math.Abs(x-w.lastWarm) > warmest(s.Time-w.lastT) {
			if w.warm == 0 {
				w.firstWarm = said{line: s.Line, offset: s.Offset, text: fmt.Sprintf("from %s to %s", plain(w.lastWarm, quantity.Temperature), plain(x, quantity.Temperature))}
			}
			w.warm++
		}
		if w.hasWarm && !s.Restart && s.Time-w.lastT <= 10 {
			w.warmPairs++
			if math.Abs(x-w.lastWarm) > jumpRestless {
				if w.restless == 0 {
					w.firstRestless = said{line: s.Line, offset: s.Offset}
				}
				w.restless++
			}
		}
		w.hasWarm, w.lastT, w.lastWarm = true, s.Time, x
	}
}

func (w *jumpWitness) flows(s *Sample) {
	v, i := s.Values[Voltage], s.Values[Current]
	if math.IsNaN(i) {
		return
	}
	if size := math.Abs(i); size > w.peak {
		if size > jumpGrown*w.peak { // what came before was beside nothing
			w.edges, w.unmoved, w.mirrored, w.answered, w.answer, w.steps = 0, 0, 0, 0, total{}, total{}
		}
		w.peak = size
	}
	if s.Restart {
		w.count = 0
	}
	copy(w.rows[:], w.rows[1:])
	w.rows[4] = jumpRow{s.Time, v, i, s.Line, s.Offset}
	if w.count++; w.count == 1 { // nothing is before the first row
		for k := range w.rows {
			w.rows[k] = w.rows[4]
		}
	}
	if w.count >= 3 {
		w.judge()
	}
}

// besides looks at a voltage that stands in a row without a current, or comes back after rows without it: it is the same pack's as
// that before.
func (w *jumpWitness) besides(s *Sample) {
	v, alone := s.Values[Voltage], math.IsNaN(s.Values[Current])
	if math.IsNaN(v) {
		w.absent = w.absent || !alone
		return
	}
	low, high := min(v, w.lastV), max(v, w.lastV)
	if w.hasV && !s.Restart && (alone != w.lastAlone || w.absent) && high > jumpLoaded*low && high > 0.5 {
		if w.aside == 0 {
			w.firstAside = said{line: s.Line, offset: s.Offset}
		}
		w.aside++
	}
	w.hasV, w.absent, w.lastV, w.lastAlone = true, false, v, alone
}

// judge looks at the step from the third of the five rows to the fourth.
func (w *jumpWitness) judge() {
	a, b := &w.rows[2], &w.rows[3]
	if b.t-a.t > jumpApart || w.rows[4].t-w.rows[0].t > 4*jumpApart {
		return
	}
	lowI, highI, answer := a.i, a.i, 0.0
	for k := range w.rows {
		lowI, highI = min(lowI, w.rows[k].i), max(highI, w.rows[k].i)
		if k > 0 {
			answer = max(answer, math.Abs(w.rows[k].v-w.rows[k-1].v))
		}
	}
	size := max(math.Abs(a.v), math.Abs(b.v))
	moved := math.Abs(b.v - a.v)
	w.pairs++
	at := said{line: b.line, offset: b.offset}
	note := func(n *int, first *said) {
		if *n == 0 {
			*first = at
		}
		*n++
	}
	if sameWay(a.i, -b.i) && math.Abs(a.i+b.i) <= jumpTurned*math.Abs(a.i) && math.Abs(a.i) > 0.02*w.peak {
		note(&w.mirrored, &w.firstMirrored)
	}
	flows := min(math.Abs(a.i), math.Abs(b.i)) > jumpStays*w.peak
	switch step := math.Abs(b.i - a.i); {
	case flows && size > jumpLoaded*min(math.Abs(a.v), math.Abs(b.v)) && size > 0.5:
		note(&w.loaded, &w.firstLoaded)
	case step >= jumpEdge*w.peak && w.peak > 0 && size > 0:
		w.edges++
		least := jumpNothing * size
		if w.answered >= jumpAnswered {
			least = max(least, 0.25*step*w.ohms())
		}
		if answer < least {
			note(&w.unmoved, &w.firstUnmoved)
		} else {
			w.answered++
			w.answer.add(answer)
			w.steps.add(step)
		}
	case highI-lowI <= jumpStays*w.peak && w.peak > 0 && size > 0:
		least := jumpVoltage * size
		if w.answered >= jumpAnswered {
			least = max(0.5*w.peak*w.ohms(), jumpAnsweredVoltage*size)
		}
		beside := max(math.Abs(a.v-w.rows[1].v), math.Abs(w.rows[4].v-b.v))
		if moved > least && moved > jumpMinimum && moved > jumpAlike*beside {
			note(&w.jumps, &w.firstJump)
			w.greatest = max(w.greatest, moved/size)
		}
	}
}

// ohms is what the voltage moves by, an ampere, where the current steps.
func (w *jumpWitness) ohms() float64 { return w.answer.value() / w.steps.value() }

func (w *jumpWitness) say(h *hearing) []said {
	const remedy = "look at the rows from there on: at their order, at the unit and the sign, and at which column is which"
	if w.peak <= jumpDigits*h.meter.written.size() {
		w.unmoved, w.mirrored = 0, 0 // the noise of a rest
	}
	var list []said
	add := func(level finding.Level, at said, format string, args ...any) {
		list = append(list, said{level, fmt.Sprintf(format, args...), remedy, at.line, at.offset})
	}
	if w.loaded > 0 {
		add(finding.Warning, w.firstLoaded, "the voltage moves by more than three tenths from one row to the next while a current flows, in %s, first here", plural(w.loaded, "place"))
	}
	if w.aside > 0 && w.count > 0 {
		add(finding.Warning, w.firstAside, "the voltage moves by more than three tenths between two rows of which one holds no current, or across rows that hold no voltage, in %s, first here", plural(w.aside, "place"))
	}
	if w.mirrored > 0 && float64(w.mirrored) < jumpOften*float64(w.pairs) {
		add(finding.Note, w.firstMirrored, "the current changes its sign from one row to the next and keeps its size, in %s, first here", plural(w.mirrored, "place"))
	}
	if w.restless >= 5 && w.restless*50 > w.warmPairs {
		add(finding.Warning, w.firstRestless, "the column taken for the temperature moves by more than 1.5 K between rows in %d of %d, first here", w.restless, w.warmPairs)
	}
	if w.unmoved > 0 && float64(w.edges) < jumpOften*float64(w.pairs) {
		level := finding.Note
		if 2*w.unmoved >= w.edges {
			level = finding.Warning
		}
		add(level, w.firstUnmoved, "the current steps by half of its greatest and the voltage does not answer, at %d of %s, first here", w.unmoved, plural(w.edges, "step"))
	}
	if w.jumps >= 2 || w.greatest > jumpAlone {
		level := finding.Warning
		if 5*w.jumps > w.pairs {
			level = finding.Error
		}
		add(level, w.firstJump, "the voltage jumps while the current stays, in %d of %d rows, first here", w.jumps, w.pairs)
	}
	if w.warm > 0 {
		add(finding.Warning, w.firstWarm, "the temperature jumps from one row to the next, in %s, first here %s", plural(w.warm, "place"), w.firstWarm.text)
	}
	return list
}

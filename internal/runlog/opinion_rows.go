package runlog

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/finding"
)

var rowOrderDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-rows-out-of-order", Level: finding.Error, Title: "Rows that are out of order",
	What: "Counts how often the log's clock starts again. More than three times and in more than one row in a hundred is no logger that was started anew: the rows are shuffled, or the time stands in another column.",
	Why:  "What a row's current was multiplied with is then not the time for which it flowed.", Source: ownRule, Example: "  log: {file: bench.csv, columns: {time: elapsed}}",
}

var holesDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-holes", Level: finding.Note, Title: "Empty cells in a column",
	What: "Counts for each column the rows in which it holds no value, but for those that hold a temperature alone. A column that is empty in most of them is left alone. The straight line between the rows before and after stands for them. Of a current under load, more than one row in a hundred is a warning.",
	Why:  "What is not there was not measured: a peak in an empty cell is not seen.", Source: ownRule,
}

var longIntervalDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-long-interval", Level: finding.Note, Title: "Single intervals that are much longer than their neighbours",
	What: "Finds intervals that are more than five times as long as the one before and the one after, which are alike, in a log of which nineteen of twenty intervals are within a fifth of the usual one; of another log, the few that are more than 1.9 times as long as all but one in fifty. They are integrated by a straight line where they are no gap, and what the current can have done meanwhile, from nothing to twice the line, stands in the interval of charge and energy, as does what a gap leaves out. Of a log of which nineteen of twenty intervals are alike, the few of 1.8 to 5 times the usual length are noted where they are too long by half a per cent of the whole time.",
	Why:  "Rows are missing there, or the clock was set forward.", Source: ownRule, Example: "  log: {file: bench.csv, gap: 20 s}",
}

// rowOrder counts how often the clock starts again.
type rowOrder struct {
	rows, restarts int
	first          said
}

func (w *rowOrder) row(s *Sample) {
	w.rows++
	if s.Restart {
		if w.restarts == 0 {
			w.first = said{line: s.Line, offset: s.Offset}
		}
		w.restarts++
	}
}

func (w *rowOrder) block(r *rows) {
	if r.special {
		r.each(w.row)
		return
	}
	w.rows += r.len()
}

func (w *rowOrder) say(*hearing) []said {
	if w.restarts <= 3 || w.restarts*100 <= w.rows {
		return nil
	}
	return []said{{finding.Error, fmt.Sprintf("the time goes back %d times in %d rows, first here: the rows are out of order, or this is not the time of the run", w.restarts, w.rows),
		"sort the rows by time, or name the right column: `columns: {time: HEAD}`", w.first.line, w.first.offset}}
}

// holeWitness counts the empty cells of each column, but for rows that hold a temperature and neither voltage nor current. A column that is empty in
// most of them belongs to an instrument that is read more seldom.
type holeWitness struct {
	rows  int
	empty [channelCount]int
	first [channelCount]said
}

func (w *holeWitness) row(s *Sample) {
	if !s.Has(Voltage) && !s.Has(Current) && s.Has(Temperature) {
		return // a row of another instrument
	}
	w.rows++
	for c := range s.Values {
		if math.IsNaN(s.Values[c]) {
			if w.empty[c] == 0 {
				w.first[c] = said{line: s.Line, offset: s.Offset}
			}
			w.empty[c]++
		}
	}
}

func (w *holeWitness) block(r *rows) {
	n := r.len()
	if r.bounds[Voltage].n < n && r.bounds[Current].n < n && r.holds(Temperature) {
		r.each(w.row) // some may be of another instrument
		return
	}
	w.rows += n
	for c := range w.empty {
		if r.filled[c] == n {
			continue
		}
		if w.empty[c] == 0 {
			at := 0
			if x := r.of(Channel(c)); x != nil {
				at = slices.IndexFunc(x, math.IsNaN)
			}
			w.first[c] = r.said(at)
		}
		w.empty[c] += n - r.filled[c]
	}
}

func (w *holeWitness) say(h *hearing) []said {
	var list []said
	for _, c := range Channels() {
		empty := w.empty[c] - h.meter.leftOut(c)
		if empty <= 0 || 2*w.empty[c] > w.rows || c == State {
			continue
		}
		level := finding.Note
		if c == Current && empty*100 > w.rows {
			level = finding.Warning
		}
		list = append(list, said{level, fmt.Sprintf("the %s is empty in %d of %d rows, first here; the line between the rows before and after stands for it", c, empty, w.rows),
			"if the logger left them out, look for a loose contact; if they were taken out by hand, say so", w.first[c].line, w.first[c].offset})
	}
	return list
}

// longInterval finds single long intervals, and widens what they and the gaps leave open.
type longInterval struct {
	held    [2]interval // the one before the last, and the last
	count   int
	found   int
	time    float64
	hidden  total // variance of the charge, (A s)²
	energy  total // the same of the energy
	charge  total // what the straight line counts in them
	first   said
	gapVar  total
	gapVarE total
	peak    float64
	spread  bool       // rows share stamps, so that how long single intervals are tells nothing
	longest []interval // of those that are no gap, at most mostLong, the longest first
}

// mostLong is how many of the longest intervals are kept.
const mostLong = 16

// keep takes an interval into the longest.
func (w *longInterval) keep(next interval) {
	if len(w.longest) == mostLong && next.d <= w.longest[mostLong-1].d {
		return
	}
	at, _ := slices.BinarySearchFunc(w.longest, next.d, func(i interval, d float64) int { return cmp.Compare(d, i.d) })
	w.longest = slices.Insert(w.longest, at, next)
	w.longest = w.longest[:min(len(w.longest), mostLong)]
}

// exceptional takes from the longest those that are much longer than nearly all others: what a logger that writes when
// something changes has none of.
func (w *longInterval) exceptional(all *quantiles) {
	w.found, w.time, w.charge, w.hidden, w.energy = 0, 0, total{}, total{}, total{}
	limit := 1.9 * all.exceededBy(0.02*all.weight)
	for k := range w.longest {
		if at := &w.longest[k]; at.d > limit {
			w.take(at)
		}
	}
}

type interval struct {
	d, charge, volts float64
	loaded           bool
	line             int
	offset           int64
}

const (
	longTimes  = 5.0
	aboutTwice = 1.8
	aboutPart  = 0.005 // part of the whole time that they must be too long by
	alikeTimes = 2.0
)

func (w *longInterval) pass(p *passage) {
	d := p.length()
	size := max(math.Abs(p.a.i), math.Abs(p.b.i))
	w.peak = max(w.peak, size)
	if p.kind == gap {
		volts := w.interval(p, size).volts
		if !p.b.restart {
			w.gapVar.add(size * d * size * d / 3)
			w.gapVarE.add(volts * size * d * volts * size * d / 3)
		}
		w.count = 0
		return
	}
	if p.blind {
		w.count = 0 // said as a gap
		return
	}
	if d <= 0 {
		return
	}
	w.spread = w.spread || p.a.u > 0
	next := w.interval(p, size)
	w.keep(next)
	if w.count >= 2 {
		w.judge(&w.held[0], &w.held[1], &next)
	}
	w.held[0], w.held[1] = w.held[1], next
	w.count++
}

// ramps takes intervals in succession, as pass takes one: where all are about as long as each other, none stands out.
func (w *longInterval) ramps(r *ramps) {
	n := len(r.d)
	shortest, longest := r.least, r.longest
	for _, h := range w.held {
		shortest, longest = min(shortest, h.d), max(longest, h.d)
	}
	if n < 2 || w.count < 2 || len(w.longest) < mostLong || r.longest > w.longest[mostLong-1].d || longest > longTimes*shortest {
		for k := range r.d {
			w.pass(r.passage(k))
		}
		return
	}
	w.peak = max(w.peak, r.amps.most)
	for k := range w.held {
		p := r.passage(n - 2 + k)
		w.held[k] = w.interval(p, max(math.Abs(p.a.i), math.Abs(p.b.i)))
	}
	w.count += n
}

// interval is what is kept of one, by the greater of the currents at its ends.
func (w *longInterval) interval(p *passage, size float64) interval {
	volts := greater(p.a.v, p.b.v)
	if math.IsNaN(volts) {
		volts = 0
	}
	return interval{p.length(), size * p.length(), volts, size > gapLoad*w.peak, p.b.line, p.b.offset}
}

func (w *longInterval) judge(before, at, after *interval) {
	if at.d <= longTimes*max(before.d, after.d) || before.d > alikeTimes*after.d || after.d > alikeTimes*before.d {
		return
	}
	w.take(at)
}

// take counts a single long interval.
func (w *longInterval) take(at *interval) {
	if w.found == 0 || at.line < w.first.line {
		w.first = said{line: at.line, offset: at.offset}
	}
	w.found++
	w.time += at.d
	if !at.loaded {
		return
	}
	w.charge.add(at.charge)
	w.hidden.add(at.charge * at.charge / 3)
	w.energy.add(at.charge * at.volts * at.charge * at.volts / 3)
}

func (w *longInterval) say(h *hearing) []said {
	r := h.result
	if !r.Charge.Out.Known() {
		return nil
	}
	var odd []said
	if walker := h.meter.walker; walker.regular() {
		odd = w.about(h, walker)
	} else {
		w.found = 0
		if walker.seen >= 5*gapHistory && !w.spread {
			w.exceptional(&walker.intervals)
		}
	}
	hidden := math.Sqrt(w.hidden.value()+w.gapVar.value()) / secondsPerHour
	energy := math.Sqrt(w.energy.value()+w.gapVarE.value()) / secondsPerHour
	if hidden > 0 {
		r.note("charge-out", "What may have flowed in gaps and in single long intervals stands in the interval.")
		h.meter.widenBoth(r, r.Charge.Out.Value < r.Charge.In.Value, gapsInside, hidden, energy)
	}
	if w.found == 0 {
		return odd
	}
	level := finding.Note
	if w.charge.value()/secondsPerHour > 0.005*max(float64(r.Charge.Out.Value), float64(r.Charge.In.Value)) {
		level = finding.Warning
	}
	return append(odd, said{level, fmt.Sprintf("%s much longer than those beside it, %s in all, first here; what may have flowed meanwhile stands in the interval of the charge",
		isAre(w.found, "interval"), clockText(w.time)), "rows are missing there, or the clock was set; state a shorter `gap:` to leave such intervals out", w.first.line, w.first.offset})
}

// about says of a regular log which of its intervals are about twice as long as the others and more, but not so long that what they
// hide is put into the interval: a row or two are missing, or the clock was set by as much.
func (w *longInterval) about(h *hearing, of *walker) []said {
	usual := of.intervals.exceededBy(of.intervals.weight / 2)
	found, time := 0, 0.0
	var first said
	for k := range w.longest {
		at := &w.longest[k]
		if at.d <= aboutTwice*usual || at.d > longTimes*usual {
			continue
		}
		if found == 0 || at.line < first.line {
			first = said{line: at.line, offset: at.offset}
		}
		found++
		time += at.d
	}
	if missing := time - float64(found)*usual; found == 0 || found >= mostLong || found*50 > of.seen || missing < aboutPart*(h.meter.last-h.meter.first) {
		return nil
	}
	return []said{{finding.Note, fmt.Sprintf("%s about twice as long as the usual one or longer, %s in all, first here", isAre(found, "interval"), clockText(time)),
		"rows are missing there, or the clock was set; the line between the rows stands for what flowed", first.line, first.offset}}
}

// regular says whether nineteen of twenty intervals are within a fifth of the median.
func (w *walker) regular() bool {
	all := &w.intervals
	middle := all.exceededBy(all.weight / 2)
	return w.seen >= gapHistory && all.exceededBy(0.05*all.weight) <= 1.2*middle && all.exceededBy(0.95*all.weight) >= 0.8*middle
}

func isAre(n int, noun string) string {
	if n == 1 {
		return "1 " + noun + " is"
	}
	return fmt.Sprintf("%d %ss are", n, noun)
}

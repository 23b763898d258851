package runlog

import (
	"fmt"
	"math"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// Rules by which rows that share a stamp are told to be several readings within its last digit, and not an edge at one
// instant. Our own choice; the rule log-coarse-stamps states them.
const (
	coarseReach    = 8.0  // in last digits of the stamps: how far off others count that share a stamp
	coarseSpeakers = 2    // how many of them are needed
	coarseNext     = 1.5  // in last digits: a later stamp does not follow on
	coarseRows     = 8192 // rows of one stamp that are held back; more are kept at their stamp
)

// spreader gives the rows that share a stamp times of their own, where the log writes several rows to each stamp. It holds
// back the rows of the few stamps that it takes to tell that from two rows at one instant, on either side of an edge.
type spreader struct {
	report *tally
	unit   float64 // s that the stamps count; 0 where nothing is spread
	digits decimalGrain
	rows   []Sample // held back, the oldest first
	given  int      // of them
	done   int      // of them, whose times are settled
	groups []stampGroup
	peak   float64    // greatest |current| so far
	before float64    // the current of the row before the last group
	spoke  [2]float64 // the last stamps whose rows spoke for coarse stamps
	last   stampGroup // the last one that was settled
	shift  float64    // s, so that the first row stands at zero
	begun  bool
	lent   int  // the first row in a block that is lent to it
	told   bool // the block knows in how many decimals the rows are written that are held back
}

// stampGroup is the rows of one stamp.
type stampGroup struct {
	t      float64
	n      int
	held   int  // of them, by the clock
	broken bool // the log's clock started again here
	odd    bool // there were too many
	speaks bool // these rows are no edge
	mixed  bool // the pace may change within the stamp
}

func newSpreader(report *tally, unit float64, digits decimalGrain) spreader {
	nan := math.NaN()
	return spreader{report: report, unit: unit, digits: digits, before: nan, spoke: [2]float64{nan, nan}, last: stampGroup{t: math.Inf(-1)}}
}

// grain is what the last digit of a stamp counts, in s.
func (w *spreader) grain() float64 { return w.digits.size() * w.unit }

// take takes the next row; part is its stamp's part below whole seconds, or all of it where the stamp is a number.
func (w *spreader) take(s *Sample, part float64, held bool) {
	w.digits.addTo(part/w.unit, finestStamp)
	w.told = false
	i := s.Values[Current]
	w.peak = max(w.peak, math.Abs(i))
	if k := len(w.groups) - 1; k >= 0 && s.Time == w.groups[k].t && !s.Restart {
		g := &w.groups[k]
		g.n++
		if held {
			g.held++
		}
		w.rows = append(w.rows, *s)
		if g.n > coarseRows { // they can be held back no longer
			for k := range w.groups {
				w.place(&w.groups[k], false)
			}
			w.groups = append(w.groups[:0], stampGroup{t: s.Time, odd: true})
		}
		return
	}
	w.judge(i)
	w.rows = append(w.rows, *s)
	w.groups = append(w.groups, stampGroup{t: s.Time, n: 1, broken: s.Restart})
	w.decide(false)
}

// give gives the next row whose time is settled.
func (w *spreader) give() (Sample, bool) {
	if w.given < w.done {
		w.given++
		return w.rows[w.given-1], true
	}
	if w.given > 0 {
		w.rows = append(w.rows[:0], w.rows[w.given:]...)
		w.given, w.done = 0, 0
	}
	return Sample{}, false
}

// lend gives the rows that are held back to a block that is read into, where all of them have stamps of their own and nothing speaks
// for coarse ones: while the stamps go on rising, they stay where they are. It says whether it did.
func (w *spreader) lend(b *block) bool {
	if w.unit == 0 {
		return true
	}
	if !w.begun || w.shift != 0 || w.given < len(w.rows)-len(w.groups) || w.given != w.done || len(w.groups) == 0 || b.n+len(w.groups) >= blockRows {
		return false
	}
	reach := coarseReach * w.grain() * (1 + 1e-9)
	for k := range w.groups {
		if g := &w.groups[k]; g.n != 1 || g.speaks || g.odd || g.held > 0 || g.broken || w.spoke[0] >= g.t-reach || w.spoke[1] >= g.t-reach {
			return false
		}
	}
	w.lent = b.n
	told := b.told
	for k := range w.rows[w.given:] {
		b.add(&w.rows[w.given+k])
	}
	if w.told {
		b.told = told
	}
	return true
}

// takeBack takes the rows back that a later stamp may still move, after so many more were read into the block.
func (w *spreader) takeBack(b *block, read int) {
	if w.unit == 0 {
		return
	}
	if read > 0 {
		w.before = b.at(Current, b.n-2)
		if i := b.values[Current]; i != nil {
			for _, x := range i[b.n-read : b.n] {
				if x = math.Abs(x); x > w.peak {
					w.peak = x
				}
			}
		}
	}
	reach := coarseReach * w.grain() * (1 + 1e-9)
	newest := b.time[b.n-1]
	settled := w.lent
	for settled < b.n-1 && newest > b.time[settled]+reach {
		settled++
	}
	if settled > w.lent {
		w.last = stampGroup{t: b.time[settled-1], n: 1}
	}
	w.rows, w.groups, w.given, w.done = w.rows[:0], w.groups[:0], 0, 0
	w.told = settled >= b.told
	for k := settled; k < b.n; k++ {
		w.rows = append(w.rows, *b.sample(k))
		w.groups = append(w.groups, stampGroup{t: b.time[k], n: 1})
	}
	b.cut(settled)
}

// finish settles what is held back.
func (w *spreader) finish() {
	if w.unit > 0 {
		w.judge(math.NaN())
		w.decide(true)
	}
}

// judge says of the last group, which is whole now, whether its rows are no edge at one instant; next is the current after it.
func (w *spreader) judge(next float64) {
	if len(w.groups) == 0 {
		return
	}
	g := &w.groups[len(w.groups)-1]
	if g.n == 0 {
		return
	}
	rows := w.rows[len(w.rows)-g.n:]
	g.speaks = g.n > 1 && !g.odd && g.held == 0
	for k := 1; k < g.n; k++ {
		for _, c := range []Channel{Voltage, Current} {
			if rows[k].Has(c) != rows[k-1].Has(c) {
				g.speaks = false // two instruments take turns
			}
		}
	}
	if g.n == 2 {
		a, b := rows[0].Values[Current], rows[1].Values[Current]
		step := math.Abs(b - a)
		if step > 0 && step >= edgeFraction*w.peak && !(math.Abs(a-w.before) > edgeFlatness*step) && !(math.Abs(next-b) > edgeFlatness*step) {
			g.speaks = false
		}
	}
	w.before = rows[g.n-1].Values[Current]
}

// decide settles the groups of which enough is known.
func (w *spreader) decide(end bool) {
	for len(w.groups) > 1 || end && len(w.groups) > 0 {
		g := &w.groups[0]
		reach := coarseReach * w.grain() * (1 + 1e-9)
		speakers := 0
		for _, t := range w.spoke {
			if t >= g.t-reach {
				speakers++
			}
		}
		for k := range w.groups {
			if w.groups[k].speaks && w.groups[k].t <= g.t+reach {
				speakers++
			}
		}
		coarse := speakers >= coarseSpeakers && !g.odd && g.held == 0
		newest := w.groups[len(w.groups)-1].t
		switch {
		case end:
		case !coarse && newest <= g.t+reach:
			return // more may come
		case coarse && len(w.groups) == 2 && w.follows(g, &w.groups[1]):
			return // how many the next stamp has says where these begin, and whether they come as densely
		case coarse && len(w.groups) == 3 && w.follows(g, &w.groups[1]) && w.follows(&w.groups[1], &w.groups[2]) && !w.follows(&w.last, g):
			return // and whether that one is full
		}
		w.place(g, coarse)
		if g.speaks {
			w.spoke[0], w.spoke[1] = w.spoke[1], g.t
		}
		w.last = *g
		w.groups = slices.Delete(w.groups, 0, 1)
	}
}

// follows says whether a stamp is the next one, so that the rows of the one before fill the time up to it.
func (w *spreader) follows(a, b *stampGroup) bool {
	return b.t-a.t <= coarseNext*w.grain() && !b.broken
}

// place settles the times of the first group. Rows of a coarse stamp stand evenly over the time until the next. Where the
// rows begin within a stamp they reach up to the next one, as densely as they go on; where they end within one they start
// with it, as densely as they came.
func (w *spreader) place(g *stampGroup, coarse bool) {
	if !coarse {
		if n := g.n - 1 - g.held; n > 0 {
			w.repeated(&w.rows[w.done+1], n)
		}
		for range g.n {
			w.settle(0, 0)
		}
		return
	}
	span, from, density := w.grain(), 0.0, g.n
	follows, next := w.follows(&w.last, g), false
	if len(w.groups) > 1 {
		n := &w.groups[1]
		next = w.follows(g, n)
		span = min(span*coarseNext, n.t-g.t)
		if !next {
			span = min(span, w.grain())
		}
		if next && !follows && n.n > g.n && !(len(w.groups) > 2 && w.follows(n, &w.groups[2]) && fewer(n.n, w.groups[2].n)) {
			density = n.n
			from = span * (1 - float64(g.n)/float64(density))
		}
	}
	if !next && follows && w.last.n > g.n && !w.last.mixed {
		density = w.last.n
	}
	// Of n readings at random within a span s the middle one is off by s/(2·√(n + 2)), the others by less.
	// Where it has fewer than a stamp beside it, by more than chance, the pace may change somewhere in the span.
	u := span / (2 * math.Sqrt(float64(density)+2))
	beside := 0
	if follows {
		beside = w.last.n
	}
	if next {
		beside = max(beside, w.groups[1].n)
	}
	if g.mixed = fewer(density, beside); g.mixed {
		u = span / math.Sqrt(3)
	}
	if g.n > 1 {
		w.spreadOut(&w.rows[w.done], g.n)
	}
	for k := range g.n {
		w.settle(from+span*float64(k)/float64(density), u)
	}
}

// fewer says whether one number of rows is below the other by more than three standard deviations of a count.
func fewer(a, than int) bool { return float64(than-a) > 3*math.Sqrt(float64(than)) }

// settle moves the next row by so much.
func (w *spreader) settle(by, loose float64) {
	s := &w.rows[w.done]
	w.done++
	if !w.begun {
		w.begun, w.shift = true, s.Time+by
	}
	s.Time += by - w.shift
	s.Values[Time], s.Loose = s.Time, loose
}

// repeated counts rows that are kept at one instant.
func (w *spreader) repeated(first *Sample, n int) {
	w.count("log-repeated-time", first, n, func(n int, _ float64) finding.Finding {
		return finding.Finding{Level: finding.Note, Text: fmt.Sprintf("%s the time of the row before, first here; both are kept, as an edge at one instant", rowsVerb(n, "repeats", "repeat"))}
	})
}

// spreadOut counts rows that share a coarse stamp.
func (w *spreader) spreadOut(first *Sample, n int) {
	grain := plain(w.grain(), quantity.Time)
	w.count("log-coarse-stamps", first, n, func(n int, _ float64) finding.Finding {
		return finding.Finding{Level: finding.Note,
			Text:   fmt.Sprintf("%s a stamp with others, first here, as the times are written to %s; they are spread evenly until the next stamp, and what this leaves open stands in the intervals", rowsVerb(n, "shares", "share"), grain),
			Remedy: "let the logger write its times in finer digits"}
	})
}

func (w *spreader) count(rule string, first *Sample, n int, finish func(n int, _ float64) finding.Finding) {
	line, offset := first.Line, first.Offset
	for range n {
		w.report.count(rule, "", 0, func() finding.Span { return place(w.report.src, line, offset) }, finish)
	}
}

// stampUnit is what the numbers of a form count, in s; 0 for rows that have no time of their own.
func (f timeForm) stampUnit(minutes bool) float64 {
	switch {
	case f == timeStep:
		return 0
	case f == timeHoursMinutes, minutes && f != timeMinutesSeconds:
		return 60
	case f.numeric():
		return f.numericStamp(1).part
	}
	return 1
}

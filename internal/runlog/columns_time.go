package runlog

import (
	"bytes"
	"math"
)

// timeKind is how a time stands in its columns.
type timeKind uint8

const (
	timeNumbers timeKind = iota // a number
	timeWritten                 // written: a clock, a date, a duration
	timeDay                     // a date in one column and a clock in another
	timeParts                   // whole seconds in one column, nanoseconds in another
)

// timeSource is a time of the log: one column, or two that make it together.
type timeSource struct {
	columns []source
	kind    timeKind
}

func (a *assigner) timeKind(i int) timeKind {
	if i < len(a.rows.texts) && len(a.rows.texts[i]) > 0 {
		return timeWritten
	}
	return timeNumbers
}

// timeCandidate is a time that the log may have.
type timeCandidate struct {
	timeSource
	score int
	falls bool // it falls within the sniffed rows: a step's time, or a clock that was set back
	still bool // it never changes
	dated bool
}

// times finds the log's time, and its other time where it has two: one that
// elapses and one that is dated. The elapsed one is taken for the log's time,
// unless it starts anew where the dates run on.
func (a *assigner) times() {
	if a.has(Time) { // stated
		a.otherTime()
		return
	}
	if a.splitTime() {
		return
	}
	elapsed, dated := a.best(false), a.best(true)
	main, second := elapsed, dated
	if elapsed == nil || dated != nil && elapsed.falls && !dated.falls && !dated.still {
		main, second = dated, elapsed
	}
	if main == nil {
		return
	}
	a.plan.time = &main.timeSource
	a.mark(main)
	if second != nil && !second.falls && !second.still {
		a.plan.second = &second.timeSource
		a.mark(second)
	}
}

// otherTime finds a second time beside a stated one.
func (a *assigner) otherTime() {
	for _, dated := range []bool{true, false} {
		if c := a.best(dated); c != nil && !c.falls && !c.still && (dated || c.score >= leastScore) {
			a.plan.second = &c.timeSource
			a.mark(c)
			return
		}
	}
}

func (a *assigner) mark(c *timeCandidate) {
	for _, s := range c.columns {
		a.taken[s.index] = true
	}
}

// best is the likeliest time of the one sort or the other.
func (a *assigner) best(dated bool) *timeCandidate {
	var best *timeCandidate
	better := func(c, than *timeCandidate) bool {
		switch {
		case than == nil:
			return true
		case c.still != than.still:
			return than.still
		case c.falls != than.falls:
			return than.falls
		}
		return c.score > than.score
	}
	for i := range a.plan.heads {
		if a.taken[i] {
			continue
		}
		c, ok := a.timeCandidate(i)
		if ok && c.dated == dated && better(&c, best) {
			best = &c
		}
	}
	return best
}

// timeCandidate looks at a column as a time.
func (a *assigner) timeCandidate(i int) (timeCandidate, bool) {
	channel, score := a.plan.heads[i].channel()
	switch a.kind(i) {
	case kindNumber:
		if channel != Time || score < leastScore {
			return timeCandidate{}, false
		}
		c := timeCandidate{timeSource: timeSource{[]source{a.timeColumn(i)}, timeNumbers}, score: score}
		c.falls, c.still = a.course(func(row int) float64 { return a.window[row][i] })
		return c, true
	case kindTime:
	default:
		return timeCandidate{}, false
	}
	if channel == StepTime && score >= leastScore {
		return timeCandidate{}, false
	}
	if channel != Time || score < leastScore {
		score = 1
	}
	texts := a.rows.texts[i]
	if len(texts) == 0 { // no row of the sample reaches so far
		return timeCandidate{}, false
	}
	choice := chooseWrittenTime(texts)
	c := timeCandidate{timeSource: timeSource{[]source{a.timeColumn(i)}, timeWritten}, score: score}
	c.dated = choice.form.dated() || choice.form == timeUnknown && !bytes.Contains(texts[0], []byte(":"))
	if c.dated && !bytes.Contains(texts[0], []byte(":")) { // a day: the clock stands beside it
		for _, j := range []int{i + 1, i - 1} {
			if j < 0 || j >= len(a.rows.texts) || a.taken[j] || a.kind(j) != kindTime {
				continue
			}
			if _, _, ok := chooseDayTime(a.rows.texts[i], a.rows.texts[j]); ok {
				first, second := min(i, j), max(i, j)
				c.timeSource = timeSource{[]source{a.timeColumn(first), a.timeColumn(second)}, timeDay}
				return c, true
			}
		}
	}
	if !c.dated && a.hasDayBeside(i) {
		return timeCandidate{}, false // the day will bring it along
	}
	if choice.form != timeUnknown {
		at := map[int]float64{}
		for k, text := range texts {
			if s, ok := choice.form.parseStamp(text); ok {
				at[a.rows.at[i][k]] = float64(s.whole%1e9) + s.part
			}
		}
		c.falls, c.still = a.course(func(row int) float64 {
			if v, ok := at[row]; ok {
				return v
			}
			return math.NaN()
		})
		if choice.form.clocked() && c.falls {
			c.falls = a.fallsToZero(at)
		}
	}
	return c, true
}

// fallsToZero tells a time that starts anew from a clock that passes midnight or was set back.
func (a *assigner) fallsToZero(at map[int]float64) bool {
	last := math.NaN()
	for row := range a.window {
		v, ok := at[row]
		if !ok {
			continue
		}
		if v < last && v < 60 && last < 86000 {
			return true
		}
		last = v
	}
	return false
}

func (a *assigner) hasDayBeside(i int) bool {
	for _, j := range []int{i + 1, i - 1} {
		if j < 0 || j >= len(a.rows.texts) || a.taken[j] || a.kind(j) != kindTime || len(a.rows.texts[j]) == 0 || bytes.Contains(a.rows.texts[j][0], []byte(":")) {
			continue
		}
		if _, _, ok := chooseDayTime(a.rows.texts[i], a.rows.texts[j]); ok {
			return true
		}
	}
	return false
}

// course says whether a column falls by more than a second, and whether it never changes.
func (a *assigner) course(value func(row int) float64) (falls, still bool) {
	last, n := math.NaN(), 0
	still = true
	for row := range a.window {
		v := value(row)
		if math.IsNaN(v) {
			continue
		}
		if n > 0 {
			falls = falls || v < last-heldBack
			still = still && v == last
		}
		last = v
		n++
	}
	return falls, still && n > 2
}

func (a *assigner) timeColumn(i int) source {
	u := a.plan.units[i]
	s := source{channel: Time, index: i, unit: u, name: a.plan.names[i], from: "head", named: u != nil && u.Dimension() == Time.Dimension()}
	if !s.named {
		s.unit = baseUnit(Time)
	}
	return s
}

// splitTime finds whole seconds and nanoseconds in two neighbouring columns.
func (a *assigner) splitTime() bool {
	for i := 0; i+1 < len(a.plan.names); i++ {
		s, ns := findUnit(a.plan.names[i]), findUnit(a.plan.names[i+1])
		if s != nil && ns != nil && s.Symbol() == "s" && ns.Symbol() == "ns" && a.kind(i) == kindNumber && a.kind(i+1) == kindNumber {
			a.plan.time = &timeSource{[]source{a.timeColumn(i), a.timeColumn(i + 1)}, timeParts}
			a.taken[i], a.taken[i+1] = true, true
			return true
		}
	}
	return false
}

// wholeMinutes says whether a time is written as hours and minutes alone.
func wholeMinutes(t *timeSource, rows *sniffRows) bool {
	clocks := 0
	for _, c := range t.columns {
		if c.index >= len(rows.texts) {
			continue
		}
		for _, text := range rows.texts[c.index] {
			at := bytes.IndexByte(text, ':')
			if at < 0 {
				continue
			}
			if zone := bytes.IndexAny(text[at:], "+-"); zone > 0 {
				text = text[:at+zone]
			}
			if clocks++; bytes.Count(text, []byte(":")) > 1 {
				return false
			}
		}
	}
	return clocks > 0
}

// stepClock takes a time in the step that is written as a clock.
func (a *assigner) stepClock() {
	for i := range a.plan.heads {
		if a.taken[i] || a.has(StepTime) || a.kind(i) != kindTime {
			continue
		}
		c, score := a.plan.heads[i].channel()
		choice := chooseWrittenTime(a.rows.texts[i])
		if c != StepTime || score < leastScore || choice.form == timeUnknown || choice.problem != "" || choice.form.dated() {
			continue
		}
		a.plan.inStep = choice.form
		a.take(StepTime, i, "head")
		a.plan.sources[len(a.plan.sources)-1].named = true
	}
}

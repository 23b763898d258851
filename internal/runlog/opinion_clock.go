package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var secondTimeDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-times-disagree", Level: finding.Warning, Title: "Two times in a log that do not fit",
	What: "Compares the log's two columns of time, such as elapsed seconds and dates, in all and from row to row. More than 2 s and 1 % apart is said, with the row in which they part; by more than a factor of 1.5 it is an error, with the form of time that would bring them together.",
	Why:  "Charge and energy are proportional to the time. A clock that is set while the run goes on, or a unit that is taken for another, is seen nowhere else.", Source: ownRule,
	Example: "  log: {file: bench.csv, time: milliseconds}",
}

var stepTimeDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-step-time-disagrees", Level: finding.Warning, Title: "A step's own time that does not fit",
	What: "Compares the time within a step of a tester's program with the time of the run, over all intervals in which both go on, as log-times-disagree does.",
	Why:  secondTimeDoc.Why, Source: ownRule, Example: secondTimeDoc.Example,
}

var namedIntervalDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-interval-disagrees", Level: finding.Warning, Title: "Rows that do not come at the interval that the head names",
	What: "Compares the usual interval between rows with one that is named above the data, such as 10 Hz. By more than a factor of 1.5 it is said; by more than thirty it is an error.",
	Why:  "Rows may have been thinned out, or the time is in another unit.", Source: ownRule, Example: secondTimeDoc.Example,
}

// clockPair compares a second clock with the log's time, interval by interval.
type clockPair struct {
	has         bool
	ours, other float64 // at the last row that holds it
	sumOurs     total   // over the intervals that are compared
	sumOther    total
	jumps       int
	worst       float64
	jump        said
	restarts    bool // the other clock may start again
}

// add takes a row; fits says whether the two intervals are one within the whole seconds in which either may be written.
func (w *clockPair) add(s *Sample, other float64) {
	if math.IsNaN(other) {
		return
	}
	d, e := s.Time-w.ours, other-w.other
	if w.has && !s.Restart && !(w.restarts && e < 0) {
		w.sumOurs.add(d)
		w.sumOther.add(e)
		if off := math.Abs(d - e); off > 2+0.05*max(d, math.Abs(e)) {
			w.jumps++
			if w.jumps == 1 || off > w.worst {
				w.worst = off
				w.jump = said{line: s.Line, offset: s.Offset, text: fmt.Sprintf("%s against %s", clockText(d), clockText(e))}
			}
		}
	}
	w.has, w.ours, w.other = true, s.Time, other
}

func clockText(d float64) string { return plain(d, quantity.Time) }

// judge says what the two come to; holds is whether they agree.
func (w *clockPair) judge(h *hearing, what string) (list []said, holds bool) {
	ours, other := w.sumOurs.value(), w.sumOther.value()
	if !w.has || ours <= 0 && other <= 0 {
		return nil, false
	}
	ratio := ours / other
	if math.Abs(ours-other) > 2+0.01*max(ours, math.Abs(other)) {
		found := []likely{}
		if f, ok := likelyForm(h.dialect, ratio); ok {
			found = append(found, f)
		}
		looks, remedy := either(found, "look at where the two part: a clock was set, or rows of another run stand between; name the right column: `columns: {time: HEAD}`")
		text := fmt.Sprintf("the log's time comes to %s where %s comes to %s%s", clockText(ours), what, clockText(other), looks)
		if w.jumps > 0 && len(found) == 0 {
			text += fmt.Sprintf("; they part most here, by %s from row to row", w.jump.text)
		}
		return []said{{grave(ratio), text, remedy, w.jump.line, w.jump.offset}}, false
	}
	if w.jumps > 0 {
		return []said{{finding.Note, fmt.Sprintf("from row to row, %s and the log's time part in %s by more than 2 s and 5 %%, most here: %s", what, plural(w.jumps, "interval"), w.jump.text),
			"look at the rows: a clock was set there, or rows are missing", w.jump.line, w.jump.offset}}, true
	}
	return nil, true
}

type secondTime struct {
	clockPair
}

func (w *secondTime) row(s *Sample) { w.add(s, s.Values[SecondTime]) }

func (w *secondTime) say(h *hearing) []said {
	list, holds := w.judge(h, "its second time")
	h.timeHolds = h.timeHolds || holds
	return list
}

type stepTime struct {
	clockPair
	step float64
}

func (w *stepTime) row(s *Sample) {
	w.restarts = true
	if step := s.Values[Step]; step != w.step && !math.IsNaN(step) {
		w.has = false // another step's time
		w.step = step
	}
	w.add(s, s.Values[StepTime])
}

func (w *stepTime) say(h *hearing) []said {
	list, holds := w.judge(h, "the steps' own time")
	for _, c := range h.dialect.Columns {
		if c.Channel == StepTime && c.Unit == "" {
			for k := range list {
				list[k].level = finding.Note // its own unit is not known
			}
		}
	}
	h.timeHolds = h.timeHolds || holds
	return list
}

// namedInterval compares the usual interval with the one named above the data.
type namedInterval struct{}

func (w *namedInterval) say(h *hearing) []said {
	named, walker := h.dialect.NamedStep, h.meter.walker
	if !(named > 0) || walker.seen < gapHistory {
		return nil
	}
	usual := walker.intervals.exceededBy(walker.intervals.weight / 2)
	ratio := usual / named
	if ratio < wrongFactor && ratio > 1/wrongFactor {
		return nil
	}
	level := finding.Warning
	if ratio > 30 || ratio < 1.0/30 {
		level = finding.Error
	}
	looks, remedy := either(h.likely(ratio, true), "if rows were thinned out, say so in the note; else look at the unit of the time")
	return []said{{level, fmt.Sprintf("the rows come every %s, and a line above them names %s%s", clockText(usual), clockText(named), looks), remedy, 0, 0}}
}

package runlog

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var currentMissingDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-current-missing", Level: finding.Warning, Title: "A voltage that answers a load which is not written",
	What: "Looks, where a current of at most a fiftieth of the greatest is written, at what the voltage moves by in 10 s. Where it falls three times and rises three times by six tenths or more of what it answers the greatest current with, in the same log, a load comes on and goes off that the column of the current does not show.",
	Why:  "A shunt that lost its contact, a meter that left its range, or a stretch in another unit: the charge of the stretch is missing.", Source: ownRule,
}

// silent looks for a current that is missing: the voltage falls and rises as under a load, and no current is written. After a load has
// gone the voltage rises, after a charge it falls; it does both again and again under a load alone.
type silent struct {
	quiet  bool
	t, v   float64
	events [2][]silentMove // the greatest falls and rises, the greatest first
}

type silentMove struct {
	size float64
	at   said
}

const (
	silentTime   = 10.0 // s over which a move is looked at
	silentApart  = 20.0 // s between rows beyond which nothing is told
	silentMoves  = 3    // falls, and rises, that are wanted
	silentPart   = 0.6  // part of what the voltage answers the greatest current with
	silentDigits = 3    // last digits of the voltage that a move has at the least
)

// row takes a row with a voltage and a current; peak is the greatest current so far.
func (w *silent) row(s *Sample, v, i, peak float64) {
	if math.Abs(i) > answerNothing*peak || s.Restart || w.quiet && s.Time-w.t > silentApart {
		w.quiet = false
	}
	switch {
	case math.Abs(i) > answerNothing*peak:
	case !w.quiet:
		w.quiet, w.t, w.v = true, s.Time, v
	case s.Time-w.t >= silentTime:
		w.keep(v-w.v, said{line: s.Line, offset: s.Offset})
		w.t, w.v = s.Time, v
	}
}

func (w *silent) keep(moved float64, at said) {
	if moved == 0 {
		return
	}
	list := &w.events[0]
	if moved > 0 {
		list = &w.events[1]
	}
	*list = append(*list, silentMove{math.Abs(moved), at})
	slices.SortStableFunc(*list, func(a, b silentMove) int { return cmp.Compare(b.size, a.size) })
	*list = (*list)[:min(len(*list), silentMoves)]
}

// silentWitness speaks of what the witness of the sign has heard.
type silentWitness struct{}

// say speaks where, by the resistance that the rows with a current show, the moves without one would need a good part of the greatest.
func (silentWitness) say(h *hearing) []said {
	of := h.answers
	w, sound := &of.silent, &of.sides[0]
	if sound.n < answerSteps || sound.correlation() > -answerSure || len(w.events[0]) < silentMoves || len(w.events[1]) < silentMoves {
		return nil
	}
	least := min(w.events[0][silentMoves-1].size, w.events[1][silentMoves-1].size)
	if ohms := -sound.vi.value() / sound.ii.value(); least < silentPart*of.peak*ohms || least < silentDigits*of.grain.size() {
		return nil
	}
	first := w.events[0][0].at
	for _, e := range slices.Concat(w.events[0], w.events[1]) {
		if e.at.line < first.line {
			first = e.at
		}
	}
	return []said{{finding.Warning, fmt.Sprintf("the voltage falls and rises by %s and more within %s, as under a load, while the current is nothing, in three places and more, first here",
		plain(least, quantity.Voltage), clockText(silentTime)), "look at the current from there on: at its unit, at its range, and for a loose contact", first.line, first.offset}}
}

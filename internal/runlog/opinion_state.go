package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var stateDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-state-disagrees", Level: finding.Warning, Title: "A state that does not fit the current",
	What: "Compares a column that says discharge or charge with the direction in which the current flows, in rows that say one of the first two and in which more than a twentieth of the greatest current flows. More than one row in a hundred is said; more than three in ten is an error.",
	Why:  "Either the sign of the current is the other way round, or the rows have slipped.", Source: ownRule, Example: "  log: {file: bench.csv, discharge: negative}",
}

type stateWitness struct {
	flowing, off int
	peak         float64
	first        said
}

func (w *stateWitness) row(s *Sample) {
	state, i := s.Values[State], s.Values[Current]
	if math.IsNaN(state) || math.IsNaN(i) {
		return
	}
	if size := math.Abs(i); size > jumpGrown*w.peak { // what came before was beside nothing
		w.flowing, w.off = 0, 0
	}
	w.peak = max(w.peak, math.Abs(i))
	if state == StateRest || math.Abs(i) <= 0.05*w.peak {
		return
	}
	w.flowing++
	if sameWay(state, -i) {
		if w.off == 0 {
			w.first = said{line: s.Line, offset: s.Offset}
		}
		w.off++
	}
}

func (w *stateWitness) say(*hearing) []said {
	share := float64(w.off) / float64(max(w.flowing, 1))
	if share <= 0.01 || w.off < 2 {
		return nil
	}
	level := finding.Warning
	if share > 0.3 {
		level = finding.Error
	}
	return []said{{level, fmt.Sprintf("in %d of %d rows with a load the current flows the other way than the state says, first here", w.off, w.flowing),
		"state the sign of a discharge, `discharge: negative` or `discharge: positive`; if that is right, name the right columns", w.first.line, w.first.offset}}
}

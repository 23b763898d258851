package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

var secondColumnDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-second-column-disagrees", Level: finding.Warning, Title: "Two columns of one kind that do not fit",
	What: "A second column of a voltage, a current or a temperature is not measured with, but compared. Two voltages or currents need not be equal, for they may stand before and behind a lead or a switch: it is said where they are a thousand times apart throughout, which is an error, or in five rows or more of a log in which they are not elsewhere; and where two currents flow against each other in five rows or more and together in most. Two thermometers, the surroundings being one, begin near each other: where they begin 10 K or more apart, and within 3 K if one were read in another unit, with another sign or a thousand times greater, that is said; so is a row in which they exchange their values, and surroundings that move three times as much as the pack.",
	Why:  "What is read twice shows where one of the two is in another unit or of another sign, which nothing else in the log need show.", Source: ownRule,
	Example: "  log: {file: bench.csv, columns: {temperature: \"T_cell [degC]\"}}",
}

// secondWitness holds each second column against the first of its kind.
type secondWitness struct {
	flows        [2]flowPair
	thermometers [2]thermometers
}

func (w *secondWitness) row(s *Sample) {
	w.flows[0].row(s, Voltage, SecondVoltage)
	w.flows[1].row(s, Current, SecondCurrent)
	w.thermometers[0].row(s, SecondTemperature)
	w.thermometers[1].row(s, Ambient)
}

func (w *secondWitness) say(h *hearing) []said {
	var list []said
	for k, c := range []Channel{Voltage, Current} {
		list = append(list, w.flows[k].say(c)...)
	}
	for k, c := range []Channel{SecondTemperature, Ambient} {
		list = append(list, w.thermometers[k].say(h.dialect, c)...)
	}
	return list
}

// flowPair compares two voltages, or two currents, in the rows in which one of them is a fifth of its greatest or more.
type flowPair struct {
	top       [2]float64
	rows      int
	along     [2]int // rows in which they have the same sign, and the other one
	firstSign [2]said
	thousand  [3]int // rows in which the first is a thousandth of the second, neither, and a thousand times it
	firstSize [3]said
}

// Rules for two columns of a kind; our own choice.
const (
	pairPart  = 0.2  // part of the greatest from which a row is compared
	pairLeast = 1e-4 // part of it below which a value is nothing
	pairRows  = 5    // rows of which something is said
)

func (w *flowPair) row(s *Sample, c, second Channel) {
	at := [2]float64{s.Values[c], s.Values[second]}
	if math.IsNaN(at[0]) || math.IsNaN(at[1]) {
		return
	}
	flows, nothing := false, false
	for k, x := range at {
		w.top[k] = max(w.top[k], math.Abs(x))
		flows = flows || math.Abs(x) >= pairPart*w.top[k]
		nothing = nothing || math.Abs(x) <= pairLeast*w.top[k]
	}
	if !flows || nothing {
		return
	}
	w.rows++
	note := func(n *int, first *said) {
		if *n == 0 {
			*first = said{line: s.Line, offset: s.Offset}
		}
		*n++
	}
	sign, size := 0, 1
	if sameWay(at[0], -at[1]) {
		sign = 1
	}
	switch ratio := math.Abs(at[0] / at[1]); {
	case near2(ratio, 0.001):
		size = 0
	case near2(ratio, 1000):
		size = 2
	}
	note(&w.along[sign], &w.firstSign[sign])
	note(&w.thousand[size], &w.firstSize[size])
}

func (w *flowPair) say(c Channel) []said {
	const remedy = "look at the unit and at the sign of both columns, from there on"
	for size, words := range []string{"a thousandth of", "", "a thousand times"} {
		n := w.thousand[size]
		if size == 1 || n < pairRows {
			continue
		}
		at := w.firstSize[size]
		if n == w.rows {
			return []said{{finding.Error, fmt.Sprintf("the %s is %s the log's second %s throughout: one of the two is in another unit", c, words, c), "look at the units of both in the head", at.line, at.offset}}
		}
		return []said{{finding.Warning, fmt.Sprintf("the %s is %s the log's second %s in %d of %d rows, first here", c, words, c, n, w.rows), remedy, at.line, at.offset}}
	}
	if few := min(w.along[0], w.along[1]); few >= pairRows {
		at := w.firstSign[0]
		if w.along[1] == few {
			at = w.firstSign[1]
		}
		return []said{{finding.Warning, fmt.Sprintf("the %s and the log's second %s have the same sign in %d rows and not in %d, first here", c, c, max(w.along[0], w.along[1]), few), remedy, at.line, at.offset}}
	}
	return nil
}

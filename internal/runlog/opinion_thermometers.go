package runlog

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// thermometers compares the temperature with another one of the log.
type thermometers struct {
	rows  int
	begin [2]float64 // sums of the first thermometerBegin rows
	last  [2]float64
	low   [2]float64
	high  [2]float64
	grain [2]decimalGrain
	moves [2]float64 // sums of the squares of what each moves by from row to row

	exchanged      int
	firstExchanged said
	firstRow       said
}

// Rules for two thermometers; our own choice.
const (
	thermometerBegin = 10   // rows at the beginning
	thermometerApart = 10.0 // K that they begin apart
	thermometerNear  = 3.0  // K within which another reading brings them
	thermometerHot   = 45.0 // °C from which a temperature may be one in °F
	thermometerMoves = 3.0  // K by which the surroundings move, and three times as much as the pack
	exchangeDigits   = 5    // last digits that they are apart, at the least, where they exchange their values,
	exchangeMoves    = 5.0  // and so many times what they usually move by from row to row
	exchangeWithin   = 0.25 // part of that within which each comes to where the other was
)

func (w *thermometers) row(s *Sample, other Channel) {
	at := [2]float64{s.Values[Temperature], s.Values[other]}
	if math.IsNaN(at[0]) || math.IsNaN(at[1]) {
		return
	}
	if w.rows == 0 {
		w.firstRow = said{line: s.Line, offset: s.Offset}
		w.low, w.high, w.last = at, at, at
	}
	apart := math.Abs(w.last[0] - w.last[1])
	if w.rows >= thermometerBegin && !s.Restart && w.told(apart) && max(math.Abs(at[0]-w.last[1]), math.Abs(at[1]-w.last[0])) <= exchangeWithin*apart {
		if w.exchanged == 0 {
			w.firstExchanged = said{line: s.Line, offset: s.Offset}
		}
		w.exchanged++
	} else if w.rows > 0 {
		for k := range at {
			w.moves[k] += (at[k] - w.last[k]) * (at[k] - w.last[k])
		}
	}
	w.rows++
	for k, x := range at {
		if w.rows <= thermometerBegin {
			w.begin[k] += x
		}
		w.grain[k].add(x)
		w.low[k], w.high[k] = min(w.low[k], x), max(w.high[k], x)
	}
	w.last = at
}

// told says whether two values so far apart are told from what the thermometers do anyway.
func (w *thermometers) told(apart float64) bool {
	for k := range w.grain {
		if apart < exchangeDigits*w.grain[k].size() || apart < exchangeMoves*math.Sqrt(w.moves[k]/float64(w.rows)) {
			return false
		}
	}
	return true
}

// thermometerReadings are the other ways in which a temperature may have been meant, by the unit that it was read in; "" for any.
var thermometerReadings = []struct {
	unit, looks string
	read        func(float64) float64
}{
	{"", "of the other sign", func(x float64) float64 { return -x }},
	{"", "a thousand times too small", func(x float64) float64 { return x * 1000 }},
	{"°F", "°C, read as °F", func(x float64) float64 { return 1.8*x + 32 }},
	{"°C", "°F, read as °C", func(x float64) float64 {
		if x < thermometerHot { // a pack in a room, or brought in from the frost
			return math.NaN()
		}
		return (x - 32) / 1.8
	}},
	{"K", "°C, read as K", func(x float64) float64 { return x + zeroCelsius }},
}

func (w *thermometers) say(d *Dialect, other Channel) []said {
	words := strings.ToLower(other.Label())
	var list []said
	if w.rows == 0 {
		return nil
	}
	n := float64(min(w.rows, thermometerBegin))
	begin := [2]float64{w.begin[0] / n, w.begin[1] / n}
	names := [2]string{"temperature", words}
	show := func(x float64) string { return plain(x, quantity.Temperature) }
	if k, looks, ok := otherReading(begin, [2]string{d.thermometer(Temperature), d.thermometer(other)}); ok {
		list = append(list, said{finding.Warning, fmt.Sprintf("the temperature begins at %s and the %s at %s: the %s looks to be %s", show(begin[0]), words, show(begin[1]), names[k], looks),
			"look at the unit and at the sign of both in the head; if one of the two stood somewhere else, say so in the note", w.firstRow.line, w.firstRow.offset})
	}
	if w.exchanged > 0 {
		list = append(list, said{finding.Warning, fmt.Sprintf("the temperature and the %s exchange their values from one row to the next, in %s, first here", words, plural(w.exchanged, "place")),
			"look at the rows from there on: the two columns have changed places", w.firstExchanged.line, w.firstExchanged.offset})
	}
	pack, air := w.high[0]-w.low[0], w.high[1]-w.low[1]
	if other == Ambient && len(list) == 0 && air >= thermometerMoves && air >= 3*pack && w.high[1]-begin[1] > 0.8*air {
		list = append(list, said{finding.Note, fmt.Sprintf("the %s rises by %s K while the temperature moves by %s K: a pack warms more than what is around it, and the two may be exchanged", words, short(w.high[1]-begin[1]), short(pack)),
			"if the vehicle came into the sun or into a warm room, nothing is wrong; else name the right column: `columns: {temperature: HEAD, ambient: HEAD}`", 0, 0})
	}
	return list
}

// thermometer is the unit that a temperature is read in.
func (d *Dialect) thermometer(c Channel) string {
	for _, column := range slices.Concat(d.Columns, d.Compared) {
		if column.Channel == c && column.Unit != "" {
			return column.Unit
		}
	}
	return "°C"
}

// otherReading finds the one of two temperatures that would be near the other if it were read another way: of several, that
// which leaves them nearest to a room's.
func otherReading(begin [2]float64, units [2]string) (which int, looks string, ok bool) {
	if math.Abs(begin[0]-begin[1]) < thermometerApart {
		return 0, "", false
	}
	const room = 20.0
	best := math.Inf(1)
	for k, x := range begin {
		for _, reading := range thermometerReadings {
			y, limits := reading.read(x), plausible[Ambient]
			if reading.unit != "" && reading.unit != units[k] || !(math.Abs(y-begin[1-k]) <= thermometerNear) || y < limits[0] || y > limits[1] {
				continue
			}
			if off := math.Abs(y - room); off < best {
				best, which, looks, ok = off, k, reading.looks, true
			}
		}
	}
	return which, looks, ok
}

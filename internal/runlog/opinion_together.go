package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
)

// together tells by how they move together which of three columns is the voltage, which the current and which the temperature: a
// pack's voltage answers its current in the same row, and neither moves its temperature at once. It sums over the row-to-row
// differences.
type together struct {
	alone  [2]int // rows that hold the voltage, the current
	apart  [2]int // rows that hold the temperature with the voltage, with the current, and not the third
	has    bool
	last   [3]float64
	t      float64
	n      int
	sum    [3]total
	square [3]total
	cross  [3]total // of the two others than this one
	low    float64  // temperature
	high   float64
	step   float64 // its greatest
}

// The three columns.
const (
	togetherVoltage = iota
	togetherCurrent
	togetherTemperature
)

// How they must move together; our own choice.
const (
	togetherRows     = 20
	togetherMany     = 100 // rows below which only a sure one is said
	togetherSaid     = 0.4 // correlation of the differences
	togetherSure     = 0.8
	togetherTimes    = 2.0 // by which the others are weaker
	togetherStep     = 0.3 // part of the range of the temperature by which it moves in one row: no temperature does
	togetherSeldom   = 5   // times as many rows with a temperature as with a voltage or a current: no pack is logged so
	togetherStepSure = 0.1 // the same where they move together surely
)

func (w *together) row(s *Sample) {
	at := [3]float64{s.Values[Voltage], s.Values[Current], s.Values[Temperature]}
	holds := [3]bool{}
	for k, x := range at {
		holds[k] = !math.IsNaN(x)
	}
	for k := range w.alone {
		if holds[k] {
			w.alone[k]++
		}
		if holds[k] && holds[togetherTemperature] && !holds[1-k] {
			w.apart[k]++
		}
	}
	if holds != [3]bool{true, true, true} {
		return
	}
	if w.has && !s.Restart && s.Time-w.t <= jumpApart {
		var d [3]float64
		for k := range d {
			d[k] = at[k] - w.last[k]
			w.sum[k].add(d[k])
			w.square[k].add(d[k] * d[k])
		}
		for k := range d {
			w.cross[k].add(d[(k+1)%3] * d[(k+2)%3])
		}
		w.n++
		w.step = max(w.step, math.Abs(d[togetherTemperature]))
	}
	if x := at[togetherTemperature]; !w.has {
		w.low, w.high = x, x
	} else {
		w.low, w.high = min(w.low, x), max(w.high, x)
	}
	w.has, w.last, w.t = true, at, s.Time
}

// correlation is that of the two columns other than k, about their means; 0 where one of them moves evenly or not at all.
func (w *together) correlation(k int) float64 {
	n := float64(w.n)
	a, b := (k+1)%3, (k+2)%3
	spread := func(k int) float64 {
		mean := w.sum[k].value() / n
		if s := w.square[k].value()/n - mean*mean; s > 1e-6*mean*mean {
			return math.Sqrt(s)
		}
		return 0
	}
	if size := spread(a) * spread(b); size > 0 {
		return math.Abs(w.cross[k].value()/n-w.sum[a].value()*w.sum[b].value()/n/n) / size
	}
	return 0
}

// say names the exchange after which voltage and current would move together and the temperature would not.
func (w *together) say(remedy string) []said {
	for k := range w.apart {
		if seldom := w.alone[1-k]; seldom > 0 && w.apart[k] >= togetherMany && w.apart[k] >= togetherSeldom*seldom {
			with, other := togetherChannels[k], togetherChannels[1-k]
			return []said{{finding.Warning, fmt.Sprintf("the temperature stands in %d rows with the %s, and the %s in %d and mostly without it: temperature and %s may be exchanged", w.apart[k], with, other, seldom, other), remedy, 0, 0}}
		}
	}
	if w.n < togetherRows || w.step < togetherStepSure*(w.high-w.low) {
		return nil
	}
	for _, c := range []struct{ stays, moves int }{{togetherVoltage, togetherCurrent}, {togetherCurrent, togetherVoltage}} {
		r := w.correlation(c.stays) // of the temperature with the one that moves
		if r < togetherSaid || r < togetherSure && (w.n < togetherMany || w.step < togetherStep*(w.high-w.low)) || r < togetherTimes*max(w.correlation(c.moves), w.correlation(togetherTemperature)) {
			continue
		}
		stays, moves, level, look := togetherChannels[c.stays], togetherChannels[c.moves], finding.Warning, "may be"
		if r >= togetherSure {
			level, look = finding.Error, "look"
		}
		return []said{{level, fmt.Sprintf("the temperature moves in the same rows as the %s, and the %s does not: temperature and %s %s exchanged", moves, stays, stays, look), remedy, 0, 0}}
	}
	return nil
}

var togetherChannels = []Channel{Voltage, Current, Temperature}

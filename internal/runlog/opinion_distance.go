package runlog

import (
	"fmt"
	"math"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

var distanceDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-distance-disagrees", Level: finding.Warning, Title: "A distance that does not fit the speed",
	What: "Compares the rises of the distance column with the speed over the time. More than a tenth apart in all, or three tenths over 20 m, is said; by more than a factor of 1.5 in all it is an error, with the unit or the form of time that would bring them together.",
	Why:  "A speed in km/h taken for m/s is 3.6 times too great, and nothing else in the log shows it.", Source: ownRule,
	Example: "  log: {file: ride.csv, columns: {speed: \"speed [km/h]\"}}",
}

var positionDoc = finding.Doc{
	Kind: finding.RuleDoc, Name: "log-position-disagrees", Level: finding.Warning, Title: "Positions that do not fit the distance or the speed",
	What: "Compares the way along the positions in the log, which are kept nowhere, with its distance column or else with its speed over the time. More than a quarter apart is said, by more than a factor of 1.5 it is an error.",
	Why:  "Positions need no unit, so they tell in which one the distance or the speed is.", Source: ownRule, Example: distanceDoc.Example,
}

// distanceWitness compares what the meter sums of distance and of speed, in all and over every distanceWindow.
type distanceWitness struct {
	begun        bool
	t, v         float64
	from, last   float64 // distance at the window's start, and the last
	way          float64 // by the speed, since then
	windows, off int
	first        said
}

const distanceWindow = 20.0 // m

func (w *distanceWitness) row(s *Sample) {
	v, x := math.Abs(s.Values[Speed]), s.Values[Distance]
	if math.IsNaN(v) || math.IsNaN(x) {
		return
	}
	if w.begun && !s.Restart {
		w.way += (w.v + v) / 2 * (s.Time - w.t)
	} else {
		w.begun, w.from, w.way = true, x, 0
	}
	w.t, w.v, w.last = s.Time, v, x
	if covered := x - w.from; max(math.Abs(covered), w.way) >= distanceWindow {
		w.windows++
		if math.Abs(w.way-covered) > 0.3*max(math.Abs(covered), w.way) {
			if w.off == 0 {
				w.first = said{line: s.Line, offset: s.Offset}
			}
			w.off++
		}
		w.from, w.way = x, 0
	}
}

func (w *distanceWitness) say(h *hearing) []said {
	m := h.meter
	covered, travelled := m.forward.value(), m.travelled.out.value()
	if m.distance.n < 2 || m.speed.n < 2 || covered < 10 && travelled < 10 {
		return nil
	}
	ratio := travelled / covered
	if ratio > 0.9 && ratio < 1.1 {
		if w.off == 0 {
			return nil
		}
		return []said{{finding.Note, fmt.Sprintf("speed and distance differ by more than three tenths in %d of %d stretches of %s, first here", w.off, w.windows, plain(distanceWindow, quantity.Length)),
			"look at the rows: the position was lost there, or one of the two columns holds something else", w.first.line, w.first.offset}}
	}
	found := h.likely(ratio, true, Speed)
	found = append(found, h.likely(1/ratio, false, Distance)...)
	looks, remedy := either(found, "look at the units of speed, distance and time in the head")
	return []said{{grave(ratio), fmt.Sprintf("the speed over the time comes to %s the distance column%s", apart(ratio), looks), remedy, w.first.line, w.first.offset}}
}

// positionWitness compares the way along the positions with the distance or the speed.
type positionWitness struct {
	way channelWatch
}

func (w *positionWitness) row(s *Sample) {
	if s.Has(ByPosition) {
		w.way.add(s.Time, s.Values[ByPosition])
	}
}

func (w *positionWitness) say(h *hearing) []said {
	m := h.meter
	way := w.way.last - w.way.first
	if w.way.n < 2 || way < 50 {
		return nil
	}
	channel, other := Distance, m.forward.value()
	if m.distance.n < 2 {
		channel, other = Speed, m.travelled.out.value()
		if m.speed.n < 2 {
			return nil
		}
	}
	ratio := other / way
	if ratio > 0.75 && ratio < 1.25 {
		return nil
	}
	looks, remedy := either(h.likely(ratio, channel == Speed, channel), "look at the unit of the "+channel.String()+" in the head")
	return []said{{grave(ratio), fmt.Sprintf("the way along the positions is %s m, and the %s comes to %s it%s", short(way), channel, apart(ratio), looks), remedy, 0, 0}}
}

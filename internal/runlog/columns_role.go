package runlog

import (
	"strings"

	"voltwright/internal/quantity"
)

// none is the answer of a head that names no channel.
const none = -100

// channel says which channel the head most likely names; a score below
// leastScore means none.
func (h *head) channel() (Channel, int) {
	if h.foreign || h.hasAny(otherMatters) || h.has("of") && h.has("state") && h.has("charge") || h.has("d") && len(h.words) > 1 {
		return 0, none
	}
	if h.unit != nil && h.unit.kelvin() && h.hasAny(risen) {
		return 0, none // a difference
	}
	n := h.noun()
	if n.score < 0 {
		return 0, none
	}
	n = h.turn(n)
	for _, w := range h.words {
		n.score += h.nudge(w, n.channel)
	}
	if n.channel == Speed && h.hasAny(directions) && !h.hasAny(counting) {
		n.score -= 3 // a part of it
	}
	if n.channel == Voltage && h.has("cell") && h.number {
		n.score -= 4 // one cell of several
	}
	return n.channel, n.score
}

// noun finds what the head names before its qualifiers are looked at.
func (h *head) noun() noun {
	var found []noun
	for i, w := range h.words {
		if n, ok := nouns[w]; ok && (len([]rune(w)) > 1 || i == 0 && len(h.words) > 1 && w == "q" && h.known(h.words[1:])) {
			found = append(found, n)
		}
	}
	if len(found) == 0 && h.letter != "" && h.known(h.words[1:]) {
		if n, ok := letters[h.letter]; ok {
			found = append(found, n)
		}
	}
	if h.unit != nil {
		return h.byUnit(found)
	}
	switch {
	case len(found) == 0 && h.hasAny(charged) && h.known(h.words):
		return noun{ChargeCounter, 5}
	case len(found) == 0 && len(h.words) > 0 && allOf(h.words, surroundings):
		return noun{Ambient, 6}
	case len(found) == 0:
		return noun{score: none}
	}
	best := noun{score: none}
	for _, n := range found {
		if !ofCourse(n.channel) && n.score >= best.score {
			best = n
		}
	}
	last := found[len(found)-1]
	switch {
	case best.score < 0: // only step, cycle or state
		best = last
		if best.channel != State && !h.counts() {
			return noun{score: none}
		}
	case last.channel == State && len(found) > 1:
		return noun{score: none} // the power's mode, the charge's state
	}
	return best
}

// ofCourse says whether the channel is a number or a word of the log's own course.
func ofCourse(c Channel) bool { return c == Step || c == Cycle || c == State }

// known says whether every word is one that the tables have.
func (h *head) known(words []string) bool {
	for i, w := range words {
		if _, ok := letters[h.letter]; ok && i == 0 && strings.EqualFold(w, h.letter) {
			continue
		}
		_, q := qualifiers[w]
		_, n := nouns[w]
		if !q && !n && !surroundings[w] && !returned[w] && !drawn[w] && !counting[w] && !(len([]rune(w)) > 1 && findUnit(w) != nil) && w != "negative" && w != "positive" {
			return false
		}
	}
	return true
}

// counts says whether what stands beside "step" or "cycle" only counts.
func (h *head) counts() bool {
	for _, w := range h.words {
		n, isNoun := nouns[w]
		_, q := qualifiers[w]
		if w == "position" || !(isNoun && ofCourse(n.channel)) && !counting[w] && !q && !returned[w] && !drawn[w] {
			return false
		}
	}
	return true
}

func allOf(words []string, in map[string]bool) bool {
	for _, w := range words {
		if !in[w] {
			return false
		}
	}
	return true
}

// byUnit lets the unit choose among the nouns, or speak for itself.
func (h *head) byUnit(found []noun) noun {
	dimension := h.unit.Dimension()
	best := noun{score: none}
	for _, n := range found {
		if n.channel.Dimension() == dimension && n.score+2 > best.score {
			best = noun{n.channel, n.score + 2}
		}
	}
	family, known := unitChannel[dimension]
	switch {
	case best.score > 0:
		return best
	case !known:
		return noun{score: none} // per cent, ohms
	case family == Distance && len(found) == 0 && h.namesMore(), family == Time && h.namesMore() && !h.known(h.words),
		family == Temperature && h.initial && len(found) == 0 && h.namesMore() && !h.known(h.words):
		return noun{family, 2} // a height, a length of something, a size in farads
	}
	return noun{family, 7}
}

// namesMore says whether the head has words beside the unit.
func (h *head) namesMore() bool { return len(h.words) > 0 && findUnit(h.name) == nil }

// turn makes the noun what the words beside it make of it.
func (h *head) turn(n noun) noun {
	switch n.channel {
	case Temperature:
		if h.hasAny(surroundings) {
			return noun{Ambient, n.score + 2}
		}
	case Time:
		switch {
		case h.has("step", "schritt", "stap") && !h.has("cycle", "cyc"):
			return noun{StepTime, n.score}
		case h.has("cycle", "cyc", "set", "load", "charge", "discharge", "chg", "dchg", "rest", "half", "start", "end", "zyklus"):
			n.score -= 9 // a part of the time
		}
	case ChargeCounter, EnergyCounter:
		in, out := h.hasAny(returned), h.hasAny(drawn)
		switch {
		case in && out:
		case out:
			n.score += 2
		case in && (n.score > 5 || h.unit != nil) && !h.only(charged):
			n.score += 2
			if n.channel == ChargeCounter {
				n.channel = ChargeReturned
			} else {
				n.channel = EnergyReturned
			}
		}
	}
	return n
}

// only says whether all words are of the set.
func (h *head) only(words map[string]bool) bool { return len(h.words) > 0 && allOf(h.words, words) }

// nudge is what a qualifier adds for the channel.
func (h *head) nudge(word string, c Channel) int {
	n := qualifiers[word]
	switch c {
	case ChargeCounter, EnergyCounter, ChargeReturned, EnergyReturned:
		switch {
		case returned[word], drawn[word]:
			return 0
		case word == "step", word == "cyc", word == "cycle":
			return -2
		}
	case StepTime, Step, Cycle:
		if n > 0 || word == "step" || counting[word] || returned[word] || drawn[word] {
			return 0
		}
	case Time:
		if returned[word] || drawn[word] || word == "start" || word == "end" || word == "load" || word == "rest" {
			return 0 // turn has counted it
		}
	case Rotation:
		if word == "motor" || word == "mot" || word == "engine" {
			return 1
		}
	default:
		if word == "step" {
			return -3
		}
	}
	return n
}

// position says whether the head names a latitude or a longitude.
func (h *head) position() (latitude, longitude bool) {
	if h.foreign || h.unit != nil && h.unit.Dimension() != quantity.Plain {
		return false, false
	}
	return h.hasAny(latitudes), h.hasAny(longitudes)
}

package runlog

import (
	"slices"
	"strings"
	"unicode"

	"voltwright/internal/quantity"
)

// head is the name of a column taken apart.
type head struct {
	name    string   // as written
	words   []string // whole words in lower case, without the unit and without digits behind them
	letter  string   // the first word if it is a single letter, in its own case
	number  bool     // a word ends in a digit, or is one
	unit    *unit    // nil if none is named
	foreign bool     // in a unit that no channel has: V/s, mAh/g, Hz
	initial bool     // the unit is a bare F or K, which is a degree only beside words of a temperature
}

// counterWords are units that name a counter wherever they stand as a word.
var counterWords = map[string]string{"ah": "Ah", "mah": "mAh", "wh": "Wh", "mwh": "mWh", "kwh": "kWh"}

// parseHead takes "Voltage (V)", "U_pack [V]", "I/A", "Current_mA",
// "cellTemp_mid_degC", "chgAh" apart.
func parseHead(name string) head {
	h := head{name: strings.TrimSpace(name)}
	rest := strings.TrimLeft(damagedDegree.Replace(h.name), "~#%; ")
	rest = h.brackets(rest)
	if h.unit == nil && !h.foreign {
		rest = h.bareUnit(rest)
	}
	h.split(rest)
	for _, w := range h.words { // ah_accu, Ah-Cyc-Charge
		if symbol := counterWords[w]; symbol != "" && h.unit == nil && !h.foreign {
			h.unit = unitOf(symbol)
		}
	}
	h.unitWithin()
	h.letterBehind()
	if h.unit != nil && h.unit.Symbol() == "°C" && (h.letter == "Q" || h.hasAny(charged) || h.has("capacity")) {
		h.unit = unitOf("As") // the C of a charge is the coulomb
	}
	return h
}

// brackets takes out what stands in brackets: a unit, or further words.
func (h *head) brackets(rest string) string {
	for {
		open := strings.IndexAny(rest, "([{<")
		if open < 0 {
			return rest
		}
		end := strings.IndexAny(rest[open:], ")]}>")
		if end < 0 {
			end = len(rest) - open // cut off
		}
		inside := rest[open+1 : open+end]
		after := ""
		if open+end+1 <= len(rest) {
			after = rest[min(open+end+1, len(rest)):]
		}
		switch u := findUnit(inside); {
		case u != nil && h.unit == nil:
			h.unit, h.initial, inside = u, initials[strings.TrimSpace(inside)], ""
		case u == nil && foreignUnit(inside):
			h.foreign, inside = true, ""
		case strings.Contains(inside, ":"): // a form: hh:mm:ss
			inside = ""
		}
		rest = rest[:open] + " " + inside + " " + after
	}
}

// initials are units of temperature that are other things as well: the farad, a thousand. The C of a charge is told by its words.
var initials = set("F", "K")

// unitWithin finds a unit that stands between the words, as in current_mA_avg: one of a word's own dimension.
func (h *head) unitWithin() {
	if h.unit != nil || h.foreign {
		return
	}
	for i, w := range h.words {
		symbol := smallUnits[w]
		if symbol == "" || w == "ma" && strings.Contains(h.name, "MA") && h.name != strings.ToUpper(h.name) {
			continue
		}
		u := unitOf(symbol)
		letter, named := letters[h.letter]
		named = named && letter.channel.Dimension() == u.Dimension()
		for _, before := range h.words[:i] {
			n, ok := nouns[before]
			named = named || ok && n.channel.Dimension() == u.Dimension()
		}
		if named {
			h.unit, h.words = u, slices.Delete(h.words, i, i+1)
			return
		}
		if _, ok := nouns[w]; ok { // pack_mV_avg, in which nothing else says what it is
			h.unit = u
			return
		}
	}
}

// letterBehind takes batt_v and pack_i for what they are, V and I of the pack. An a is no current there: it may be the first of
// two packs.
func (h *head) letterBehind() {
	last := len(h.words) - 1
	if last < 1 || h.unit != nil || h.letter != "" || !h.known(h.words[:last]) {
		return
	}
	if w := h.words[last]; w == "v" || w == "u" || w == "i" {
		h.letter = strings.ToUpper(w)
		h.words = append([]string{w}, h.words[:last]...)
	}
}

// foreignUnit says whether the text looks like a unit that no channel has.
func foreignUnit(text string) bool {
	text = strings.TrimSpace(text)
	if i := strings.IndexByte(text, '/'); i > 0 {
		return findUnit(text) == nil && (findUnit(text[:i]) != nil || findUnit(text[i+1:]) != nil)
	}
	switch strings.ToLower(plainUnit(text)) {
	case "hz", "khz", "mhz", "f", "µf", "mf", "g", "mg", "bar", "pa", "kpa", "hpa", "mbar", "deg", "°", "rad", "bit", "bits", "counts", "lux", "db", "bpm", "ppm", "l", "cm2", "mm2", "cm²":
		return text != "F" && text != "f"
	}
	return false
}

// bareUnit finds a unit that stands unbracketed: the whole name, behind a
// slash, or as the last word.
func (h *head) bareUnit(rest string) string {
	rest = strings.TrimSpace(rest)
	if u := findUnit(rest); u != nil && len([]rune(rest)) > 1 {
		h.unit = u
		return rest
	}
	if i := strings.LastIndexAny(rest, "_ -.,"); i > 0 {
		if u := findUnit(rest[i+1:]); u != nil && h.carries(rest[:i], rest[i+1:], u) {
			h.unit = u
			return strings.TrimSuffix(strings.TrimRight(rest[:i], "_ -.,"), " in")
		}
	}
	for i := 1; i < len(rest); i++ {
		if rest[i] != '/' {
			continue
		}
		u := findUnit(rest[i+1:])
		before := rest[:i]
		if j := strings.LastIndexAny(before, "/_ "); j >= 0 {
			before = before[j+1:]
		}
		ratio := len([]rune(before)) > 1 && (findUnit(before) != nil || counterWords[strings.ToLower(before)] != "") // Wh/km is no column of km
		switch {
		case ratio:
			h.foreign = true
			return rest[:i]
		case u != nil:
			h.unit, h.initial = u, initials[strings.TrimSpace(rest[i+1:])]
			return rest[:i]
		}
	}
	// chgAh, tempC: a unit behind a small letter.
	for i := len(rest) - 1; i > 1; i-- {
		if r := rest[i-1]; r >= 'a' && r <= 'z' && rest[i] >= 'A' && rest[i] <= 'Z' {
			if u := findUnit(rest[i:]); u != nil && h.carries(rest[:i], rest[i:], u) {
				h.unit = u
				return rest[:i]
			}
		}
	}
	return rest
}

// carries says whether the words before it can carry a unit. A single letter is one only behind a word that has that unit,
// or, for V, A and W, behind a word that says where: pack_V. "Cycle C" counts cycles and is no temperature.
func (h *head) carries(before, as string, u *unit) bool {
	var b head
	b.split(before)
	if b.has("per") {
		h.foreign = true
		return false
	}
	if strings.EqualFold(as, "min") && !b.ofTime() { // V_min is the least voltage
		return false
	}
	if len([]rune(strings.Trim(as, "[]() "))) > 1 {
		return true
	}
	for _, w := range b.words {
		if n, ok := nouns[w]; ok && n.channel.Dimension() == u.Dimension() {
			return true
		}
		if surroundings[w] && u.Dimension() == quantity.Temperature {
			return true
		}
	}
	if b.letter != "" && b.known(b.words[1:]) {
		n, ok := letters[b.letter]
		return ok && n.channel.Dimension() == u.Dimension()
	}
	if _, ok := unitLetters[as]; !ok || len(b.words) == 0 {
		return false
	}
	for _, w := range b.words {
		if _, ok := qualifiers[w]; !ok {
			return false
		}
	}
	return true
}

// ofTime says whether the words can be of a time: they name no other channel.
func (h *head) ofTime() bool {
	if n, ok := letters[h.letter]; ok && len(h.words) == 1 {
		return n.channel == Time
	}
	for _, w := range h.words {
		if n, ok := nouns[w]; ok && n.channel != Time && !ofCourse(n.channel) {
			return false
		}
	}
	return true
}

// split cuts the rest into whole words.
func (h *head) split(rest string) {
	first := true
	for _, part := range strings.FieldsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '#' }) {
		words := splitCamel(part)
		if smallUnits[strings.ToLower(part)] != "" { // mA is no m and A
			words = []string{part}
		}
		for _, word := range words {
			bare := strings.TrimRightFunc(word, unicode.IsDigit)
			h.number = h.number || bare != word
			bare = strings.TrimSuffix(bare, "#")
			if bare != word && strings.HasSuffix(word, "#") {
				h.words = append(h.words, strings.ToLower(bare), "#")
				first = false
				continue
			}
			if bare == "" { // a number, or a mark and one: #2
				first = false
				continue
			}
			if way := strings.ToLower(bare[1:]); (bare[0] == 'I' || bare[0] == 'i') && len(way) > 1 && (returned[way] || drawn[way]) { // Ichg, Idis
				if first {
					h.letter = "I"
				}
				h.words, first = append(h.words, "i", way), false
				continue
			}
			if first && len([]rune(bare)) == 1 {
				h.letter = bare
			}
			first = false
			h.words = append(h.words, strings.ToLower(bare))
		}
	}
}

// splitCamel splits cellTemp into cell and Temp, and leaves upper-case words whole.
func splitCamel(word string) []string {
	var words []string
	runes, start := []rune(word), 0
	for i := 1; i < len(runes); i++ {
		if unicode.IsUpper(runes[i]) && unicode.IsLower(runes[i-1]) {
			words = append(words, string(runes[start:i]))
			start = i
		}
	}
	return append(words, string(runes[start:]))
}

func (h *head) has(words ...string) bool {
	for _, w := range h.words {
		for _, want := range words {
			if w == want {
				return true
			}
		}
	}
	return false
}

func (h *head) hasAny(words map[string]bool) bool {
	for _, w := range h.words {
		if words[w] {
			return true
		}
	}
	return false
}

// dischargeSign is what the head itself says about the sign of discharge:
// +1, -1 or 0.
func (h *head) dischargeSign() int {
	switch {
	case h.has("discharge", "discharging"):
		if h.has("negative", "neg", "minus") {
			return -1
		}
		return +1
	case h.has("charge", "charging"):
		if h.has("negative", "neg", "minus") {
			return +1
		}
		return -1
	}
	return 0
}

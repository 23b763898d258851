package runlog

import (
	"strings"
	"unicode"

	"voltwright/internal/quantity"
)

// unit is a unit as heads of logs write it; what it is worth stands in package
// quantity.
type unit struct {
	quantity.Unit
	spellings []string // letter case counts for those of one or two letters
}

// spellings says how heads of logs write the units of package quantity.
var spellings = []struct {
	symbol string
	as     []string
}{
	{"s", []string{"s", "sec", "secs", "second", "seconds", "sek"}},
	{"ms", []string{"ms", "msec", "millis", "millisecond", "milliseconds"}},
	{"µs", []string{"µs", "μs", "us", "usec", "micros", "microsecond", "microseconds"}},
	{"ns", []string{"ns", "nsec", "nanos", "nanosecond", "nanoseconds"}},
	{"min", []string{"min", "mins", "minute", "minutes"}},
	{"h", []string{"h", "hr", "hrs", "hour", "hours"}},
	{"V", []string{"V", "volt", "volts", "vdc"}},
	{"mV", []string{"mV", "millivolt", "millivolts"}},
	{"A", []string{"A", "amp", "amps", "ampere", "amperes", "adc"}},
	{"mA", []string{"mA", "milliamp", "milliamps"}},
	{"Ah", []string{"Ah", "a·h", "a.h", "a*h", "amphours"}},
	{"mAh", []string{"mAh", "ma·h", "ma.h"}},
	{"Wh", []string{"Wh", "w·h", "w.h", "w*h", "watthours"}},
	{"mWh", []string{"mWh"}},
	{"kWh", []string{"kWh"}},
	{"W", []string{"W", "watt", "watts"}},
	{"mW", []string{"mW"}},
	{"kW", []string{"kW"}},
	{"°C", []string{"°C", "C", "degc", "deg c", "celsius", "ºc", "grad"}},
	{"°F", []string{"°F", "F", "degf", "deg f", "fahrenheit", "ºf"}},
	{"m/s", []string{"m/s", "mps", "m s-1", "m·s-1"}},
	{"km/h", []string{"km/h", "kmh", "kph", "kmph"}},
	{"mph", []string{"mph", "mi/h"}},
	{"m", []string{"m", "metre", "metres", "meter", "meters"}},
	{"km", []string{"km"}},
	{"mi", []string{"mi", "mile", "miles"}},
	{"ft", []string{"ft", "feet"}},
	{"%", []string{"%", "percent", "pct"}},
	{"rpm", []string{"rpm", "r/min", "1/min", "min-1", "u/min"}},
}

var units = spelt()

func spelt() []unit {
	out := make([]unit, len(spellings))
	for i, s := range spellings {
		u, ok := quantity.FindUnit(s.symbol)
		if !ok {
			panic("runlog: no unit " + s.symbol)
		}
		out[i] = unit{u, s.as}
	}
	return out
}

// plain says that Base changes nothing.
func (u *unit) plain() bool { return u.Base(0) == 0 && u.Base(1) == 1 }

// findUnit finds a unit as a head writes it.
func findUnit(text string) *unit {
	text = strings.TrimSpace(strings.Trim(strings.TrimSpace(text), "[](){}<>"))
	if text == "" {
		return nil
	}
	short := len([]rune(text)) <= 2
	for i := range units {
		for _, s := range units[i].spellings {
			if s == text || (!short && strings.EqualFold(s, text)) {
				return &units[i]
			}
		}
	}
	return nil
}

// unitOf is the unit by its symbol; the symbol must be in the table.
func unitOf(symbol string) *unit {
	for i := range units {
		if units[i].Symbol() == symbol {
			return &units[i]
		}
	}
	panic("runlog: no unit " + symbol)
}

// columnWord is a word that a head uses, and what it says about the column.
type columnWord struct {
	channel Channel
	score   int
}

// columnWords maps the words of heads, in lower case, to channels: English
// first, then the usual German, French and Dutch ones.
var columnWords = map[string]columnWord{
	"time": {Time, 10}, "timestamp": {Time, 10}, "datetime": {Time, 11}, "elapsed": {Time, 9}, "seconds": {Time, 8},
	"millis": {Time, 8}, "uptime": {Time, 7}, "zeit": {Time, 10}, "temps": {Time, 9}, "tijd": {Time, 10}, "clock": {Time, 8},
	"date":    {Time, 5},
	"voltage": {Voltage, 10}, "volt": {Voltage, 9}, "volts": {Voltage, 9}, "u": {Voltage, 8}, "vbat": {Voltage, 10},
	"ubat": {Voltage, 10}, "vbatt": {Voltage, 10}, "ubatt": {Voltage, 10}, "vpack": {Voltage, 10}, "upack": {Voltage, 10},
	"spannung": {Voltage, 10}, "tension": {Voltage, 10}, "spanning": {Voltage, 10},
	"current": {Current, 10}, "amps": {Current, 9}, "amp": {Current, 8}, "amperage": {Current, 9}, "i": {Current, 8},
	"ibat": {Current, 10}, "ibatt": {Current, 10}, "ipack": {Current, 10}, "strom": {Current, 10}, "courant": {Current, 10},
	"stroom":      {Current, 10},
	"temperature": {Temperature, 10}, "temp": {Temperature, 10}, "temperatur": {Temperature, 10}, "température": {Temperature, 10},
	"temperatuur": {Temperature, 10},
	"ambient":     {Ambient, 12}, "chamber": {Ambient, 12}, "outside": {Ambient, 12}, "room": {Ambient, 12}, "air": {Ambient, 12},
	"speed": {Speed, 10}, "velocity": {Speed, 10}, "geschwindigkeit": {Speed, 10}, "vitesse": {Speed, 10}, "snelheid": {Speed, 10},
	"distance": {Distance, 10}, "dist": {Distance, 10}, "odometer": {Distance, 9}, "odo": {Distance, 9}, "trip": {Distance, 8},
	"power": {Power, 10}, "leistung": {Power, 10}, "puissance": {Power, 10}, "vermogen": {Power, 10}, "p": {Power, 6},
	"duty": {Duty, 10}, "rpm": {Rotation, 10}, "rotation": {Rotation, 9},
	"amphours": {ChargeCounter, 9}, "watthours": {EnergyCounter, 9},
}

// columnNudge moves the score of a column whose head has the word: which of
// several voltages is the pack's.
var columnNudge = map[string]int{
	"measured": 2, "pack": 3, "battery": 3, "batt": 3, "bat": 3, "total": 2, "akku": 3, "batterie": 3, "input": 2, "in": 1,
	"prog": 1, "case": 1, "mid": 1,
	"load": -3, "charge": -3, "charger": -5, "step": -3, "set": -6, "target": -6, "setpoint": -6, "demand": -6, "limit": -12,
	"min": -4, "max": -4, "mean": -2, "avg": -2, "ref": -5, "motor": -12, "phase": -12, "esc": -4, "fet": -5, "controller": -5,
	"status": -9, "error": -9, "solar": -12, "aux": -6, "internal": -3, "elec": -9, "electrical": -9, "stddev": -9,
}

// leastScore is the score below which a column is not taken for a channel.
const leastScore = 4

// unitChannel is the channel that a unit of the dimension speaks for.
var unitChannel = map[quantity.Dimension]Channel{
	quantity.Time: Time, quantity.Voltage: Voltage, quantity.Current: Current, quantity.Temperature: Temperature,
	quantity.Speed: Speed, quantity.Length: Distance, quantity.Charge: ChargeCounter, quantity.Energy: EnergyCounter,
	quantity.Power: Power, quantity.Rotation: Rotation,
}

var returnedWords = map[string]bool{
	"returned": true, "return": true, "regen": true, "regenerated": true, "recovered": true, "charged": true, "back": true,
}

// head is the name of a column taken apart.
type head struct {
	name   string   // as written
	words  []string // lower case, without the unit
	letter string   // the name without the unit if it is a single letter, in its own case
	unit   *unit    // nil if none is named
}

// parseHead takes "Voltage (V)", "U_pack [V]", "I/A", "Current_mA",
// "cellTemp_mid_degC" apart.
func parseHead(name string) head {
	h := head{name: strings.TrimSpace(name)}
	rest := h.name
	if open := strings.IndexAny(rest, "([{"); open >= 0 {
		if end := strings.IndexAny(rest[open:], ")]}"); end > 0 {
			if h.unit = findUnit(rest[open+1 : open+end]); h.unit != nil {
				rest = rest[:open] + " " + rest[open+end+1:]
			}
		}
	}
	if h.unit == nil {
		rest = h.takeUnit(rest)
	}
	for _, word := range strings.FieldsFunc(rest, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		h.words = append(h.words, splitCamel(word)...)
	}
	if rest = strings.TrimSpace(rest); len(rest) == 1 {
		h.letter = rest
	}
	return h
}

// takeUnit finds a unit that stands unbracketed: the whole name, behind a
// slash, or as the last word.
func (h *head) takeUnit(rest string) string {
	if u := findUnit(rest); u != nil && len(rest) > 1 {
		h.unit = u
		return rest
	}
	if i := strings.LastIndexAny(rest, "_ -.,"); i > 0 {
		if h.unit = findUnit(rest[i+1:]); h.unit != nil {
			return strings.TrimSuffix(strings.TrimRight(rest[:i], "_ -.,"), " in")
		}
	}
	if i := strings.IndexByte(rest, '/'); i > 0 {
		ratio := i > 1 && findUnit(rest[:i]) != nil // Wh/km is no column of km
		if h.unit = findUnit(rest[i+1:]); h.unit != nil && !ratio {
			return rest[:i]
		}
		h.unit = nil
	}
	// A charge or energy unit as the first word, such as "ah_accu".
	if i := strings.IndexAny(rest, "_ "); i > 0 {
		for _, symbol := range []string{"Ah", "mAh", "Wh", "mWh", "kWh"} {
			if strings.EqualFold(rest[:i], symbol) {
				h.unit = unitOf(symbol)
			}
		}
	}
	for _, symbol := range []string{"Ah", "Wh"} { // a whole name in any case
		if strings.EqualFold(rest, symbol) {
			h.unit = unitOf(symbol)
		}
	}
	return rest
}

// splitCamel splits cellTemp into cell and temp, and leaves upper-case words whole.
func splitCamel(word string) []string {
	var words []string
	runes, start := []rune(word), 0
	for i := 1; i < len(runes); i++ {
		if unicode.IsUpper(runes[i]) && unicode.IsLower(runes[i-1]) {
			words = append(words, strings.ToLower(string(runes[start:i])))
			start = i
		}
	}
	return append(words, strings.ToLower(string(runes[start:])))
}

// channel says which channel the head most likely names; a score below
// leastScore means none.
func (h *head) channel() (Channel, int) {
	best := columnWord{score: -100}
	for i, w := range h.words {
		if len(w) == 1 && i > 0 {
			continue // U_pack is a voltage; the I of cI may be anything
		}
		if c, ok := columnWords[w]; ok && c.score > best.score {
			best = c
		}
	}
	switch h.letter {
	case "t":
		best = columnWord{Time, 9}
	case "s":
		best = columnWord{Time, 5}
	case "T":
		best = columnWord{Temperature, 8}
	case "V", "U":
		best = columnWord{Voltage, 8}
	case "A", "I":
		best = columnWord{Current, 7}
	case "W", "P":
		best = columnWord{Power, 6}
	case "v":
		best = columnWord{Speed, 5}
	case "n":
		best = columnWord{Rotation, 4}
	}
	if h.unit != nil {
		family, known := unitChannel[h.unit.Dimension()]
		switch {
		case h.unit.Dimension() == quantity.Share:
			if best.channel != Duty {
				return 0, -100
			}
		case best.score < 0 && known:
			best = columnWord{family, 7}
		case known && family != best.channel && !(family == Temperature && best.channel == Ambient):
			best = columnWord{family, 7}
		default:
			best.score += 2
		}
	} else if best.channel == Ambient && best.score > 0 && !h.has("temp", "temperature") && len(h.words) > 1 {
		best.score -= 6
	}
	for _, w := range h.words {
		best.score += columnNudge[w]
		if returnedWords[w] {
			switch best.channel {
			case ChargeCounter:
				best.channel = ChargeReturned
			case EnergyCounter:
				best.channel = EnergyReturned
			}
		}
	}
	if h.has("cell") && h.hasNumber() && best.channel == Voltage {
		best.score -= 4 // one cell of several
	}
	return best.channel, best.score
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

func (h *head) hasNumber() bool {
	for _, w := range h.words {
		if isDigit(w[len(w)-1]) {
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

package runlog

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"voltwright/internal/quantity"
)

// unit is a unit as heads of logs write it; what it is worth stands in package
// quantity.
type unit struct {
	quantity.Unit
	spellings []string // letter case counts for those of one or two letters
}

// kelvin says whether the unit is the kelvin: a temperature in a log, where package quantity has it for differences.
func (u *unit) kelvin() bool { return u.Symbol() == "K" }

// Dimension is the unit's dimension in a log.
func (u *unit) Dimension() quantity.Dimension {
	if u.kelvin() {
		return quantity.Temperature
	}
	return u.Unit.Dimension()
}

// Base turns a value in the unit into the base unit.
func (u *unit) Base(v float64) float64 {
	if u.kelvin() {
		return v - zeroCelsius
	}
	return u.Unit.Base(v)
}

const zeroCelsius = 273.15 // K; SI Brochure, 9th edition, 2.3.1

// spellings says how heads of logs write the units of package quantity. A unit
// is compared with its marks taken out: amp-hr, Amp.hr and "amp hr" are one.
var spellings = []struct {
	symbol string
	as     []string
}{
	{"s", []string{"s", "sec", "secs", "second", "seconds", "sek", "sekunde", "sekunden", "seconde", "secondes", "seconden"}},
	{"ms", []string{"ms", "msec", "msecs", "millis", "millisecond", "milliseconds", "millisekunden"}},
	{"µs", []string{"µs", "us", "usec", "usecs", "micros", "microsecond", "microseconds"}},
	{"ns", []string{"ns", "nsec", "nsecs", "nanos", "nanosecond", "nanoseconds"}},
	{"min", []string{"min", "mins", "minute", "minutes", "minuten"}},
	{"h", []string{"h", "hr", "hrs", "hour", "hours", "std", "stunden", "heures", "uur"}},
	{"d", []string{"day", "days"}},
	{"V", []string{"V", "volt", "volts", "vdc"}},
	{"mV", []string{"mV", "mvolt", "mvolts", "millivolt", "millivolts"}},
	{"kV", []string{"kV", "kilovolt", "kilovolts"}},
	{"A", []string{"A", "amp", "amps", "ampere", "amperes", "adc"}},
	{"mA", []string{"mA", "mamp", "mamps", "milliamp", "milliamps", "milliampere", "milliamperes"}},
	{"µA", []string{"µA", "uA", "uamp", "uamps", "microamp", "microamps"}},
	{"kA", []string{"kA"}},
	{"Ah", []string{"Ah", "ahr", "ahrs", "amphr", "amphrs", "amphour", "amphours", "amperehour", "amperehours", "amperestunden"}},
	{"mAh", []string{"mAh", "mahr", "mamphr", "mamphrs", "milliamphour", "milliamphours", "milliamperehours"}},
	{"As", []string{"As", "coulomb", "coulombs", "ampsec", "ampseconds"}},
	{"Wh", []string{"Wh", "whr", "whrs", "watthr", "watthrs", "watthour", "watthours", "wattstunden"}},
	{"mWh", []string{"mWh", "mwatthr", "mwatthrs", "milliwatthours"}},
	{"kWh", []string{"kWh", "kilowatthours"}},
	{"J", []string{"J", "Ws", "joule", "joules"}},
	{"kJ", []string{"kJ", "kilojoule", "kilojoules"}},
	{"W", []string{"W", "watt", "watts"}},
	{"mW", []string{"mW", "mwatt", "mwatts", "milliwatt", "milliwatts"}},
	{"kW", []string{"kW", "kilowatt", "kilowatts"}},
	{"°C", []string{"°C", "C", "degc", "celsius", "degcelsius", "ºc", "℃", "grad", "gradc", "degreec", "degreesc", "degreescelsius"}},
	{"°F", []string{"°F", "F", "degf", "fahrenheit", "ºf", "degreesf", "degreesfahrenheit"}},
	{"m/s", []string{"m/s", "mps", "ms-1", "m/sec", "metrespersecond", "meterspersecond"}},
	{"km/h", []string{"km/h", "kmh", "kph", "kmph", "km/hr", "kmhr", "kilometresperhour", "kilometersperhour"}},
	{"mph", []string{"mph", "mi/h", "milesperhour"}},
	{"m", []string{"m", "metre", "metres", "meter", "meters"}},
	{"mm", []string{"mm"}},
	{"cm", []string{"cm"}},
	{"km", []string{"km", "kilometre", "kilometres", "kilometer", "kilometers"}},
	{"mi", []string{"mi", "mile", "miles"}},
	{"ft", []string{"ft", "feet"}},
	{"%", []string{"%", "percent", "pct", "prozent"}},
	{"rpm", []string{"rpm", "r/min", "1/min", "min-1", "u/min", "rev/min"}},
	{"Ω", []string{"Ω", "ohm", "ohms"}},
	{"mΩ", []string{"mΩ", "mohm", "mohms", "milliohm", "milliohms", "mo"}},
	{"K", []string{"K", "kelvin"}},
	{"kg", []string{"kg"}},
	{"N·m", []string{"Nm"}},
	{"N", []string{"N", "newton", "newtons"}},
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

// unitsAs are the units by their spellings, as they are and, for those that are found in any letter case, folded.
var unitsAs, unitsFolded = bySpelling()

func bySpelling() (as, folded map[string]*unit) {
	as, folded = map[string]*unit{}, map[string]*unit{}
	for i := range units {
		for _, s := range units[i].spellings {
			enter(as, s, &units[i])
			enter(folded, foldCase(s), &units[i])
		}
	}
	return as, folded
}

// enter leaves a spelling to the unit that stands first in the table.
func enter(in map[string]*unit, spelling string, u *unit) {
	if in[spelling] == nil {
		in[spelling] = u
	}
}

// foldCase makes texts equal that differ in letter case alone, as strings.EqualFold has it.
func foldCase(text string) string {
	return strings.Map(func(r rune) rune {
		least := r
		for next := unicode.SimpleFold(r); next != r; next = unicode.SimpleFold(next) {
			least = min(least, next)
		}
		return least
	}, text)
}

// inNoUnit are signs that are neither in a unit nor left out of one: a field with them was cut at the wrong places.
const inNoUnit = ",;:|\t\""

// findUnit finds a unit as a head writes it.
func findUnit(text string) *unit {
	if strings.ContainsAny(text, inNoUnit) {
		return nil
	}
	text = plainUnit(text)
	if text == "" {
		return nil
	}
	if u := unitsAs[text]; u != nil {
		return u
	}
	if utf8.RuneCountInString(text) > 2 {
		if u := unitsFolded[foldCase(text)]; u != nil {
			return u
		}
	}
	return oneCase(text)
}

// oneCase finds the units of two letters, of which one is a capital, in heads that know no capitals: current_ma, and in those
// that know nothing else: TIME_MS. There is no megaampere in a log; but MA in a head with small letters may be a moving average.
func oneCase(text string) *unit {
	if symbol := smallUnits[strings.ToLower(text)]; symbol != "" && (text == strings.ToLower(text) || text == strings.ToUpper(text) && text != "MA") {
		return unitOf(symbol)
	}
	return nil
}

var smallUnits = map[string]string{"ma": "mA", "mv": "mV", "mw": "mW", "kv": "kV", "kw": "kW", "ka": "kA", "ua": "µA", "us": "µs", "ms": "ms", "km": "km"}

// damagedDegree are what is left of a degree sign that went through a wrong encoding.
var damagedDegree = strings.NewReplacer("\ufffdC", "°C", "\ufffdF", "°F", "ï¿½C", "°C", "ï¿½F", "°F", "Â°", "°", "° ", "°", "μ", "µ", "Ω", "Ω")

// unitMarks are what stands between the parts of a unit and says nothing.
var unitMarks = strings.NewReplacer(" ", "", "·", "", ".", "", "*", "", "_", "", "×", "", "⋅", "", "⁻¹", "-1")

func plainUnit(text string) string {
	text = damagedDegree.Replace(text)
	text = strings.TrimSpace(strings.Trim(strings.TrimSpace(text), "[](){}<>"))
	text = unitMarks.Replace(text)
	if i := strings.IndexByte(text, '-'); i > 0 && !strings.HasSuffix(text, "-1") {
		text = strings.ReplaceAll(text, "-", "")
	}
	return text
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

package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// converterVoltageHigh asks whether a converter stands the packs' greatest voltage.
var converterVoltageHigh = &rule{each: eachVersion, judge: judgeConverterVoltageHigh, doc: finding.Doc{
	Name: "converter-voltage-high", Signal: finding.SignalWarning,
	Title:   "More voltage than a converter stands",
	What:    "Holds the packs' greatest voltage, full or while they are charged, against `highest` of each converter: above it a WARNING. Above the top of its `window`, or where `highest` is not stated, a CAUTION.",
	Why:     "A converter that breaks down hands the packs' voltage on to everything behind it, or burns where nobody looks.",
	Needs:   "`window` and `highest` of the converter; `full` of the packs, else their chemistry and cells in series",
	Source:  "The converter's limits as stated",
	Example: "  converters: [{name: for the lamps, window: 20 V to 60 V, highest: 65 V, fuse: 5 A}]",
}}

func judgeConverterVoltageHigh(s *subject) []verdict {
	var found []verdict
	volts := s.highest()
	for i := range s.version.Converters {
		c := &s.version.Converters[i]
		v := verdict{signal: finding.Caution, remedy: "take its input lead off before the packs are charged. Then use one whose window reaches above a full pack, with room for braking."}
		switch {
		case c.Highest.Known() && above(volts, c.Highest.Value):
			v.signal, v.at, v.gauge = finding.SignalWarning, c.Highest.Span, most("input voltage", volts, c.Highest.Value, "")
			v.text = fmt.Sprintf("the packs have up to %s, and %s stands %s: it may break down, and hand that on to what hangs on it", quantity.Brief(volts), nameOf(c.Name.Text, "the converter"), quantity.Brief(c.Highest.Value))
		case c.Window.Set && above(volts, c.Window.To.Value):
			v.at, v.gauge = c.Window.Span, most("input voltage", volts, c.Window.To.Value, "")
			v.text = fmt.Sprintf("the packs have up to %s, and %s works up to %s", quantity.Brief(volts), nameOf(c.Name.Text, "the converter"), quantity.Brief(c.Window.To.Value))
		default:
			continue
		}
		found = append(found, v)
	}
	return found
}

// nameOf is a thing by its name, else by what it is.
func nameOf(name, otherwise string) string {
	if name == "" {
		return otherwise
	}
	return "the converter “" + name + "”"
}

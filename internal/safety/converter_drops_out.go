package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// converterDropsOut asks whether what hangs on a converter goes out before the motors.
var converterDropsOut = &rule{each: eachVersion, judge: judgeConverterDropsOut, doc: finding.Doc{
	Name: "converter-drops-out", Signal: finding.Caution,
	Title:   "A converter that goes out before the motors",
	What:    "Holds the voltage at which the packs are cut off, by the cutout or else by their protection, against the bottom of each converter's `window`.",
	Why:     "Lamps, horn and whatever else hangs on it go out, or blink with every start, while the vehicle runs on in the dark.",
	Needs:   "`window` of the converter; `opens` of the `cutout` or of a pack's `protection`",
	Source:  "The converter's window as stated",
	Example: "  converters: [{name: for the lamps, window: 20 V to 60 V, highest: 65 V, fuse: 5 A}]",
}}

func judgeConverterDropsOut(s *subject) []verdict {
	var found []verdict
	for i := range s.version.Converters {
		c := &s.version.Converters[i]
		if !c.Window.Set || len(s.version.Packs) == 0 {
			continue
		}
		opens, _, end := s.ending(&s.version.Packs[0])
		if !opens.Known() {
			found = append(found, cannot(c.Window.Span, "whether a converter goes out before the motors", "nothing states at which voltage the packs are cut off", "state `opens` of the `cutout` or of the pack's `protection`.")...)
			continue
		}
		g := least("voltage at which the packs are cut off", opens.Value, c.Window.From.Value, "")
		if !exceeds(g) {
			continue
		}
		found = append(found, verdict{signal: finding.Caution, at: c.Window.Span, gauge: g,
			text:   fmt.Sprintf("%s works from %s on, and %s opens at %s: what hangs on it goes out while the vehicle still runs", nameOf(c.Name.Text, "the converter"), quantity.Brief(c.Window.From.Value), end, quantity.Brief(opens.Value)),
			remedy: "stop when the lamps blink. Then use a converter that works down to what the packs are cut off at."})
	}
	return found
}

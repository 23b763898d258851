package safety

import (
	"fmt"

	"voltwright/internal/circuit"
	"voltwright/internal/finding"
	"voltwright/internal/quantity"
)

// dropLarge asks whether the wiring loses too much of the voltage on the way to a load.
var dropLarge = &rule{each: eachVersion, judge: judgeDropLarge, doc: finding.Doc{
	Name: "drop-large", Signal: finding.Caution,
	Title:   "Large voltage drop to a load",
	What:    "Holds the share of the voltage that is lost between packs and load at operating points that last, there and back, against 10 %; behind a controller, between it and the motor. A NOTICE, and from 20 % on a CAUTION.",
	Why:     "What is lost heats leads and contacts, mostly at the worst of them. A share that large is a lead too thin or a joint that is going.",
	Needs:   "`length` and size of the leads, and an operating point that lasts",
	Formula: "share = lost voltage / voltage at the packs, see `voltage-drop`",
	Source:  "10 % for what safety does not hang on: ABYC E-11 as printed in a catalogue (second-hand). 20 %: own choice, no source.",
	Example: "  wiring: {usual: {size: 6 mm²}}",
}}

// The shares of the voltage that may be lost, and from which it is a matter of heat.
const (
	lostMost quantity.Fraction = 0.10
	lostHot  quantity.Fraction = 0.20
)

func judgeDropLarge(s *subject) []verdict {
	w := s.wired()
	if w == nil {
		return nil
	}
	var worst circuit.LoadResult
	point := ""
	for _, sol := range w.Solutions {
		if sol.Point.Lasts != 0 || sol.Point.Kind != circuit.Cruise {
			continue
		}
		for _, l := range sol.Loads {
			if l.Share > worst.Share {
				worst, point = l, sol.Point.Name
			}
		}
	}
	if !above(worst.Share, lostMost) {
		return nil
	}
	v := verdict{signal: finding.PropertyNotice, at: s.atPart(worst.Part), gauge: most("share of the voltage lost", worst.Share, lostMost, ""),
		text: fmt.Sprintf("%s the wiring on the way to `%s` loses %s, which is %s of the voltage: it turns to heat in leads and joints",
			when(point), w.Circuit.Parts[worst.Part].Name, rough(quantity.Exact(worst.Drop).Quantity()), three(quantity.Exact(worst.Share).Quantity())),
		remedy: "switch off, then feel along the way for the warmest joint and make it anew. Then take thicker or shorter leads."}
	if !below(worst.Share, lostHot) {
		v.signal = finding.Caution
	}
	return said(v)
}

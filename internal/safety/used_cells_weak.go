package safety

import (
	"fmt"

	"voltwright/internal/finding"
	"voltwright/internal/notes"
	"voltwright/internal/quantity"
)

// usedCellsWeak asks whether used cells still hold, give and keep enough.
var usedCellsWeak = &rule{each: eachPack, judge: judgeUsedCellsWeak, doc: finding.Doc{
	Name: "used-cells-weak", Signal: finding.SignalWarning,
	Title:   "Used cells that are worn",
	What:    "Holds what was measured of used cells against what they had when new: capacity against 80 %, resistance against twice, loss in a month at rest against 5 %. One of them beyond its limit is a CAUTION. A loss above 20 %, or a capacity below 60 %, is a WARNING where the cells can burn.",
	Why:     "A cell that loses its charge by itself has a short inside that may grow. One with double resistance heats as much again under the same load, and in a pack the weakest is overcharged and run flat by the others.",
	Needs:   "`used` of the pack",
	Formula: "capacity ÷ label; resistance ÷ new-resistance; loses",
	Source:  "Much less capacity as a sign of a dangerous battery: a public guide to dangerous batteries of Finland (second-hand). 60 % as the end of a cell's test by its maker (second-hand). 80 %, twice, 5 % and 20 %: common practice, no source.",
	Example: "  used: {label: 14 Ah, capacity: 12.1 Ah, new-resistance: 38 mΩ, resistance: 51 mΩ, loses: 2 %}",
}}

const (
	usedHolds     quantity.Fraction = 0.8
	usedSpent     quantity.Fraction = 0.6
	usedGrown     quantity.Number   = 2
	usedLoses     quantity.Fraction = 0.05
	usedLosesFast quantity.Fraction = 0.2
)

func judgeUsedCellsWeak(s *subject) []verdict {
	u := s.pack.Used
	if u == nil {
		return nil
	}
	var found []verdict
	say := func(gauge *finding.Gauge, grave bool, text, remedy string) {
		if !exceeds(gauge) {
			return
		}
		v := verdict{signal: finding.Caution, at: u.Span, gauge: gauge, text: s.thePack() + " " + text, remedy: remedy}
		if grave && burns(s.pack) {
			v.signal = finding.SignalWarning
		}
		found = append(found, v)
	}
	if part, known := against(u.Capacity, u.Label); known {
		holds := quantity.Fraction(part)
		say(least("capacity of that when new", holds, usedHolds, ""), below(holds, usedSpent),
			fmt.Sprintf("holds %s of the %s that it had when new: its weakest cells are run flat and overcharged by the others", share(float64(holds)), quantity.Brief(u.Label.Value)),
			"do not join it to others. Measure each cell by itself, leave out those that hold less, and state as `capacity` what is left.")
	}
	if grown, known := against(u.Resistance, u.NewResistance); known {
		say(most("resistance against that when new", grown, usedGrown, ""), false,
			fmt.Sprintf("has %.2g times the resistance that it had when new: it heats as many times more under the same load", float64(grown)),
			"do not load it as its sheet allows: halve the current, and feel for cells that get warmer than the others.")
	}
	if u.Loses.Known() {
		say(most("loss in a month", u.Loses.Value, usedLoses, ""), above(u.Loses.Value, usedLosesFast),
			fmt.Sprintf("loses %s of its charge in a month at rest: a cell in it has a short inside, which may grow", share(float64(u.Loses.Value))),
			"do not charge it with nobody by. Measure each cell after a month; those that fell are handed in, not mended.")
	}
	return found
}

// against is how many times what it was when new something is; false where one of the two is not stated.
func against[K quantity.Kind](measured, asNew notes.Value[K]) (quantity.Number, bool) {
	return quantity.Number(measured.Value) / quantity.Number(asNew.Value), measured.Known() && asNew.Known()
}

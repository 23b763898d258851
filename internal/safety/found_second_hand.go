package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundSecondHand asks whether what keeps it safe was used before, with nobody knowing how.
var foundSecondHand = &rule{each: eachVersion, judge: asFoundRule{word: journal.SecondHand,
	says: map[foundClass]foundSaying{
		mainsCharger: {finding.Caution, "is second-hand: the mains is in it, and nobody knows how it was kept",
			"do not plug it in yet. Look at its lead, plug and case, have its insulation tested, and measure its voltage without a pack."},
		joint: {finding.Caution, "is second-hand: a contact that was hot or parted often has lost its spring",
			"look at every contact for browning and pull at it; then load it once for ten minutes with somebody by, and feel for heat."},
		guard: {finding.Caution, "is second-hand: contacts that once welded or burnt may not open the next time",
			"try it before you rely on it: open it under its load on the bench, a few times, and measure that it parts."},
		runningGear: {finding.Caution, "is second-hand: cracks and worn brakes do not show until they give",
			"take the wheels off and look at axles, hubs and brakes; try the brake by hand before anybody rides."},
		anything: {finding.PropertyNotice, "is second-hand: its ratings may not be those of its label",
			"measure its resistance and its current without load before it is joined to the pack."},
	},
	skip: func(_ *subject, t foundThing) bool { return t.class == burningCells || t.class == otherCells },
}.judge, doc: finding.Doc{
	Name: "found-second-hand", Signal: finding.Caution,
	Title:   "Bought used",
	What:    "Looks for `second-hand` among what things were found to be. Packs are left to `used-cells-unmeasured`, which asks what was measured of them. Motors and lamps are a NOTICE: they can be tried where they hurt nobody.",
	Why:     "What a fuse, a contact or a charger went through before cannot be seen from outside.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  charger: {as-found: [second-hand]}",
}}

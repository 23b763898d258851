package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundCorroded asks whether anything is corroded.
var foundCorroded = &rule{each: eachVersion, judge: asFoundRule{word: journal.Corroded,
	says: map[foundClass]foundSaying{
		burningCells: {finding.Caution, "is corroded: what comes out of a leaking lithium-ion cell eats tabs and skin, and burns",
			"do not touch the crust with bare hands and do not charge the pack. Measure each cell; if one is lower than the others, hand the pack in."},
		otherCells: {finding.Caution, "is corroded: the crust is of acid, and the joint under it heats",
			"put on gloves and goggles, take the negative lead off first, and clean posts and terminals before it is loaded."},
		guard: {finding.Caution, "is corroded: it may stick, or pass less than it is rated for",
			"put in a new one, and keep the water from it."},
		runningGear: {finding.Caution, "is corroded: rust eats axles and holds brakes",
			"let nobody ride until the brake moves free and holds, and the axles show no pits."},
		anything: {finding.Caution, "is corroded: the joint has resistance, and heats under load",
			"take the pack off, cut back to bright metal and make it up anew; find where the water came from."},
	},
}.judge, doc: finding.Doc{
	Name: "found-corroded", Signal: finding.Caution,
	Title:   "Found corroded",
	What:    "Looks for `corroded` among what things were found to be. All of it is a CAUTION.",
	Why:     "Corrosion is resistance where there was none: the joint heats under load, and a contact that should open may stick. On cells it comes of a leak.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  parts: [{name: plug, kind: connector, as-found: [corroded]}]",
}}

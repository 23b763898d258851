package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundLoose asks whether anything moves where it should not.
var foundLoose = &rule{each: eachVersion, judge: asFoundRule{word: journal.FoundLoose,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "is loose: it chafes its leads on the frame, and a short at the pack has nothing before it that opens",
			"stop, and strap it down with something between it and the frame; look at its leads for bare places before it runs again."},
		runningGear: {finding.SignalWarning, "is loose: a wheel or a brake may come off under way",
			"let nobody ride. Tighten it, secure it so that it cannot turn back, and look again after the first ride."},
		anything: {finding.Caution, "is loose: what moves arcs, heats and wears through",
			"take the pack off, tighten it to what its maker asks, and pull at it by hand: it must not move."},
	},
}.judge, doc: finding.Doc{
	Name: "found-loose", Signal: finding.Caution,
	Title:   "Found loose",
	What:    "Looks for `loose` among what things were found to be. Wheels and brakes, and a lithium-ion pack that can move, are a WARNING; anything else is a CAUTION.",
	Why:     "A loose joint arcs and heats, a loose pack chafes its leads through, a loose wheel comes off.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  drive: {as-found: [loose]}",
}}

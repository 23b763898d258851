package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundSwollen asks whether anything is stated to be swollen.
var foundSwollen = &rule{each: eachVersion, judge: asFoundRule{word: journal.Swollen,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "is swollen: gas in a lithium-ion cell comes of its decay, and it may catch fire by itself",
			"do not charge it, use it or press it flat. Carry it outdoors, away from all that burns, and let your local collecting point or fire service say how it is handed in; it does not go by post."},
		otherCells: {finding.SignalWarning, "is swollen: it was overcharged, shorted or frozen, and may give off hydrogen and acid",
			"do not charge it. Unplug the charger at the wall, air the room and let no spark near it; hand it in where batteries are taken, with gloves and goggles on."},
		anything: {finding.Caution, "is swollen: what swells has been too hot, and may fail as a short",
			"take the pack off before you touch it, and put in a new one."},
	},
}.judge, doc: finding.Doc{
	Name: "found-swollen", Signal: finding.SignalWarning,
	Title:   "A pack or part that is swollen",
	What:    "Looks for `swollen` among what things were found to be. Lithium-ion cells are a WARNING, and so are lead-acid batteries; anything else is a CAUTION.",
	Why:     "Gas swells a cell when it is decomposing: it may burn hours or days later, of itself. A lead-acid battery that bulges was overcharged or shorted, and what is in it is hydrogen and acid.",
	Needs:   "`as-found` of the part",
	Source:  "Stopping at a change of shape, smell, heat or leak: NFPA, as quoted in a newspaper (second-hand). A bulge as a sign of a dangerous battery: a public guide to dangerous batteries of Finland (second-hand). Damaged cells do not go by post: special provision 376 of the ADR, as quoted elsewhere (second-hand).",
	Example: "  packs: [{chemistry: nmc, series: 7, capacity: 12 Ah, as-found: [swollen]}]",
}}

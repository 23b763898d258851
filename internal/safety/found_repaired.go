package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundRepaired asks whether anything was opened and mended.
var foundRepaired = &rule{each: eachVersion, judge: asFoundRule{word: journal.Repaired,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "was repaired: nobody has tested it as it is now, and packs that are mended at home are among those that burn",
			"do not charge it indoors. Find out who mended it and with which cells; without that, hand it in and take a pack that was tested as one."},
		otherCells: {finding.Caution, "was repaired: a joint that was made anew in a battery may part under load and spark in its gas",
			"measure its voltage at rest and under load before it is used, and keep sparks away while it charges."},
		mainsCharger: {finding.Caution, "was repaired: what parts the mains from its output may be gone",
			"do not plug it in until somebody licensed for it has tested its insulation and its protective earth."},
		guard: {finding.Caution, "was repaired: it may not open at what its label says",
			"put in a new one; a fuse, a cutout or a stop is not mended."},
		runningGear: {finding.Caution, "was repaired: a weld or a bent axle may give under a rider",
			"take the rider off. Have the weld looked at, and load it standing with twice what it carries."},
		anything: {finding.PropertyNotice, "was repaired",
			"try it by itself before it is built in."},
	},
}.judge, doc: finding.Doc{
	Name: "found-repaired", Signal: finding.SignalWarning,
	Title:   "A pack, charger or part that was repaired",
	What:    "Looks for `repaired` among what things were found to be. Lithium-ion packs are a WARNING; chargers, lead-acid batteries and what guards are a CAUTION; anything else is a NOTICE.",
	Why:     "A pack that was mended has cells, joints and a board that were not made to go together, and nobody tested it as one. A charger that was opened may have lost what parts it from the mains.",
	Needs:   "`as-found` of the part",
	Source:  "Never a pack reworked by the unqualified or with re-used cells: CPSC 2025 (confirmed). That a home-made pack is no tested type: ADR 2.2.9.1.7 (confirmed). The rest: common practice, no source.",
	Example: "  packs: [{chemistry: nmc, series: 7, capacity: 12 Ah, as-found: [repaired]}]",
}}

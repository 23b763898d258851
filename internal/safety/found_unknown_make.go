package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundUnknownMake asks whether anything that keeps it safe is of unknown make.
var foundUnknownMake = &rule{each: eachVersion, judge: asFoundRule{word: journal.UnknownMake,
	says: map[foundClass]foundSaying{
		burningCells: {finding.Caution, "is of unknown make: how much it may give, and how warm or cold it may be charged, nobody has stated",
			"do not load it beyond what you have tried with somebody by; charge it slowly, outdoors or in a shed, until you have measured its capacity and each cell's voltage."},
		otherCells: {finding.Caution, "is of unknown make: how much it may give nobody has stated",
			"measure its capacity once before it is relied on, and fuse it by the lead alone."},
		mainsCharger: {finding.Caution, "is of unknown make: whether it ends the charge, and whether it parts you from the mains, nobody has stated",
			"do not use it. Take one from the maker of the pack, or one with a maker's name and a sheet."},
		guard: {finding.Caution, "is of unknown make: at what it opens nobody has stated",
			"put in one with a maker's name and a printed direct voltage; it costs less than what it guards."},
		anything: {finding.PropertyNotice, "is of unknown make: its ratings are a guess",
			"load it once with somebody by, and measure how warm it gets."},
	},
}.judge, doc: finding.Doc{
	Name: "found-unknown-make", Signal: finding.Caution,
	Title:   "Of unknown make",
	What:    "Looks for `unknown-make` among what things were found to be. A pack, a charger and what guards are a CAUTION; anything else is a NOTICE.",
	Why:     "Without a maker or a sheet no rating is known: what the journal states of it is somebody's guess, and everything that is computed rests on it.",
	Needs:   "`as-found` of the part",
	Source:  "Only the charger that came with it: CPSC 2025 (confirmed). The rest: common practice, no source.",
	Example: "  charger: {as-found: [unknown-make]}",
}}

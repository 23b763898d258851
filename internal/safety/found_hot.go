package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundHot asks whether anything was found too hot.
var foundHot = &rule{each: eachVersion, judge: asFoundRule{word: journal.FoundHot,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "was found hot: a cell that heats with little asked of it is failing inside",
			"stop, unplug the charger and go away from it. If it smells, hisses or smokes, get everybody out and call the fire service; else let it cool outdoors and do not charge it again."},
		otherCells: {finding.Caution, "was found hot: a cell in it may be shorted",
			"unplug the charger, let it cool with the room aired, and measure its voltage after a night before it is charged again."},
		mainsCharger: {finding.Caution, "was found hot: it is covered, overloaded or failing",
			"pull the plug at the wall. Stand it free, on something that does not burn, and do not use it again if it smells or is browned."},
		joint: {finding.Caution, "was found hot: the contact is bad, and it gets worse until something melts",
			"stop, take the pack off, and make the joint up anew at both ends; then feel it again after ten minutes under load."},
		guard: {finding.Caution, "was found hot: its contacts are burnt, or it is too small, and it may weld shut",
			"stop, take the pack off, and put in one that is rated for the current; do not rely on it to open."},
		anything: {finding.Caution, "was found hot",
			"stop, let it cool, and find what drags or what is too small before it is used again."},
	},
}.judge, doc: finding.Doc{
	Name: "found-hot", Signal: finding.SignalWarning,
	Title:   "Found too hot, browned or melted",
	What:    "Looks for `hot` among what things were found to be. A lithium-ion pack is a WARNING; anything else is a CAUTION.",
	Why:     "A cell that heats with little asked of it is failing inside. A joint that is hot has a bad contact, which gets worse until something melts.",
	Needs:   "`as-found` of the part",
	Source:  "Stopping at a change of shape, smell, heat or leak: NFPA, as quoted in a newspaper (second-hand). Very hot charging as a sign of a dangerous battery: a public guide to dangerous batteries of Finland (second-hand). The rest: common practice, no source.",
	Example: "  parts: [{name: plug, kind: connector, as-found: [hot]}]",
}}

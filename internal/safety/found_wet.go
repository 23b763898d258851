package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundWet asks whether anything got wet inside.
var foundWet = &rule{each: eachVersion, judge: asFoundRule{word: journal.FoundWet,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "got wet inside: the water shorts its board and its tabs, and it may burn days later when it seems dry",
			"do not charge or use it. Put it outdoors, away from all that burns, and ask your local collecting point; drying it does not mend it."},
		mainsCharger: {finding.SignalWarning, "got wet: its case and its output may carry the mains",
			"do not touch it. Switch the socket off at the board of the house, then pull the plug; have it tested or take a new one."},
		runningGear: {finding.Caution, "is wet: brakes take hold later or not at all",
			"try the brake at a walk before anybody rides downhill, and let it dry."},
		anything: {finding.Caution, "got wet: water creeps into contacts and strands, and they corrode or leak current",
			"take the pack off with dry hands, open what can be opened, and let it dry in moving air; look at it again in a week."},
	},
}.judge, doc: finding.Doc{
	Name: "found-wet", Signal: finding.SignalWarning,
	Title:   "Wet inside, or stood in water",
	What:    "Looks for `wet` among what things were found to be. A lithium-ion pack and a charger are a WARNING; anything else is a CAUTION.",
	Why:     "Water in a pack shorts its board and eats its tabs for days before it burns. Water in a charger brings the mains to its case.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  charger: {as-found: [wet]}",
}}

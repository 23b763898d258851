package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundWorn asks whether anything is chafed, cracked or worn.
var foundWorn = &rule{each: eachVersion, judge: asFoundRule{word: journal.Worn,
	says: map[foundClass]foundSaying{
		burningCells: {finding.Caution, "is worn: a wrapper that is torn lays cells bare that touch each other or the frame",
			"do not charge it. Look at it with the pack off and the charger unplugged; cells with torn wrappers are wrapped anew or handed in."},
		mainsCharger: {finding.Caution, "is worn: a cracked lead or plug lays bare what the mains reaches",
			"pull the plug at the wall, and have the lead replaced; tape does not do."},
		joint: {finding.Caution, "is worn: two bare places that touch are a short",
			"take the pack off, replace the lead, and keep it from what chafes it."},
		guard: {finding.Caution, "is worn: it may open late or not at all",
			"put in a new one, and try that it opens."},
		runningGear: {finding.Caution, "is worn: it holds less than it did when it was measured",
			"let nobody ride downhill. Replace what is worn, and measure the braking anew."},
		anything: {finding.PropertyNotice, "is worn",
			"replace it before it fails on the way."},
	},
}.judge, doc: finding.Doc{
	Name: "found-worn", Signal: finding.Caution,
	Title:   "Chafed, cracked or worn through",
	What:    "Looks for `worn` among what things were found to be. Leads and what joins, wheels and brakes, the charger and what guards are a CAUTION; anything else is a NOTICE.",
	Why:     "Worn insulation on two leads, or on one and the frame, is a short that waits. A worn brake holds until it is wanted.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  leads: [{from: \"pack:+\", to: \"main fuse:in\", as-found: [worn]}]",
}}

package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundSoldered asks whether anything is soldered where a crimp or a weld belongs.
var foundSoldered = &rule{each: eachVersion, judge: asFoundRule{word: journal.Soldered,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "has leads soldered to its cells: the heat of the iron may have hurt the seal or what parts the plates inside",
			"do not charge it with nobody by. Measure each cell after a night at rest; one that has fallen behind means that the pack is handed in. New cells are joined by welded tabs."},
		anything: {finding.Caution, "is soldered where a crimp belongs: the strands break at the edge of the solder, and the joint lets go when it is hot",
			"take the pack off, cut the joint out and crimp it with a tool and a terminal made for the size; hold it so that it cannot swing."},
	},
}.judge, doc: finding.Doc{
	Name: "found-soldered", Signal: finding.Caution,
	Title:   "Soldered where it should be crimped or welded",
	What:    "Looks for `soldered` among what things were found to be. Leads soldered to lithium-ion cells are a WARNING; anything else is a CAUTION.",
	Why:     "The heat of an iron on a cell damages its seal and what parts its plates. Solder runs up between the strands, which break at its edge when they are shaken, and it melts where a joint gets hot.",
	Needs:   "`as-found` of the part",
	Source:  "common practice, no source",
	Example: "  leads: [{from: \"pack:+\", to: \"main fuse:in\", as-found: [soldered]}]",
}}

package safety

import (
	"voltwright/internal/finding"
	"voltwright/internal/journal"
)

// foundCrashDamaged asks whether anything fell, was hit or crushed.
var foundCrashDamaged = &rule{each: eachVersion, judge: asFoundRule{word: journal.CrashDamaged,
	says: map[foundClass]foundSaying{
		burningCells: {finding.SignalWarning, "was in a crash: a dented cell may be shorted inside, and may catch fire hours later",
			"do not charge or use it. Leave it outdoors for a day, away from all that burns, and then let your local collecting point say how it is handed in; it does not go by post."},
		otherCells: {finding.Caution, "was in a crash: its case may be cracked, and acid runs out of it unseen",
			"put on gloves and goggles, stand it upright in a plastic tray and look for wet seams before it is charged again."},
		mainsCharger: {finding.Caution, "was in a crash: a cracked case may lay bare what the mains reaches",
			"pull the plug at the wall, and do not use it again until it was tested."},
		joint: {finding.Caution, "was in a crash: strands may be broken and insulation cut where it does not show",
			"take the pack off, then bend the lead and pull at each end along its whole length; make up anew what moves."},
		guard: {finding.Caution, "was in a crash: it may be stuck, or open of itself",
			"take the pack off, and try it with a meter: closed it passes, open it does not."},
		runningGear: {finding.SignalWarning, "was in a crash: a bent wheel, axle or brake may give on the next hill",
			"let nobody ride. Look at rims, axles and brakes, and try the brake with a load and nobody on it."},
		anything: {finding.Caution, "was in a crash: it may be cracked where it does not show",
			"take the pack off, and look at it from all sides before it is used again."},
	},
}.judge, doc: finding.Doc{
	Name: "found-crash-damaged", Signal: finding.SignalWarning,
	Title:   "Damaged in a crash or a fall",
	What:    "Looks for `crash-damaged` among what things were found to be. Lithium-ion packs, and wheels and brakes, are a WARNING; anything else is a CAUTION.",
	Why:     "A dented cell may be shorted inside and burn hours later. A wheel or brake that was bent breaks on the next hill.",
	Needs:   "`as-found` of the part",
	Source:  "Dents as a sign of a dangerous battery: a public guide to dangerous batteries of Finland (second-hand). Damaged cells do not go by post: special provision 376 of the ADR, as quoted elsewhere (second-hand). The rest: common practice, no source.",
	Example: "  packs: [{chemistry: nmc, series: 7, capacity: 12 Ah, as-found: [crash-damaged]}]",
}}

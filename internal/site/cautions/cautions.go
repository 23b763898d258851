// Package cautions has the words that go with every build and every ride, whatever the numbers.
package cautions

import (
	"slices"

	"voltwright/internal/journal"
)

// riders is what whoever rides must know: it stands wherever one is described or driven, and on no sheet for the bench.
const riders = "It is not safe for children by themselves: they ride and drive only with an adult within reach of them and of the switch. Hands, feet, hair and loose clothes stay clear of wheels and gears. The key, the packs and the charger are kept where no child gets at them. A converted vehicle is no tested toy."

// ForRiders are the cautions of a vehicle that is driven: those of its making, and what its riders must know.
func ForRiders(versions ...*journal.Version) []string {
	said := ForTheBench(versions...)
	return slices.Insert(said, len(said)-1, riders)
}

// ForTheBench are those that go with every build, whatever its numbers.
func ForTheBench(versions ...*journal.Version) []string {
	said := []string{
		"Disconnect the pack before you work on the wiring; cover its terminals. A pack cannot be switched off.",
		"Fuse every pack at its positive terminal, with a fuse rated for direct current at the pack's full voltage.",
		"Take off rings and watches. Wear eye protection when you crimp, cut or make the last connection. A crimp is made with the tool and the size that its maker names, and pulled at before it is trusted.",
		"Mains chargers are bought ready made and whole, kept dry, and used behind a residual-current device. What is inside one is for an electrician.",
	}
	lithium, lead := false, false
	for _, v := range versions {
		for _, p := range v.Packs {
			family := p.Chemistry.Value.Family()
			lithium = lithium || family == "lithium-ion" || family == "sodium-ion"
			lead = lead || family == "lead-acid"
		}
	}
	if lithium {
		said = append(said, "Charge lithium-ion packs only with a charger made for their chemistry and their number of cells in series, watched, on a surface that does not burn; never below 0 °C at its cells, and slowly below 15 °C, unless their own data sheet says otherwise. A pack that is swollen, dented or was flat for long is not charged again.",
			"If a lithium-ion pack smokes, hisses or burns: get everybody away and out of the smoke, shut the door behind you, and call the fire service; tell them what burns. Ask your local fire service beforehand what it advises.",
			"Carry packs with their terminals covered and a fuse or plug taken out. Carriers have rules of their own for lithium-ion, above all for damaged packs. Old packs go to a collection point, never into household waste.")
	}
	if lead {
		said = append(said, "Charge lead-acid batteries in the open air, away from sparks: they give off hydrogen. The acid burns skin and eyes: have water at hand. Old batteries go back to the trade.")
	}
	return append(said, "Local codes and the makers' instructions come first; where a licensed trade is called for, call it in. This page describes what one maker did, and is no instruction.")
}

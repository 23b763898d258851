package circuit

import "voltwright/internal/finding"

// faultDocs explains what Check finds.
func faultDocs() []finding.Doc {
	fault := func(name, title, what, why, example string) finding.Doc {
		return finding.Doc{Kind: finding.RuleDoc, Name: name, Level: finding.Error, Title: title, What: what, Why: why, Example: example}
	}
	const lead = `  {from: "main fuse:out", to: "controller:in+", size: 4 mm², colour: red}`
	return []finding.Doc{
		fault("name-used-twice", "One name for two parts", "Parts of one wiring that have the same name.", "A lead to that name would end at two places.", ""),
		fault("lead-to-nowhere", "A lead that goes nowhere", "Leads with an end that names no terminal, and leads that come back to where they start.", "A cut list would have it, and nobody could fit it.", lead),
		fault("unknown-part", "A lead to a part that is not there", "The part that each end of a lead names.", "Whatever hangs on the lead is then joined to nothing.", lead),
		fault("unknown-terminal", "A lead to a terminal that is not there", "The terminal that each end of a lead names, against those that its part has by its kind, poles, throws and ways.", "A lead to another terminal than the one meant is another circuit.", lead),
		fault("terminal-crowded", "More leads on a terminal than it takes", "How many leads end at each terminal, against how many it takes: one at a clamp, a tail or a tab, two on a stud, where the part does not state `takes`.", "Of two wires under one screw, one works loose. How many a terminal takes where nothing is stated is common practice, no source.", ""),
		fault("part-not-wired", "A part that no lead goes to", "Parts of the wiring without a lead.", "Either a lead is missing, or it belongs in the parts list only.", ""),
		fault("terminal-floating", "A terminal that no lead goes to", "Terminals without a lead, but for those that may stay free: one way of a changeover, a pole that is not used, the negative of a cutout on the load's side.", "A part with one end in the air does nothing, and what hangs behind it has no defined voltage.", ""),
		fault("packs-opposed", "Packs joined with reversed polarity", "The voltages that packs give to what they are joined to: two of them on the same two points must agree within a quarter, and two of a string may not meet with terminals of one sign.", "The current between them is limited by their resistances alone, and is in the hundreds or thousands of amperes.", ""),
		fault("precharge-misplaced", "A precharge resistor that fills nothing", "Whether the two ends of each precharge resistor become one point when every contact is closed.", "A resistor that lies elsewhere leaves the capacitors empty, and the contact closes on them all the same.", `  {from: "main contactor:in", to: "precharge:1", size: 1.5 mm², colour: red}`),
		fault("balance-lead-swapped", "A balance lead in the wrong order", "The voltage of each contact of a balance lead against contact 0: it must rise by one cell from each contact to the next, within a quarter of a cell.", "Two wires changed over put a cell's voltage the wrong way round into what is plugged in, or two cells where one belongs, and a charger that balances by it overcharges a cell.", `  {from: "main:1", to: "balance:1", size: 0.5 mm², colour: white}`),
		fault("polarity-reversed", "Reversed polarity", "Terminals marked + and − of cutouts, controllers, coils and charger sockets, against the side of the packs that they are joined to; and diodes whose anode is where their cathode should be: across a load or a motor the cathode, the end with the band, is on the positive side; in a feed it is on the side of what is fed. The rest of the wiring is judged when it is turned round.", "Most electronics die of it at once, and a charger sees a pack of twice the voltage difference. A diode across a motor the wrong way round is a short as soon as the switch closes.", ""),
	}
}

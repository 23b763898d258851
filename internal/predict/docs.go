package predict

import "voltwright/internal/finding"

// Docs is the documentation of how answers are made from packs and runs, for
// explain and for the method page. The formulas of the packs are battery's.
func Docs() []finding.Doc {
	formula := func(name, title, what, why, relation, units, holds, source string) finding.Doc {
		return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Why: why, Formula: relation, Units: units, Range: holds, Source: source}
	}
	const own = "our own choice of figures; common practice, no source"
	return []finding.Doc{
		formula("teaching-runs", "Which runs teach",
			"A run teaches what its packs are like if it has a log of voltage and current, takes out at least 5 % of the capacity, and begins at a charge that is known: full by its first voltage at rest, under load with a voltage that full packs show, or at a rest of ten minutes or more at a voltage that tells the charge within a tenth. Charges and rests do not teach, nor do runs with packs of unlike chemistry. The version may name the runs that teach under `taught-by`; the others are then only held against them, and no plug is measured by theirs. Of more than four runs the four that took most out are used. A gap in the log is closed where the current was alike on both sides (within a fifth) or where it matters less than 1 % of the capacity; else the log ends there. The log is first reduced to 300 rows or fewer, charge kept, each ending where the current steps or the voltage has moved. Where several runs do not go together (a reduced χ² above 4) they all teach: the intervals are wider for it, and the answer says which two differ most and by how much. Where four runs or more are dated and what each shows alone falls with the date, beyond the 95 % of Student's distribution, and neither current nor temperature went with the date (a correlation above 0.7), the packs fade: each run then counts as it would have gone with the packs of the newest one.",
			"A prediction is as good as the logs behind it, and a log that begins nobody knows how full teaches wrong things.",
			"", "", "One logger sees only the sum of packs in parallel: packs of one chemistry are calibrated as one.", own),
		formula("plug-resistance", "Resistance of plugs and leads",
			"A log that begins at rest, full, with a current that holds within a tenth for ten seconds and is half of the capacity in amperes or more measures the resistance of packs, plugs and leads together. Of the runs of the same packs that start within 5 K of each other, within a year and a hundred cycles, the least, brought to the run's own temperature by what is typical, is that of the packs: a plug only adds. What a run has more than 8 % of that, twice the scatter, is in its plugs and leads; it is told with the heat that it makes, and taken out of what the run teaches. Where the resistance of four runs or more that start like the newest rises with the date, beyond the 95 % of Student's distribution, and neither current nor temperature went with the date, that is told too. What heats or grows is a finding of plug-heats.",
			"A bad plug looks like a bad battery, and it gets hot.",
			"R10 = (V(rest) − V(10 s))/I;  R(plug) = R10 − least R10;  P = I²·R(plug)", "V of the pack; A; Ω; W", "Logs with a row within 15 s of the first load. The scatter of 4 % is that of two cells over the rate of discharge, 37.6 mΩ to 39.9 mΩ and 35.9 mΩ to 37.9 mΩ (published sets of a 21700 NMC of 5 Ah and of a high-drain 18650 of 3 Ah).", own),
		formula("run-time", "Running time of a pack under a load",
			"How long the packs carry a load from full, until the voltage has been below the cutout's opening for its delay, or below a floor. It is computed for a load that does not stop: the run's mean power while under load (above 2 % of the capacity in amperes), and on top of that what it drew while it was not, so that the charge comes out as it was measured. That is the time under load. The answer is the running time: for each second under load the run was running for so many by its own stop rule, from when it first set off to when it last stood; coasting runs and is not under load. The time on the clock has every stop in it, in the share of the run. Beside it stands the time with the run's own course of power repeated from full. A load that comes from no run is steady, and its three times are one.",
			"It is what everybody asks.",
			"t(running) = t(load)·T(running)/T(load);  t(clock) = t(load)·T(clock)/T(load), T of the run", "s; Ah left in the packs; Wh given; standard uncertainty from the packs' values and the model's own error",
			"A load that swings reaches the cutout somewhat earlier than its mean, by the sag of its peaks; recovery in stops makes it last somewhat longer. Where the voltage stays near the level for so long that the interval would be wider than the time itself, its bounds are given in words and no number. Half and double are more or fewer of the same cells under the same load.", "formula equivalent-circuit; "+own),
		formula("other-payload", "A measured load at another payload",
			"What a run drew is scaled to another payload by the whole mass that was moved: rolling and climbing resistance are the mass times the same number on the same way, and so is what it takes to start after every halt. What does not go with the mass is left as it is: what was drawn at a stand, and the no-load power of the motors where their no-load current is stated. The run's own course is scaled row by row in the same way. The table of a version has its newest field run with no payload, and with the payload that the version states where that is another.",
			"It answers whether the train still gets home with three more on it.",
			"P₂ = P₀ + (P₁ − P₀)·m₂/m₁,  m = vehicle + payload,  P₀ = P(stand) + s·V·ΣI₀", "W; kg; V of the pack; s the controller's setting, 0 to 1; I₀ of each motor in A",
			"The same way at the same speed. Air resistance is neglected: at walking pace it is a few parts in a hundred. Copper loss grows with the square of the pull, coasting gives something back: the standard uncertainty of the scaled load is a quarter of what the scaling changes. A run on the bench or with the wheels in the air tells nothing of a payload. The wagons count to whatever mass they are stated in.",
			"formula road-load (textbook sum; week-2 assignment of the NPTEL course on electric vehicles, second-hand); the quarter is "+own),
		formula("unseen-run", "Checking on a run that was not seen",
			"Each run that can teach is predicted by what the others teach, or by what is typical where it is the only one: its measured current is replayed, and the voltage along the way compared. The running time, by the run's own stop rule, is compared at each voltage that an answer is given for and that the run reached under load: the cutout's, with its delay, or the packs' own protection's; the conservative floor; the data sheet's floor. It stands beside that answer: predicted, measured, difference, and whether the measured time lies inside the interval. A run whose last voltage under load is at most 0.5 % above such a voltage is compared at its last voltage, and that is said; a check that was not made at a voltage is not shown there. On the run's own page stands besides what comes of where it ended.",
			"The error on what a calibration has seen says little of what it has not.",
			"e = (t(predicted) − t(measured))/t(measured);  r = √(mean of (V(predicted) − V(measured))²) of one cell", "a part; V of one cell", "Running times to a voltage that the run came down to.", "leave-one-out cross-validation: common practice, no source"),
		formula("what-matters", "Which input matters most",
			"The running time with one input changed at a time and all others left alone: capacity and resistance by their expanded uncertainty where they are calibrated, else by 10 % and 20 %; the load by 10 %; the temperature by 10 K; the cutout by 0.1 V a cell; the charge at the start by 10 % less. The greatest effect stands first. Last comes what one more run would bring: of runs from full at the same load, half and twice of it, at the answer's temperature and at 20 °C, the one after which the interval would be narrowest, with its width now and then.",
			"It tells what to measure better, and what a change would buy.",
			"", "s", "One change at a time: what two changes do together is not the sum.", own),
		formula("cutout-chatter", "Whether a cutout closes again by itself",
			"The packs are run down by the load until the cutout opens, then left to recover for four hours; the voltage they come back to is compared with the point at which the cutout closes. If it gets there the load comes on again, the voltage sags, the cutout opens again, and so on: how often and how long is counted with the load left on.",
			"A cutout that switches a vehicle on again by itself moves it while somebody looks underneath.",
			"reset point = opening + reset threshold", "V; the chance of closing from the normal distribution of the rebound", "Nobody takes the load off. The rest voltage of a cell creeps on for hours; what a cell's lag does not follow is not in it.", own),
		formula("charge-from-run", "Charge time after a run",
			"The time from what a run to the cutout leaves in the packs until they are full, with the charger that the version states, at a fifth and a half of the capacity an hour, and at the current of each run that was a charge. A charger that does not fit, by a rule of safety, has no time. The rule of thumb for the same charge stands beside it.",
			"It decides whether the vehicle runs again tomorrow, or after lunch.",
			"", "s", "One charger at the bus bars, current held and then voltage held; the standard uncertainty holds 5 % for what the model does not follow.", "formulas of charging; "+own),
		gridDoc,
	}
}

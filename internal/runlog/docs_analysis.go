package runlog

import "voltwright/internal/finding"

const (
	gum     = "JCGM 100:2008 (GUM)"
	ownRule = "our own choice of figures; common practice, no source"
)

// analysisDocs documents the formulas and the rules of the analysis of a run. The rules of reading a log have their own.
func analysisDocs() []finding.Doc {
	return append(append(append(countingDocs(), cellDocs()...), chargingDocs()...), sparseDocs()...)
}

func formula(name, title, what, relation, units, holds, source string) finding.Doc {
	return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Formula: relation, Units: units, Range: holds, Source: source}
}

func countingDocs() []finding.Doc {
	return []finding.Doc{
		formula("elapsed-time", "Elapsed time",
			"From the first sample to the last, whatever happened between. What is uncertain is the last digit of its two times and the rate of the logger's clock, which is taken to run true within 50 parts in a million; or what a stated time instrument says.",
			"T = t(last) − t(first),  u²(T) = digit²/6 + (50·10⁻⁶·T)²/3", "s", "Any log with two samples or more.", gum+" 4.3.7; the rate of the clock: common practice, no source"),
		formula("running-time", "Running time and stops",
			"The elapsed time less the stops that were taken out. A stop is a time of more than 1 s in which the vehicle stands; a shorter flicker of the signal is neither a stop nor does it end one. The vehicle stands when its speed is below 0.05 m/s or, without a speed column, when the current is below the idle current. Where none is stated, the idle current is the greatest of the steps 1, 2, 5 in each decade that is at most 5 % of the current at or above which half of the charge flowed, and 0.01 A at the least. A stop longer than pause-after is taken out whole and the clock restarts with the motion; a shorter one stays in. Without pause-after none is taken out. A stop begins and ends halfway between two samples, or where the edge of the load was placed.",
			"T(run) = T − Σ T(stop) over stops longer than pause-after", "s; each end of a stop that is taken out adds a rectangular ± half a sample interval", "Any log with a speed or a current column.", ownRule),
		formula("charge-by-trapezoid", "Charge out and in",
			"The current is joined by straight lines from sample to sample, and what leaves the pack and what returns are counted apart. A straight line across the moment at which a load is switched is wrong: in pulse tests by up to 2 %. So an interval is taken as an edge if the current changes in it by at least a tenth of the greatest current so far while the intervals on either side change by at most a quarter of that. An edge is placed by the logger's own rhythm: if the logger keeps a rhythm (quartile spread of its last eight intervals at most 15 % of their median) and the row before the edge came early (by more than a fifth, and earlier than any of the eight), the logger wrote it because the step ended, and the edge stands there; if the row after the edge came early, it stands there. Else the time of the edge is open: it is put in the middle, and the figures with all edges at the earlier and at the later samples are shown beside. "+
				"An interval longer than a minute and than twenty times the median interval, or than the stated gap, is not integrated across while the load is on; it is reported with what it leaves out.",
			"Q = ∫ I dt,  u²(Q) = (∫ u(I) dt)² + Σ (|ΔI|·h)²/3 + Σ (digit²/12)·Δt²",
			"Ah; u(I) is the accuracy of the instrument, an error that all samples share and that does not average out (Type B, rectangular). h is half the interval, or for a placed edge half the spread of the rhythm and at least a twentieth of the interval: between two samples the current can have taken any course from one to the other.",
			"Checked against the counters of battery testers: within 0.1 % on constant-current, pulse, CC–CV and drive-cycle logs. Where a logger keeps no rhythm and the load changes from sample to sample, no rule places the edges: on such a log of a small car the energy came within 0.7 % of the controller's own counter, inside the stated uncertainty.", gum+" 4.3.7, 5.1.2; edge and gap figures are "+ownRule),
		formula("energy-by-trapezoid", "Energy out and in",
			"As the charge, for the product of voltage and current. Where voltage and current stand on different rows, each current gets the voltage on the straight line between the voltages before and after it.",
			"E = ∫ V·I dt,  u²(E) = (∫ V·u(I) dt)² + (∫ I·u(V) dt)² + what the samples do not share", "Wh",
			"Needs voltage and current. The same edges and gaps as the charge.", gum+" 5.1.2"),
		formula("mean-current", "Mean current", "The net charge by the running time.", "I = (Q(out) − Q(in))/T(run)", "A; positive on discharge", "A running time of more than nothing.", gum+" 5.1.2"),
		formula("peak-current", "Peak current", "The sample of the greatest magnitude, with its sign; shorter peaks between two samples are not seen.", "I(k) with the greatest |I(k)|", "A", "Any log with current.", gum+" 4.3.7"),
		formula("p95-current", "Current exceeded 5 % of the time",
			"The magnitude of the current that is exceeded in one twentieth of the running time. Each sample weighs half the intervals beside it. Exact up to about two thousand samples; beyond that within 0.5 %, which is counted in the uncertainty.",
			"the weight of |I| above it is 0.05·T(run)", "A", "Any log with two currents or more.", "weighted inverse distribution function; checked with numpy"),
		formula("mean-voltage", "Mean voltage", "Energy by charge, so that the voltage counts as the charge flowed; without a current, over the time.", "V = E/Q", "V", "Any log with voltage.", gum+" 5.1.2"),
		formula("single-reading", "A single reading", "The lowest, first or last sample. Its uncertainty is the instrument's accuracy and its last digit.", "u² = ((a·|x| + n·digit)/√3)² + digit²/12", "as the channel", "Where an instrument is stated; else the uncertainty is not known.", gum+" 4.3.7"),
		formula("distance", "Distance", "The rises of the distance column or, without one, the speed integrated over time by straight lines.", "s = Σ max(0, Δs),  or ∫ |v| dt", "m", "A log with distance or speed.", gum+" 5.1.2"),
		formula("energy-per-distance", "Energy per distance", "Energy out less energy in, by distance.", "e = (E(out) − E(in))/s", "Wh/km", "A vehicle that moved.", gum+" 5.1.2"),
		formula("top-speed", "Top speed", "The greatest speed sample.", "max |v|", "m/s", "A log with speed.", gum+" 4.3.7"),
		formula("mean-speed", "Mean speed", "Distance by running time, so without the stops that were taken out.", "v = s/T(run)", "m/s", "A distance and a running time.", gum+" 5.1.2"),
		formula("temperature-rise", "Temperature rise", "The highest temperature less the first. What a thermometer shows too much or too little throughout cancels.", "ΔT = max T − T(first)", "K", "A log with two temperatures or more.", gum+" 5.1.2"),
		formula("full-cycles", "Equivalent full cycles", "The charge that was taken out of the pack, in units of its rated charge. The charge that puts it back is not counted again.", "N = Q(out)/Q(rated)", "a number", "A pack whose rated charge is stated.", "common practice, no source"),
		{Kind: finding.RuleDoc, Name: "log-gap", Title: "A gap in a log", Level: finding.Warning,
			What:    "An interval between two samples that is so long, while the load is on, that nothing is counted across it. Its place, its length and what a straight line across it would have counted are given. One of that length with no load on either side is a note: it is counted as standing, and nobody saw it.",
			Why:     "Nobody knows what the current did meanwhile. Charge, energy and run time are too small by what is left out.",
			Source:  ownRule,
			Example: "  log: {file: bench.csv, gap: 5 min}"},
		{Kind: finding.RuleDoc, Name: "log-odd-sample", Title: "A sample that stands alone", Level: finding.Warning,
			What:   "A voltage that departs in one single row from the middle of its two neighbours by more than 3 % of it, 20 mV and ten times what the neighbours differ by, while the current stays within 10 % or within 1 % of the greatest so far; where there is no current, by more than 20 %. A temperature that departs by more than 15 K from the middle of two neighbours that agree within 2 K. A current of exactly nothing in one row, between two that agree within 10 % and are more than a fifth of the greatest so far, while the voltage stays within 0.05 % or reads nothing as well. The value is left out and the line between the neighbours stands for it; the row's other values are used. Any other current that stands alone is kept, for a motor may draw one; and once a voltage was below zero, nothing is judged.",
			Why:    "A pack's voltage does not jump for one sample when nothing else changes. One such value would be the lowest or the highest of the run.",
			Source: ownRule},
	}
}

func cellDocs() []finding.Doc {
	return []finding.Doc{
		formula("sag", "Sag",
			"How far the voltage falls when the load comes on: the voltage at rest just before it, less the lowest voltage within 10 s. The greatest of all such falls of the run. What the voltage loses later is discharge, not sag. Rest is a current below 5 % of the greatest so far.",
			"ΔV = V(rest) − min V within 10 s", "V", "A log that shows rest before a load. With samples further apart than 10 s it holds some discharge as well.", ownRule),
		formula("resistance-from-steps", "Internal resistance from current steps",
			"The median over the steps of the current from one steady value to another. Each step compares the last sample before it with the last one within 10 s after it while the current holds within 10 %. The first row after the edge is never used: it can have been logged before voltage and current had settled, and a resistance from it is meaningless. A step needs a sample between 1 s and 10 s after it, and a fall of at least three of the last decimal digits in which the voltage is written; the voltage must move the right way. Where the voltage leads the current by a row, the row before is used. Rises of the load are used where there are any, else rises of a charge current, else falls, before which a cell has often not settled.",
			"R = median of ΔV/ΔI,  u² = (1.2533·s/√n)² + R²·((u(ΔV)/ΔV)² + (u(ΔI)/ΔI)²)",
			"Ω; the first part is the scatter of the steps (Type A, standard error of a median), the second the instruments, of which what all readings share cancels in the differences",
			"It is the resistance at the stated time after the step: it holds the slow response of the cell up to then and is more than the ohmic part. One step has no scatter.", gum+" 4.2, 5.1.2; the figures are "+ownRule),
		formula("cutout-opening", "When the cutout opened",
			"The current falls from load (at least a fifth of the greatest so far) to at most 5 % of it while the voltage is where the cutout opens. Where the opening voltage is stated, the voltage under load must be at or below it, give or take 1 % or twice the uncertainty; the first opening is told, later ones are counted. Where it is not stated, the voltage must be within 1 % of the lowest under load so far and 3 % below the first of the log, it must rebound by 1 %, and the load must not come back: the opening is then told from the log alone, and the page says so. The voltage is the lowest of the last three samples under load, as some loggers write a new voltage beside the old current; at the opening itself it can have been lower by what it fell in one interval.",
			"", "V, s; the time is uncertain by half the interval in which it happened (rectangular)", "A log of a discharge that goes on for at least 5 s without load.", ownRule),
		formula("rebound", "Rebound after the cutout opened",
			"The highest voltage after the opening while no load and no charge flows, and a curve that tells where it tends to. A real cell relaxes in several ways at once, so what one exponential leaves counts as a doubt of the asymptote beside the covariance of the fit. No fit is given for fewer than six samples, for a voltage that does not rise, for a time constant of more than three times what was watched, or for one that is not known within half of itself.",
			"V(t) = A − B·exp(−t/τ), least squares by Levenberg–Marquardt; u²(A) = s²·(JᵀJ)⁻¹ + s² + u²(V)", "V, s",
			"Voltage measured on the pack's side of the cutout.", "Marquardt 1963; checked with NIST StRD Misra1a and Thurber and with scipy"),
		formula("reset-margin", "Reset point and margin",
			"A cutout closes again at its opening voltage plus its threshold. The margin is that reset point less the highest rebound. It should be at least 0.2 V and at least its own expanded uncertainty; with less, the cutout may switch itself back on under the load that opened it, open again, and go on so.",
			"reset = opens + threshold,  margin = reset − max V,  needed = max(0.2 V, 2·u(margin))", "V", "A cutout whose threshold is stated.", "0.2 V: common practice, no source; "+gum+" 6.2"),
		formula("repeat-interval", "Repeats of one run",
			"Mean, spread and the 95 % confidence interval of the mean by Student's t. It holds the scatter between the runs, not the error that an instrument makes in all of them. One run has no spread and gives no interval.",
			"mean ± t(0.95, n − 1)·s/√n", "as the figure", "Two runs or more, made alike.", gum+" 4.2, annex G; checked with scipy"),
	}
}

func sparseDocs() []finding.Doc {
	return []finding.Doc{
		formula("hand-readings", "Readings by hand",
			"Readings are joined by straight lines. Between two of them the current is taken to have stayed between their values, give or take 10 % of them. The intervals can err for one reason, such as a maker who reads when the load is heaviest, so the half-widths add up. Each reading is taken to be timed within 2 s. Stops, current steps and peaks between readings are not seen, and the result says so.",
			"u²(Q) = (∫ u(I) dt)² + (Σ (|ΔI|/2 + 0.1·I)·Δt)²/3", "Ah, Wh", "A handful of readings, minutes apart.", gum+" 4.3.7; 10 % and 2 s: common practice, no source"),
		formula("laps-by-hand", "Laps timed by hand",
			"Laps follow each other without a break, so their sum has the uncertainty of two presses of the button and of the last digit, not of every lap. Each end of a stop that is taken out is one more press. A press is taken to be within 0.3 s.",
			"u²(T) = 2·(0.3 s)²/3 + digit²/12", "s", "A watch that runs all the time.", gum+" 4.3.7; 0.3 s: common practice, no source"),
		{Kind: finding.RuleDoc, Name: "reading-out-of-order", Title: "Readings out of order", Level: finding.Error,
			What: "A hand-noted reading that is earlier than the one above it.", Why: "One of the two times is wrong, and nothing tells which.", Source: "our own rule", Example: "  - {at: 12 min, voltage: 25.2 V}\n  - {at: 24 min, voltage: 24.9 V}"},
		{Kind: finding.RuleDoc, Name: "lap-without-time", Title: "A lap without a time", Level: finding.Error,
			What: "A lap whose time is missing, zero or negative.", Why: "The elapsed time would be too short by the lap.", Source: "our own rule", Example: "  laps: [3 min 12.4 s, 3 min 9.9 s]"},
		{Kind: finding.RuleDoc, Name: "stop-outside-lap", Title: "A stop that fits no lap", Level: finding.Error,
			What: "A stop in a lap that does not exist, or stops that last longer than their lap.", Why: "Lap times are taken with the watch running all the time, so a stop is part of its lap.", Source: "our own rule", Example: "  stops: [{lap: 2, lasted: 48 s}]"},
	}
}

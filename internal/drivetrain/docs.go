package drivetrain

import "voltwright/internal/finding"

// Docs is the documentation of how a version's drive is computed, for explain and
// for the method page; the formulas themselves are drive's.
func Docs() []finding.Doc {
	formula := func(name, title, what, why, relation, units, holds, source string) finding.Doc {
		return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Why: why, Formula: relation, Units: units, Range: holds, Source: source}
	}
	const own = "our own choice of figures; common practice, no source"
	return []finding.Doc{
		formula("version-drive", "How a version drives",
			"The steady speed at the controller's setting, with what the version states of its motors, gearing, wheels, masses and way. The top speed is that of a pack just charged, before it has given anything; the cruise is at the nominal voltage. Where the cutout opens, the pack's terminals are held at its voltage. What is not stated is taken and listed as assumed: 70 % to 90 % for the gearing (92 % to 99 % for a motor in the wheel), 95 % for a switching controller, 5 % for each value on a motor's plate, 20 °C for the motors. On rails the rolling coefficient is that of small wheels; on other ground the range is that of every row of the table, as a note does not say what tyre it is. A ground without a row has no answer.",
			"Speed and current decide what is safe, what the fuse and the leads carry, and how far a charge goes.",
			"", "m/s, A, W, Wh/km", "A steady speed on a long even stretch, wheels that do not slip, motors that are alike and share evenly.",
			"formulas motor-model, controller-duty, road-load, operating-point and drive-uncertainty; gearing and controller from memory, no table read; "+own),
		formula("speed-check", "Speed measured against predicted",
			"The steady speed is computed for the run's own payload, ground and setting, with the mean voltage that was measured at the battery, and held against the run's top and mean speed. The difference is said to exceed the uncertainty where it is more than the expanded uncertainties (k = 2) of both together.",
			"A prediction that nobody has held against a run is a guess.",
			"|v(measured) − v(predicted)| > 2·√(u²(measured) + u²(predicted))", "m/s",
			"The prediction is for the level, or for the grade that the version cruises on; a measured mean has starts, short stops and the driver's hand in it.",
			"JCGM 100:2008 (GUM), 5.1.2; the comparison is common practice, no source"),
		formula("implied-rolling", "Rolling coefficient that a run implies",
			"The rolling coefficient with which the energy computed for the distance, at the run's mean speed on the level, is what the run measured. Starts, curves, climbs that were braked down again and what is drawn at a stand are in it, so it is an upper bound of the coefficient proper.",
			"Published coefficients of small rail wheels are disputed tenfold; what the vehicle itself drew on its own line is worth more.",
			"E(c)/s = E(measured)/s, solved for c", "a number",
			"A way that ends where it begins, or as high. The gearing's efficiency counts in full: the two cannot be told apart by energy alone.",
			"formula held-speed, solved by bisection; "+own),
	}
}

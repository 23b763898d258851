package drive

import "voltwright/internal/finding"

const (
	textbookMotor = "textbook model of the brushed permanent-magnet motor, as in curriculum.vexrobotics.com, \"Speed, power, torque and DC motors\" (second-hand)"
	mechanics     = "mechanics"
	ownFigure     = "our own choice of figure; common practice, no source"
)

// Docs documents every formula of the package.
func Docs() []finding.Doc {
	return append(append(motorDocs(), roadDocs()...), journeyDocs()...)
}

func formula(name, title, what, why, relation, units, holds, source, example string) finding.Doc {
	return finding.Doc{Kind: finding.FormulaDoc, Name: name, Title: title, What: what, Why: why, Formula: relation, Units: units, Range: holds, Source: source, Example: example}
}

func motorDocs() []finding.Doc {
	return []finding.Doc{
		formula("motor-model", "A brushed permanent-magnet motor",
			"Three constants describe the motor: k, which turns speed into voltage and current into torque, the resistance R between its terminals, and the torque T₀ of its bearings, brushes and iron. Speed falls in a straight line with torque, current rises in one.",
			"The stall current is what fuse and leads meet when a wheel is blocked; it is ten and more times the running current.",
			"V = k·ω + I·R,  T = k·I − T₀,  I₀ = T₀/k,  I(stall) = V/R,  best efficiency at I = √(I₀·V/R), of (1 − √(I₀·R/V))², most power (V − I₀·R)²/(4·R)",
			"V, A, Ω, rad/s, N·m; k in V·s/rad, which is N·m/A",
			"Steady running. The drop over the brushes counts as part of R; armature reaction, ripple and the rise of T₀ with speed are left out.",
			textbookMotor,
			"k 0.05 N·m/A, R 80 mΩ, I₀ 1.5 A, 24 V: no-load 4561 rpm, stall 300 A; at 30 A 4125 rpm, 1.425 N·m and 85.5 % (computed)"),
		formula("motor-constants", "The constants of a motor from its plate",
			"From the rated voltage and two or three values more, in whatever set the maker has: no-load speed and current with resistance, stall current or stall torque; or a rated point. What is given beyond that is compared with what follows from the rest, and more than 5 % apart (and the stated uncertainties) is refused.",
			"Listings mix up input and output power or quote a stall current of the supply, not of the motor.",
			"k = (V − I₀·R)/ω₀,  R = V/I(stall),  R = (V − P/(I − I₀))/I,  R = k²·(ω₀ − ω)/T",
			"V, A, Ω, rad/s, N·m, W",
			"A resistance from a rated point is a difference of two near values: its uncertainty is several times theirs.",
			textbookMotor+"; solved for the constants; the 5 % is "+ownFigure, ""),
		formula("motor-temperature", "A warm motor",
			"The resistance of the copper rises with its temperature and the magnets weaken with theirs. A warm motor runs faster without load, pulls less when held, and wastes more.",
			"",
			"R(t) = R(t₁)·(234.5 + t)/(234.5 + t₁),  k(t) = k(t₁)·(1 + α·(t − 20))/(1 + α·(t₁ − 20)); α = −0.002 ferrite, −0.001 neodymium, −0.0004 and −0.0003 samarium-cobalt, per K",
			"°C", "−40 °C to the limit of the insulation, below the temperature at which the magnet is damaged. Friction is taken as unchanged.",
			"copper: IEC 60228 (reference values, section 1); magnets: "+modelica+" (second-hand)",
			"from 20 °C to 70 °C: R rises by 19.6 %, a ferrite motor's k falls by 10 %"),
		formula("thermal-class", "The limit of a winding",
			"The highest temperature that the insulation is made for: class A 105 °C, E 120 °C, B 130 °C, F 155 °C, H 180 °C. It is the hottest spot that counts, and a plate that names no class promises none.",
			"", "θ(limit) by class", "°C", "Continuous use; life halves with about every 10 K more.", "IEC 60085 (second-hand)", ""),
		formula("controller-duty", "A speed controller by its means",
			"The motor gets the part D of the battery's voltage, and the battery gives the part D of the motor's current. So a motor can carry far more current than the battery's meter shows: at a small duty and a heavy pull, several times as much.",
			"A fuse on the battery's side does not see the motor's current.",
			"V(motor) = D·V(battery),  I(battery) = D·I(motor)/η + I(own);  with the battery's resistance I(motor) = (D·(V₀ − R·I(own)) − E)/(R(motors) + D²·R/η)",
			"V, A, Ω; D and η from 0 to 1", "The controller switches fast beside L/R of the motor, so that its current hardly ripples.", "power in is power out; ecomodder.com, thread 326532 (second-hand); "+mechanics, "30 A in the motor at a duty of 0.4: 12 A from the battery"),
		formula("stall-time", "How long a held motor lasts",
			"All heat stays in the copper: the time in which that takes the winding from its temperature to the limit, with the resistance rising and the current falling on the way.",
			"It is what a fuse has to be quicker than, not a time that is safe: the few bars of the commutator under the brushes fail sooner, and a used winding starts warm.",
			"t = ∫ m·c/(I²·R) dθ,  m = δ·R₂₀·(a·A)²/ρ for a winding of a paths of wire A",
			"kg, J/(kg·K), A, Ω, °C; δ 8890 kg/m³, c 386 J/(kg·K), ρ 1/58 Ω·mm²/m", "A few seconds. The iron takes heat up, which makes the mean rise slower.",
			"energy balance; copper.org, \"Introduction to Copper: Fact Sheets\", table 5 (second-hand); agrees with the adiabatic equation I²t = (226·A)²·ln((234.5 + θ₂)/(234.5 + θ₁)) of IEC 60949 within 1 %", ""),
	}
}

func roadDocs() []finding.Doc {
	return []finding.Doc{
		formula("road-load", "What the way asks",
			"Rolling resistance of vehicle, payload and wagons, the pull of the hill, and the drag of the air.",
			"At the speed of such vehicles the air is nearly nothing, and the surface and the hill are nearly all.",
			"F = Σ m·g·c·cos θ + m·g·sin θ + ½·ρ·C_d·A·v²,  θ = atan(grade)",
			"N, kg, m/s; g 9.80665 m/s², ρ 1.225 kg/m³",
			"Straight way, steady speed, still air. Curves are left out: the published formulas are for full-size railways, run from 446/R to 800/R N/kN and are reported to be several times too high (owiki.org, Curve resistance). What it takes to set a stiff mechanism going is left out.",
			"textbook sum; week-2 assignment of the NPTEL course on electric vehicles (second-hand)",
			"400 kg, c 0.01, 1 %, 2 m/s, C_d·A 1 m²: 39.2 N + 39.2 N + 2.5 N = 80.9 N, 162 W (computed)"),
		formula("rolling-coefficient", "Rolling coefficients",
			"Force over weight for a wheel on a ground, as a range; its middle is used, with the standard uncertainty of a flat distribution over it. The table names a source and a status for each row. Two rows, short grass and miniature rail, are from memory.",
			"The range is the greatest uncertainty in most answers. A coasting or steady-current trial on one's own line is worth more.",
			"c = (low + high)/2,  u(c) = (high − low)/√12", "a number", "The wheel that the row names; a smaller or softer one rolls worse.",
			"engineeringtoolbox.com d_1303; Carvill; Marks (second-hand); two rows from memory; GUM 4.3.7", "steel wheel on steel rail: 0.001 to 0.002"),
		formula("tyre-pressure", "Rolling coefficient of a tyre from its pressure", "For a car tyre on a road.", "",
			"c = 0.005 + (1/p)·(0.01 + 0.0095·(v/100)²)", "p in bar, v in km/h", "Car tyres at about 1.5 to 5 bar.", "engineeringtoolbox.com d_1303 (second-hand)", "2.9 bar, 90 km/h: 0.0111"),
		formula("operating-point", "The steady speed",
			"Where the pull of the motors and what the way asks are equal. The pull falls with speed and the load rises, so they meet once or not at all: then the vehicle cannot start, rolls back, or runs away downhill. Downhill a controller that lets current back holds the vehicle with its motors; one that does not lets it coast.",
			"", "F(motors)(v) = F(way)(v),  F = η·(k·I·n − T₀·n)·2·i/d pulling, the same divided by η when driven", "N, m/s; n motors, ratio i, wheel diameter d",
			"Wheels that do not slip. More than twice the speed of the unloaded motors counts as running away ("+ownFigure+").", mechanics+"; root by Brent's method (1973)", ""),
		formula("held-speed", "The setting for a speed",
			"The torque that the way asks gives the current, speed and current give the voltage, and that over the battery's voltage is the duty.", "",
			"I = (F/η + F₀)/(2·k·i/d),  D = (E + I·R)/V(battery)", "N, A, V", "As far as voltage and limits reach.", mechanics, ""),
		formula("start", "Gathering speed",
			"From a stand to nine tenths of the steady speed with the setting put on at once; the steepest hill that it can start on.", "",
			"t = ∫ m/(F(motors) − F(way)) dv,  θ = asin(F/(m·g·√(1 + c²))) − atan c", "s, m, Wh", "Wheels that do not slip; what turns with them is left out.", mechanics, ""),
	}
}

func journeyDocs() []finding.Doc {
	return []finding.Doc{
		formula("energy-on-route", "Energy on a route",
			"Each stretch is driven at its steady speed; energies are added up. What it takes to gather speed is left out.", "",
			"E = Σ P(battery)·L/v", "Wh, Wh/km", "Long stretches, few stops.", mechanics, ""),
		formula("range-of-energy", "Run time and distance on an energy",
			"The usable energy by the power drawn. What is usable comes from the pack's own model at about this power.", "", "t = E/P,  s = v·t", "Wh, W, h, m", "A steady load.", mechanics, ""),
		formula("stopping-distance", "Stopping distance",
			"The way rolled while the driver reacts and the way under the brake, with rolling resistance and the hill. Where the grip of the braked wheels is known, it limits the brake. The motors do not help.",
			"A train has more kinetic energy than its driver feels. The distance on a wet rail downhill is the one that counts.",
			"s = v·t + v²/(2·a),  a = (F(brake) + F(rolling) + m·g·sin θ)/m;  with the air (m/2b)·ln(1 + b·v²/F), b = ½·ρ·C_d·A;  E = ½·m·v²",
			"m, m/s, s, N, J", "The speed stays the same while the driver reacts, also downhill. No limit of any railway is implied.",
			mechanics+"; the form of AASHTO's stopping sight distance (second-hand)", ""),
		formula("reaction-time", "Reaction times",
			"Published times of drivers on roads: 0.67 s (UK Highway Code), 1.5 s (Transport Research Laboratory, an average of the literature and no floor: taken as a rule), 2.5 s (AASHTO, enough for about nine in ten: taken where a child rides). None is of somebody who drives a garden railway.", "",
			"t from the table", "s", "Adults who drive on a road.", "Highway Code rule 126; Transport Research Laboratory; AASHTO; all second-hand", ""),
		formula("rail-adhesion", "Grip on rails",
			"The greatest pull or braking force over the weight on the wheels that pull or brake: dry 0.25, rinsed by rain 0.10 to 0.15, damp (dew, mist, first drops) 0.05 to 0.10, crushed leaves 0.01 to 0.05. Damp is worse than rain.", "", "F ≤ µ·m·g·cos θ on those wheels", "a number",
			"Full-size steel tyres on steel rails.", "Koffman 1948, abstract (confirmed) for dry rails; Fisk et al. 2015, abstract (confirmed) that damp is worse than rinsed; rail-traction.com (second-hand); the bounds for damp rails are our own choice", ""),
		formula("overturning", "Speed that tips a vehicle in a curve",
			"In a curve a body is pushed outward with m·v²/R at its centre of mass, and its weight holds it down. It begins to tip over the outer wheels when the push, at the height of the centre of mass, turns it as hard as the weight does at half the track width. Vehicle and payload are taken as one body, their heights weighed by their masses.",
			"Who rides a small train sits high over a narrow track: a curve that a car would not feel can throw it over. Passengers who lean outward, springs, a low outer rail and a jerk bring the speed down.",
			"v = √(g·R·b/h),  b half the track width,  h = (m₁·h₁ + m₂·h₂)/(m₁ + m₂) over the rails;  the same as v²/(R·g) = b/h",
			"m, m/s, kg; g 9.80665 m/s²", "A rigid body on a level track, no cant, no springs; wheels that do not slide before they tip.",
			"statics, moments about the outer wheels; an exercise of a textbook (physicsforums.com, thread 174374: radius 20 m, track 1.3 m, height 0.6 m) has 14.58 m/s and agrees", "half gauge 92 mm, height 0.5 m, radius 13 m: 17.4 km/h (computed)"),
		formula("railway-speeds", "Speeds kept to on small railways",
			"Rules of single owners, each with its source; they range from 8 to 16 km/h, and the guidance that once covered them gives no number. They are quoted, never applied.", "", "from the table", "km/h", "The railway that made the rule.", "see the table; one row from memory", ""),
		formula("drive-uncertainty", "Uncertainty of a drive's figures",
			"Every input's standard uncertainty is carried through the whole computation, plate to answer, one input at a time. Where the vehicle would pass from one state to another within it, the uncertainty is not known.", "",
			"u²(y) = Σ (∂y/∂x)²·u²(x)", "as the figure", "Small uncertainties; to first order.", "JCGM 100:2008 (GUM), 5.1.2", ""),
	}
}

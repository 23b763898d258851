package safety

// rules lists every rule, by family and in the order in which they are asked.
// A rule that is not in it is never asked; a test looks for it.
var rules = []*rule{
	// Cells: what ends a discharge.
	dischargeUnguarded, dischargeBelowDataSheet, dischargeBelowConservativeFloor,
	protectionAssumed, protectionUntested, protectionTestShowsNothing, protectionBelowDataSheet, protectionLateOnCharge,
	resetMargin, resetPredicted, sagOpensCutout, cutoutDidNotOpen,

	// Cells: charging.
	chargeVoltageHigh, chargeLogVoltageHigh, chargeCurrentHigh, chargeLogCurrentHigh,
	chargerChemistry, chargerAbovePack, chargeCold, chargeHot, chargeCoolFast,

	// Cells: use and storage.
	runBelowWindow, runInFrost, packHot, overDischarged, dischargeRate, peakOpensProtection,
	plugHeats, capacityFade, capacityBelowLabel, storedFull, storedEmpty, leadNotToppedUp, standingDrain,

	// What things were found to be.
	foundSwollen, foundHot, foundWet, foundCrashDamaged, foundRepaired, foundLoose, foundSoldered, foundCorroded, foundWorn, foundUnknownMake, foundSecondHand,
	usedCellsUnmeasured, usedCellsWeak,

	// Packs in parallel.
	parallelChemistry, parallelSeries, parallelFullVoltage, parallelCapacity, parallelAge,
	parallelJoiningVoltage, parallelJoiningCurrent, parallelFuse, parallelBackCharge,
	parallelOneAlone, parallelShare, parallelProtectionApart,

	// Wiring: what the circuit says does not hold.
	packUnfused, fuseFar, fuseSmall, fuseAboveLead, fuseCannotInterrupt, fuseVoltageLow, fuseOpensEarly, fuseLateAtStall,
	leadOverloaded, partOverloaded, partPeakOverloaded, contactOverloaded, partVoltageLow, loadVoltageHigh, loadVoltageLow, resistorOverloaded,
	liveWhenOpen, cutoutBypassed, shortCircuit, endUnfit, leadUnfitClamp, leadThin, socketLive, positiveColourDeparts,
	socketUnfused, joinedUnfused, cutoutBehindController, stopMissing, dropLarge,

	// Wiring: contacts, connectors, converters and the frame, as they are stated.
	coilUnsuppressed, coilDiodeSlow, contactorBackwards, prechargeMissing, prechargeResistor, connectorLiveHalf, connectorWornOut,
	converterVoltageHigh, converterDropsOut, converterInputLow, converterUnfused, suppressorClampsHigh, balanceLeadUnfused, frameJoined,

	// Drive.
	motorOvervoltage, controllerVoltageHigh, controllerVoltageLow, stallAboveController, stallAboveCutout, stallBelowFuse,
	topSpeedHigh, speedAboveWanted, overturnsInCurve, stopFar, brakeBelowHill, brakeAboveGrip, rollsAway, hillTooSteep, wetRailSlips, motorOverloaded, motorOverloadedHill,
	throttleWire, throttleReturn, throttleAtRest, regenerationFull,

	// Runs and method.
	firstPowerOutside, oneRunOnly, instrumentRange, clockJump, logGapCharge, wheelsUpRunTime, unlikeConditions,

	// People.
	childAge, childMassLow, childRemoteStop, childHelmet, childSupervision, toyVoltage, touchVoltage,
	chargeUnattended, chargePlace, chargeGas, chargerOutdoors, chargerInterlock,
}

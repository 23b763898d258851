package safety

// rules lists every rule, by family and in the order in which they are asked.
// A rule that is not in it is never asked; a test looks for it.
var rules = []*rule{
	// Cells.
	dischargeUnguarded,
	dischargeBelowDataSheet,
	dischargeBelowConservativeFloor,
	protectionAssumed,
	protectionUntested,
	protectionTestShowsNothing,
	protectionBelowDataSheet,
	resetMargin,
}

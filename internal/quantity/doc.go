// Package quantity reads, computes with, converts and prints the values that a
// note about a small electric vehicle contains: volts, ampere-hours, times in
// hours, minutes and seconds, wire sizes in mm² and AWG, and the rest of the
// table in units.go.
//
// There are two ways to hold a value. The kinds (Volts, Amperes, …) are typed
// at compile time, so that volts cannot be added to amperes; Measured joins one
// of them with its standard uncertainty. Quantity holds the dimension at run
// time, for what was parsed or is to be printed. As leads from the second to
// the first, Measured.Quantity back.
//
// Uncertainty follows JCGM 100:2008 (the GUM). U is always the standard
// uncertainty, k = 1, in the unit of its value. The sign ±, read or printed, is
// always the expanded uncertainty with k = 2. Sum, Difference, Product and
// Quotient take the errors of their arguments to be independent; for errors
// that are correlated, such as two readings of one meter, use Propagate with
// the correlation coefficients. All propagation is of first order: it is good
// as long as the function is nearly straight over a few standard
// uncertainties, and it cannot tell when it is not.
//
// The package cannot catch everything: a torque and an energy differ here only
// by their names, a voltage at rest and one under load not at all, and a value
// written without ± counts as exact.
package quantity

// Package battery computes what a pack does: how long it carries a load, at
// what voltage, how warm it gets, how it charges, how packs in parallel share,
// and what the cutout makes of it all.
//
// A [Cell] is an equivalent circuit: an open-circuit voltage against state of
// charge, an ohmic resistance, one or two resistor–capacitor branches, a lag
// between the charge at the surface of the particles and their mean, and a lump
// of heat. Resistance and lag depend on temperature (Arrhenius) and resistance
// on the state of charge. A [Pack] is cells in series and parallel. [Simulate]
// runs packs, joined in parallel, against a [Demand].
//
// An [Estimate] says what is known of a cell: at first only what is typical of
// its [Chemistry], with a wide spread, and after [Estimate.Calibrate] what the
// maker's own logs add. Every answer can carry the spread to its result.
//
// Signs and units: a discharge current is positive; volts, amperes,
// ampere-hours, ohms, seconds, degrees Celsius, joules and watts throughout.
//
// What it cannot catch: cells of a series string are taken as equal, so a weak
// cell is not seen; reversible (entropic) heat is left out; the open-circuit
// curve does not depend on temperature or on the direction of the current
// (hysteresis), ageing is not modelled, and the surface temperature stands for
// the whole cell.
package battery

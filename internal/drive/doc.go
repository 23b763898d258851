// Package drive computes how a small electric vehicle moves: what its brushed
// permanent-magnet motors do at a voltage and a load, what the ground, the hill
// and the air ask of them, at what speed the two meet, what that costs the
// battery, and how the vehicle stops.
//
// A [Plate] is what a maker knows of a motor; [Plate.Motor] finds the three
// constants of a [Motor] in it, or says what is missing or at odds. A [Setup]
// joins a [Vehicle] (motors, gearing, wheel, masses, wagons), a [Supply], a
// [Controller] and a [Way] (surface, grade, air). [Setup.Operate] finds the
// steady speed, [Setup.AtSpeed] the setting that holds a given one,
// [Setup.Travel] the energy for a route, [Setup.Stop] the way to a stand and
// [Setup.Stall] what a blocked motor draws and for how long its copper stands
// it. [Given] is the same with uncertainties.
//
// Signs and units: volts, amperes, ohms, metres, m/s, kilograms, newtons, watts;
// forward and uphill are positive; a battery current is positive on discharge.
//
// What it cannot catch: wheels that slip (hold a pull against [Vehicle.Grip]); the
// greater pull that it takes to set a cold, greased mechanism going; curves (the
// published formulas are for full-size railways, run from 446/R to 800/R N/kN
// and are reported to be several times too high, so none is used); the drop over
// the brushes, which is in R as
// far as R was measured running; armature reaction; the ripple of the
// controller's current, which heats a motor more than its mean does. A steady
// point says nothing of how long a motor can keep it up.
package drive
